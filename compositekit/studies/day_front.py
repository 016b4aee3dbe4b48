"""The front on the day: readings over the prediction, and when the part will be full at the speed that is seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..infusion.ageing import clock_or_never, fresh_time
from ..units import Q_, say

LEAST = 2          # readings that show a speed and whether it holds


@dataclass(frozen=True, eq=False)
class FrontWatch:
    """Readings, and the prediction bent to them; SI floats and arrays, times on the clock since the clamp was opened.

    way               the slowest run, and which skin is seen under the bag; run its length [m]
    hidden            the skin that is full last where that is not the one seen, else empty
    times, distances  the readings; empty before the first
    ease              how many times as easily the front runs as calculated; 1 without readings
    scatter           greatest miss of a reading from the bent curve [m]
    finish, planned   clock time until the last skin is at the vent, infinite where the resin gels first [s]
    curve, bent       distances [m] and clock times [s] of the skin seen, to the vent or to the gel: as calculated, and as it runs
    last              the same of the last skin as it runs
    """

    way: str
    hidden: str
    run: float
    times: np.ndarray
    distances: np.ndarray
    ease: float
    scatter: float
    finish: float
    planned: float
    curve: tuple[np.ndarray, np.ndarray]
    bent: tuple[np.ndarray, np.ndarray]
    last: tuple[np.ndarray, np.ndarray]

    @property
    def seen(self) -> bool:
        return self.times.size > 0

    @property
    def words(self) -> str:
        """What the readings say of the finish."""
        last = f" The {self.hidden} fills last, and nobody sees it: count on it, and not on the front under the bag." if self.hidden else ""
        if not self.seen:
            return f"No readings yet. Watch the front on the slowest way ({self.way}, {self.run:.2f} m from the feed line): {_when(self.planned)}.{last}"
        return (f"{self.times.size} readings on {self.way}: the front runs {self.ease:.2g} times as easily as calculated, so {_when(self.finish)} "
                f"(calculated before: {_when(self.planned)}); the readings lie within {1e3 * self.scatter:.0f} mm of the curve.{last}")


def watch_front(flow, readings=None) -> FrontWatch:
    """The slowest run of the flow study, bent to readings (a FrontLog) of the skin under the bag, from the feed line.

    The time of every reading, less what the hose takes, stands in one ratio to the calculated time to the same place:
    that ratio is found by least squares, and holds for the hidden skin too. Raises RangeError for readings that no
    front could give.
    """
    doubling, gel = flow.doubling_time.m_as("s"), flow.gel_time.m_as("s")
    under_bag, slowest = flow.slowest.skins[-1], flow.slowest.reach
    slowest = under_bag if slowest.time <= under_bag.time * 1.001 else slowest     # alike: look at the one that can be seen
    distances, own, delay = _parts(under_bag, flow)
    slower, times, seen = 1.0, np.array([]), np.array([])
    if readings is not None:
        times, seen = readings.times.m_as("s"), readings.distances.m_as("m")
        slower = _slower(times, seen, distances, own, delay, doubling, gel)
    curve, bent = (_until_gel(distances, delay + factor * own, doubling, gel) for factor in (1.0, slower))
    last_distances, last_own, last_delay = _parts(slowest, flow)
    planned, last = (_until_gel(last_distances, last_delay + factor * last_own, doubling, gel) for factor in (1.0, slower))
    finish, before = (float(clock[-1]) if way[-1] == last_distances[-1] else float("inf") for way, clock in (last, planned))
    on_curve = np.interp(np.sqrt(times), np.sqrt(bent[1]), bent[0]) if seen.size else seen
    way = f"{' > '.join(zone for zone, _ in flow.slowest.run.legs)}, {under_bag.words}"
    return FrontWatch(way, "" if slowest is under_bag else slowest.words, float(distances[-1]), times, seen, 1 / slower,
                      float(np.max(np.abs(seen - on_curve), initial=0.0)), finish, before, curve, bent, last)


def _parts(reach, flow):
    """Distances to the vent, fresh time the stack takes to each, and the hose's share on top."""
    upto = slice(0, reach.vent + 1)
    delay = flow.hose_delay.m_as("s") * reach.stored[upto] / reach.stored[reach.vent]
    return reach.distances[upto], np.maximum(reach.times[upto] - delay, 0.0), delay


def _until_gel(distances, fresh, doubling, gel):
    """Distances and clock times up to the vent, or up to where the front stands when the resin gels."""
    clock = clock_or_never(fresh, doubling)
    runs = clock <= gel
    if runs.all():
        return distances, clock
    stuck = np.interp(np.sqrt(fresh_time.si(gel, doubling)), np.sqrt(fresh), distances)
    return np.append(distances[runs], stuck), np.append(clock[runs], gel)


def _slower(times, seen, distances, own, delay, doubling, gel):
    """How many times as long as calculated the front takes."""
    if len(times) < LEAST:
        raise RangeError(f"{len(times)} reading of the front; at least {LEAST} are needed to see a speed.")
    if seen[-1] > distances[-1]:
        raise RangeError(f"the front is said to stand at {seen[-1] * 1e3:.0f} mm, but the slowest way is {distances[-1] * 1e3:.0f} mm long; "
                         "measure along that way, from the feed line.")
    if not np.any(seen > 0):
        raise RangeError("the front has not moved in these readings; check hose, clamp and vacuum before anything else.")
    if times[-1] > gel:
        raise RangeError(f"a reading at {times[-1] / 60:.0f} min is later than the gel time, {gel / 60:.0f} min; nothing runs any more then.")
    calculated, hose = np.interp(seen, distances, np.sqrt(own)) ** 2, np.interp(seen, distances, delay)
    taken = fresh_time.si(times, doubling) - hose
    slower = float(taken @ calculated / (calculated @ calculated))
    if slower <= 0:
        raise RangeError("the front is ahead of what the hose alone lets through; check the clock and where you measure from.")
    return slower


def _when(seconds):
    if not np.isfinite(seconds):
        return "the resin gels before it is at the vent"
    return f"the vent is reached after {say(Q_(seconds / 60, 'min'))}"
