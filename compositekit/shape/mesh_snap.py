"""A mesh whose nodes are drawn on to lines, so that a line is where it was drawn and not half a triangle beside it."""

from __future__ import annotations

import numpy as np
import shapely

from .mesh import TriangleMesh

LEAST = 0.2      # of a triangle's area on the part laid flat, which no move may take it below


def drawn_onto(mesh, lines):
    """A mesh of the same triangles with the nodes of each chain moved on to its line, along the surface.

    mesh   TriangleMesh that is laid flat
    lines  (node numbers (k,), corners of the line on the part laid flat (j, 2) in metres) of each
    Nodes on the rim, on a border of zones or on a fold that the laying flat cuts open stay, and so does a node whose move
    would flatten a triangle. Returns a TriangleMesh; the same one where nothing moves.
    """
    place = _places(mesh)
    target = place.copy()
    free = ~_held(mesh)
    for nodes, points in lines:
        nodes = np.asarray(nodes)[free[nodes]]
        line = shapely.LineString(points)
        at = shapely.line_locate_point(line, shapely.points(place[nodes]))
        target[nodes] = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
        free[nodes] = False     # where lines cross, the first has it
    moved = _kept(mesh, place, target)
    if not moved.any():
        return mesh
    corners, flat = mesh.si.triangles, mesh.flat.copy()
    inside = moved[corners]
    flat[inside] = target[corners[inside]]
    nodes = mesh.si.nodes.copy()
    nodes[moved] = _in_space(mesh, np.flatnonzero(moved), target)
    return TriangleMesh.from_si(nodes, corners, mesh.zones, flat)


def _places(mesh):
    """A place on the part laid flat for each node (n, 2)."""
    place = np.zeros((len(mesh.si.nodes), 2))
    place[mesh.si.triangles.ravel()] = mesh.flat.reshape(-1, 2)
    return place


def _held(mesh):
    """Nodes (n,) on the rim, on a border of zones, or with several places on the part laid flat."""
    corners, place = mesh.si.triangles, _places(mesh)
    held = np.zeros(len(place), dtype=bool)
    held[mesh.rim_nodes()] = True
    zone = np.unique(mesh.zones, return_inverse=True)[1]
    least, most = np.full(len(place), len(zone)), np.full(len(place), -1)
    np.minimum.at(least, corners, zone[:, None])
    np.maximum.at(most, corners, zone[:, None])
    apart = np.linalg.norm(mesh.flat - place[corners], axis=2) > 1e-6
    held[corners[apart]] = True
    return held | (least != most)


def _kept(mesh, place, target):
    """Which nodes (n,) may move, taking back every move that flattens a triangle."""
    moved = (np.linalg.norm(target - place, axis=1) > 1e-9)
    corners, before = mesh.si.triangles, _twice_area(mesh.flat)
    while True:
        flat = np.where(moved[corners][..., None], target[corners], mesh.flat)
        bad = _twice_area(flat) / before < LEAST
        take_back = np.zeros_like(moved)
        take_back[corners[bad]] = True
        if not (take_back & moved).any():
            return moved
        moved &= ~take_back


def _twice_area(flat):
    a, b = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


def _in_space(mesh, nodes, target):
    """Where places on the part laid flat lie in space (k, 3): on the triangle round the old node that holds them best."""
    wanted = np.full(len(mesh.si.nodes), -1)
    wanted[nodes] = np.arange(len(nodes))
    triangle, corner = np.nonzero(wanted[mesh.si.triangles] >= 0)
    number = wanted[mesh.si.triangles[triangle, corner]]
    flat = mesh.flat[triangle]
    sides = np.diff(flat, axis=1).transpose(0, 2, 1)
    share = np.linalg.solve(sides, (target[nodes[number]] - flat[:, 0])[..., None])[..., 0]
    weight = np.column_stack([1 - share[:, 0], share[:, 0] - share[:, 1], share[:, 1]])
    order = np.lexsort((weight.min(axis=1), number))
    last = np.append(number[order][1:] != number[order][:-1], True)      # the best of each node comes last
    best = order[last]
    return np.einsum("nk,nkd->nd", weight[best], mesh.si.corners[triangle[best]])
