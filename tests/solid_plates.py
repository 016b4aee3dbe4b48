"""Panels by 27-node bricks, layer by layer: an independent answer for the panel cases (scikit-fem, as in the reference page)."""

from __future__ import annotations

import numpy as np
import skfem as sk
from skfem.helpers import sym_grad


def orthotropic_stiffness(e1, e2, e3, nu12, nu13, nu23, g23, g13, g12):
    """6 by 6 stiffness of one layer, order xx yy zz yz xz xy."""
    s = np.diag([1 / e1, 1 / e2, 1 / e3, 1 / g23, 1 / g13, 1 / g12])
    s[0, 1] = s[1, 0] = -nu12 / e1
    s[0, 2] = s[2, 0] = -nu13 / e1
    s[1, 2] = s[2, 1] = -nu23 / e2
    return np.linalg.inv(s)


def even_stiffness(modulus, poisson):
    shear = modulus / (2 * (1 + poisson))
    return orthotropic_stiffness(*[modulus] * 3, *[poisson] * 3, *[shear] * 3)


def solid_plate(layers, length, width, push, edges, cells, patch=None, graded=True):
    """Deflection in the middle at mid-depth [m] of a quarter panel under ``push`` [Pa] on its top, all over or on a central patch.

    layers  (thickness, elements through it, 6 by 6 stiffness), from below
    push    a number, or a function of x and y counted from the middle
    edges   "hard" (no slip along the edge), "clamped" (nothing moves), "skins hinged" (the middle of each skin is held,
            so that the section cannot turn but each skin by itself can)
    """
    z = np.concatenate([[0.0], *(start + np.linspace(0, thick, count + 1)[1:] for start, (thick, count, _) in
                                 zip(np.cumsum([0, *(layer[0] for layer in layers)]), layers, strict=False))])
    grids = []
    for way, side in enumerate((length / 2, width / 2)):
        share = np.linspace(0, 1, cells + 1)
        at = side * (1 - (1 - share) ** 2 if graded else share)
        if patch is not None:   # the patch's side must lie on a line of the grid
            inner = np.linspace(0, patch[way] / 2, cells // 2 + 1)
            at = np.concatenate([inner, patch[way] / 2 + (side - patch[way] / 2) * share[1:] ** 1.3])
        grids.append(at)
    mesh = sk.MeshHex.init_tensor(*grids, z)
    element = sk.ElementVector(sk.ElementHex2())
    basis = sk.Basis(mesh, element, intorder=4)
    which = np.repeat(np.arange(len(layers)), [layer[1] for layer in layers])
    middles = mesh.p[2, mesh.t].mean(axis=0)
    layer = which[np.searchsorted(z, middles) - 1]
    c = np.repeat(np.array([item[2] for item in layers])[layer].transpose(1, 2, 0)[..., None], basis.dx.shape[1], axis=3)

    @sk.BilinearForm
    def stiffness(u, v, _):
        a, b = sym_grad(u), sym_grad(v)
        strain, virtual = ([e[0, 0], e[1, 1], e[2, 2], 2 * e[1, 2], 2 * e[0, 2], 2 * e[0, 1]] for e in (a, b))
        return sum(c[i, j] * strain[j] * virtual[i] for i in range(6) for j in range(6) if (i < 3 and j < 3) or i == j)

    @sk.LinearForm
    def load(v, at):
        size = push(at.x[0], at.x[1]) if callable(push) else push
        under = 1.0 if patch is None else (at.x[0] < patch[0] / 2) & (at.x[1] < patch[1] / 2)
        return size * under * v[2]

    top = sk.FacetBasis(mesh, element, facets=mesh.facets_satisfying(lambda x: np.isclose(x[2], z[-1])), intorder=6)
    force = load.assemble(top)
    held = [_on(basis, mesh, 0, 0.0, ["u^1"]), _on(basis, mesh, 1, 0.0, ["u^2"])]
    for way, side in ((0, length / 2), (1, width / 2)):
        along, across = (["u^2"], ["u^1"]) if way == 0 else (["u^1"], ["u^2"])
        names = ["u^3", *along] + (across if edges == "clamped" else [])
        held.append(_on(basis, mesh, way, side, names))
        if edges == "skins hinged":
            depths = layers[0][0] / 2, z[-1] - layers[-1][0] / 2
            name = int(across[0][-1]) - 1
            place = basis.doflocs
            lines = np.isclose(place[way], side) & (np.isclose(place[2], depths[0]) | np.isclose(place[2], depths[1]))
            kind = np.zeros(basis.N, dtype=int)
            for part in range(3):
                kind[basis.get_dofs(elements=True).all([f"u^{part + 1}"])] = part
            held.append(np.flatnonzero(lines & (kind == name)))
    moved = sk.solve(*sk.condense(stiffness.assemble(basis), force, D=np.unique(np.concatenate(held))))
    spot = basis.probes(np.array([[1e-9], [1e-9], [z[-1] / 2]]))
    return float((spot @ moved).reshape(3)[2])


def _on(basis, mesh, way, at, names):
    return basis.get_dofs(mesh.facets_satisfying(lambda x: np.isclose(x[way], at))).all(names)
