"""Any shape as triangles, for a picture in space."""

from __future__ import annotations

import numpy as np
import shapely

from ..errors import ShapeError
from .curved import CurvedShape
from .flat import FlatShape
from .mesh_shape import MeshShape
from .stations import HullShape


def faces(shape):
    """Triangles of a flat, curved, station or mesh shape.

    shape  FlatShape, CurvedShape, HullShape or MeshShape
    Returns corners (n, 3, 3) in metres as SI floats and the zone name of each (n,). Raises ShapeError.
    """
    if isinstance(shape, HullShape):
        vertices, corners, names = shape.triangles(2)
        return vertices[corners], np.asarray(names)
    if isinstance(shape, MeshShape):
        return shape.mesh.si.corners, shape.mesh.zones
    if isinstance(shape, CurvedShape):
        return _joined({name: _curved(shape, *ends) for name, ends in shape.ranges.items()})
    if isinstance(shape, FlatShape):
        return _joined({name: _flat(polygon) for name, polygon in shape.polygons.items()})
    raise ShapeError(f"shape is {type(shape).__name__}; a flat, curved, station or mesh shape can be drawn.")


def _joined(by_zone):
    return np.concatenate(list(by_zone.values())), np.repeat(list(by_zone), [len(part) for part in by_zone.values()])


def _flat(polygon):
    corners = np.array([part.exterior.coords[:3] for part in shapely.constrained_delaunay_triangles(polygon).geoms])
    return np.concatenate([corners, np.zeros((len(corners), 3, 1))], axis=2)


def _curved(shape, start, end):
    along, run = shape.girth_points, shape.run
    cut = np.unique(np.concatenate([[start, end], along[(along > start) & (along < end)]]))
    section = np.column_stack([np.interp(cut, along, shape.section_points[:, k]) for k in (0, 1)])
    near, far = (np.column_stack([np.full(len(cut), x), section]) for x in (0.0, run))
    return np.concatenate([np.stack([near[:-1], far[:-1], far[1:]], axis=1), np.stack([near[:-1], far[1:], near[1:]], axis=1)])
