"""Classical lamination: plies stacked at angles, their stiffness, and what a load does to each of them.

Axes: z runs from the outer face, z = -h/2 (first ply), to the inner face; gamma is engineering shear;
an angle turns from x to the fibre, counter-clockwise. Loads N and M are per width, M = integral of sigma z.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError, ShapeError
from ..units import Q_, Spec, checked
from .ply import Ply

# --- kernels, over all plies at once -------------------------------------------------------------


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


_ELASTIC = ("thickness", "e1", "e2", "g12", "nu12")

# --- the laminate ----------------------------------------------------------------------------------


class ElasticConstants(NamedTuple):
    """Moduli [Pa] and major Poisson ratio [1] of a laminate taken as one sheet."""

    ex: pint.Quantity
    ey: pint.Quantity
    gxy: pint.Quantity
    nuxy: pint.Quantity


class Response(NamedTuple):
    """Strain and stress under a load; ply arrays have shape (plies, 2 faces, 3), outer face first.

    ``strain`` and ``stress`` are in x, y, xy; ``ply_strain`` and ``ply_stress`` in each ply's own 1, 2, 12.
    ``ply_strain`` is the whole strain, free expansion included.
    """

    midplane_strain: pint.Quantity
    curvature: pint.Quantity
    strain: pint.Quantity
    stress: pint.Quantity
    ply_strain: pint.Quantity
    ply_stress: pint.Quantity


class Laminate:
    """Plies stacked from the outer face inwards, each at its own angle.

    plies   list of Ply, the outermost first
    angles  [rad]  one angle per ply, as one quantity array or a list of quantities, e.g. Q_([0, 90], "deg")
    Raises ShapeError when there is no ply, or not one angle per ply; UnitError, RangeError.
    ``.si`` holds thickness, areal_mass, A, B, D, abd as floats and arrays.
    """

    def __init__(self, plies, angles):
        self.plies = tuple(plies) if isinstance(plies, (list, tuple)) else (plies,)
        for index, ply in enumerate(self.plies):
            if not isinstance(ply, Ply):
                raise ShapeError(f"Laminate: plies[{index}] is {type(ply).__name__}, but must be a Ply.")
            if any(np.ndim(getattr(ply.si, name)) for name in _ELASTIC):
                raise ShapeError(f"Laminate: ply {ply.name} holds several values in one field; give one ply per value.")
        theta = _angles(angles)
        if not self.plies or len(theta) != len(self.plies):
            raise ShapeError(f"Laminate: {len(self.plies)} plies came with {len(theta)} angles; "
                             "give at least one ply and one angle for each.")
        self.angles = Q_(theta, "rad")
        column = {name: np.array([getattr(ply.si, name) for ply in self.plies], dtype=float)
                  for name in _ELASTIC}
        thickness = column.pop("thickness")
        self._z = np.concatenate([[0.0], np.cumsum(thickness)]) - thickness.sum() / 2
        self._turn = strain_rotation(theta)
        self._q = reduced_stiffness(**column)
        self._q_bar = np.swapaxes(self._turn, -1, -2) @ self._q @ self._turn
        a, b, d = section_stiffness(self._q_bar, self._z)
        if np.allclose(b, 0, atol=1e-12 * np.max(a) * thickness.sum(), rtol=0):
            b = np.zeros((3, 3))   # rounding only: the stack mirrors itself
        self.si = SimpleNamespace(thickness=thickness.sum(), A=a, B=b, D=d, abd=np.block([[a, b], [b, d]]))
        self._compliance = _compliance(self.si.abd, self.si.thickness)

    @property
    def thickness(self):
        """Thickness of the stack [m]."""
        return Q_(self.si.thickness, "m")

    @property
    def areal_mass(self):
        """Cured mass per area [kg/m^2]."""
        return sum((ply.areal_mass for ply in self.plies), Q_(0.0, "kg/m^2"))

    @property
    def resin_areal_mass(self):
        """Resin per area in the cured stack [kg/m^2]."""
        return sum((ply.resin_areal_mass for ply in self.plies), Q_(0.0, "kg/m^2"))

    @property
    def A(self):
        """In-plane stiffness [N/m], (3, 3)."""
        return Q_(self.si.A, "N/m")

    @property
    def B(self):
        """Coupling of in-plane strain and bending [N], (3, 3); nought for a stack that mirrors itself."""
        return Q_(self.si.B, "N")

    @property
    def D(self):
        """Bending stiffness per width [N*m], (3, 3)."""
        return Q_(self.si.D, "N*m")

    @property
    def abd(self):
        """A, B and D in one (6, 6) array of plain SI floats, since its blocks differ in unit."""
        return self.si.abd

    def engineering_constants(self):
        """Moduli in the plane, the stack free to curl. Relation: Ex = 1/(h a11), nuxy = -a12/a11."""
        return _constants(self._compliance[:3, :3] * self.si.thickness)

    def flexural_constants(self):
        """Moduli in bending, the mid-plane free to stretch. Relation: Exf = 12/(h^3 d11), nuxyf = -d12/d11."""
        return _constants(self._compliance[3:, 3:] * self.si.thickness**3 / 12)

    @checked(N="N/m", M="N", delta_T="K in -250..250", returns=None)
    def response(self, N, M=None, delta_T=None):
        """Strain, curvature and the stress in every ply under loads per width and a change of temperature.

        N        [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,)
        M        [N]    moments per width (Mx, My, Mxy), shape (3,); left out, none
        delta_T  [K]    change of temperature, as K or delta_degC (not degC); left out, none
        Returns a Response.
        Raises RangeError for a load that is not three numbers, UnitError.
        Relation: [N + Nth; M + Mth] = [A B; B D] [e0; k], sigma = Q (e0 + z k - alpha dT)
        Source: Kaw, Mechanics of Composite Materials, ch. 4 (from memory)
        """
        load = np.concatenate([_triple(N, "N"), _triple(M, "M")])
        free = np.zeros((len(self.plies), 3))
        if delta_T is not None:
            free[:, :2] = [[ply.known("cte1") * delta_T, ply.known("cte2") * delta_T] for ply in self.plies]
        held = np.einsum("kji,kjl,kl->ki", self._turn, self._q, free)
        load = load + np.concatenate([np.diff(self._z**power) / power @ held for power in (1, 2)])
        midplane, curvature = np.split(self._compliance @ load, 2)
        z = np.stack([self._z[:-1], self._z[1:]], axis=1)
        strain = midplane + z[..., None] * curvature
        ply_strain = np.einsum("kij,kfj->kfi", self._turn, strain)
        ply_stress = np.einsum("kij,kfj->kfi", self._q, ply_strain - free[:, None, :])
        stress = np.einsum("kji,kfj->kfi", self._turn, ply_stress)
        return Response(Q_(midplane, ""), Q_(curvature, "1/m"), Q_(strain, ""), Q_(stress, "Pa"),
                        Q_(ply_strain, ""), Q_(ply_stress, "Pa"))


def _compliance(abd, thickness):
    scale = np.repeat([1.0, thickness], 3)   # brings A, B and D to one size, so thin stacks invert cleanly
    return np.linalg.inv(abd / np.outer(scale, scale)) / np.outer(scale, scale)


def _constants(compliance):
    s = compliance
    return ElasticConstants(Q_(1 / s[0, 0], "Pa"), Q_(1 / s[1, 1], "Pa"), Q_(1 / s[2, 2], "Pa"),
                            Q_(-s[0, 1] / s[0, 0], ""))


def _angles(angles):
    spec = Spec.of("rad")
    if isinstance(angles, pint.Quantity):
        return np.atleast_1d(np.asarray(spec.read(angles, "angles"), dtype=float)).ravel()
    if not isinstance(angles, (list, tuple, np.ndarray)):
        angles = [angles]
    return np.array([spec.read(angle, f"angles[{index}]") for index, angle in enumerate(angles)], dtype=float)


def _triple(load, name):
    if load is None:
        return np.zeros(3)
    if np.shape(load) != (3,):
        raise RangeError(f"response: {name} has shape {np.shape(load)}, but must be three numbers (x, y, xy).")
    return np.asarray(load, dtype=float)
