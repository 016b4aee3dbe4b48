"""Where the feed and vent lines lie on the part laid flat, and which way the resin runs between them.

The part is laid flat as in ``shape.laid_flat``. Resin runs straight from feed to vent; every run is cut into the zones
it crosses.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace

import numpy as np
import shapely

from ..errors import RangeError
from ..shape.laid_flat import laid_flat

RUNS = 11      # evenly spaced runs, each standing for a strip of the part; corners of the outline get one more each
CORNERS = 40   # most corners looked at
LATE = 0.15    # of the part's length: a run along the part that starts later than this is not fed by the line at the end
LAYOUTS = ("centre line", "rim to centre", "side to side", "end to end", "rungs")


@dataclass(frozen=True)
class Run:
    """One straight way from feed to vent.

    legs    zones crossed with the length in each, in flow order [m]
    place   where it lies across the flow [m]
    strip   width of part it stands for [m], nought for a run that only looks at a corner
    at      places along the flow at the ends of the pieces, in flow order, shape (pieces, 2) [m]
    frame   (x, y, step x, step y) of a slanting run: where ``at`` starts to count, and which way; None along an axis
    """

    legs: tuple[tuple[str, float], ...]
    place: float
    strip: float
    at: tuple[tuple[float, float], ...]
    frame: tuple[float, float, float, float] | None = None

    @property
    def distance(self) -> float:
        return sum(length for _, length in self.legs)

    def wetted(self, distance) -> list[tuple[float, float]]:
        """The pieces (from, to) along the flow that lie behind a front at this distance [m]."""
        pieces = []
        for (_, length), (start, end) in zip(self.legs, self.at, strict=True):
            part = min(max(distance, 0.0), length)
            if part > 0:
                pieces.append((start, start + (end - start) * part / length))
            distance -= length
        return pieces

    def boxes(self, distance, direction) -> list[np.ndarray]:
        """The wetted strips as rectangles (4, 2) on the part laid flat [m], twice as wide as the strip so that no sliver stays dry between two."""
        found, half = [], self.strip
        for a, b in self.wetted(distance) if self.strip else ():
            box = np.array([[a, -half], [b, -half], [b, half], [a, half]])
            if self.frame is not None:
                x, y, along, across = self.frame
                found.append(box @ np.array([[along, across], [-across, along]]) + np.array([x, y]))
            else:
                box = box + np.array([0.0, self.place])
                found.append(box if direction == "along" else box[:, ::-1])
        return found


@dataclass(frozen=True, eq=False)
class FeedMap:
    """The part laid flat with its lines.

    polygons   zone name -> shapely polygon, x along the long way [m]
    direction  "across" the long way or "along" it
    feeds      feed lines as arrays (n, 2) [m]; vents likewise
    runs       every run looked at
    """

    polygons: dict
    direction: str
    feeds: tuple
    vents: tuple
    runs: tuple[Run, ...]

    @property
    def feed_length(self) -> float:
        return sum(_length(line) for line in self.feeds)

    @property
    def vent_length(self) -> float:
        return sum(_length(line) for line in self.vents)


@functools.lru_cache(maxsize=64)
def feed_map(geometry, layout: str, rungs: int = 1) -> FeedMap:
    """Lines and runs of a layout on a shape. Raises RangeError for an unknown layout or no rungs."""
    if layout not in LAYOUTS:
        raise RangeError(f'the feed layout "{layout}" is not known; choose {", ".join(LAYOUTS)}.')
    if not isinstance(rungs, int) or rungs < 1:
        raise RangeError(f"rungs is {rungs!r}; give a whole number of at least 1.")
    polygons = laid_flat(geometry)
    whole = shapely.union_all(list(polygons.values()))
    x0, y0, x1, y1 = whole.bounds
    middle = (y0 + y1) / 2
    if layout == "centre line":
        feeds, vents = _along(whole, middle), _edges(whole, "y", (y0, y1))
        spans, direction = [(middle, y0), (middle, y1)], "across"
    elif layout == "rim to centre":
        feeds, vents = _rim(whole), _along(whole, middle)
        spans, direction = [(y0, middle), (y1, middle)], "across"
    elif layout == "side to side":
        feeds, vents = _edges(whole, "y", (y0,)), _edges(whole, "y", (y1,))
        spans, direction = [(y0, y1)], "across"
    else:
        cells = 1 if layout == "end to end" else 2 * rungs
        at = np.linspace(x0, x1, cells + 1)
        spans = [(x0, x1)] if cells == 1 else [(at[i], at[i + step]) for i in range(1, cells, 2) for step in (-1, 1)]
        feeds = _edges(whole, "x", (x0,)) if cells == 1 else tuple(line for x in at[1::2] for line in _across(whole, x))
        inner = at[2:-1:2] if cells > 1 else ()
        vents = _edges(whole, "x", (x1,) if cells == 1 else (x0, x1)) + tuple(line for x in inner for line in _across(whole, x))
        direction = "along"
    runs = tuple(run for span in spans for run in _runs(polygons, whole, span, direction))
    return FeedMap(polygons, direction, tuple(feeds), tuple(vents), runs)


# --- lines -----------------------------------------------------------------------------------

def _length(line):
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def _pieces(geometry):
    parts = getattr(geometry, "geoms", [geometry])
    return tuple(np.array(part.coords) for part in parts if part.geom_type == "LineString" and part.length > 1e-6)


def _along(whole, y):
    x0, _, x1, _ = whole.bounds
    return _pieces(shapely.intersection(whole, shapely.LineString([(x0, y), (x1, y)])))


def _across(whole, x):
    _, y0, _, y1 = whole.bounds
    return _pieces(shapely.intersection(whole, shapely.LineString([(x, y0), (x, y1)])))


def _rim(whole):
    return tuple(np.array(part.exterior.coords) for part in getattr(whole, "geoms", [whole]))


def _edges(whole, axis, at):
    """The edge of the part on the side of each place in ``at``: its last points as seen along the axis."""
    x0, y0, x1, y1 = whole.bounds
    lines = []
    for value in at:
        if axis == "y":
            places = _places(whole, "across", x0, x1)
            ends = [_across(whole, place) for place in places]
            pick = [np.concatenate(lines_there) for lines_there in ends if lines_there]
            lines.append(np.array([points[np.argmin(np.abs(points[:, 1] - value))] for points in pick]))
        else:
            places = _places(whole, "along", y0, y1)
            ends = [_along(whole, place) for place in places]
            pick = [np.concatenate(lines_there) for lines_there in ends if lines_there]
            found = np.array([points[np.argmin(np.abs(points[:, 0] - value))] for points in pick])
            lines.append(found[np.abs(found[:, 0] - value) <= LATE * (x1 - x0)])
    return tuple(line for line in lines if len(line) > 1)


# --- runs ------------------------------------------------------------------------------------

def _places(whole, direction, low, high):
    """Where to look: a hair inside both ends and beside every corner of the outline."""
    axis = 0 if direction == "across" else 1
    corners = np.unique(np.round(shapely.get_coordinates(whole)[:, axis], 6))
    corners = corners[:: max(1, len(corners) // CORNERS)]
    hair = 1e-4 * (high - low)
    return np.unique(np.clip(np.concatenate([corners - hair, corners + hair, [(low + high) / 2]]), low + hair, high - hair))


def _runs(polygons, whole, span, direction):
    """Evenly spaced runs, and beside the corners the one that reaches the end of each zone by the longest way."""
    x0, y0, x1, y1 = whole.bounds
    low, high = (x0, x1) if direction == "across" else (y0, y1)
    strip = (high - low) / RUNS
    even = [_fed(polygons, span, direction, place, strip, (low + high) / 2, x1 - x0) for place in low + strip * (np.arange(RUNS) + 0.5)]
    even = [run for run in even if run is not None]
    corner = [_run(polygons, span, direction, place, 0.0) for place in _places(whole, direction, low, high)]
    corner = [run for run in corner if run is not None and not _late(run, span, direction, x1 - x0)]
    extra = {}
    for name in polygons:
        longest = max((*even, *corner), key=lambda run: _distance_to_end(run, name))
        if longest.strip == 0.0:
            extra[longest.place] = longest
    return (*even, *extra.values())


def _late(run, span, direction, length):
    return direction == "along" and abs(run.at[0][0] - span[0]) > LATE * length


def _fed(polygons, span, direction, place, strip, middle, length):
    """The run at a place; where the part bulges out past its line, the resin comes from the outermost run that is fed."""
    for inwards in np.linspace(0, 0.95, 20):
        run = _run(polygons, span, direction, place + inwards * (middle - place), strip)
        if run is not None and not _late(run, span, direction, length):
            return replace(run, place=float(place))
        if direction == "across":
            return None
    return None


def _distance_to_end(run, name):
    distance = found = 0.0
    for zone, length in run.legs:
        distance += length
        found = distance if zone == name else found
    return found


def _run(polygons, span, direction, place, width):
    ends = [(place, span[0]), (place, span[1])] if direction == "across" else [(span[0], place), (span[1], place)]
    place, line = float(place), shapely.LineString(ends)
    pieces = []
    for name, polygon in polygons.items():
        for points in _pieces(shapely.intersection(polygon, line)):
            there = points[:, 1 if direction == "across" else 0]
            a, b = sorted((there[0], there[-1]), key=lambda value: abs(value - span[0]))
            pieces.append((abs(a - span[0]), name, float(a), float(b)))
    if not pieces:
        return None
    pieces.sort()
    legs = tuple((name, abs(b - a)) for _, name, a, b in pieces)
    return Run(legs, place, width, tuple((a, b) for _, _, a, b in pieces))
