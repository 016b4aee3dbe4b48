"""Feed and vent lines on the mesh of the real part, the core's edge as a fast channel, and the part laid flat as a net of triangles."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from scipy.spatial import cKDTree

from ..errors import PartFileError
from ..infusion.channels import fillet_gap, square_edge_gap
from ..infusion.filling import EdgeChannel
from ..shape.laid_flat import laid_flat
from ..shape.mesh import TriangleMesh
from ..shape.mesh_snap import drawn_onto
from ..shape.meshing import surface_mesh
from ..units import Q_, say

NODES = 3000           # aimed at: a fill of so many takes some 20 ms
ON_RIM = 5e-3          # m: a closed line that keeps this near to the outline is the rim
EDGE_GAPS = ("none", "bevelled", "square")
GAP = Q_(3.0, "mm")        # beside a square edge, and what the skin bridges at the foot of a bevelled one (own judgement: measure your own)
BEVEL = Q_(30.0, "deg")    # of a bevelled edge's face with the mould (own judgement)


@dataclass(frozen=True)
class SurfaceLine:
    """A line on the mesh: its name, "feed" or "vent", corners on the part laid flat (k, 2) [m], node numbers along it, and its clamp times [s]."""

    name: str
    kind: str
    points: np.ndarray
    nodes: np.ndarray
    opens: float | None = None
    closes: float | None = None


@dataclass(frozen=True)
class FlatNet:
    """The mesh laid flat: places (k, 2) [m], triangles (m, 3) of them, and the mesh node of each place (k,).

    A node on a fold that is opened to lay the part flat has several places.
    """

    places: np.ndarray
    triangles: np.ndarray
    node: np.ndarray

    def place_of(self, node):
        """A place [m] of one mesh node."""
        return self.places[int(np.argmax(self.node == node))]


def part_mesh(part, size=None) -> TriangleMesh:
    """Mesh of a part's surface; sides of ``size`` [m], or as many nodes as a page can fill at once. Raises ShapeError, RangeError."""
    geometry = part.geometry
    side = np.sqrt(geometry.area.m_as("m^2") / NODES / (np.sqrt(3) / 2)) if size is None else size.m_as("m")
    mesh = surface_mesh.si(geometry, float(f"{side:.3g}"))
    if mesh.flat is None:
        laid_flat(geometry)      # says why it cannot be
    return mesh


@functools.lru_cache(maxsize=16)
def flat_net(mesh) -> FlatNet:
    """The mesh laid flat."""
    corners = np.column_stack([mesh.si.triangles.ravel(), np.round(mesh.flat.reshape(-1, 2), 6)])
    places, number = np.unique(corners, axis=0, return_inverse=True)
    return FlatNet(places[:, 1:], number.reshape(-1, 3), places[:, 0].astype(int))


def place_lines(mesh, lines, names) -> tuple[SurfaceLine, ...]:
    """Drawn lines as chains of mesh nodes; a closed line along the outline is the rim of the real part.

    Raises PartFileError for a vent that lies on a feed all along, RangeError, ShapeError for a line off the mesh.
    """
    found = []
    for name, line in zip(names, lines, strict=True):
        points = tuple(map(tuple, line["points"]))
        times = (None if line.get(key) is None else Q_(line[key]).m_as("s") for key in ("opens", "closes"))
        found.append(SurfaceLine(name, line["kind"], np.array(points), _chain(mesh, points), *times))
    fed = np.concatenate([line.nodes for line in found if line.kind == "feed"])
    placed = [line if line.kind == "feed" else SurfaceLine(line.name, "vent", line.points, line.nodes[~np.isin(line.nodes, fed)]) for line in found]
    for line in placed:
        if not line.nodes.size:
            raise PartFileError(f"{line.name} lies on a feed line all along; move one of them at least {say(Q_(mesh.si.edge_lengths.max(), 'm'), 'mm')} away.")
    return tuple(placed)


def lined_up(mesh, lines):
    """The mesh with its nodes drawn on to the lines, so that runs are as long as they were drawn."""
    return _lined_up(mesh, tuple((tuple(line.nodes.tolist()), tuple(map(tuple, line.points))) for line in lines if len(line.points) > 1))


@functools.lru_cache(maxsize=16)
def _lined_up(mesh, lines):
    return drawn_onto(mesh, [(np.array(nodes), np.array(points)) for nodes, points in lines])


@functools.lru_cache(maxsize=256)
def _chain(mesh, points):
    line = np.array(points)
    if len(line) > 3 and np.allclose(line[0], line[-1]):
        net, ring = flat_net(mesh), shapely.LineString(line)
        off = {}
        for n, loop in enumerate(mesh.si.loops):
            places = net.places[np.isin(net.node, loop)]
            off[n] = np.median(shapely.distance(shapely.points(places), ring))
        best = min(off, key=off.get, default=None)
        if best is not None and off[best] < ON_RIM:
            return mesh.si.loops[best]
        return TriangleMesh.path_nodes.si(mesh, line[:-1], closed=True)
    return TriangleMesh.path_nodes.si(mesh, line)


def line_in_space(mesh, line):
    """A line as it lies on the part in space (k, 3) [m]: as drawn, or its nodes where it crosses a slit of the part laid flat."""
    side = mesh.si.edge_lengths.mean()
    flat, whole = mesh.flat, shapely.LineString(line.points)
    places = shapely.get_coordinates(whole.interpolate(np.linspace(0, 1, max(2, int(whole.length / side) + 1)), normalized=True))
    far, triangle = cKDTree(flat.mean(1)).query(places)
    if far.max() > side:
        return mesh.si.nodes[line.nodes]
    first = flat[triangle, 0]
    share = np.linalg.solve(np.diff(flat[triangle], axis=1).transpose(0, 2, 1), (places - first)[..., None])[..., 0]
    return mesh.si.corners[triangle, 0] + np.einsum("nk,nkd->nd", share, np.diff(mesh.si.corners[triangle], axis=1))


def near_vents(mesh, lines, distance):
    """Which triangles (m,) have their middle within a distance [m] of a vent line."""
    nodes, edges = np.concatenate([line.nodes for line in lines if line.kind == "vent"]), mesh.si.edges
    between = edges[np.isin(edges, nodes).all(1)]
    places = np.concatenate([mesh.si.nodes[nodes], mesh.si.nodes[between].mean(1)])
    return cKDTree(places).query(mesh.si.centres)[0] < distance + 1e-6    # a hair more, so that mirrored triangles are judged alike


def core_edges(mesh, core_thickness, edge_gap, share=1.0) -> tuple[EdgeChannel, ...]:
    """The gap along the core's edge, where the part ends, as channels for the fill.

    core_thickness  [m] by zone, nought without a core
    edge_gap        a name of EDGE_GAPS
    share           of the gap that this skin sees
    """
    if edge_gap == "none":
        return ()
    found = []
    for around, zones in _rims(mesh):
        start = 0
        for end in range(1, len(zones) + 1):
            if end < len(zones) and zones[end] == zones[start]:
                continue
            depth = core_thickness[zones[start]]
            if depth > 0:
                gap = edge_free(depth, edge_gap)
                found.append(EdgeChannel(f"edge of the core, {zones[start]} {len(found) + 1}", np.array(around[start:end + 1]), share * gap.area, gap.permeability))
            start = end
    return tuple(found)


@functools.lru_cache(maxsize=16)
def _rims(mesh):
    """Each way round the rim: its nodes, back to the first, and the zone of the triangle inside each step."""
    sides = {tuple(side): n // 3 for n, side in enumerate(mesh.si.sides.tolist())}
    ways = [[*loop.tolist(), int(loop[0])] for loop in mesh.si.loops]
    return [(around, [str(mesh.zones[sides[a, b] if (a, b) in sides else sides[b, a]]) for a, b in pairwise(around)]) for around in ways]


@functools.lru_cache(maxsize=32)
def edge_free(core_thickness, edge_gap):
    """EdgeGap beside a core of this thickness [m], square or bevelled."""
    core = Q_(core_thickness, "m")
    return square_edge_gap(core, GAP) if edge_gap == "square" else fillet_gap(core, BEVEL, min(GAP, core))


def front_segments(places, triangles, values, level):
    """Where a value runs through a level: straight pieces (k, 2, d), one in each triangle that it crosses; infinite values count as never reached."""
    at = values[triangles]
    wet = at <= level
    crossed = np.flatnonzero(wet.any(1) & ~wet.all(1) & np.isfinite(at).all(1))
    if not crossed.size:
        return np.zeros((0, 2, places.shape[1]))
    corner, at, wet = places[triangles[crossed]], at[crossed], wet[crossed]
    lone = np.argmax(np.where(wet.sum(1)[:, None] == 1, wet, ~wet), axis=1)      # the corner that stands alone
    rows = np.arange(len(crossed))
    ends = []
    for step in (1, 2):
        other = (lone + step) % 3
        share = ((level - at[rows, lone]) / (at[rows, other] - at[rows, lone]))[:, None]
        ends.append(corner[rows, lone] + share * (corner[rows, other] - corner[rows, lone]))
    return np.stack(ends, axis=1)
