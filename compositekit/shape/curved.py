"""Singly curved shells: one section carried straight along a length, so it unrolls without stretch."""

from __future__ import annotations

from itertools import pairwise
from types import MappingProxyType

import numpy as np

from ..errors import ShapeError
from ..units import Q_
from .flat import FlatShape
from .reading import by_name, metres, points, refuse_millimetres
from .zone import find_zone, make_zone


class CurvedShape:
    """A shell of constant section, such as a roof panel or a cover.

    section  points [[y, z], ...] along the curve in metres, joined by straight lines
    length   metres, square to the section
    zones    name -> (from, to) in metres of girth from the first point; without it one zone "shell"
    Raises ShapeError for fewer than two points, repeated points, closed sections and overlapping zones.
    ``girth_points`` holds the girth from the first point to each point, in SI.
    The girth is that of straight lines between the points: a little short on a curve, by (spacing/radius)^2/24.
    """

    def __init__(self, section, length, zones=None):
        self.section_points = points(section, "the section", least=2)
        self.run = float(_one(length, "the length"))
        steps = np.linalg.norm(np.diff(self.section_points, axis=0), axis=1)
        if np.any(steps <= 0):
            raise ShapeError(f"the section has the same point twice (points {np.argmin(steps) + 1} and "
                             f"{np.argmin(steps) + 2}); delete one.")
        if self.run <= 0:
            raise ShapeError(f"the length is {self.run:g} m; it must be above 0 m.")
        self.girth_points = np.concatenate([[0.0], np.cumsum(steps)])
        refuse_millimetres(max(self.girth_points[-1], self.run), "the girth or length")
        self._start = self.section_points[0]
        self._chord = self.section_points[-1] - self._start
        if np.linalg.norm(self._chord) <= 1e-9 * self.girth_points[-1]:
            raise ShapeError("the section ends where it starts; give an open section, cut where the mould is split.")
        self.ranges = _ranges({"shell": (0.0, self.girth_points[-1])} if zones is None else zones, self.girth_points[-1])
        self.zones = MappingProxyType({name: self._zone(name, *ends) for name, ends in self.ranges.items()})

    @property
    def girth(self):
        """Length [m] along the section from edge to edge."""
        return Q_(self.girth_points[-1], "m")

    @property
    def length(self):
        """Length [m] square to the section."""
        return Q_(self.run, "m")

    @property
    def area(self):
        """Area [m^2] of the whole shell: girth times length."""
        return Q_(self.girth_points[-1] * self.run, "m^2")

    @property
    def centre(self):
        """Centre of area [m] x, y, z of the whole shell."""
        return Q_(self._centre(0.0, self.girth_points[-1]), "m")

    @property
    def chord(self):
        """Straight distance [m] between the two edges."""
        return Q_(np.linalg.norm(self._chord), "m")

    @property
    def rise(self):
        """Greatest distance [m] of the section from its chord."""
        return Q_(self._rise(), "m")

    @property
    def radius(self):
        """Radius [m] of the circle with this chord and rise, chord^2/(8 rise) + rise/2; infinite when flat."""
        rise, chord = self._rise(), np.linalg.norm(self._chord)
        return Q_(chord**2 / (8 * rise) + rise / 2 if rise > 1e-9 * chord else np.inf, "m")

    def unrolled(self):
        """The shell laid flat, x along the length and y along the girth, zones kept."""
        return FlatShape({name: [[0, a], [self.run, a], [self.run, b], [0, b]] for name, (a, b) in self.ranges.items()})

    def unrolled_outline(self, name):
        """Outline [m] of one zone laid flat, shape (4, 2)."""
        find_zone(self.zones, name)
        return self.unrolled().outline(name)

    def _rise(self):
        along, across = self._chord / np.linalg.norm(self._chord), self.section_points - self._start
        return float(np.abs(along[0] * across[:, 1] - along[1] * across[:, 0]).max())

    def _centre(self, a, b):
        cut = np.unique(np.concatenate([[a, b], self.girth_points[(self.girth_points > a) & (self.girth_points < b)]]))
        at = np.column_stack([np.interp(cut, self.girth_points, self.section_points[:, k]) for k in (0, 1)])
        middle = np.diff(cut) @ ((at[1:] + at[:-1]) / 2) / (b - a)
        return np.array([self.run / 2, *middle])

    def _zone(self, name, a, b):
        return make_zone(name, (b - a) * self.run, 2 * (b - a + self.run), (b - a, self.run), self._centre(a, b))


def _one(value, where):
    array = metres(value, where)
    if array.ndim:
        raise ShapeError(f"{where} must be one number in metres, not a list.")
    return array


def _ranges(zones, girth):
    ranges = {}
    for name, ends in by_name(zones, "zones").items():
        pair = metres(ends, f'girth range of zone "{name}"')
        if pair.shape != (2,) or not -1e-9 <= pair[0] < pair[1] <= girth * (1 + 1e-9):
            raise ShapeError(f'girth range of zone "{name}" is {pair.tolist()}; give (from, to) rising within '
                             f"0 and the girth {girth:.4g} m.")
        ranges[name] = (float(pair[0]), float(pair[1]))
    if not ranges:
        raise ShapeError("a curved shell needs at least one zone; leave zones out to have one over all of it.")
    ordered = sorted(ranges.items(), key=lambda item: item[1])
    for (name_a, (_, end)), (name_b, (start, _)) in pairwise(ordered):
        if end - start > 1e-9 * girth:
            raise ShapeError(f'zones "{name_a}" and "{name_b}" overlap by {end - start:.4g} m of girth; '
                             "each spot has one layup.")
    return ranges
