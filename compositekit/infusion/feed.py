"""Feed lines: what they lose, what they hold and how many inlets a part wants."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

STANDARD_GRAVITY = 9.80665  # m/s^2
MASS_PER_INLET = 2.0  # kg for one 6 mm connector: common practice, no source

LINE = dict(length="m > 0", bore="m > 0", viscosity="Pa*s > 0")


def _resistance(length, bore, viscosity):
    """Pressure per flow rate of a round line [Pa s/m^3]."""
    return 128 * viscosity * length / (np.pi * bore**4)


@checked(flow_rate="m^3/s >= 0", **LINE, returns="Pa")
def line_pressure_drop(flow_rate, length, bore, viscosity):
    """Pressure lost along a round feed line.

    flow_rate  [m^3/s]  resin through the line, scalar or array
    length  [m]  length of the line
    bore  [m]  inside diameter of the line
    viscosity  [Pa*s]  viscosity of the resin
    Returns pressure [Pa].
    Raises UnitError, RangeError.
    Relation: dp = 128 mu L Q / (pi d^4)
    Valid: laminar, which resin in a hose always is (Reynolds number of order 10).
    Source: tube flow, FL-R11 (from memory, standard).
    """
    return _resistance(length, bore, viscosity) * flow_rate


@checked(pressure="Pa > 0", **LINE, returns="m^3/s")
def largest_flow(pressure, length, bore, viscosity):
    """Most resin a line can pass when the whole pressure is spent in it.

    pressure  [Pa]  pressure at hand between pot and part
    length  [m]  length of the line
    bore  [m]  inside diameter of the line
    viscosity  [Pa*s]  viscosity of the resin
    Returns flow rate [m^3/s].
    Raises UnitError, RangeError.
    Relation: Q = pi d^4 dp / (128 mu L)
    Source: FL-R11 (from memory, standard).
    """
    return pressure / _resistance(length, bore, viscosity)


@checked(volume="m^3 >= 0", pressure="Pa > 0", **LINE, returns="s")
def line_delay(volume, pressure, length, bore, viscosity):
    """Time a feed line adds to the fill of the part behind it.

    volume  [m^3]  resin the part takes, its pore volume
    pressure  [Pa]  driving pressure, pot less vent
    length  [m]  length of the line
    bore  [m]  inside diameter of the line
    viscosity  [Pa*s]  viscosity of the resin
    Returns time [s], to be added to the fill time without the line.
    Raises UnitError, RangeError.
    Relation: t = R V / P, R = 128 mu L / (pi d^4)
    Source: FL-R15a (own reference).
    """
    return _resistance(length, bore, viscosity) * volume / pressure


@checked(resin_mass="kg >= 0", mass_per_inlet="kg > 0")
def inlets_needed(resin_mass, mass_per_inlet=MASS_PER_INLET):
    """Number of inlets by the mass of resin they carry; never fewer than one.

    resin_mass  [kg]  resin the part takes
    mass_per_inlet  [kg]  resin per inlet; 2 kg for a 6 mm connector if left out
    Returns the number of inlets, integer.
    Raises UnitError, RangeError.
    Relation: n = ceil(m / m_inlet)
    Valid: a habit of the trade; inlets_for_flow asks the pressure instead.
    Source: common practice, no source.
    """
    return _whole(resin_mass / mass_per_inlet)


@checked(flow_rate="m^3/s >= 0", pressure_drop="Pa > 0", **LINE)
def inlets_for_flow(flow_rate, pressure_drop, length, bore, viscosity):
    """Number of equal feed lines that carry a flow within an allowed pressure drop.

    flow_rate  [m^3/s]  resin the part draws, all lines together
    pressure_drop  [Pa]  pressure that may be lost in the lines
    length  [m]  length of each line
    bore  [m]  inside diameter of each line
    viscosity  [Pa*s]  viscosity of the resin
    Returns the number of inlets, integer.
    Raises UnitError, RangeError.
    Relation: n = ceil(Q R / dp), R = 128 mu L / (pi d^4)
    Source: FL-R11 (from memory, standard).
    """
    return _whole(line_pressure_drop.si(flow_rate, length, bore, viscosity) / pressure_drop)


def _whole(number):
    """Round up to a count of at least one; a hair above a whole number is rounding, not a further inlet."""
    if np.any(np.asarray(number) > 1e6):
        raise RangeError(f"{np.max(number):.3g} inlets would be wanted; check the units, or use a wider, shorter line.")
    count = np.maximum(np.ceil(np.asarray(number) - 1e-9), 1).astype(int)
    return count if count.ndim else int(count)


@checked(bore="m > 0", length="m >= 0", returns="m^3")
def line_content(bore, length):
    """Resin that a line holds, and that is thrown away with it.

    bore  [m]  inside diameter of the line
    length  [m]  length of the line
    Returns volume [m^3].
    Raises UnitError, RangeError.
    Relation: V = pi d^2 L / 4
    Source: geometry.
    """
    return np.pi * bore**2 / 4 * length


@checked(resin_density="kg/m^3 > 0", height="m", returns="Pa")
def hydrostatic_head(resin_density, height):
    """Pressure it costs to lift resin by a height; negative where the resin runs down.

    resin_density  [kg/m^3]  density of the liquid resin
    height  [m]  front (or part) above the level in the pot
    Returns pressure [Pa].
    Raises UnitError, RangeError.
    Relation: p = rho g H
    Source: hydrostatics, FL-R07 (own reference).
    """
    return resin_density * STANDARD_GRAVITY * height
