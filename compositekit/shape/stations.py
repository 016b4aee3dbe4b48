"""Hulls from a table of offsets: half-breadths and heights of a few lines at stations, mirrored about y = 0."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from ..errors import RangeError, ShapeError
from ..units import Q_, checked
from . import loft
from .reading import by_name, listed, metres, refuse_millimetres
from .zone import find_zone, make_zone

LONGEST = 500.0  # m
FLAT_SHARE = 1 / 50  # a strip within this share of its width of one plane counts as one flat panel


class HullShape:
    """A hull lofted straight between stations.

    stations  list of (x, {line: (y, z)}) in metres (floats or quantities), x rising; y is the half-breadth
    lines     line names from the centreline up, e.g. ["keel", "chine", "gunwale"]; the first has y = 0
    zones     name -> (line_a, line_b), the skin between two lines; without it one zone "hull"
    ends      True adds the flat transoms as zone "ends"; an end with no breadth is pointed and has none
    Raises ShapeError for stations out of order, missing or unreadable offsets and overlapping zones.
    ``x`` (stations,) and ``offsets`` (stations, lines, 2) hold the table in SI for the kernels.
    """

    def __init__(self, stations, lines, zones=None, ends=True):
        self.lines = listed(lines, "lines")
        named = all(isinstance(line, str) for line in self.lines)
        if not named or len(self.lines) < 2 or len(set(self.lines)) < len(self.lines):
            raise ShapeError(f"lines are {self.lines}; name at least two different ones, from the keel up.")
        self.x, self.offsets = _table(stations, self.lines)
        self.with_ends = bool(ends)
        zones = {"hull": (self.lines[0], self.lines[-1])} if zones is None else zones
        self.spans = _spans(zones, self.lines, self.with_ends)
        self._points = loft.points_3d(self.x, self.offsets)
        self._areas, self._moments = loft.patch_areas(self._points)
        found = {name: self._zone(name, *span) for name, span in self.spans.items()}
        if self.with_ends and (end_zone := self._end_zone()):
            found["ends"] = end_zone
        self.zones = MappingProxyType(found)

    @property
    def length(self):
        """Length [m] from the first station to the last."""
        return Q_(self.x[-1] - self.x[0], "m")

    @property
    def beam(self):
        """Greatest breadth [m], both sides."""
        return Q_(2 * self.offsets[..., 0].max(), "m")

    @property
    def depth(self):
        """Height [m] from the lowest point to the highest point of the last line."""
        return Q_(self.offsets[:, -1, 1].max() - self.lowest, "m")

    @property
    def lowest(self):
        """Height z of the lowest point, SI float: heights in flotation count from here."""
        return float(self.offsets[..., 1].min())

    @property
    def volume(self):
        """Volume [m^3] enclosed up to the last line."""
        return Q_(loft.enclosed_volume(self.x, self.offsets), "m^3")

    @property
    def area(self):
        """Area [m^2] of all zones together."""
        return Q_(sum(zone.si.area for zone in self.zones.values()), "m^2")

    @property
    def centre(self):
        """Centre of area [m] x, y, z of all zones together; the centre of mass of an even shell."""
        total = sum(zone.si.area * zone.si.centre for zone in self.zones.values())
        return Q_(total / self.area.magnitude, "m")

    @checked(x="m", returns="m")
    def girth(self, x):
        """Length round the section from gunwale to gunwale.

        x  [m]  place along the hull, between the first station and the last
        Returns [m]. Raises RangeError outside the hull.
        """
        return 2 * loft.polyline_length(self._section(x), axis=1)[0]

    @checked(x="m", returns="m")
    def section(self, x):
        """Section polygon [[y, z], ...] at a place along the hull, from port gunwale down and up to starboard.

        x  [m]  place along the hull, between the first station and the last
        Returns [m], shape (2 lines - 1, 2). Raises RangeError outside the hull.
        """
        half = self._section(x)[0]
        return np.concatenate([half[:0:-1] * [-1.0, 1.0], half])

    def triangles(self, per_interval=4):
        """Triangle mesh for a picture: vertices (n, 3) in metres, faces (m, 3), zone name of each face.

        per_interval  strips between two stations, at least 1. Faces outside every zone are named "".
        """
        if not isinstance(per_interval, int) or per_interval < 1:
            raise RangeError(f"per_interval is {per_interval!r}; give a whole number of at least 1.")
        vertices, faces, strips = loft.triangulate(self.x, self.offsets, per_interval, self.with_ends)
        names = np.full(len(self.lines), "", dtype=object)  # the last entry, index -1, serves the ends
        for name, (a, b) in self.spans.items():
            names[a:b] = name
        names[-1] = "ends"
        return vertices, faces, names[strips]

    def longest_flat_panel(self, zone):
        """Length and width [m] of the longest panel in a zone that stays within 1/50 of its width of one plane.

        zone  a zone between lines. A strip at the keel is joined with its mirror image where both are one plane.
        """
        find_zone(self.zones, zone)
        if zone == "ends" and zone not in self.spans:
            return self.zones[zone].length, self.zones[zone].width
        found = [self._flat_panel(strip) for strip in range(*self.spans[zone])]
        return tuple(Q_(side, "m") for side in max(found))

    def _flat_panel(self, strip):
        edges = self._points[:, strip:strip + 2]
        width = loft.polyline_length(edges, axis=1)
        first, last = loft.longest_flat_run(edges, FLAT_SHARE * width.max())
        if strip == 0:  # flat through the keel: both halves are one panel
            whole = np.concatenate([edges, loft.mirrored(edges[:, 1:])], axis=1)
            a, b = loft.longest_flat_run(whole, 2 * FLAT_SHARE * width.max())
            if loft.flatness(whole[a:b + 1].reshape(-1, 3)) <= 2 * FLAT_SHARE * width.max():
                edges, width, first, last = whole, 2 * width, a, b
        middle = edges[first:last + 1].mean(1)
        return float(loft.polyline_length(middle, axis=0)), float(width[first:last + 1].mean())

    def _section(self, x):
        if np.ndim(x) or not self.x[0] <= x <= self.x[-1]:
            raise RangeError(f"x is {x} m, but the hull runs from {self.x[0]:g} to {self.x[-1]:g} m; "
                             "give one place on it.")
        return loft.section_at(self.x, self.offsets, x)

    def _zone(self, name, a, b):
        patch = self._areas[:, a:b]
        area = 2 * patch.sum()
        centre = 2 * self._moments[:, a:b].sum((0, 1)) / area if area > 0 else None
        if centre is None:
            raise ShapeError(f'zone "{name}" has no area; its two lines lie on each other at every station.')
        centre[1] = 0.0
        pieces = 1 if a == 0 else 2  # halves that meet at the keel are one piece
        along = loft.polyline_length(self._points[:, a:b + 1], axis=0)
        girth = loft.polyline_length(self.offsets[:, a:b + 1], axis=1)
        edges = 2 * (along[-1] + girth[0] + girth[-1]) + (2 * along[0] if a else 0.0)
        length = along.mean()
        return make_zone(name, area, edges, (length, area / pieces / length), centre, girth.max() * 2 / pieces, pieces)

    def _end_zone(self):
        both = self.offsets[[0, -1]]
        area, moment = loft.section_moments(both)
        there = area > 1e-9
        if not there.any():
            return None
        area, moment, both, x = area[there], moment[there], both[there], self.x[[0, -1]][there]
        edges = (2 * loft.polyline_length(both, axis=1) + 2 * both[:, -1, 0]).sum()
        beam, deep = 2 * both[..., 0].max(), np.ptp(both[..., 1], axis=1).max()
        centre = np.array([area @ x, 0.0, moment.sum()]) / area.sum()
        mean_width = area.mean() / max(beam, deep)
        return make_zone("ends", area.sum(), edges, (max(beam, deep), mean_width), centre, min(beam, deep), len(area))


def _table(stations, lines):
    stations = listed(stations, "stations")
    if len(stations) < 2:
        raise ShapeError(f"a hull needs at least 2 stations; {len(stations)} came.")
    x, offsets = [], []
    for number, station in enumerate(stations, start=1):
        try:
            place, row = station
            row = dict(row)
        except (TypeError, ValueError):
            raise ShapeError(f"station {number} must be (x, {{line: (y, z)}}), but is {str(station)[:60]}.") from None
        x.append(_number(place, f"x of station {number}"))
        if missing := [line for line in lines if line not in row]:
            raise ShapeError(f'station {number} (x = {x[-1]:g} m) has no point on line "{missing[0]}"; '
                             "measure it there.")
        if extra := [line for line in row if line not in lines]:
            raise ShapeError(f'station {number} (x = {x[-1]:g} m) names line "{extra[0]}"; '
                             f"the lines are {', '.join(lines)}.")
        offsets.append([_point(row[line], f'station {number} (x = {x[-1]:g} m), line "{line}"') for line in lines])
    x, offsets = np.array(x), np.array(offsets)
    _refuse_order(x)
    _refuse_offsets(x, offsets, lines)
    return x, offsets


def _number(value, where):
    array = metres(value, where)
    if array.ndim:
        raise ShapeError(f"{where} must be one number in metres.")
    return float(array)


def _point(value, where):
    array = metres(value, where)
    if array.shape != (2,):
        raise ShapeError(f"{where} must be two numbers: half-breadth y and height z.")
    return array


def _refuse_order(x):
    for i in np.flatnonzero(np.diff(x) <= 0):
        fault = "both stand at" if x[i] == x[i + 1] else "are out of order:"
        raise ShapeError(f"stations {i + 1} and {i + 2} {fault} x = {x[i]:g} m and x = {x[i + 1]:g} m; "
                         "list each place once, x rising.")
    refuse_millimetres(x[-1] - x[0], "the length", LONGEST)


def _refuse_offsets(x, offsets, lines):
    for i, j in np.argwhere(offsets[..., 0] < 0):
        raise ShapeError(f'station {i + 1} (x = {x[i]:g} m), line "{lines[j]}": half-breadth is '
                         f"{offsets[i, j, 0]:g} m; measure outwards from the centreline, 0 or more.")
    for i in np.flatnonzero(offsets[:, 0, 0] > 0):
        raise ShapeError(f'station {i + 1} (x = {x[i]:g} m): the first line "{lines[0]}" has half-breadth '
                         f"{offsets[i, 0, 0]:g} m; it must lie on the centreline, y = 0. Add a centreline as first line.")
    refuse_millimetres(2 * offsets[..., 0].max(), "the beam")
    refuse_millimetres(np.ptp(offsets[..., 1]), "the depth")
    if offsets[..., 0].max() <= 0:
        raise ShapeError("every half-breadth is nought; the hull has no breadth.")


def _spans(zones, lines, with_ends):
    zones = by_name(zones, "zones")
    if not zones:
        raise ShapeError("a hull needs at least one zone between two lines.")
    if with_ends and "ends" in zones:
        raise ShapeError('the zone name "ends" is kept for the transoms; choose another.')
    spans, taken = {}, {}
    for name, pair in zones.items():
        two = isinstance(pair, (list, tuple)) and len(pair) == 2 and pair[0] != pair[1]
        if not two or any(line not in lines for line in pair):
            raise ShapeError(f'zone "{name}" is {str(pair)[:60]}; give two different lines of {", ".join(lines)}.')
        a, b = sorted(lines.index(line) for line in pair)
        for strip in range(a, b):
            if strip in taken:
                raise ShapeError(f'zones "{taken[strip]}" and "{name}" overlap between lines "{lines[strip]}" and '
                                 f'"{lines[strip + 1]}"; each spot has one layup.')
            taken[strip] = name
        spans[name] = (a, b)
    return spans
