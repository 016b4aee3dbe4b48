"""A part laid flat with x along its long way.

A hull is opened at the gunwales: at every station the girth is laid out straight from the keel, and each end is folded down. A surface
read from a mesh file is laid out as in ``unfolding``.
"""

from __future__ import annotations

import functools

import numpy as np
import shapely
from shapely import affinity

from ..errors import ShapeError
from .curved import CurvedShape
from .flat import FlatShape
from .mesh_shape import MeshShape
from .stations import HullShape
from .unfolding import unfolded


@functools.lru_cache(maxsize=64)
def laid_flat(geometry) -> dict:
    """Zone name -> polygon [m] in one plane, x along the long way. Raises ShapeError for a surface that would fold over or stretch."""
    if isinstance(geometry, HullShape):
        return _opened_hull(geometry)
    turn, shift = turning(geometry)
    matrix = [*turn[0], *turn[1], *shift]
    return {name: affinity.affine_transform(polygon, matrix) for name, polygon in _in_plane(geometry).polygons.items()}


@functools.lru_cache(maxsize=64)
def turning(geometry):
    """How a flat or unrolled outline is turned: laid flat = turn @ place + shift, turn (2, 2), shift (2,) [m]."""
    polygons = list(_in_plane(geometry).polygons.values())
    whole = shapely.union_all(polygons)
    corners = np.array(shapely.minimum_rotated_rectangle(whole).exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    lengths = np.linalg.norm(sides, axis=1)
    along = sides[np.argmax(lengths > lengths.max() * (1 - 1e-9))] / lengths.max()
    if isinstance(geometry, MeshShape) and along[0] < 0:
        along = -along      # as the file has it, not upside down
    turn = np.array([[along[0], along[1]], [-along[1], along[0]]])
    return turn, -(shapely.get_coordinates(whole) @ turn.T).min(0)


def opened(hull):
    """Places of the lines laid flat on the starboard side: x of each station (stations,), girth from the keel (stations, lines) [m]."""
    steps = np.linalg.norm(np.diff(hull.offsets, axis=1), axis=2)
    out = np.concatenate([np.zeros((len(hull.x), 1)), np.cumsum(steps, axis=1)], axis=1)
    longest = max(zone.si.length for name, zone in hull.zones.items() if name in hull.spans)
    return (hull.x - hull.x[0]) * longest / np.ptp(hull.x), out


def folded(hull, row, section):
    """Places (n, 2) [m] of points [y, z] of the end at a station, first or last, folded down."""
    sign, x = (-1, 0.0) if row == 0 else (1, opened(hull)[0][-1])
    return np.column_stack([x + sign * (section[:, 1] - hull.offsets[row, :, 1].min()), section[:, 0]])


def _in_plane(geometry):
    if isinstance(geometry, FlatShape):
        return geometry
    if isinstance(geometry, CurvedShape):
        return geometry.unrolled()
    if isinstance(geometry, MeshShape):
        return unfolded(geometry.mesh)
    raise ShapeError(f"{type(geometry).__name__} has no outline to lay flat; give the part by outlines, a section, stations or a mesh file.")


def _opened_hull(hull):
    x, out = opened(hull)
    found = {}
    for name, (a, b) in hull.spans.items():
        half = shapely.Polygon(np.concatenate([np.column_stack([x, out[:, a]]), np.column_stack([x, out[:, b]])[::-1]])).buffer(0)
        found[name] = shapely.union_all([half, affinity.scale(half, 1, -1, origin=(0, 0))])
    if "ends" in hull.zones and "ends" not in hull.spans:
        caps = [_cap(folded(hull, row, hull.offsets[row])) for row in (0, -1)]
        found["ends"] = shapely.union_all([cap for cap in caps if cap is not None])
    return found


def _cap(half):
    cap = shapely.Polygon(np.concatenate([half, half[::-1] * [1, -1]])).buffer(0)
    return cap if cap.area > 1e-9 else None
