"""Flat parts: outlines in the plane, one per zone."""

from __future__ import annotations

from itertools import combinations
from types import MappingProxyType

import numpy as np
import shapely

from ..errors import ShapeError
from ..units import Q_
from .reading import by_name, listed, points, refuse_millimetres
from .zone import find_zone, make_zone

OVERLAP_SHARE = 1e-6  # of the smaller zone; below it a shared edge is only rounding


class FlatShape:
    """A flat panel of one or more zones.

    zones  name -> outline [[x, y], ...] in metres (floats or quantities), at least three points
    holes  name -> list of outlines cut out of that zone
    Raises ShapeError for crossing, overlapping, empty or unreadable outlines.
    """

    def __init__(self, zones, holes=None):
        zones = by_name(zones, "zones")
        holes = by_name({} if holes is None else holes, "holes")
        if not zones:
            raise ShapeError("a flat shape needs at least one zone with an outline.")
        if unknown := set(holes) - set(zones):
            raise ShapeError(f'holes are given for "{sorted(unknown)[0]}", but the zones are {", ".join(zones)}.')
        self.polygons = {name: _polygon(name, outline, holes.get(name, ())) for name, outline in zones.items()}
        _refuse_overlap(self.polygons)
        self.zones = MappingProxyType({name: _zone(name, polygon) for name, polygon in self.polygons.items()})
        self._all = shapely.union_all(list(self.polygons.values()))

    @property
    def area(self):
        """Area [m^2] of all zones together."""
        return Q_(self._all.area, "m^2")

    @property
    def perimeter(self):
        """Edge length [m] of the whole panel, holes included."""
        return Q_(self._all.length, "m")

    @property
    def centre(self):
        """Centre of area [m] x, y, z of the whole panel."""
        return Q_(_centre(self._all), "m")

    @property
    def bounds(self):
        """Size [m] of the whole panel along x and along y."""
        x0, y0, x1, y1 = self._all.bounds
        return Q_(np.array([x1 - x0, y1 - y0]), "m")

    def outline(self, name):
        """Outer outline [m] of a zone, shape (n, 2), not closed."""
        find_zone(self.zones, name)
        return Q_(np.array(self.polygons[name].exterior.coords)[:-1], "m")


def _polygon(name, outline, holes):
    where = f'outline of zone "{name}"'
    shell = points(outline, where, least=3)
    refuse_millimetres(np.ptp(shell, axis=0).max(), f"{where}: its size")
    cut_out = listed(holes, f'holes in zone "{name}"')
    polygon = shapely.Polygon(shell, [points(h, f'hole {i} in zone "{name}"', 3) for i, h in enumerate(cut_out, 1)])
    if shapely.Polygon(shell).convex_hull.area <= 1e-12:
        raise ShapeError(f"{where} encloses no area; its points lie on one line.")
    if not polygon.is_valid:
        raise ShapeError(f"{where} is not one clean loop: {shapely.is_valid_reason(polygon)} (x y in m); "
                         "put the points in order round the edge.")
    return polygon


def _refuse_overlap(polygons):
    for (name_a, a), (name_b, b) in combinations(polygons.items(), 2):
        shared = a.intersection(b).area
        if shared > OVERLAP_SHARE * min(a.area, b.area):
            raise ShapeError(f'zones "{name_a}" and "{name_b}" overlap by {shared:.4g} m^2; '
                             "move the line between them so that each spot has one layup.")


def _centre(polygon):
    return np.array([polygon.centroid.x, polygon.centroid.y, 0.0])


def _zone(name, polygon):
    corners = np.array(polygon.minimum_rotated_rectangle.exterior.coords)
    sides = np.linalg.norm(np.diff(corners[:3], axis=0), axis=1)
    return make_zone(name, polygon.area, polygon.length, sides, _centre(polygon))
