"""Edges turned to the Delaunay condition in the metric of the inverse permeability.

Where permeability is strongly directional a triangle's obtuse angle, as the resin sees it, lets a node draw resin out of
the front; swapping the diagonal of two triangles mends it (solver S9 and S10, read second-hand).
"""

from __future__ import annotations

import numpy as np

from .compiled import compiled


@compiled
def _entry(a, b, c, k, thickness):
    """L_ab of the triangle abc laid flat, (2,) each, k = (k_tt, k_tn, k_nn)."""
    ax, ay, bx, by = c[0] - b[0], c[1] - b[1], a[0] - c[0], a[1] - c[1]
    twice_area = abs(ax * by - ay * bx)
    # h A grad a . K grad b with grad a = (side opposite a turned a quarter)/(2 A)
    return thickness * (ay * (k[0] * by - k[1] * bx) - ax * (k[1] * by - k[2] * bx)) / (2 * twice_area)


@compiled
def _components(tensor, t, n):
    out = np.zeros(3)
    for i in range(3):
        for j in range(3):
            out[0] += t[i] * tensor[i, j] * t[j]
            out[1] += t[i] * tensor[i, j] * n[j]
            out[2] += n[i] * tensor[i, j] * n[j]
    return out


@compiled
def _square_to(t, v):
    """Unit vector square to t towards v, and how far v reaches along both."""
    along = np.dot(t, v)
    rest = v - along * t
    height = np.sqrt(np.dot(rest, rest))
    return rest / max(height, 1e-300), along, height


@compiled
def _swap(nodes, triangles, tensor, thickness, porosity, one, two, a, b, c, d):
    """Swap the diagonal a-b of the triangles abc and bad for c-d if that lessens a positive entry; tells whether."""
    side = nodes[b] - nodes[a]
    length = np.sqrt(np.dot(side, side))
    t = side / length
    n_one, x_c, y_c = _square_to(t, nodes[c] - nodes[a])
    n_two, x_d, y_d = _square_to(t, nodes[d] - nodes[a])
    pa, pb, pc, pd = np.array([0.0, 0.0]), np.array([length, 0.0]), np.array([x_c, y_c]), np.array([x_d, -y_d])
    crossing = x_c + (x_d - x_c) * y_c / (y_c + y_d)
    if not 1e-3 * length < crossing < length * (1 - 1e-3):
        return False
    area_one, area_two = length * y_c / 2, length * y_d / 2
    total = area_one + area_two
    h = (area_one * thickness[one] + area_two * thickness[two]) / total
    k = (area_one * _components(tensor[one], t, n_one) + area_two * _components(tensor[two], t, -n_two)) / total
    old = _entry(pa, pb, pc, k, h) + _entry(pb, pa, pd, k, h)
    new = _entry(pc, pd, pa, k, h) + _entry(pd, pc, pb, k, h)
    if not (old > 1e-9 * h * (k[0] + k[2]) and new < old):
        return False
    room = (area_one * thickness[one] * porosity[one] + area_two * thickness[two] * porosity[two]) / total / h
    # the mean tensor seen along the new diagonal, then set into each new triangle's plane
    across = pd - pc
    size = np.sqrt(np.dot(across, across))
    ux, uy = across[0] / size, across[1] / size
    ktt = k[0] * ux * ux + 2 * k[1] * ux * uy + k[2] * uy * uy
    ktn = ux * uy * (k[2] - k[0]) + k[1] * (ux * ux - uy * uy)
    knn = k[0] * uy * uy - 2 * k[1] * ux * uy + k[2] * ux * ux
    diagonal = nodes[d] - nodes[c]
    s = diagonal / np.sqrt(np.dot(diagonal, diagonal))
    n_b, _, _ = _square_to(s, nodes[b] - nodes[c])  # (ux, uy) turned a quarter anticlockwise points to b
    n_a, _, _ = _square_to(s, nodes[a] - nodes[c])
    for where, n in ((one, -n_a), (two, n_b)):
        for i in range(3):
            for j in range(3):
                tensor[where, i, j] = ktt * s[i] * s[j] + ktn * (s[i] * n[j] + n[i] * s[j]) + knn * n[i] * n[j]
        thickness[where], porosity[where] = h, room
    triangles[one] = np.array([a, d, c])
    triangles[two] = np.array([d, b, c])
    return True


@compiled
def _flip_all(nodes, triangles, tensor, thickness, porosity, sides, touching, may):
    """Work through a stack of edges until none is left to swap.

    sides  (m, 3) edge of each side;  touching  (e, 2) its two triangles;  may  (e,) whether it may be swapped
    """
    stack = [e for e in range(len(touching))]
    flips, most = 0, 20 * len(touching)
    while len(stack) > 0 and flips < most:
        e = stack.pop()
        if not may[e]:
            continue
        one, two = touching[e]
        i, j = np.argmax(sides[one] == e), np.argmax(sides[two] == e)
        a, b = triangles[one, i], triangles[one, (i + 1) % 3]
        if triangles[two, j] != b:  # the two do not run the same way round: turn the second
            triangles[two] = triangles[two][::-1].copy()
            sides[two] = np.array([sides[two, 1], sides[two, 0], sides[two, 2]])
            j = np.argmax(sides[two] == e)
        c, d = triangles[one, (i + 2) % 3], triangles[two, (j + 2) % 3]
        if not _swap(nodes, triangles, tensor, thickness, porosity, one, two, a, b, c, d):
            continue
        flips += 1
        bc, ca = sides[one, (i + 1) % 3], sides[one, (i + 2) % 3]
        ad, db = sides[two, (j + 1) % 3], sides[two, (j + 2) % 3]
        sides[one] = np.array([ad, e, ca])
        sides[two] = np.array([db, bc, e])
        for k in range(2):
            if touching[ad, k] == two:
                touching[ad, k] = one
            if touching[bc, k] == one:
                touching[bc, k] = two
        stack += [bc, ca, ad, db]
    return flips


def flipped(nodes, triangles, tensor, thickness, porosity, zones):
    """Copies of triangles, tensor, thickness and porosity after all swaps that lessen a positive entry of L; SI.

    Only edges inside one zone are swapped, and none beside a triangle that lets nothing through.
    """
    m = len(triangles)
    ends = np.sort(np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2), axis=1)
    key = ends[:, 0].astype(np.int64) * len(nodes) + ends[:, 1]
    _, number, uses = np.unique(key, return_inverse=True, return_counts=True)
    number = number.ravel()
    by_edge = np.argsort(number, kind="stable") // 3
    first = np.cumsum(uses) - uses
    touching = np.stack([by_edge[first], by_edge[np.minimum(first + 1, 3 * m - 1)]], axis=1)
    open_ = np.einsum("eii->e", tensor) > 0
    zone = np.unique(zones, return_inverse=True)[1].ravel()
    may = (uses == 2) & (zone[touching[:, 0]] == zone[touching[:, 1]]) & open_[touching].all(1)
    new = [np.array(triangles, np.int64), np.array(tensor), np.array(thickness, float), np.array(porosity, float)]
    _flip_all(np.ascontiguousarray(nodes), *new, number.reshape(m, 3), touching, may)
    return new
