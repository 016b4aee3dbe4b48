"""Where the lines lie: edge-in against centre-out, a second line, an oval front, and how far one dares to run before gel."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked, checked_fields
from .ageing import clock_time, fresh_time
from .darcy import FABRIC, fill_time_linear, fill_time_perimeter, fill_time_radial, front_position_linear


@checked_fields(middle_line="s > 0", both_edges="s > 0", middle_point="s > 0", round_edge="s > 0")
class FeedComparison:
    """Fill times of the same run fed from the middle outwards and from the edge inwards.

    middle_line, both_edges  a long strip of twice the run; middle_point, round_edge  a disc of that radius
    """

    middle_line: object
    both_edges: object
    middle_point: object
    round_edge: object

    @property
    def words(self) -> str:
        """What the four times say."""
        ratio = self.si.middle_point / self.si.round_edge
        return ("In a long strip it makes no difference: each front runs the same way through the same section. "
                f"In a round part the edge is {ratio:.1f} times as fast as a point in the middle, since all resin has to pass the narrow ring "
                "round the point: feed by a line, not by a point. Edge-in closes on the middle, so the vent must be there.")


@checked(distance="m > 0", inlet_radius="m > 0", **FABRIC)
def compare_feeds(distance, inlet_radius, permeability, porosity, viscosity, pressure):
    """Edge-in against centre-out for one run: a long strip and a disc.

    distance  [m]  run from feed to the last spot: half the width of the strip, radius of the disc
    inlet_radius  [m]  radius of the point feed in the middle of the disc
    permeability  [m^2]  in-plane permeability, equal in all directions
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns FeedComparison.
    Raises UnitError; RangeError also for an inlet wider than a third of the run.
    Relation: strip t = phi mu L^2/(2 K P) both ways; disc out over in = 2 ln(R/r0) - 1 for a small inlet
    Source: FL-R01 (read), FL-R04 (from memory), FL-R05 (own reference).
    """
    if np.any(np.asarray(distance) < 3 * inlet_radius):
        raise RangeError(f"the inlet ({np.max(inlet_radius):g} m) is too wide for a run of {np.min(distance):g} m to be called a point; use three times its radius or more.")
    fabric = (permeability, porosity, viscosity, pressure)
    line = fill_time_linear.si(distance, *fabric)
    return FeedComparison.from_si(middle_line=line, both_edges=line, middle_point=fill_time_radial.si(distance, inlet_radius, *fabric),
                                  round_edge=fill_time_perimeter.si(distance, 0.0, *fabric))


@checked(distance="m >= 0", distance_across="m >= 0", inlet_radius="m > 0", permeability_across="m^2 > 0", **FABRIC, returns="s")
def fill_time_oval(distance, distance_across, inlet_radius, permeability, permeability_across, porosity, viscosity, pressure):
    """Time for the oval front about a round inlet in an anisotropic stack to reach a point.

    distance  [m]  of the point from the inlet along the greater permeability, scalar or array
    distance_across  [m]  of the point from the inlet square to it
    inlet_radius  [m]  radius of the inlet
    permeability  [m^2]  in-plane permeability along
    permeability_across  [m^2]  in-plane permeability across
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError; RangeError also for a point inside the inlet.
    Relation: radial form with R^2 = x^2 sqrt(K2/K1) + y^2 sqrt(K1/K2), K = sqrt(K1 K2), r0 times the mean of (K2/K1)^(1/4) and its inverse
    Valid: 1 % (F-12); away from the inlet the front is an oval of aspect sqrt(K1/K2).
    Source: FL-R17 (from memory), F-12 (own reference).
    """
    squeeze = (permeability_across / permeability) ** 0.25
    radius = np.hypot(distance * squeeze, distance_across / squeeze)
    inlet = inlet_radius * (squeeze + 1 / squeeze) / 2
    if np.any(radius < inlet):
        raise RangeError(f"the point ({np.min(distance):g} m along, {np.min(distance_across):g} m across) lies in the inlet or too near it for this form.")
    return fill_time_radial.si(radius, inlet, np.sqrt(permeability * permeability_across), porosity, viscosity, pressure)


# --- a second line -----------------------------------------------------------------------------------

@checked(distance="m >= 0", second_line="m > 0", opens="s >= 0", **FABRIC, returns="s")
def fill_time_second_line(distance, second_line, opens, permeability, porosity, viscosity, pressure):
    """Time at which a straight front reaches a distance beyond a second line that is opened later.

    distance  [m]  from the first line, at or beyond the second, scalar or array
    second_line  [m]  distance of the second line from the first
    opens  [s]  time at which it is opened
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s]; before the opening that of the first line alone.
    Raises UnitError; RangeError also for a distance short of the second line.
    Relation: (X - b)^2 = (X1 - b)^2 + 2 K P (t - t1)/(phi mu), X1 where the front stood, or b if it was not yet there
    Source: own reference of the field solver's checks.
    """
    if np.any(np.asarray(distance) < second_line):
        raise RangeError(f"distance {np.min(distance):g} m is short of the second line at {np.max(second_line):g} m; between the lines ask gap_closes.")
    fabric = (permeability, porosity, viscosity, pressure)
    stood = np.maximum(front_position_linear.si(opens, *fabric) - second_line, 0.0)
    alone = fill_time_linear.si(distance, *fabric)
    ahead = np.maximum((distance - second_line) ** 2 - stood**2, 0.0)
    return np.where(alone <= opens, alone, opens + fill_time_linear.si(np.sqrt(ahead), *fabric))


@checked(second_line="m > 0", opens="s >= 0", **FABRIC, returns=("s", "m"))
def gap_closes(second_line, opens, permeability, porosity, viscosity, pressure):
    """When and where the fronts of two lines meet, the second opened before the first front has come to it.

    second_line  [m]  distance of the second line from the first
    opens  [s]  time at which it is opened; 0 for both at once
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s] and distance [m] of the meeting from the first line. Air left there has no way out: put a vent there.
    Raises UnitError; RangeError also where the first front was there before.
    Relation: sqrt(X1^2 + q) + sqrt(q) = b, q = 2 K P (t - t1)/(phi mu), so sqrt(q) = (b^2 - X1^2)/(2 b)
    Source: own reference of the field solver's checks.
    """
    fabric = (permeability, porosity, viscosity, pressure)
    stood = front_position_linear.si(opens, *fabric)
    if np.any(stood >= second_line):
        raise RangeError(f"when the second line opens, the first front has run {np.max(stood):.3g} m and passed it; no gap is left to close.")
    back = (second_line**2 - stood**2) / (2 * second_line)
    return opens + fill_time_linear.si(back, *fabric), second_line - back


# --- how far before gel --------------------------------------------------------------------------------

GEL = dict(gel_time="s > 0", doubling_time="s > 0")


@checked(gel_share="1 in 0.01..1", **FABRIC, **GEL, returns="m")
def longest_distance(gel_time, gel_share, permeability, porosity, viscosity, pressure, doubling_time=None):
    """Longest run from a line that fills before a chosen share of the gel time is over.

    gel_time  [s]  time after which the resin flows no more, counted from when it enters
    gel_share  [1]  share of it that the fill may use, scalar or array; half is a usual habit (common practice, no source)
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity when the resin enters
    pressure  [Pa]  driving pressure, inlet less vent
    doubling_time  [s]  time in which the viscosity doubles; left out: it does not rise before gel
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: x = sqrt(2 K P tau/(phi mu)), tau the fresh time of gel_share times gel_time
    Source: FL-R01 (read), FL-R16 (own reference).
    """
    time = gel_share * gel_time
    return front_position_linear.si(time if doubling_time is None else fresh_time.si(time, doubling_time), permeability, porosity, viscosity, pressure)


@checked(distance="m >= 0", **FABRIC, **GEL, returns="1")
def gel_share_used(distance, gel_time, permeability, porosity, viscosity, pressure, doubling_time=None):
    """Share of the gel time that a run from a line uses up; the inverse of longest_distance. Above 1 it gels on the way.

    distance  [m]  how far the front has to run, scalar or array
    gel_time  [s]  time after which the resin flows no more, counted from when it enters
    permeability  [m^2]  in-plane permeability of the stack
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity when the resin enters
    pressure  [Pa]  driving pressure, inlet less vent
    doubling_time  [s]  time in which the viscosity doubles; left out: it does not rise before gel
    Returns share [1].
    Raises UnitError; RangeError also beyond the farthest reach.
    Relation: clock time of phi mu L^2/(2 K P) over the gel time
    Source: FL-R01 (read), FL-R16 (own reference).
    """
    fresh = fill_time_linear.si(distance, permeability, porosity, viscosity, pressure)
    return (fresh if doubling_time is None else clock_time.si(fresh, doubling_time)) / gel_time
