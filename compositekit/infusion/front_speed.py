"""How fast the front runs, and what that does to voids: the speed between two ways of trapping air, and air a closed pocket keeps."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked
from .darcy import FABRIC


@checked(distance="m > 0", **FABRIC, returns="m/s")
def front_speed(distance, permeability, porosity, viscosity, pressure):
    """Speed of a straight front when it has run a distance from its line.

    distance  [m]  of the front from the line, scalar or array
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin
    pressure  [Pa]  driving pressure, inlet less vent
    Returns speed [m/s].
    Raises UnitError, RangeError.
    Relation: v = K P / (phi mu x)
    Source: FL-R01 (read, formula; textbook from memory).
    """
    return permeability * pressure / (porosity * viscosity * distance)


@checked(speed="m/s >= 0", viscosity="Pa*s > 0", surface_tension="N/m > 0", returns="1")
def capillary_number(speed, viscosity, surface_tension):
    """Pull of the flow over pull of the liquid's surface at the front.

    speed  [m/s]  of the front, scalar or array
    viscosity  [Pa*s]  viscosity of the resin
    surface_tension  [N/m]  of the resin, times the cosine of its contact angle with the fibre where that is known
    Returns a number [1].
    Raises UnitError, RangeError.
    Relation: Ca = mu v / gamma
    Valid: fewest voids about 1e-3 to 1e-2, often 2.5e-3 to 3.5e-3 (FL-D06, from memory); below, air stays between tows, above, in them.
    Source: FL-D04 (read), FL-D06 (from memory).
    """
    return viscosity * speed / surface_tension


@checked(permeability="m^2 > 0", porosity="1 in 0.01..1", pressure="Pa > 0", surface_tension="N/m > 0", capillary_number="1 > 0", returns="m")
def distance_of_fewest_voids(permeability, porosity, pressure, surface_tension, capillary_number=2.5e-3):
    """Distance from the line at which a front at constant pressure passes a capillary number, whatever the viscosity.

    permeability  [m^2]  in-plane permeability of the stack, scalar or array
    porosity  [1]  open share of the stack
    pressure  [Pa]  driving pressure, inlet less vent
    surface_tension  [N/m]  of the resin
    capillary_number  [1]  at which voids are fewest; 2.5e-3 if left out (FL-D06, from memory)
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: x = K P / (phi Ca gamma)
    Valid: thinning the resin does not move the place; pressure and permeability do.
    Source: FL-D07 (own reference).
    """
    return permeability * pressure / (porosity * capillary_number * surface_tension)


@checked(bag_pressure="Pa >= 0", resin_pressure="Pa > 0", returns="1")
def air_left_in_pocket(bag_pressure, resin_pressure):
    """Share of a closed-off dry pocket that stays air once the resin round it presses on it.

    bag_pressure  [Pa]  absolute pressure in the bag when the pocket closed, scalar or array
    resin_pressure  [Pa]  absolute pressure of the resin there at the end
    Returns share [1].
    Raises UnitError; RangeError also where the resin does not press harder than the air.
    Relation: p_bag / p_resin
    Valid: no air dissolves or leaks; temperature stays.
    Source: FL-D03 (own reference); a pocket can shrink away, FL-D02 (read).
    """
    if np.any(np.asarray(resin_pressure) < bag_pressure):
        raise RangeError("resin_pressure is below bag_pressure, so the pocket would grow; both are absolute pressures.")
    return bag_pressure / resin_pressure
