"""A surface of triangles laid flat like a cloth: seen from above first, then every triangle given back its own shape as nearly as its neighbours let it."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import coo_array, csr_array
from scipy.sparse.linalg import splu

from ..errors import ShapeError

UPRIGHT = 0.05     # cosine of a triangle's lean: steeper ones are as good as folded over (own judgement)
ROUNDS = 60
SETTLED = 1e-5     # of the part's size: places that move less than this in a round stay
STRETCHED = 0.10   # mean stretch beyond which lengths on the flat picture mislead (own judgement)
OVERLAP = 1e-3     # share of the area that may lie on other parts of it


@dataclass(frozen=True, eq=False)
class Unfolded:
    """Places of the corners laid flat (m, 3, 2) [m], the outline of each zone, and the mean and the greatest change of a side's length [1]."""

    flat: np.ndarray
    polygons: dict
    stretch: float
    greatest: float


@functools.lru_cache(maxsize=8)
def unfolded(mesh) -> Unfolded:
    """A mesh laid flat.

    Raises ShapeError where a triangle faces away from the best plane, so that it would fold over, or where the surface is so hollow that it does not
    lie flat without much stretch.
    Relation: least sum over sides of w |u_ij - R_t x_ij|^2, R_t the turn of triangle t (local and global steps in turn)
    """
    si = mesh.si
    facing = si.areas @ si.normals
    size = np.linalg.norm(facing)
    normal = facing / size if size > 0 else facing
    away = si.areas[si.normals @ normal < UPRIGHT].sum() / si.areas.sum()
    if away > 0:
        raise ShapeError(f"{away:.0%} of this surface from a mesh file stands upright or faces away when seen square on, so it has no outline to lay flat; give a surface that "
                         "does not fold over, such as one half of a mould, or the part by outlines, a section or stations, where lines, cut list or resin budget are wanted.")
    up = normal if normal[2] >= 0 else -normal
    along = np.array([1.0, 0.0, 0.0]) if abs(up[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    along = along - (along @ up) * up
    along /= np.linalg.norm(along)
    places = si.nodes @ along + 1j * (si.nodes @ np.cross(up, along))
    places = _relaxed(si, places, mirrored=normal[2] < 0)
    flat = np.stack([places.real, places.imag], axis=1)[si.triangles]
    first, second, third = places[si.triangles].T
    turned = ((second - first).conj() * (third - first)).imag * (-1 if normal[2] < 0 else 1)      # twice the area; below nought where folded over
    ends = np.diff(places[si.edges], axis=1)[:, 0]
    change = abs(abs(ends) / si.edge_lengths - 1)
    stretch = float(np.average(change, weights=si.edge_lengths))
    polygons = {name: shapely.union_all(shapely.polygons(flat[mesh.zones == name])).buffer(0) for name in mesh.zone_names}
    covered = shapely.union_all(list(polygons.values())).area
    if (turned <= 0).any() or abs(turned).sum() / 2 > (1 + OVERLAP) * covered or stretch > STRETCHED:
        raise ShapeError(f"this surface from a mesh file is too hollow: it has no outline to lay flat without folds or a mean stretch above {STRETCHED:.0%} (found {stretch:.0%}); "
                         "give the part by outlines, a section or stations where lines, cut list or resin budget are wanted.")
    return Unfolded(flat, polygons, stretch, float(change.max()))


def _relaxed(si, places, mirrored):
    """Places as complex numbers, turned and pulled until the triangles are as nearly as they can be in their own shape."""
    own = _own_shapes(si.corners)
    own = own.conj() if mirrored else own
    sides = np.roll(own, -1, axis=1) - own                                   # side k from corner k to the next
    twice = 2 * si.areas
    weight = np.empty(own.shape)
    for k in range(3):
        one, other = -sides[:, (k + 1) % 3], sides[:, (k + 2) % 3]           # from the far corner to both ends of side k
        weight[:, k] = np.maximum((one * other.conj()).real / twice, 0.05) / 2     # half the cotangent, never below nought
    a, b = si.sides.T
    w, n = weight.ravel(), len(si.nodes)
    links = csr_array(coo_array((w, (a, b)), shape=(n, n)))
    links = links + links.T
    held = np.zeros(n)
    held[[si.triangles[si.pieces == piece][0, 0] for piece in np.unique(si.pieces)]] = w.mean()
    alone = np.bincount(si.triangles.ravel(), minlength=n) == 0
    diagonal = links.sum(1) + held + alone
    solve = splu((coo_array((diagonal, (np.arange(n), np.arange(n))), shape=(n, n)) - links).tocsc()).solve
    size = np.sqrt(si.areas.sum())
    pinned = places.copy()
    for _ in range(ROUNDS):
        ends = places[b] - places[a]
        spin = (w * ends * sides.ravel().conj()).reshape(-1, 3).sum(1)
        pull = w * (np.repeat(spin / abs(spin), 3) * sides.ravel())
        right = np.bincount(b, pull.real, n) - np.bincount(a, pull.real, n) + 1j * (np.bincount(b, pull.imag, n) - np.bincount(a, pull.imag, n))
        right += (held + alone) * pinned
        after = solve(right.real) + 1j * solve(right.imag)
        moved = abs(after - places).max()
        places = after
        if moved < SETTLED * size:
            break
    return places


def _own_shapes(corners):
    """Each triangle in a plane of its own (m, 3), first corner at nought, second on the real axis."""
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    length = np.linalg.norm(first, axis=1)
    along = np.einsum("mk,mk->m", first, second) / length
    across = np.linalg.norm(np.cross(first, second), axis=1) / length
    return np.stack([np.zeros(len(length)) + 0j, length + 0j, along + 1j * across], axis=1)
