"""Which faces to turn so that all run the same way round."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from ..errors import ShapeError


def faces_to_turn(si):
    """Mask of the triangles (m,) to turn over: the lesser share by area of each piece, or what faces inward when closed.

    Every face is entered twice, as it is and turned; neighbours that agree are tied. Each piece then falls into two sets
    that are each other's reverse, and one of the two is taken.
    """
    m = len(si.triangles)
    one, other = si.shared_sides.T
    turned = m * (si.sides[one, 0] == si.sides[other, 0])
    one, other = one // 3, other // 3
    ties = (np.concatenate([one, one + m]), np.concatenate([other + turned, (other + m + turned) % (2 * m)]))
    label = connected_components(coo_array((np.ones(2 * len(one), bool), ties), shape=(2 * m, 2 * m)), directed=False)[1]
    as_is, reverse = label[:m], label[m:]
    if np.any(as_is == reverse):
        face = si.centres[np.argmax(as_is == reverse)]
        raise ShapeError(f"the surface near ({face[0]:.3g}, {face[1]:.3g}, {face[2]:.3g}) m has only one side, like a twisted band; "
                         "cut it open there.")
    worth = np.bincount(label, weights=np.concatenate([si.areas, np.zeros(m)]))
    if np.any(closed := _closed(si)):
        a, b, c = (si.corners - si.nodes.mean(0)).transpose(1, 0, 2)
        cone = np.where(closed, np.einsum("ij,ij->i", a, np.cross(b, c)), 0.0)
        enclosed = np.bincount(label, weights=np.concatenate([cone, -cone]))
        worth = np.where(enclosed != 0, enclosed, worth)
    mine, theirs = worth[as_is], worth[reverse]
    return (mine < theirs) | ((mine == theirs) & (as_is > reverse))


def _closed(si):
    """Triangles (m,) of pieces without a loose edge."""
    loose = (si.neighbours < 0).any(1)
    return ~np.isin(si.pieces, si.pieces[loose])
