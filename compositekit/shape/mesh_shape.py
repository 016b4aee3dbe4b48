"""A part given as a triangle mesh: its zones with the sizes that other floors ask for."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from ..errors import ShapeError
from ..units import Q_
from .mesh import TriangleMesh
from .mesh_numbers import MeshNumbers
from .reading import by_name
from .zone import make_zone

SLICES = 41  # cuts across a zone where its width is looked at


class MeshShape:
    """A surface of triangles as the shape of a part.

    mesh  TriangleMesh with a zone name for each triangle
    Raises ShapeError for anything else. A zone's length is measured straight along the direction in which its largest piece
    reaches farthest, its widest place as the girth square to that.
    """

    def __init__(self, mesh):
        if not isinstance(mesh, TriangleMesh):
            raise ShapeError(f"mesh is {type(mesh).__name__}; give a TriangleMesh, such as read_mesh returns.")
        self.mesh = mesh
        self.zones = MappingProxyType({name: _zone(name, mesh) for name in mesh.zone_names})

    @property
    def area(self):
        """Area [m^2] of all zones together."""
        return self.mesh.area

    @property
    def centre(self):
        """Centre of area [m] x, y, z of all zones together."""
        return self.mesh.centre

    @property
    def extent(self):
        """Size [m] along x, y and z."""
        return Q_(np.ptp(self.mesh.si.nodes, axis=0), "m")


def in_zones(mesh, zones):
    """The mesh with its faces named anew.

    zones  name -> {"groups": names of zones of the mesh, "boxes": [((x, y, z), (x, y, z)), ...] in metres}; a face belongs
           to the zone whose group it carries, or in whose box its middle lies
    Raises ShapeError for a face in no zone or in two, and for groups the mesh does not have.
    """
    claims = {name: _claimed(mesh, name, rule) for name, rule in by_name(zones, "zones").items()}
    if not claims:
        raise ShapeError("zones names no zone; leave it out to take the groups of the mesh file.")
    table = np.array(list(claims.values()))
    for count, words in ((0, "lie in no zone; widen a box or name their group"), (None, "lie in two zones; each spot has one layup")):
        bad = np.flatnonzero(table.sum(0) == 0 if count == 0 else table.sum(0) > 1)
        if len(bad):
            x, y, z = mesh.si.centres[bad[0]]
            raise ShapeError(f"{len(bad)} face(s), {mesh.si.areas[bad].sum():.3g} m^2, first at ({x:.3g}, {y:.3g}, {z:.3g}) m, {words}.")
    if empty := [name for name, mask in claims.items() if not mask.any()]:
        raise ShapeError(f'no face lies in zone "{empty[0]}"; check the unit and the corners of its boxes.')
    return TriangleMesh.from_si(mesh.si.nodes, mesh.si.triangles, np.array(list(claims))[table.argmax(0)], mesh.flat)


def _claimed(mesh, name, rule):
    groups, boxes = rule.get("groups", ()), rule.get("boxes", ())
    if missing := [group for group in groups if group not in mesh.zone_names]:
        raise ShapeError(f'zone "{name}": the mesh has no group "{missing[0]}"; it has {", ".join(mesh.zone_names)}.')
    claimed = np.isin(mesh.zones, list(groups))
    for box in boxes:
        low, high = np.sort(np.asarray(box, dtype=float), axis=0)
        claimed |= ((mesh.si.centres >= low) & (mesh.si.centres <= high)).all(1)
    return claimed


def _zone(name, mesh):
    rows = np.flatnonzero(mesh.zones == name)
    si = MeshNumbers(mesh.si.nodes, mesh.si.triangles[rows])
    area, pieces = si.areas.sum(), int(si.pieces.max()) + 1
    if area <= 0:
        raise ShapeError(f'zone "{name}" has no area.')
    perimeter = np.linalg.norm(np.diff(si.nodes[si.rim], axis=1), axis=2).sum()
    largest = si.pieces == np.argmax(np.bincount(si.pieces, weights=si.areas))
    corners = si.corners[largest]
    along = corners @ _long_way(corners)
    length = float(np.ptp(along))
    girths = _girths(corners, along)
    return make_zone(name, area, max(perimeter, 2 * length), (length, area / pieces / length), si.areas @ si.centres / area,
                     girths.max(), pieces)


def _long_way(corners):
    """Direction in which the corners reach farthest: the best of the main axes of their places and a turn of each pair."""
    places = np.unique(corners.reshape(-1, 3), axis=0)
    axes = np.linalg.svd(places - places.mean(0), full_matrices=False)[2][:2]
    return axes[np.argmax(np.ptp(places @ axes.T, axis=0))]


def _girths(corners, along):
    """Length of the cuts (slices,) square to the long way."""
    order = np.argsort(along, axis=1)
    a, b, c = np.take_along_axis(corners, order[:, :, None], axis=1).transpose(1, 0, 2)
    p, q, r = np.take_along_axis(along, order, axis=1).T
    found = []
    for at in np.linspace(along.min(), along.max(), SLICES + 2)[1:-1]:
        cut = (p < at) & (at < r)
        lower = (at <= q)[cut]
        share = ((at - p[cut]) / (r - p)[cut])[:, None]
        far = a[cut] + share * (c - a)[cut]
        start, end = np.where(lower, p[cut], q[cut]), np.where(lower, q[cut], r[cut])
        share = ((at - start) / np.maximum(end - start, 1e-300))[:, None]
        near = np.where(lower[:, None], a[cut] + share * (b - a)[cut], b[cut] + share * (c - b)[cut])
        found.append(np.linalg.norm(far - near, axis=1).sum())
    return np.array(found)
