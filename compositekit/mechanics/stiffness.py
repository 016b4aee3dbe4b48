"""Stiffness of plies in their own axes, turned, and added up over a stack: bare SI arrays, any number of plies at once."""

from __future__ import annotations

import numpy as np


def reduced_stiffness(e1, e2, g12, nu12):
    """Plane-stress stiffness Q of plies in their own axes, Pa, shape (plies, 3, 3)."""
    free = 1 - nu12**2 * e2 / e1
    q = np.zeros((*np.shape(e1), 3, 3))
    q[..., 0, 0], q[..., 1, 1], q[..., 2, 2] = e1 / free, e2 / free, g12
    q[..., 0, 1] = q[..., 1, 0] = nu12 * e2 / free
    return q


def strain_rotation(angle):
    """Matrix that turns (ex, ey, gxy) into (e1, e2, g12), shape (plies, 3, 3); its transpose turns stress back."""
    c, s = np.cos(angle), np.sin(angle)
    rows = [[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]]
    return np.moveaxis(np.array(rows), (0, 1), (-2, -1))


def section_stiffness(q_bar, z):
    """A, B and D of plies with stiffness ``q_bar`` between the faces ``z``: sums over powers of z."""
    return [np.einsum("kij,k->ij", q_bar, np.diff(z**power) / power) for power in (1, 2, 3)]
