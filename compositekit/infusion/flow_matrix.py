"""Linear triangles for Darcy flow in a thin part: conductances between nodes and the room for resin at each."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array, csr_array

from ..errors import RangeError


def permeability_tensor(nodes, triangles, along, across=None, direction=None):
    """Permeability of each triangle as a tensor in its own plane, (m, 3, 3) [m^2]; SI floats.

    along      [m^2]  along the direction, one or (m,)
    across     [m^2]  square to it in the plane of the part; as along if left out
    direction  in space, (3,) or (m, 3), of any length; it is laid on to each triangle. The x axis if left out
    """
    m = len(triangles)
    along = per_triangle(along, m, "permeability")
    normal = np.cross(nodes[triangles[:, 1]] - nodes[triangles[:, 0]], nodes[triangles[:, 2]] - nodes[triangles[:, 0]])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    plane = np.eye(3) - normal[:, :, None] * normal[:, None, :]
    if across is None:
        return along[:, None, None] * plane
    across = per_triangle(across, m, "permeability_across")
    given = np.broadcast_to(np.asarray((1.0, 0.0, 0.0) if direction is None else direction, dtype=float), (m, 3))
    laid = np.einsum("eij,ej->ei", plane, given)
    size = np.linalg.norm(laid, axis=1)
    lost = size <= 1e-9 * np.linalg.norm(given, axis=1)
    if np.any(lost & (along != across)):
        where = int(np.argmax(lost & (along != across)))
        raise RangeError(f"direction stands square to triangle {where}, so the way of the fibres there cannot be told; give each "
                         "triangle its own direction, as draping does.")
    laid = np.divide(laid, size[:, None], out=np.zeros_like(laid), where=~lost[:, None])
    return across[:, None, None] * plane + (along - across)[:, None, None] * laid[:, :, None] * laid[:, None, :]


def per_triangle(values, count, name):
    """One value for each triangle, (count,), from one or count values."""
    values = np.asarray(values, dtype=float)
    if values.ndim > 1 or values.size not in (1, count):
        raise RangeError(f"{name} holds {values.size} values, but the mesh has {count} triangles; give one value or one for each.")
    return np.broadcast_to(values.ravel() if values.ndim else values, (count,))


def assemble(nodes, triangles, tensor, thickness, porosity):
    """Conductance matrix L [m^3] (flow per pressure times viscosity) and storage of each node [m^3].

    Relation: L_ij = sum of h A grad N_i . K grad N_j over the triangles; m_i = sum of phi h A/3
    """
    corner = nodes[triangles]
    opposite = np.roll(corner, -2, axis=1) - np.roll(corner, -1, axis=1)  # side opposite each corner
    normal = np.cross(opposite[:, 0], opposite[:, 1])
    twice_area = np.linalg.norm(normal, axis=1)
    gradient = np.cross(normal[:, None, :], opposite) / (twice_area**2)[:, None, None]
    local = np.einsum("e,eia,eab,ejb->eij", thickness * twice_area / 2, gradient, tensor, gradient, optimize=True)
    n = len(nodes)
    row, col = np.repeat(triangles, 3, axis=1).ravel(), np.tile(triangles, (1, 3)).ravel()
    matrix = csr_array(coo_array((local.ravel(), (row, col)), shape=(n, n)))
    share = np.repeat(porosity * thickness * twice_area / 6, 3)
    return matrix, np.bincount(triangles.ravel(), share, minlength=n)


def along_edges(count, first, second, conductance):
    """Matrix of one-dimensional conductances [m^3] between pairs of nodes, to add to L."""
    conductance = np.broadcast_to(conductance, np.shape(first))
    row = np.concatenate([first, second, first, second])
    col = np.concatenate([second, first, first, second])
    values = np.concatenate([-conductance, -conductance, conductance, conductance])
    return csr_array(coo_array((values, (row, col)), shape=(count, count)))


def merged(matrix, storage, group):
    """Matrix and storage with all nodes of a group made one: R' L R and R' m."""
    n, count = len(group), int(group.max()) + 1
    gather = csr_array((np.ones(n), (group, np.arange(n))), shape=(count, n))
    return csr_array(gather @ matrix @ gather.T), gather @ storage
