"""Shear between the plies of a bent laminate, from equilibrium of what the plies pull."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked


@checked(shear_force="N/m", returns="Pa")
def interlaminar_shear(laminate, shear_force):
    """Shear stress through the thickness at the outer face, middle and inner face of every ply.

    laminate     a Laminate
    shear_force  [N/m]  shear forces per width (Qx, Qy), shape (2,)
    Returns the stresses (xz, yz) [Pa], shape (plies, 3 points, 2).
    Raises RangeError for a shear force that is not two numbers, UnitError.
    Relation: tau(z) = -integral from -h/2 to z of Q (e0' + z k'), with [e0'; k'] from M' = (Qx, 0, 0) along x and
              (0, Qy, 0) along y
    Valid: away from free edges and point loads, where plies peel; compare to a tested interlaminar strength
    Source: Batoz and Dhatt, vol. 2, in Code_Aster V3.03.121 (read second-hand)
    """
    if np.shape(shear_force) != (2,):
        raise RangeError(f"interlaminar_shear: shear_force has shape {np.shape(shear_force)}, but must be two numbers (Qx, Qy).")
    qx, qy = np.asarray(shear_force, dtype=float)
    slopes = []
    for moment, rows in (([qx, 0.0, 0.0], (0, 2)), ([0.0, qy, 0.0], (2, 1))):   # along x: sx and txy change; along y: txy and sy
        faces = type(laminate).response.si(laminate, np.zeros(3), np.array(moment)).stress.magnitude
        slopes.append(faces[..., rows])
    slope = slopes[0] + slopes[1]                                # (plies, 2 faces, 2): straight through each ply
    t = np.array([ply.si.thickness for ply in laminate.plies])[:, None]
    outer, inner = slope[:, 0], slope[:, 1]
    half, whole = t * (3 * outer + inner) / 8, t * (outer + inner) / 2
    start = np.vstack([np.zeros(2), np.cumsum(whole, axis=0)[:-1]])
    return 0.0 - np.stack([start, start + half, start + whole], axis=1)
