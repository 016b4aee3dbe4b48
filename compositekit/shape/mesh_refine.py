"""A mesh cut finer, its surface unchanged."""

from __future__ import annotations

import numpy as np

from .mesh import TriangleMesh

LONG = 1.6  # longest side over the asked size

# Corners 0, 1, 2 and side middles 3 (0-1), 4 (1-2), 5 (2-0) of the new triangles, by how many sides are halved.
_ONE = np.array([[0, 3, 2], [3, 1, 2]])
_TWO = np.array([[0, 3, 2], [3, 1, 4], [3, 4, 2]])
_ALL = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2], [3, 4, 5]])


def refined(mesh, size):
    """The mesh with every side halved that is longer than about ``size`` [m], again and again; zones and flat places kept."""
    while (mesh.si.edge_lengths > LONG * size).any():
        mesh = halved(mesh, _with_longest(mesh.si, mesh.si.edge_lengths > LONG * size))
    return mesh


def halved(mesh, cut):
    """The mesh with the marked edges (e,) halved and their triangles split; zones and flat places kept."""
    si = mesh.si
    side_cut = cut[si.triangle_edges]
    middle = np.full(len(si.edges), -1)
    middle[cut] = len(si.nodes) + np.arange(cut.sum())
    nodes = np.concatenate([si.nodes, si.nodes[si.edges[cut]].mean(1)])
    turn = _first_cut(side_cut)
    cut_sides = np.take_along_axis(side_cut, turn, axis=1)
    corner = np.take_along_axis(si.triangles, turn, axis=1)
    label = np.concatenate([corner, middle[np.take_along_axis(si.triangle_edges, turn, axis=1)]], axis=1)
    flat = None
    if mesh.flat is not None:
        flat = np.take_along_axis(mesh.flat, turn[:, :, None], axis=1)
        flat = np.concatenate([flat, (flat + np.roll(flat, -1, axis=1)) / 2], axis=1)
    triangles, zones, flats = [], [], []
    for count, pattern in ((0, np.array([[0, 1, 2]])), (1, _ONE), (2, _TWO), (3, _ALL)):
        rows = np.flatnonzero(cut_sides.sum(1) == count)
        triangles.append(label[rows][:, pattern].reshape(-1, 3))
        zones.append(np.repeat(mesh.zones[rows], len(pattern)))
        if flat is not None:
            flats.append(flat[rows][:, pattern].reshape(-1, 3, 2))
    return TriangleMesh.from_si(nodes, np.concatenate(triangles), np.concatenate(zones), np.concatenate(flats) if flats else None)


def _with_longest(si, cut):
    """Also the longest side of every triangle that has any side halved, so that angles do not waste away."""
    longest = np.take_along_axis(si.triangle_edges, si.edge_lengths[si.triangle_edges].argmax(1)[:, None], axis=1)[:, 0]
    while True:
        more = np.unique(longest[cut[si.triangle_edges].any(1)])
        if cut[more].all():
            return cut
        cut = cut.copy()
        cut[more] = True


def _first_cut(side_cut):
    """Order of corners (m, 3) that brings a halved side first, and with two halved brings the whole one last."""
    count = side_cut.sum(1)
    start = np.where(count == 1, side_cut.argmax(1), np.where(count == 2, (np.argmin(side_cut, axis=1) + 1) % 3, 0))
    return (start[:, None] + np.arange(3)) % 3
