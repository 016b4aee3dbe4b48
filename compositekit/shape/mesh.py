"""A surface as triangles: the one mesh that filling, flotation, kit and pictures share."""

from __future__ import annotations

import functools

import numpy as np
from scipy.spatial import cKDTree

from ..errors import RangeError, ShapeError
from ..units import Q_, checked
from .mesh_checks import find_faults, refuse_unreadable
from .mesh_lines import way_along
from .mesh_numbers import MeshNumbers
from .mesh_winding import faces_to_turn
from .zone import find_zone

AXES = ("x", "y", "z")


class TriangleMesh:
    """Triangles in space with a zone name each.

    nodes      places (n, 3) in metres (floats or a quantity)
    triangles  node numbers (m, 3), anticlockwise seen from outside
    zones      zone name of each triangle (m,); left out: one zone "part"
    flat       where each triangle's corners lie on the part laid flat (m, 3, 2) in metres; may be left out
    Raises ShapeError for unreadable numbers and for a size no part has. Holes, upside-down faces and the like are
    listed by ``faults``, refused by ``check``. ``si`` holds the arrays in SI, see ``MeshNumbers``.
    """

    def __init__(self, nodes, triangles, zones=None, flat=None):
        nodes, triangles, zones, flat = refuse_unreadable(nodes, triangles, zones, flat)
        self._take(nodes, triangles, zones, flat)

    @classmethod
    def from_si(cls, nodes, triangles, zones, flat=None):
        """A mesh from arrays known to be sound, without checking."""
        self = object.__new__(cls)
        self._take(nodes, triangles, np.asarray(zones), flat)
        return self

    def _take(self, nodes, triangles, zones, flat):
        for array in (nodes, triangles, zones, flat):
            if array is not None:
                array.flags.writeable = False  # meshes are kept and shared
        self.zones, self.flat = zones, flat
        self.si = MeshNumbers(nodes, triangles)

    def __repr__(self):
        size = " x ".join(f"{side:.3g}" for side in np.ptp(self.si.nodes[np.unique(self.si.triangles)], axis=0))
        return f"TriangleMesh({len(self.si.nodes)} nodes, {len(self.si.triangles)} triangles, {size} m, zones {', '.join(self.zone_names)})"

    @functools.cached_property
    def zone_names(self):
        """Names of the zones, in the order in which they come."""
        names, first = np.unique(self.zones, return_index=True)
        return tuple(str(name) for name in names[np.argsort(first)])

    def zone_mask(self, name):
        """Which triangles (m,) belong to a zone. Raises ShapeError for an unknown name."""
        find_zone(dict.fromkeys(self.zone_names), name)
        return self.zones == name

    @property
    def area(self):
        """Area [m^2] of all triangles."""
        return Q_(float(self.si.areas.sum()), "m^2")

    @property
    def zone_areas(self):
        """Area [m^2] of each zone by name."""
        return {name: Q_(float(self.si.areas[self.zones == name].sum()), "m^2") for name in self.zone_names}

    @property
    def centre(self):
        """Centre of area [m] x, y, z."""
        return Q_(self.si.areas @ self.si.centres / self.si.areas.sum(), "m")

    @property
    def volume(self):
        """Volume [m^3] enclosed by a closed mesh. Raises ShapeError where it is open.

        Relation: V = sum of a . (b x c)/6 over the triangles (divergence theorem)
        """
        self.require_closed()
        a, b, c = (self.si.corners - self.si.nodes.mean(0)).transpose(1, 0, 2)
        return Q_(float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6, "m^3")

    # --- checks ---------------------------------------------------------------------------------

    def faults(self, cut_outs=0, pieces=1):
        """What is wrong with the mesh: one sentence each, saying where and how to mend it.

        cut_outs  openings that belong to the part, beside the rim of each piece
        pieces    separate pieces that the part has
        """
        return find_faults(self, cut_outs, pieces)

    def check(self, cut_outs=0, pieces=1):
        """This mesh, or ShapeError with all its faults; arguments as in ``faults``."""
        if found := self.faults(cut_outs, pieces):
            raise ShapeError("the mesh cannot be used as it stands:\n" + "\n".join(f"  {fault}" for fault in found))
        return self

    def require_closed(self):
        """This mesh, or ShapeError saying where it is open or turned inside out."""
        if loops := self.si.loops:
            place = self.si.nodes[loops[0]].mean(0)
            raise ShapeError(f"the mesh is open: {len(loops)} loop(s) of loose edges, the longest "
                             f"{self.si.loop_length(loops[0]):.4g} m round ({place[0]:.4g}, {place[1]:.4g}, {place[2]:.4g}) m. "
                             "A volume needs a closed surface; close it with a lid, or ask for the area only.")
        if len(self.si.turned_against):
            raise ShapeError("some faces of the mesh lie upside down, so that no volume can be told; use wound_alike() first.")
        return self

    # --- finding nodes --------------------------------------------------------------------------

    @checked(point="m", within="m > 0")
    def nearest_node(self, point, within=None):
        """Number of the node nearest to a point.

        point   [m]  place in space (3,), or on the part laid flat (2,)
        within  [m]  farthest that the node may be; twice the longest edge if left out
        Returns a node number. Raises RangeError when no node is that near.
        """
        if np.ndim(point) != 1:
            raise RangeError("point must be one place: three numbers in space, or two on the part laid flat.")
        return int(self._nearest(point[None], within)[0])

    @checked(points="m", within="m > 0")
    def path_nodes(self, points, within=None, closed=False):
        """A connected chain of nodes along a line drawn as points: the edges that keep nearest to it.

        points  [m]  corners of the line in space (k, 3), or on the part laid flat (k, 2)
        within  [m]  farthest that the line's corners may be from a node; twice the longest edge if left out
        closed  True goes on from the last point to the first
        Returns node numbers (c,), each once, neighbours joined by an edge. Raises RangeError for a line off the
        mesh, ShapeError for one that jumps to a separate piece.
        """
        points = np.atleast_2d(points)
        stops = self._nearest(points, within)
        if closed:
            points, stops = np.concatenate([points, points[:1]]), np.append(stops, stops[0])
        return way_along(self, points, stops)

    def _nearest(self, points, within):
        points = np.asarray(points, dtype=float)
        if points.ndim != 2 or points.shape[1] not in (2, 3):
            raise RangeError("points must have three numbers each (in space) or two (on the part laid flat).")
        within = 2 * self.si.edge_lengths.max() if within is None else within
        if points.shape[1] == 3:
            far, node = self.si.tree.query(points)
        else:
            far, corner = self._flat_tree.query(points)
            node = self.si.triangles.ravel()[corner]
        if np.any(far > within):
            worst = np.argmax(far)
            raise RangeError(f"point {worst + 1} ({', '.join(f'{v:.4g}' for v in points[worst])}) m lies {far[worst]:.3g} m off "
                             f"the mesh, but may be at most {within:.3g} m off; move it on to the part.")
        return node

    @functools.cached_property
    def _flat_tree(self):
        if self.flat is None:
            raise ShapeError("this mesh does not know how it lies flat; give points with three numbers each.")
        return cKDTree(self.flat.reshape(-1, 2))

    def rim_nodes(self):
        """Numbers of the nodes on the rim and on the edges of cut-outs, sorted."""
        return np.unique(self.si.rim)

    # --- changed copies -------------------------------------------------------------------------

    @checked(factor="1 > 0")
    def scaled(self, factor):
        """A copy with every length times a factor.

        factor  [1]  new size over old
        """
        flat = None if self.flat is None else self.flat * factor
        return TriangleMesh(self.si.nodes * factor, self.si.triangles, self.zones, flat)

    def mirrored(self, axis="y"):
        """The mirror image in the plane through nought square to an axis, still facing outward."""
        flip = np.where(np.arange(3) == _axis(axis), -1.0, 1.0)
        flat = None if self.flat is None else self.flat[:, ::-1] * [1.0, -1.0]
        return TriangleMesh.from_si(self.si.nodes * flip, self.si.triangles[:, ::-1].copy(), self.zones, flat)

    def with_mirror(self, axis="y"):
        """This half and its mirror image as one mesh; nodes on the plane are shared. Raises ShapeError if there are none."""
        reach = 1e-6 * np.ptp(self.si.nodes, axis=0).max()
        on_plane = np.abs(self.si.nodes[:, _axis(axis)]) <= reach
        if not on_plane.any():
            raise ShapeError(f"no node lies on the plane {axis} = 0, so the two halves would not meet; move the half on to it.")
        return self.joined_to_mirror(axis, on_plane)

    def joined_to_mirror(self, axis, shared):
        """This half and its mirror image, which share the nodes marked (n,)."""
        other, n = self.mirrored(axis), len(self.si.nodes)
        number = np.where(shared, np.arange(n), n + np.cumsum(~shared) - 1)
        nodes = np.where((np.arange(3) == _axis(axis)) & shared[:, None], 0.0, self.si.nodes)
        both = np.concatenate([self.si.triangles, number[other.si.triangles]])
        flat = None if self.flat is None else np.concatenate([self.flat, other.flat])
        return TriangleMesh.from_si(np.concatenate([nodes, other.si.nodes[~shared]]), both, np.concatenate([self.zones] * 2), flat)

    def wound_alike(self):
        """A copy whose faces all run the same way round, as most do; closed pieces face outward."""
        turn = faces_to_turn(self.si)[:, None]
        flat = None if self.flat is None else np.where(turn[..., None], self.flat[:, ::-1], self.flat)
        return TriangleMesh(self.si.nodes, np.where(turn, self.si.triangles[:, ::-1], self.si.triangles), self.zones, flat)


def _axis(axis):
    if axis not in AXES:
        raise ShapeError(f'axis is "{axis}"; give x, y or z, the direction square to the mirror.')
    return AXES.index(axis)
