"""A shape as good triangles of a chosen size, zones and places laid flat included."""

from __future__ import annotations

import functools

import numpy as np
import shapely

from ..errors import RangeError, ShapeError
from ..units import checked
from .curved import CurvedShape
from .flat import FlatShape
from .hull_mesh import hull_mesh
from .laid_flat import turning
from .mesh import TriangleMesh
from .mesh_refine import refined
from .mesh_shape import MeshShape
from .plane_mesh import zoned_mesh
from .stations import HullShape
from .unfolding import unfolded

MOST = 500_000     # triangles; beyond it a page would no longer answer
FOLD_APART = 0.5   # of the size: folds of a section nearer together than this make no line of nodes


@checked(size="m > 0")
def surface_mesh(shape, size):
    """The surface of a shape as triangles.

    shape  FlatShape, CurvedShape, HullShape (both sides and, where it has them, its ends) or MeshShape (cut finer if need be)
    size   [m]  length of triangle sides aimed at; finer where the outline is
    Returns a TriangleMesh: zones named, zones that touch share nodes, faces outward (upward when flat), places laid
    flat as in laid_flat. The same shape and size give the same object. Raises RangeError for a size far too fine,
    ShapeError for a shape that has no surface.
    Valid: outlines are kept exactly; a curve is followed by straight sides, so area is short by some (size/radius)^2/24.
    """
    if np.ndim(size):
        raise RangeError("size must be one length.")
    if not isinstance(shape, (FlatShape, CurvedShape, HullShape, MeshShape)):
        raise ShapeError(f"shape is {type(shape).__name__}; a flat, curved, station or mesh shape can be meshed.")
    return _meshed(shape, float(size))


@functools.lru_cache(maxsize=16)
def _meshed(shape, size):
    many = shape.area.magnitude / (np.sqrt(3) / 4 * size**2)
    if many > MOST:
        raise RangeError(f"size {size:.3g} m would make about {many:.2g} triangles on this part, above {MOST:,}; "
                         f"give at least {1.05 * size * np.sqrt(many / MOST):.2g} m.")
    if isinstance(shape, MeshShape):
        return refined(_with_flat(shape), size)
    if isinstance(shape, HullShape):
        return hull_mesh(shape, size)
    if isinstance(shape, CurvedShape):
        return _curved_mesh(shape, size)
    points, triangles, zones = zoned_mesh(shape.polygons, size)
    return _mesh(np.column_stack([points, np.zeros(len(points))]), points, triangles, zones, shape)


def _with_flat(shape):
    """The mesh with its places laid flat; without them where it cannot be laid flat."""
    mesh = shape.mesh
    try:
        turn, shift = turning(shape)
    except ShapeError:
        return mesh
    return TriangleMesh.from_si(mesh.si.nodes, mesh.si.triangles, mesh.zones, unfolded(mesh).flat @ turn.T + shift)


def _curved_mesh(shape, size):
    along = shape.girth_points
    inner = along[1:-1]
    folds = [shapely.LineString([(0, g), (shape.run, g)]) for g in _spread(inner, FOLD_APART * size, along[[0, -1]])]
    polygons = shape.unrolled().polygons
    covered = shapely.union_all(list(polygons.values()))
    points, triangles, zones = zoned_mesh(polygons, size, [shapely.intersection(fold, covered) for fold in folds])
    section = [np.interp(points[:, 1], along, shape.section_points[:, k]) for k in (0, 1)]
    return _mesh(np.column_stack([points[:, 0], *section]), points, triangles, zones, shape)


def _spread(places, least, kept):
    """Those of the rising places that keep ``least`` from one another and from the kept ones."""
    chosen, last = [], kept[0]
    for place in places:
        if place - last >= least and kept[1] - place >= least:
            chosen.append(place)
            last = place
    return chosen


def _mesh(nodes, points, triangles, zones, shape):
    turn, shift = turning(shape)
    return TriangleMesh.from_si(nodes, triangles, zones, (points @ turn.T + shift)[triangles])
