"""A hull by stations as triangles: one side in the plane, bent on to the loft, the ends joined on, and mirrored."""

from __future__ import annotations

import functools

import numpy as np
import shapely

from .hull_ends import with_ends
from .laid_flat import opened
from .loft import points_3d
from .mesh import TriangleMesh
from .mesh_refine import halved
from .plane_mesh import zoned_mesh

APART = 0.5     # of the size: lines or stations nearer together than this make no line of nodes
NARROW = 1e-3   # of the size: strips and half-breadths narrower than this at a station count as nought there


def hull_mesh(hull, size):
    """Both sides of a HullShape and its ends, zones named, faces outward; size [m] as an SI float."""
    side = Side(hull, NARROW * size)
    points, triangles, zones = _parted(*zoned_mesh(side.polygons(), size, side.creases(APART * size)), side)
    nodes, flat = side.place(points)
    half = TriangleMesh.from_si(nodes, triangles[:, ::-1].copy(), zones, flat[triangles[:, ::-1]])
    shared = side.on_centreline(points, nodes)
    if "ends" in hull.zones and "ends" not in hull.spans:
        at_end = [np.flatnonzero(points[:, 0] == s) for s in side.along[[0, -1]]]
        half, shared = with_ends(side, half, shared, at_end, [points[rows, 1] for rows in at_end], size)
    return half.joined_to_mirror("y", shared)


def _parted(points, triangles, zones, side):
    """Edges that run inside the side from the keel to a stem are halved, lest both sides of the hull share them."""
    plane = TriangleMesh.from_si(np.column_stack([points, np.zeros(len(points))]), triangles, zones)
    shared = side.on_centreline(points, side.place(points)[0])
    across = shared[plane.si.edges].all(1) & (plane.si.edge_uses == 2)
    if across.any():
        plane = halved(plane, across)
    return plane.si.nodes[:, :2], plane.si.triangles, plane.zones


class Side:
    """The starboard side in the plane: along the hull by the mean length of its lines, across it by the girth.

    Each line runs straight from station to station, so that it is met by sides of triangles.
    """

    def __init__(self, hull, narrow=0.0):
        self.hull = hull
        breadth = hull.offsets[..., :1]
        self.offsets = np.concatenate([np.where(breadth > narrow, breadth, 0.0), hull.offsets[..., 1:]], axis=2)
        self.points = points_3d(hull.x, self.offsets)
        steps = np.linalg.norm(np.diff(self.points, axis=0), axis=2).mean(1)
        self.along = np.concatenate([[0.0], np.cumsum(steps)])
        self.x_flat, out = opened(hull)
        wide = np.diff(out, axis=1)
        self.out = np.concatenate([out[:, :1], np.cumsum(np.where(wide > narrow, wide, 0.0), axis=1)], axis=1)

    def on_centreline(self, points, nodes):
        """Which points (n,) of the plane lie on the keel or on a stem, where both sides of the hull meet."""
        return (points[:, 1] == 0.0) | (np.isin(points[:, 0], self.along[[0, -1]]) & (nodes[:, 1] == 0.0))

    def polygons(self):
        """Zone name -> polygon in the plane."""
        return {name: shapely.Polygon(np.concatenate([self.line(a), self.line(b)[::-1]])).buffer(0)
                for name, (a, b) in self.hull.spans.items()}

    def line(self, number):
        return np.column_stack([self.along, self.out[:, number]])

    def creases(self, least):
        """Lines inside zones and stations, where the skin may bend, unless nearer than ``least`` to the one before."""
        found, last = [], 0
        for number in range(1, self.out.shape[1] - 1):
            if (self.out[:, number] - self.out[:, last]).mean() >= least:
                found.append(shapely.LineString(self.line(number)))
                last = number
        last = 0
        for row in range(1, len(self.along) - 1):
            if min(self.along[row] - self.along[last], self.along[-1] - self.along[row]) >= least:
                found += [shapely.LineString([(self.along[row], self.out[row, a]), (self.along[row], self.out[row, b])])
                          for a, b in self.hull.spans.values() if self.out[row, b] > self.out[row, a]]
                last = row
        return found

    def place(self, points):
        """Places in space (n, 3) and laid flat (n, 2) of points in the plane (n, 2)."""
        row = np.clip(np.searchsorted(self.along, points[:, 0], side="right") - 1, 0, len(self.along) - 2)
        share = (points[:, 0] - self.along[row]) / np.diff(self.along)[row]
        between = functools.partial(_between, row, share)
        out, lines = between(self.out), between(self.points)
        strip = np.clip((out <= points[:, 1:] + 1e-12).sum(1) - 1, 0, out.shape[1] - 2)
        each = np.arange(len(points))
        width = out[each, strip + 1] - out[each, strip]
        across = np.divide(points[:, 1] - out[each, strip], width, out=np.zeros(len(points)), where=width > 1e-12)
        across = np.clip(across, 0, 1)[:, None]
        space = (1 - across) * lines[each, strip] + across * lines[each, strip + 1]
        return space, np.column_stack([between(self.x_flat), points[:, 1]])


def _between(row, share, table):
    share = share.reshape(-1, *[1] * (table.ndim - 1))
    return (1 - share) * table[row] + share * table[row + 1]
