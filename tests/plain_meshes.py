"""Plain meshes for the tests."""

from __future__ import annotations

import numpy as np

from compositekit.shape import TriangleMesh


def grid(length=2.0, width=1.0, rows=8, columns=4):
    """A flat rectangle of (rows x columns) squares, each in two triangles: nodes, triangles."""
    x, y = np.meshgrid(np.linspace(0, length, rows + 1), np.linspace(0, width, columns + 1), indexing="ij")
    number = np.arange(x.size).reshape(x.shape)
    a, b, c, d = (part.ravel() for part in (number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]))
    nodes = np.column_stack([x.ravel(), y.ravel(), np.zeros(x.size)])
    return nodes, np.concatenate([np.column_stack([a, b, c]), np.column_stack([a, c, d])])


def plate(**size):
    nodes, triangles = grid(**size)
    return TriangleMesh(nodes, triangles, flat=nodes[triangles][..., :2])


CUBE = np.array([[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4], [1, 2, 6], [1, 6, 5],
                 [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]])
CORNERS = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1]], dtype=float)


def cube(side=1.0):
    """A closed box, faces outward."""
    return TriangleMesh(CORNERS * side, CUBE)
