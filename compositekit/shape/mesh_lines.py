"""Chains of mesh nodes along a drawn line."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from ..errors import ShapeError

ASTRAY = 20.0  # a way one edge off the line counts as this many times longer


def way_along(mesh, points, stops):
    """Node numbers of the chain through ``stops`` that keeps nearest to the line; SI."""
    stops = stops[np.append(True, stops[1:] != stops[:-1])]
    if len(stops) == 1:
        return stops.astype(int)
    si = mesh.si
    off = _edge_distance(mesh, points) / si.edge_lengths.mean()
    weight = si.edge_lengths * (1 + ASTRAY * off)
    (a, b), n = si.edges.T, len(si.nodes)
    graph = csr_array((np.concatenate([weight, weight]), (np.concatenate([a, b]), np.concatenate([b, a]))), shape=(n, n))
    far, before = dijkstra(graph, indices=stops[:-1], return_predecessors=True)
    chain = [int(stops[0])]
    for row, end in enumerate(stops[1:]):
        if not np.isfinite(far[row, end]):
            raise ShapeError(f"the line jumps from node {stops[row]} to node {end}, which lie on separate pieces of the mesh; "
                             "draw one line on each piece.")
        leg = [int(end)]
        while leg[-1] != stops[row]:
            leg.append(int(before[row, leg[-1]]))
        chain += leg[-2::-1]
    return np.array(list(dict.fromkeys(chain)))


def _edge_distance(mesh, points):
    """Distance of each edge's middle from the line, in space or on the part laid flat."""
    si = mesh.si
    if points.shape[1] == 3:
        return _distance(si.nodes[si.edges].mean(1), points)
    middle = (mesh.flat + np.roll(mesh.flat, -1, axis=1)) / 2
    found = np.full(len(si.edges), np.inf)
    np.minimum.at(found, si.triangle_edges.ravel(), _distance(middle.reshape(-1, 2), points))
    return found


def _distance(places, line):
    """Distance of places (n, d) from the polyline (k, d)."""
    nearest = np.full(len(places), np.inf)
    for start, end in pairwise(line):
        step = end - start
        share = np.clip((places - start) @ step / max(step @ step, 1e-300), 0, 1)
        nearest = np.minimum(nearest, np.linalg.norm(places - start - share[:, None] * step, axis=1))
    return nearest
