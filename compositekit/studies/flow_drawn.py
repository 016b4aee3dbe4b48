"""Feed and vent lines as they are drawn on the part laid flat: read, checked, moved, and the straight runs between them."""

from __future__ import annotations

import functools

import numpy as np
import shapely

from ..errors import PartFileError
from ..shape.laid_flat import laid_flat
from .flow_paths import FeedMap, Run, feed_map

DRAWN = "drawn"
ON_PART = 5e-3     # m: a point this far off the outline still counts as on it (own judgement)
SHORTEST = 0.02    # m of line (own judgement)
APART = 0.03       # m between a feed and a vent: nearer than this, resin runs straight across (own judgement)
TRIM = 0.05        # m: where a layout's vent meets its feed, the vent ends this much short of it (own judgement, as for flow mesh)
SIMPLER = 2e-3     # m: corners of a layout's line that stray less than this are left out of the drawn line
CELLS = 600        # places looked at for the nearest feed
VENT_STEP = 0.1    # m between the places of a vent that a run goes to


def feed_plan(part) -> FeedMap:
    """Lines and straight runs of the part's own feed plan. Raises PartFileError, RangeError."""
    feed = part.feed
    if feed.layout != DRAWN:
        return feed_map(part.geometry, feed.layout, feed.rungs)
    return drawn_map(part.geometry, tuple((line.kind, tuple(map(tuple, line.points))) for line in feed.lines))


def lines_of(plan: FeedMap, part=None) -> list[dict]:
    """The lines of a plan as the part file keeps drawn ones: kind, points [m], opens and closes where given; feeds first.

    Vents are cut back where they meet a feed.
    """
    if part is not None and part.feed.layout == DRAWN:
        return [line.model_dump(mode="json", exclude_none=True) for line in sorted(part.feed.lines, key=lambda line: line.kind)]
    feeds = [shapely.LineString(points) for points in plan.feeds]
    near = shapely.union_all(feeds).buffer(TRIM)
    vents = [piece for points in plan.vents for piece in _lines(shapely.difference(shapely.LineString(points), near)) if piece.length > SHORTEST]
    return [{"kind": kind, "points": np.round(line.simplify(SIMPLER).coords, 5).tolist()} for kind, found in (("feed", feeds), ("vent", vents)) for line in found]


def line_names(lines) -> list[str]:
    """What the lines of a list are called: feed 1, feed 2, vent 1."""
    count, names = {}, []
    for line in lines:
        count[line["kind"]] = count.get(line["kind"], 0) + 1
        names.append(f"{line['kind']} {count[line['kind']]}")
    return names


def moved(line, along, across, geometry) -> dict:
    """A drawn line moved along and across the part [m]; what would leave the part stops at its edge."""
    whole = _whole(geometry)
    places = [shapely.Point(x + along, y + across) for x, y in line["points"]]
    kept = [place if whole.covers(place) else shapely.shortest_line(whole, place).interpolate(0) for place in places]
    points = [[round(place.x, 5), round(place.y, 5)] for place in kept]
    return line | {"points": [point for point, before in zip(points, [None, *points], strict=False) if point != before]}


@functools.lru_cache(maxsize=64)
def drawn_map(geometry, lines) -> FeedMap:
    """Lines and runs of lines drawn by hand: from the nearest feed straight to the vents and to the farthest place of each zone.

    lines  ((kind, ((x, y), ...)), ...) [m] on the part laid flat
    Raises PartFileError for a line that is too short, off the part, or a vent that touches a feed.
    """
    polygons, whole = laid_flat(geometry), _whole(geometry)
    drawn = [_checked_line(number, kind, points, whole) for number, (kind, points) in enumerate(lines)]
    feeds = [(n, line) for n, (line, (kind, _)) in enumerate(zip(drawn, lines, strict=True)) if kind == "feed"]
    vents = [(n, line) for n, (line, (kind, _)) in enumerate(zip(drawn, lines, strict=True)) if kind == "vent"]
    if not feeds or not vents:
        raise PartFileError(f"feed.lines: there must be at least one feed and one vent; there are {len(feeds)} and {len(vents)}.")
    for m, vent in vents:
        for n, feed in feeds:
            if vent.distance(feed) < APART:
                at = shapely.shortest_line(vent, feed).interpolate(0)
                raise PartFileError(f"feed.lines[{m}] (vent) comes within {1e3 * vent.distance(feed):.0f} mm of feed.lines[{n}] (feed) at ({at.x:.3f}, {at.y:.3f}) m: "
                                    f"resin would run straight into the vent. Keep them at least {1e3 * APART:.0f} mm apart.")
    feed, vent = (shapely.union_all([line for _, line in found]) for found in (feeds, vents))
    ends = _places(whole, polygons, feed, vent)
    straight = [_straight(polygons, feed, end) for end in ends]
    straight = [run for run in straight if run is not None]
    rise = sum(abs(frame[3]) * sum(length for _, length in legs) for legs, _, frame in straight)
    reach = sum(sum(length for _, length in legs) for legs, _, _ in straight)
    strip = whole.area / reach        # runs stand for equal widths, together for the whole area
    runs = tuple(Run(legs, float(n), strip, at, frame) for n, (legs, at, frame) in enumerate(straight))
    return FeedMap(polygons, "across" if rise > 0.7 * reach else "along", tuple(np.array(line.coords) for _, line in feeds),
                   tuple(np.array(line.coords) for _, line in vents), runs)


@functools.lru_cache(maxsize=16)
def _whole(geometry):
    whole = shapely.union_all(list(laid_flat(geometry).values()))
    shapely.prepare(whole)
    return whole


def _lines(geometry):
    return [line for line in getattr(geometry, "geoms", [geometry]) if line.geom_type == "LineString" and not line.is_empty]


def _checked_line(number, kind, points, whole):
    where = f"feed.lines[{number}] ({kind})"
    if not np.all(np.isfinite(points)):
        raise PartFileError(f"{where}: every point must be two numbers, in metres on the part laid flat.")
    x0, y0, x1, y1 = whole.bounds
    for n, (x, y) in enumerate(points, 1):
        off = whole.distance(shapely.Point(x, y))
        if off > ON_PART:
            raise PartFileError(f"{where}: point {n} ({x:g}, {y:g}) m lies {off:.3g} m off the part, which laid flat reaches from ({x0:.2f}, {y0:.2f}) to "
                                f"({x1:.2f}, {y1:.2f}) m; move it on to the part (metres, not millimetres).")
    line = shapely.LineString(points)
    if line.length < SHORTEST:
        raise PartFileError(f"{where} is {1e3 * line.length:.0f} mm long; a line needs at least {1e3 * SHORTEST:.0f} mm, so draw its other end.")
    return line


def _places(whole, polygons, feed, vent):
    """Where runs go: along the vents, and to the place of each zone farthest from every feed."""
    found = [vent.interpolate(share, normalized=True) for share in np.linspace(0, 1, max(2, int(vent.length / VENT_STEP)))] if vent.geom_type == "LineString" else [
        line.interpolate(share, normalized=True) for line in vent.geoms for share in np.linspace(0, 1, max(2, int(line.length / VENT_STEP)))]
    x0, y0, x1, y1 = whole.bounds
    step = np.sqrt(whole.area / CELLS)
    grid = shapely.points(*np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))).ravel()
    for polygon in polygons.values():
        inside = grid[shapely.contains(polygon, grid)]
        candidates = np.concatenate([inside, shapely.points(shapely.get_coordinates(polygon))])
        found.append(candidates[np.argmax(shapely.distance(candidates, feed))])
    return found


def _straight(polygons, feed, end):
    """Legs, places and frame of the straight way from the nearest feed to a place; None where it is on the feed."""
    way = shapely.shortest_line(feed, end)
    if way.length < ON_PART:
        return None
    (x, y), (u, v) = np.array(way.coords)
    step = np.array([u - x, v - y]) / way.length
    pieces = []
    for name, polygon in polygons.items():
        for line in _lines(shapely.intersection(polygon, way)):
            a, b = sorted((np.array(line.coords)[[0, -1]] - (x, y)) @ step)
            if b - a > 1e-6:
                pieces.append((float(a), float(b), name))
    pieces.sort()
    legs = tuple((name, b - a) for a, b, name in pieces)
    return (legs, tuple((a, b) for a, b, _ in pieces), (float(x), float(y), float(step[0]), float(step[1]))) if legs else None
