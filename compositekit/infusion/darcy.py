"""How far the resin front has run, and when a part is full: closed forms of Darcy's law.

``pressure`` is always the driving pressure: absolute pressure at the inlet less that at the vent.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked
from .counts import one_length
from .feed import STANDARD_GRAVITY

FABRIC = dict(permeability="m^2 > 0", porosity="1 in 0.01..1", viscosity="Pa*s > 0", pressure="Pa > 0")


@checked(distance="m >= 0", **FABRIC, returns="s")
def fill_time_linear(distance, permeability, porosity, viscosity, pressure):
    """Time for a straight front to run a distance from a feed line at constant pressure.

    distance  [m]  how far the front has to run, scalar or array
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack, 1 - fibre fraction
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError, RangeError.
    Relation: t = phi mu L^2 / (2 K P)
    Valid: level mould, constant viscosity, rigid stack.
    Source: Darcy's law with a moving front, FL-R01 (read, formula; textbook from memory).
    """
    return porosity * viscosity * distance**2 / (2 * permeability * pressure)


@checked(time="s >= 0", **FABRIC, returns="m")
def front_position_linear(time, permeability, porosity, viscosity, pressure):
    """Distance of a straight front from its feed line after a time.

    time  [s]  time since resin entered the stack, scalar or array
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: x = sqrt(2 K P t / (phi mu))
    Source: inverse of fill_time_linear, FL-R01 (read).
    """
    return np.sqrt(2 * permeability * pressure * time / (porosity * viscosity))


@checked(radius="m > 0", inlet_radius="m > 0", **FABRIC, returns="s")
def fill_time_radial(radius, inlet_radius, permeability, porosity, viscosity, pressure):
    """Time for a round front to run outwards from a round inlet to a radius.

    radius  [m]  radius of the front, scalar or array
    inlet_radius  [m]  radius of the inlet the resin comes out of
    permeability  [m^2]  in-plane permeability, equal in all directions
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError; RangeError also where the radius is inside the inlet.
    Relation: t = mu phi / (2 K P) [R^2 ln(R/r0) - (R^2 - r0^2)/2]
    Source: FL-R04 (read for the same form, from memory).
    """
    if np.any(np.asarray(radius) < inlet_radius):
        raise RangeError(f"radius is {np.min(radius):g} m, inside the inlet of {np.max(inlet_radius):g} m; give a front outside it.")
    spread = radius**2 * np.log(radius / inlet_radius) - (radius**2 - inlet_radius**2) / 2
    return viscosity * porosity / (2 * permeability * pressure) * spread


@checked(outer_radius="m > 0", radius="m >= 0", **FABRIC, returns="s")
def fill_time_perimeter(outer_radius, radius, permeability, porosity, viscosity, pressure):
    """Time for a front to close in from a fed round edge to a radius; radius 0 is the full part.

    outer_radius  [m]  radius of the fed edge
    radius  [m]  radius the front has closed in to, scalar or array
    permeability  [m^2]  in-plane permeability, equal in all directions
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError; RangeError also where the radius is outside the edge.
    Relation: t = mu phi / (2 K P) [(R^2 - r^2)/2 - r^2 ln(R/r)]
    Source: FL-R05 (own reference).
    """
    if np.any(np.asarray(radius) > outer_radius):
        raise RangeError(f"radius is {np.max(radius):g} m, outside the fed edge of {np.min(outer_radius):g} m; give one inside it.")
    safe = np.where(np.asarray(radius) > 0, radius, outer_radius)  # r^2 ln r goes to nought at the centre
    closing = (outer_radius**2 - radius**2) / 2 - radius**2 * np.log(outer_radius / safe)
    return viscosity * porosity / (2 * permeability * pressure) * closing


@checked(lengths="m > 0", permeabilities="m^2 > 0", porosities="1 in 0.01..1", viscosity="Pa*s > 0", pressure="Pa > 0",
         thicknesses="m > 0", returns="s")
def fill_time_zones(lengths, permeabilities, porosities, viscosity, pressure, thicknesses=None):
    """Times at which a straight front reaches the end of each of several zones in a row.

    lengths  [m]  zone lengths in flow order, shape (n,)
    permeabilities  [m^2]  in-plane permeability of each zone, shape (n,)
    porosities  [1]  open share of each zone, shape (n,)
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    thicknesses  [m]  stack thickness of each zone, shape (n,); equal if left out
    Returns time [s], shape (n,); the last is the fill time.
    Raises UnitError; RangeError also for an empty list or lists of different length.
    Relation: t_i = (mu phi_i h_i / P)(L_i R_i + L_i^2 / (2 K_i h_i)), R_i = sum of L_j/(K_j h_j) before i
    Source: FL-R06 (own reference).
    """
    rows = one_length(lengths=lengths, permeabilities=permeabilities, porosities=porosities,
                      thicknesses=np.ones(np.size(lengths)) if thicknesses is None else thicknesses)
    length, permeability, porosity, thickness = rows
    resistance = length / (permeability * thickness)
    before = np.cumsum(resistance) - resistance
    return np.cumsum(viscosity * porosity * thickness / pressure * length * (before + resistance / 2))


@checked(distance="m >= 0", climb="1 in -1..1", resin_density="kg/m^3 > 0", **FABRIC, returns="s")
def climbing(distance, climb, resin_density, permeability, porosity, viscosity, pressure):
    """Time for a straight front to run up (or down) a slope.

    distance  [m]  distance along the slope, scalar or array
    climb  [1]  sine of the slope; 1 straight up, -1 straight down
    resin_density  [kg/m^3]  density of the liquid resin
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError; RangeError also where the pressure cannot lift the resin so high.
    Relation: t = (mu phi/(K G)) [-L - a ln(1 - L/a)], G = rho g s, a = P/G
    Source: FL-R07 (own reference).
    """
    share = distance * resin_density * STANDARD_GRAVITY * climb / pressure  # of the pressure, eaten by the head
    if np.any(share >= 1):
        highest = np.min(pressure / (resin_density * STANDARD_GRAVITY))
        raise RangeError(f"distance {np.max(distance):g} m climbs higher than the pressure can lift the resin "
                         f"({highest:.3g} m); feed higher up or from the top.")
    small = np.abs(share) < 1e-4  # the logarithm loses its digits here, so its series is used
    exact = np.where(small, 0.5, share)
    factor = np.where(small, 1 + 2 * share / 3 + share**2 / 2, 2 * (-exact - np.log1p(-exact)) / exact**2)
    return fill_time_linear.si(distance, permeability, porosity, viscosity, pressure) * factor


# --- a resin that thickens while it runs ----------------------------------------------------

@checked(**FABRIC, doubling_time="s > 0", returns="m")
def farthest_reach(permeability, porosity, viscosity, pressure, doubling_time):
    """Distance a straight front can never pass because the resin thickens as it runs.

    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity when the resin enters
    pressure  [Pa]  driving pressure, inlet less vent
    doubling_time  [s]  time in which the viscosity doubles
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: L_max = sqrt(2 K P / (phi mu0 k)), k = ln 2 / doubling time
    Source: FL-R16 (own reference).
    """
    return front_position_linear.si(doubling_time / np.log(2), permeability, porosity, viscosity, pressure)


@checked(distance="m >= 0", **FABRIC, doubling_time="s > 0", returns="s")
def fill_time_ageing(distance, permeability, porosity, viscosity, pressure, doubling_time):
    """Time for a straight front to run a distance while the resin thickens.

    distance  [m]  how far the front has to run, scalar or array
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity when the resin enters
    pressure  [Pa]  driving pressure, inlet less vent
    doubling_time  [s]  time in which the viscosity doubles
    Returns time [s].
    Raises UnitError; RangeError also at or beyond the farthest reach.
    Relation: t = -(1/k) ln(1 - k mu0 phi L^2/(2 K P)), k = ln 2 / doubling time
    Source: FL-R16 (own reference).
    """
    reach = farthest_reach.si(permeability, porosity, viscosity, pressure, doubling_time)
    if np.any(distance >= reach):
        raise RangeError(f"distance {np.max(distance):g} m is beyond the {np.min(reach):.3g} m this resin can ever reach "
                         "before it is too thick; shorten the run, add a feed line or use a slower hardener.")
    return -doubling_time / np.log(2) * np.log1p(-((distance / reach) ** 2))


@checked(time_allowed="s >= 0", **FABRIC, doubling_time="s > 0", returns="m")
def distance_before(time_allowed, permeability, porosity, viscosity, pressure, doubling_time):
    """Distance a straight front has run when the time allowed is over, the resin thickening meanwhile.

    time_allowed  [s]  time since the resin entered, scalar or array
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity when the resin enters
    pressure  [Pa]  driving pressure, inlet less vent
    doubling_time  [s]  time in which the viscosity doubles
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: x = L_max sqrt(1 - exp(-k t)), the inverse of fill_time_ageing
    Source: FL-R16 (own reference).
    """
    reach = farthest_reach.si(permeability, porosity, viscosity, pressure, doubling_time)
    return reach * np.sqrt(-np.expm1(-np.log(2) * time_allowed / doubling_time))
