"""Is the bag tight: drop test, leak rate, what a leak does by the end of the fill, and the air outside.

All pressures are absolute: barometer at the bench plus the (negative) gauge reading, never the weather report's
sea-level value. Caution: any evacuated pot can implode. Use vessels made for vacuum, eye protection, and follow local codes.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import RangeError
from ..units import Q_, checked, checked_fields

ATMOSPHERE = 101325.0  # Pa
INCH_OF_MERCURY = 3386.39  # Pa
LIMIT_RISE = Q_(1.0, "mbar/min")  # common practice, no source
LIMIT_RISE_SI = LIMIT_RISE.m_as("Pa/s")


class ReadLimit(NamedTuple):
    """A published or customary limit on the pressure rise of a closed bag."""

    rise: object
    what: str
    source: str
    grade: str


READ_LIMITS = (
    ReadLimit(LIMIT_RISE, "closed bag before infusion, workshop limit", "common practice", "common practice, no source"),
    ReadLimit(Q_(INCH_OF_MERCURY / 300, "Pa/s"), "resin infusion drop test, 1 inHg in 5 minutes", "distributor's guide, PR-V24", "read"),
    ReadLimit(Q_(INCH_OF_MERCURY / 60, "Pa/s"), "bonded repair patch of a few litres, 1 inHg in 1 minute; not for infusion",
              "public army repair manual TM 1-1500-204-23-11, PR-V20", "read"),
)


@checked(volume="m^3 > 0", pressure_rise="Pa >= 0", time="s > 0", returns="Pa*m^3/s")
def leak_rate(volume, pressure_rise, time):
    """Gas coming into a closed volume, as pressure times volume per time.

    volume  [m^3]  gas volume of stack, mesh and hoses, and of the pot if it is on the bag's side of the valve
    pressure_rise  [Pa]  rise of absolute pressure
    time  [s]  time the rise took
    Returns leak [Pa*m^3/s]; 1 mbar in 1 L in 1 min is 1/60 mbar L/s.
    Raises UnitError, RangeError.
    Relation: Q = V dp / dt
    Source: rate-of-rise test, PR-V01 (read).
    """
    return volume * pressure_rise / time


@checked_fields(rise="Pa/s >= 0", limit="Pa/s > 0", leak="Pa*m^3/s >= 0")
class DropTest:
    """A drop test read: pressure rise per time, the limit it is held against, and the leak if a volume was given."""

    rise: object
    limit: object
    leak: object = None

    @property
    def holds(self) -> bool:
        """True where the bag is at least as tight as the limit asks."""
        return bool(np.all(self.si.rise <= self.si.limit * (1 + 1e-12)))


@checked(pressure_start="Pa >= 0", pressure_end="Pa >= 0", time="s > 0", volume="m^3 > 0", limit="Pa/s > 0")
def drop_test(pressure_start, pressure_end, time, volume=None, limit=LIMIT_RISE_SI):
    """Read a drop test: pump off, valve closed, absolute pressure at start and end.

    pressure_start  [Pa]  absolute pressure when the valve was closed
    pressure_end  [Pa]  absolute pressure at the end
    time  [s]  time between the two
    volume  [m^3]  gas volume that was closed off, if the leak is wanted too
    limit  [Pa/s]  largest rise accepted, 1 mbar/min if left out
    Returns DropTest: rise [Pa/s], limit [Pa/s], leak [Pa*m^3/s] or None, holds.
    Raises UnitError; RangeError also where the pressure fell.
    Relation: rise = (p2 - p1) / dt
    Valid: a rise says nothing about the leak's size without the volume; damp fibre gives a rise that flattens out.
    Source: PR-V01 (read), limit common practice, no source.
    """
    if np.any(np.asarray(pressure_end) < pressure_start):
        raise RangeError("the pressure fell during the drop test; the pump was still pulling, the bag cooled or the gauge drifted. "
                         "Close the valve and repeat; give absolute pressures, not gauge readings.")
    climb = pressure_end - pressure_start
    return DropTest.from_si(rise=climb / time, limit=limit, leak=None if volume is None else leak_rate.si(volume, climb, time))


@checked(pressure="Pa >= 0", pressure_rise="Pa/s >= 0", time="s >= 0", atmosphere="Pa > 0", returns="Pa")
def pressure_after(pressure, pressure_rise, time, atmosphere=ATMOSPHERE, fine_channel=False):
    """Absolute pressure in a closed bag after a time, its leak going on.

    pressure  [Pa]  absolute pressure at the start
    pressure_rise  [Pa/s]  rise at the start, from the drop test
    time  [s]  time from the start, scalar or array
    atmosphere  [Pa]  pressure outside
    fine_channel  False for a pin hole (straight line, the safe choice), True for a long fine channel
    Returns pressure [Pa], never above the atmosphere.
    Raises UnitError; RangeError also where the bag starts above the atmosphere.
    Relation: p = p1 + r t; fine channel p = pa tanh(artanh(p1/pa) + k pa t), k = r / (pa^2 - p1^2)
    Source: PR-V05 (from memory, derived).
    """
    if np.any(np.asarray(pressure) >= atmosphere):
        raise RangeError(f"pressure is {np.max(pressure):g} Pa, not below the atmosphere ({np.min(atmosphere):g} Pa); give absolute pressure in the bag.")
    if not fine_channel:
        return np.minimum(pressure + pressure_rise * time, atmosphere)
    passing = pressure_rise / (atmosphere**2 - pressure**2)
    return atmosphere * np.tanh(np.arctanh(pressure / atmosphere) + passing * atmosphere * time)


@checked(leak="Pa*m^3/s >= 0", pump_speed="m^3/s > 0", ultimate_pressure="Pa >= 0", returns="Pa")
def pressure_at_pump(leak, pump_speed, ultimate_pressure=0.0):
    """Pressure the gauge at a running pump shows in spite of a leak.

    leak  [Pa*m^3/s]  from leak_rate
    pump_speed  [m^3/s]  pumping speed
    ultimate_pressure  [Pa]  lowest pressure of the pump
    Returns pressure [Pa]; a low reading here does not prove a tight bag.
    Raises UnitError, RangeError.
    Relation: p = p_u + Q / S
    Source: PR-V03 (read).
    """
    return ultimate_pressure + leak / pump_speed


@checked(leak="Pa*m^3/s >= 0", temperature="K in 200..500", atmosphere="Pa > 0", returns="m")
def hole_diameter(leak, temperature=293.15, atmosphere=ATMOSPHERE):
    """Diameter of the one small hole that would leak so much.

    leak  [Pa*m^3/s]  from leak_rate
    temperature  [K]  of the air, 20 degC if left out
    atmosphere  [Pa]  pressure outside
    Returns diameter [m].
    Raises UnitError, RangeError.
    Relation: Q = A pa sqrt(1.4 R T / M) (2/2.4)^3
    Valid: bag below 0.528 of the atmosphere (choked), discharge coefficient 1.
    Source: PR-V05 (from memory, derived).
    """
    speed_of_sound = np.sqrt(1.4 * 287.05 * temperature)  # dry air
    return np.sqrt(4 / np.pi * leak / (atmosphere * speed_of_sound * (2 / 2.4) ** 3))


@checked(altitude="m in -400..11000", returns="Pa")
def standard_atmosphere(altitude):
    """Pressure of the air at an altitude on a standard day: the most a bag can be pressed with.

    altitude  [m]  height above the sea, scalar or array
    Returns pressure [Pa].
    Raises UnitError, RangeError.
    Relation: p = 101325 (1 - 0.0065 H / 288.15)^5.255876
    Source: standard atmosphere, C-V7 (read).
    """
    return ATMOSPHERE * (1 - 0.0065 * altitude / 288.15) ** 5.255876


@checked(pressure_difference="Pa >= 0", diameter="m > 0", returns="N")
def lid_load(pressure_difference, diameter):
    """Force the air puts on the lid of an evacuated pot.

    pressure_difference  [Pa]  outside less inside
    diameter  [m]  of the lid
    Returns force [N]. Caution: a 300 mm lid carries more than half a tonne; only vessels made for vacuum.
    Raises UnitError, RangeError.
    Relation: F = dp pi d^2 / 4
    Source: C-S3 (own reference).
    """
    return pressure_difference * np.pi * diameter**2 / 4
