"""The flat ends of a hull as triangles, joined to the nodes along the hull's edge."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely

from .laid_flat import folded
from .mesh import TriangleMesh
from .plane_mesh import plane_mesh

LEAST = 1e-9   # m^2: an end smaller than this is a point
ON = 1e-9      # m: a node nearer to the edge than this is on it


def with_ends(side, half, shared, at_end, girths, size):
    """The starboard half with the starboard halves of its ends; also which nodes (n,) it shares with its mirror image.

    side    the side in the plane, see hull_mesh
    at_end  node numbers on the first and on the last station; girths  their girth from the keel
    """
    for row, rows, girth in zip((0, -1), at_end, girths, strict=True):
        half, shared = _with_end(side, half, shared, row, rows, girth, size)
    return half, shared


def _with_end(side, half, shared, row, rows, girth, size):
    hull, offsets, line_girth = side.hull, side.offsets[row], side.out[row]
    at = np.unique(np.concatenate([girth, line_girth]))
    edge = np.column_stack([np.interp(at, line_girth, offsets[:, k]) for k in (0, 1)])
    cap = shapely.Polygon(np.concatenate([edge, [[0.0, edge[-1, 1]]]])).buffer(0)
    if cap.area <= LEAST / 2:
        return half, shared
    shapely.prepare(cap)
    longest = max(size, np.linalg.norm(np.diff(edge, axis=0), axis=1).max() * (1 + 1e-9))
    points, triangles = plane_mesh([cap.boundary], lambda places: shapely.contains_xy(cap, *places.T), longest)
    line = shapely.LineString(edge)
    places = shapely.points(points)
    on_edge = shapely.distance(places, line) <= ON
    along = shapely.line_locate_point(line, places)
    steps = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(edge, axis=0), axis=1))])
    node_along = np.interp(girth, at, steps)  # the drawn edge and the girth are one length, but for rounding
    number, half = _numbered(half, points, hull.x[row], on_edge, along, rows, node_along)
    corners = triangles if row == -1 else triangles[:, ::-1]
    flat = folded(hull, row, points)[corners]
    new = len(half.si.nodes) - len(shared)
    shared = np.concatenate([shared, np.zeros(new, bool)])
    shared[number[points[:, 0] == 0.0]] = True
    return TriangleMesh.from_si(half.si.nodes, np.concatenate([half.si.triangles, number[corners]]),
                                np.concatenate([half.zones, np.full(len(corners), "ends")]), np.concatenate([half.flat, flat])), shared


def _numbered(half, points, x, on_edge, along, rows, node_along):
    """Node numbers of the end's points, and the half with the new nodes added and its edge halved where they lie."""
    order = np.argsort(node_along)
    rows, node_along = rows[order], node_along[order]
    number = np.full(len(points), -1)
    near = np.abs(along[:, None] - node_along).argmin(1) if len(rows) else np.zeros(len(points), int)
    same = on_edge & (np.abs(along - node_along[near]) <= ON) if len(rows) else np.zeros(len(points), bool)
    number[same] = rows[near[same]]
    fresh = np.flatnonzero(~same)
    number[fresh] = len(half.si.nodes) + np.arange(len(fresh))
    nodes = np.concatenate([half.si.nodes, np.column_stack([np.full(len(fresh), x), points[fresh]])])
    inserted = {}
    for point in fresh[on_edge[fresh]]:
        after = np.searchsorted(node_along, along[point])
        if 0 < after < len(rows):
            inserted.setdefault((int(rows[after - 1]), int(rows[after])), []).append((along[point], int(number[point])))
    return number, _halved(half, nodes, inserted)


def _halved(half, nodes, inserted):
    """The half with the triangles along these edges (a, b) split at the nodes that lie on them."""
    triangles, zones, flat = half.si.triangles, half.zones, half.flat
    gone, more, names, places = [], [], [], []
    for (a, b), found in inserted.items():
        chain = [a, *(node for _, node in sorted(found)), b]
        owner = np.flatnonzero((triangles == a).any(1) & (triangles == b).any(1))
        for t in owner:
            k = next(k for k in range(3) if {triangles[t, k], triangles[t, (k + 1) % 3]} == {a, b})
            links = chain if triangles[t, k] == a else chain[::-1]
            share = np.linalg.norm(nodes[links] - nodes[links[0]], axis=1)[:, None] / np.linalg.norm(nodes[a] - nodes[b])
            start, end, tip = flat[t, k], flat[t, (k + 1) % 3], flat[t, (k + 2) % 3]
            on = start + share * (end - start)
            gone.append(t)
            more += [(p, q, triangles[t, (k + 2) % 3]) for p, q in pairwise(links)]
            places += [(p, q, tip) for p, q in pairwise(on)]
            names += [zones[t]] * (len(links) - 1)
    if not gone:
        return TriangleMesh.from_si(nodes, triangles, zones, flat)
    return TriangleMesh.from_si(nodes, np.concatenate([np.delete(triangles, gone, axis=0), more]),
                                np.concatenate([np.delete(zones, gone), names]), np.concatenate([np.delete(flat, gone, axis=0), places]))
