"""What follows from nodes and triangles alone: areas, normals, edges, rim, loops and pieces, in SI."""

from __future__ import annotations

import functools

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree


class MeshNumbers:
    """SI arrays of a triangle mesh, each worked out once, when first asked for.

    nodes      (n, 3) [m]
    triangles  (m, 3) node numbers, anticlockwise seen from outside
    Side k of a triangle runs from its corner k to its next corner.
    """

    def __init__(self, nodes, triangles):
        self.nodes, self.triangles = nodes, triangles

    @functools.cached_property
    def corners(self):
        """Places of the corners (m, 3, 3) [m]."""
        return self.nodes[self.triangles]

    @functools.cached_property
    def _crossed(self):
        a, b, c = self.corners.transpose(1, 0, 2)
        return np.cross(b - a, c - a)

    @functools.cached_property
    def areas(self):
        """Area of each triangle (m,) [m^2]."""
        return np.linalg.norm(self._crossed, axis=1) / 2

    @functools.cached_property
    def normals(self):
        """Unit normal of each triangle (m, 3); nought where it has no area."""
        twice = 2 * self.areas[:, None]
        return np.divide(self._crossed, twice, out=np.zeros_like(self._crossed), where=twice > 0)

    @functools.cached_property
    def centres(self):
        """Middle of each triangle (m, 3) [m]."""
        return self.corners.mean(1)

    @functools.cached_property
    def sides(self):
        """Both ends (3 m, 2) of every triangle side, side k of triangle t at row 3 t + k."""
        return np.stack([self.triangles, np.roll(self.triangles, -1, axis=1)], axis=2).reshape(-1, 2)

    @functools.cached_property
    def _edge_table(self):
        ends = np.sort(self.sides, axis=1)
        _, first, number = np.unique(ends[:, 0] * len(self.nodes) + ends[:, 1], return_index=True, return_inverse=True)
        return ends[first], number.reshape(-1, 3)

    @property
    def edges(self):
        """Every edge once (e, 2), lower node first."""
        return self._edge_table[0]

    @property
    def triangle_edges(self):
        """Edge number of each side (m, 3)."""
        return self._edge_table[1]

    @functools.cached_property
    def edge_lengths(self):
        """Length of each edge (e,) [m]."""
        return np.linalg.norm(np.diff(self.nodes[self.edges], axis=1)[:, 0], axis=1)

    @functools.cached_property
    def edge_uses(self):
        """How many triangles share each edge (e,)."""
        return np.bincount(self.triangle_edges.ravel(), minlength=len(self.edges))

    @functools.cached_property
    def rim(self):
        """Edges of one triangle only (r, 2), in the direction in which the triangle runs."""
        return self.sides[self.edge_uses[self.triangle_edges.ravel()] == 1]

    @functools.cached_property
    def shared_sides(self):
        """Rows of ``sides`` (p, 2) that share an edge two and two."""
        number = self.triangle_edges.ravel()
        rows = np.flatnonzero(self.edge_uses[number] == 2)
        return rows[np.argsort(number[rows], kind="stable")].reshape(-1, 2)

    @functools.cached_property
    def neighbours(self):
        """Triangle across each side (m, 3); -1 at the rim and where more than two triangles meet."""
        found = np.full(3 * len(self.triangles), -1)
        found[self.shared_sides[:, 0]], found[self.shared_sides[:, 1]] = self.shared_sides[:, 1] // 3, self.shared_sides[:, 0] // 3
        return found.reshape(-1, 3)

    @functools.cached_property
    def turned_against(self):
        """Pairs of neighbouring triangles (k, 2) that run along their common edge the same way: one lies upside down."""
        one, other = self.shared_sides.T
        return np.column_stack([one, other])[self.sides[one, 0] == self.sides[other, 0]] // 3

    @functools.cached_property
    def graph(self):
        """Edge lengths between nodes as a sparse symmetric matrix (n, n) [m]."""
        a, b = self.edges.T
        both = np.concatenate([self.edge_lengths, self.edge_lengths])
        return csr_array((both, (np.concatenate([a, b]), np.concatenate([b, a]))), shape=(len(self.nodes),) * 2)

    @functools.cached_property
    def pieces(self):
        """Piece number of each triangle (m,): triangles that share an edge are one piece."""
        one, other = self.shared_sides.T // 3
        links = coo_array((np.ones(len(one), bool), (one, other)), shape=(len(self.triangles),) * 2)
        return connected_components(links, directed=False)[1]

    @functools.cached_property
    def loops(self):
        """Each closed way round the rim as node numbers, the longest first."""
        after = {}
        for a, b in self.rim.tolist():
            after.setdefault(a, []).append(b)
        found = []
        while after:
            start = node = next(iter(after))
            loop = []
            while node in after:
                loop.append(node)
                onward = after[node]
                node = onward.pop()
                if not onward:
                    del after[loop[-1]]
                if node == start:
                    break
            found.append(np.array(loop))
        return sorted(found, key=lambda loop: -self.loop_length(loop))

    def loop_length(self, loop):
        """Length of one closed loop [m]."""
        return float(np.linalg.norm(self.nodes[loop] - self.nodes[np.roll(loop, -1)], axis=1).sum())

    @functools.cached_property
    def smallest_angles(self):
        """Smallest angle of each triangle (m,) [rad]."""
        sides = np.roll(self.corners, -1, axis=1) - self.corners
        unit = sides / np.linalg.norm(sides, axis=2, keepdims=True)
        return np.arccos(np.clip(-(unit * np.roll(unit, 1, axis=1)).sum(2), -1, 1)).min(1)

    @functools.cached_property
    def tree(self):
        """Nodes in a tree for finding the nearest."""
        return cKDTree(self.nodes)
