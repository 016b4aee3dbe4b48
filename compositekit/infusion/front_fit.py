"""Permeability a shop reads from its own trial panel: the front against time."""

from __future__ import annotations

import numpy as np
from scipy.stats import linregress
from scipy.stats import t as student

from ..errors import RangeError
from ..units import checked, checked_fields
from .counts import one_length, single
from .feed import STANDARD_GRAVITY, line_delay

FLAG = 3.0        # own judgement: early readings off the later line by more than so many times its scatter are flagged
READABLE = 0.003  # m, own judgement: nobody reads a front closer than this
LEAST = 3         # readings that a line with its error needs
FAR, NEAR = 50.0, 1e-3  # m, own judgement: a front beyond the one or short of the other was read in another unit

PANEL = dict(porosity="1 in 0.01..1", viscosity="Pa*s > 0")


class PanelFit:
    """A permeability with its standard error and number of readings: the interval that goes with them."""

    @checked(confidence="1 in 0.5..0.999", returns=("m^2", "m^2"))
    def interval(self, confidence=0.95):
        """Range in which the panel's permeability lies.

        confidence  [1]  how sure one wants to be
        Returns the two ends [m^2]; the lower never below nought.
        Raises UnitError, RangeError.
        Relation: K -+ t(confidence, n - 2) standard errors
        Valid: scatter of readings of one panel; another panel of the shop differs by 8 to 12 % more (FL-K15, read).
        Source: Student's t with n - 2 degrees of freedom (textbook, from memory).
        """
        reach = _reach(confidence, self.si.readings) * self.si.standard_error
        return max(self.si.permeability - reach, 0.0), self.si.permeability + reach


def _reach(confidence, readings):
    """How many standard errors the interval reaches to each side."""
    return student.ppf((1 + confidence) / 2, readings - 2)


@checked_fields(permeability="m^2 > 0", standard_error="m^2 >= 0", intercept="m^2", readings="1 >= 3", intercept_error="m^2 >= 0")
class FrontFit(PanelFit):
    """Permeability read from a front log: value, standard error, and where the line cuts distance^2 at time 0.

    An intercept well away from nought says that the clock, the first distance or the resin was not what you think.
    """

    permeability: object
    standard_error: object
    intercept: object
    readings: object
    intercept_error: object = None

    @checked(confidence="1 in 0.5..0.999")
    def starts_at_nought(self, confidence=0.95):
        """Whether the line may pass through nought, as it should when clock and feed started together.

        confidence  [1]  how sure one wants to be before crying out
        Returns True or False.
        Raises UnitError, RangeError; RangeError also where the intercept's own error is not known.
        Relation: |intercept| <= t(confidence, n - 2) standard errors of it
        Source: Student's t (textbook, from memory).
        """
        if self.si.intercept_error is None:
            raise RangeError("the error of the intercept is not known; take the fit from permeability_from_front.")
        return bool(abs(self.si.intercept) <= _reach(confidence, self.si.readings) * self.si.intercept_error + 1e-12)


# --- constant pressure -----------------------------------------------------------------------------

@checked(distances="m >= 0", times="s >= 0", **PANEL, pressure="Pa > 0")
@single("distances", "times")
def permeability_from_front(distances, times, porosity, viscosity, pressure):
    """In-plane permeability from marks of the front on a trial panel, by a straight line of distance^2 on time.

    distances  [m]  distance of the front from the feed line at each reading, shape (n,), n at least 3
    times  [s]  time of each reading, shape (n,)
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin during the trial
    pressure  [Pa]  driving pressure, inlet less vent
    Returns FrontFit: permeability, standard_error, intercept [m^2], readings [1], intercept_error [m^2].
    Raises UnitError; RangeError also for fewer than three readings, one single time, times that run backwards, distances
        in the wrong unit, or a front that does not advance.
    Relation: K = slope phi mu / (2 P)
    Valid: the standard error is the scatter of this one panel; panels in one shop differ by about 10 % (FL-K15, read).
    Source: FL-R01 (read) with least squares; constant pressure into dry fabric, FL-R19 (read).
    """
    distance, time = _log(distances, times)
    return _from_line(straight_line(time, distance**2), porosity * viscosity / (2 * pressure), distance.size)


@checked(distances="m > 0", times="s >= 0", inlet_radius="m > 0", **PANEL, pressure="Pa > 0")
@single("distances", "times")
def permeability_from_round_front(distances, times, inlet_radius, porosity, viscosity, pressure):
    """In-plane permeability from the radius of a round front about a point feed at constant pressure.

    distances  [m]  radius of the front at each reading, shape (n,), n at least 3
    times  [s]  time of each reading, shape (n,)
    inlet_radius  [m]  radius of the inlet
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin during the trial
    pressure  [Pa]  driving pressure, inlet less vent
    Returns FrontFit, as permeability_from_front; an oval front: take the mean of its half axes, and K is sqrt(K1 K2).
    Raises UnitError; RangeError as permeability_from_front, also for a radius inside the inlet.
    Relation: K = slope phi mu / (2 P), line of R^2 ln(R/r0) - (R^2 - r0^2)/2 on time
    Source: FL-R04 (read for the same form, from memory) with least squares.
    """
    radius, time = _log(distances, times)
    if np.any(radius < inlet_radius):
        raise RangeError(f"distances: a front of {radius.min():g} m lies inside the inlet of {inlet_radius:g} m; give the radius from the middle.")
    spread = radius**2 * np.log(radius / inlet_radius) - (radius**2 - inlet_radius**2) / 2
    return _from_line(straight_line(time, spread), porosity * viscosity / (2 * pressure), radius.size)


def _from_line(line, per_slope, readings):
    return FrontFit.from_si(permeability=line.slope * per_slope, standard_error=line.stderr * per_slope,
                            intercept=line.intercept, readings=readings, intercept_error=line.intercept_stderr)


@checked(distances="m >= 0", times="s >= 0")
def early_readings_off(distances, times):
    """How many readings at the start lie off the line of the later ones: leave so many out of the fit.

    distances  [m]  distance of the front from the feed line at each reading, shape (n,)
    times  [s]  time of each reading, shape (n,)
    Returns a count; nought for logs too short to tell.
    Raises UnitError; RangeError for lists of different length.
    Relation: off by more than 3 times the scatter of the later two thirds, and more than 3 mm
    Source: own judgement.
    """
    distance, time = one_length(distances=distances, times=times)
    first = len(time) // 3
    if len(time) - first < LEAST or np.ptp(time[first:]) == 0:
        return 0
    line = linregress(time[first:], distance[first:] ** 2)
    miss = distance - np.sqrt(np.maximum(line.intercept + line.slope * time, 0.0))
    scatter = max(FLAG * np.sqrt(np.mean(miss[first:] ** 2)), READABLE)
    off = np.flatnonzero(np.abs(miss[:first]) > scatter)
    return int(off[-1]) + 1 if off.size else 0


@checked(distances="m >= 0", times="s >= 0", width="m > 0", thickness="m > 0", porosity="1 in 0.01..1", pressure="Pa > 0",
         length="m > 0", bore="m > 0", viscosity="Pa*s > 0", returns="s")
@single("distances", "times")
def times_without_hose(distances, times, width, thickness, porosity, pressure, length, bore, viscosity):
    """Times of a front log as they would be without the pressure that the feed hose ate.

    distances  [m]  distance of the front from the feed line at each reading, shape (n,)
    times  [s]  time of each reading, shape (n,)
    width  [m]  width of the panel across the flow
    thickness  [m]  thickness of the stack
    porosity  [1]  open share of the stack
    pressure  [Pa]  driving pressure, pot less vent
    length  [m]  length of the hose
    bore  [m]  inside diameter of the hose
    viscosity  [Pa*s]  viscosity of the resin
    Returns times [s], shape (n,), to be fitted with the full pressure.
    Raises UnitError; RangeError also where the hose would account for the whole time.
    Relation: t - R V/P, V = phi h W x
    Source: FL-R15a, F-16 (own reference).
    """
    distance, time = _log(distances, times)
    left = time - line_delay.si(porosity * thickness * width * distance, pressure, length, bore, viscosity)
    if np.any((left <= 0) & (distance > 0)):
        raise RangeError("the hose alone would need longer than the times read; check its bore and length, the viscosity and the width of the panel.")
    return left


@checked(atmosphere="Pa > 0", bag_pressure="Pa >= 0", resin_density="kg/m^3 > 0", height="m", returns="Pa")
def driving_pressure(atmosphere, bag_pressure, resin_density, height=0.0):
    """Pressure that drives resin from an open pot to the vent.

    atmosphere  [Pa]  pressure of the air on the pot
    bag_pressure  [Pa]  absolute pressure in the bag
    resin_density  [kg/m^3]  density of the liquid resin
    height  [m]  part above the level in the pot; negative where the pot stands higher
    Returns pressure [Pa].
    Raises UnitError; RangeError also where nothing is left.
    Relation: P = p_atm - p_bag - rho g H
    Source: FL-R07 (own reference).
    """
    left = atmosphere - bag_pressure - resin_density * STANDARD_GRAVITY * height
    if np.any(left <= 0):
        raise RangeError(f"no pressure is left to drive the resin ({np.min(left):.4g} Pa); bag_pressure is absolute, and the pot may have to stand higher.")
    return left


# --- what a log must be -------------------------------------------------------------------------------------

def _log(distances, times):
    """A front log that can be worked with."""
    distance, time = one_length(distances=distances, times=times)
    require_forwards(time, "of the front")
    farthest = distance.max()
    if farthest > FAR or farthest < NEAR:
        looks = "looks like millimetres read as metres" if farthest > FAR else "looks like metres read as millimetres, or a front that never started"
        raise RangeError(f"distances: the farthest front is at {farthest:g} m; that {looks}. Check the unit of the log.")
    return distance, time


def require_forwards(time, what):
    """RangeError unless these are three times or more, in order and not all one."""
    if time.size < LEAST:
        raise RangeError(f"{time.size} readings {what} are too few for a line with its error; give at least {LEAST}.")
    back = np.flatnonzero(np.diff(time) < 0)
    if back.size:
        at = back[0] + 1
        raise RangeError(f"times run backwards: reading {at + 1} is at {time[at]:g} s, after one at {time[at - 1]:g} s; put the readings in order.")
    if np.ptp(time) == 0:
        raise RangeError(f"all readings are at one time ({time[0]:g} s); read {what.removeprefix('of ')} at several times.")


def straight_line(time, value, what="the front"):
    """Least-squares line that must rise."""
    line = linregress(time, value)
    if line.slope <= 0:
        raise RangeError(f"{what} does not advance in these readings; check that both lists are in the same order.")
    return line
