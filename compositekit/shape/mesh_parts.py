"""Faces and nodes of a raw mesh put in order: many-cornered faces split, nodes on one spot merged."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

NEAR = 1e-5  # of the part's size: nodes nearer than this are one


def split_faces(nodes, faces):
    """Triangles of faces (m, k) with k corners, the triangles of one face in a row; four corners along the shorter diagonal."""
    faces = np.asarray(faces)
    corners = faces.shape[1]
    if corners == 3:
        return faces
    if corners == 4:
        a, b, c, d = nodes[faces].transpose(1, 0, 2)
        turn = np.linalg.norm(c - a, axis=1) > np.linalg.norm(d - b, axis=1)
        faces = np.where(turn[:, None], np.roll(faces, -1, axis=1), faces)
    fan = [faces[:, [0, k, k + 1]] for k in range(1, corners - 1)]
    return np.stack(fan, axis=1).reshape(-1, 3)


def merged_nodes(nodes, triangles, near=None):
    """Nodes that are used, those within ``near`` [m] of each other as one, and the triangles renumbered."""
    used, triangles = np.unique(triangles, return_inverse=True)
    nodes, triangles = nodes[used], triangles.reshape(-1, 3)
    nodes, number = np.unique(nodes, axis=0, return_inverse=True)
    triangles = number.ravel()[triangles]
    near = NEAR * np.ptp(nodes, axis=0).max() if near is None else near
    a, b = cKDTree(nodes).query_pairs(near, output_type="ndarray").T
    if not len(a):
        return nodes, triangles
    n = len(nodes)
    spot = connected_components(coo_array((np.ones(len(a), bool), (a, b)), shape=(n, n)), directed=False)[1]
    _, first = np.unique(spot, return_index=True)
    return nodes[first], spot[triangles]
