"""Classical lamination: plies stacked at angles, their stiffness, and what a load does to each of them.

Axes: z runs from the outer face, z = -h/2 (first ply), to the inner face; gamma is engineering shear;
an angle turns from x to the fibre, counter-clockwise. Loads N and M are per width, M = integral of sigma z.
"""

from __future__ import annotations

from functools import cached_property
from types import SimpleNamespace

import numpy as np

from ..errors import RangeError, ShapeError
from ..units import Q_, checked
from .angles import read_angles
from .laminate_results import ElasticConstants, MutualInfluence, Response, elastic_constants, mutual_influence
from .ply import Ply
from .stiffness import reduced_stiffness, section_stiffness, strain_rotation

__all__ = ["ElasticConstants", "Laminate", "MutualInfluence", "Response", "read_plies", "reduced_stiffness",
           "section_stiffness", "strain_rotation"]

_ELASTIC = ("thickness", "e1", "e2", "g12", "nu12")


class Laminate:
    """Plies stacked from the outer face inwards, each at its own angle.

    plies   list of Ply, the outermost first
    angles  [rad]  one angle per ply, as one quantity array or a list of quantities, e.g. Q_([0, 90], "deg")
    Raises ShapeError when there is no ply, or not one angle per ply; UnitError for angles that look like radians
    given as degrees, RangeError for angles beyond a full turn (degrees given as radians).
    ``.si`` holds thickness, A, B, D, abd as floats and arrays.
    """

    def __init__(self, plies, angles):
        self.plies = read_plies(plies, "Laminate")
        theta = read_angles(angles)
        if len(theta) != len(self.plies):
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
        self._scale = np.repeat([1.0, self.si.thickness], 3)   # brings A, B and D to one size, so thin stacks solve cleanly

    @cached_property
    def _compliance(self):
        return np.linalg.inv(self.si.abd / np.outer(self._scale, self._scale)) / np.outer(self._scale, self._scale)

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

    @property
    def a(self):
        """In-plane compliance, the stack free to curl [m/N], (3, 3): mid-plane strain per N."""
        return Q_(self._compliance[:3, :3], "m/N")

    @property
    def b(self):
        """Coupling compliance [1/N], (3, 3): mid-plane strain per M; its transpose is the curvature per N."""
        return Q_(self._compliance[:3, 3:], "1/N")

    @property
    def d(self):
        """Bending compliance, the mid-plane free to stretch [1/(N*m)], (3, 3): curvature per M."""
        return Q_(self._compliance[3:, 3:], "1/(N*m)")

    def engineering_constants(self):
        """Moduli in the plane, the stack free to curl. Relation: Ex = 1/(h a11), nuxy = -a12/a11."""
        return elastic_constants(self._compliance[:3, :3] * self.si.thickness)

    def flexural_constants(self):
        """Moduli in bending, the mid-plane free to stretch. Relation: Exf = 12/(h^3 d11), nuxyf = -d12/d11."""
        return elastic_constants(self._compliance[3:, 3:] * self.si.thickness**3 / 12)

    def mutual_influence(self):
        """Coefficients of mutual influence in the plane. Relation: eta_xy,x = a16/a11, eta_x,xy = a16/a66 (Jones ch. 2)."""
        return mutual_influence(self._compliance[:3, :3])

    @checked(N="N/m", M="N", delta_T="delta_K in -250..250", delta_C="1 in -0.5..0.5", returns=None)
    def response(self, N, M=None, delta_T=None, delta_C=None):
        """Strain, curvature and the stress in every ply under loads per width and a change of temperature or moisture.

        N        [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,)
        M        [N]    moments per width (Mx, My, Mxy), shape (3,); left out, none
        delta_T  [delta_K]    change of temperature, as K or delta_degC (not degC); left out, none
        delta_C  [1]    change of moisture, as a share of the ply's mass, alike in every ply; left out, none
        Returns a Response.
        Raises RangeError for a load that is not three numbers, UnitError for a ply without cte1, cte2 or cme1, cme2.
        Relation: [N + Nth; M + Mth] = [A B; B D] [e0; k], sigma = Q (e0 + z k - alpha dT - beta dC)
        Source: Kaw, Mechanics of Composite Materials, ch. 4 (from memory)
        """
        load = np.concatenate([_triple(N, "N"), _triple(M, "M")])
        free = np.zeros((len(self.plies), 3))
        for change, along, across in ((delta_T, "cte1", "cte2"), (delta_C, "cme1", "cme2")):
            if change is not None:
                free[:, :2] += [[ply.known(along) * change, ply.known(across) * change] for ply in self.plies]
        held = np.einsum("kji,kjl,kl->ki", self._turn, self._q, free)
        load = load + np.concatenate([np.diff(self._z**power) / power @ held for power in (1, 2)])
        midplane, curvature = np.split(self._solve(load), 2)
        z = np.stack([self._z[:-1], self._z[1:]], axis=1)
        strain = midplane + z[..., None] * curvature
        ply_strain = np.einsum("kij,kfj->kfi", self._turn, strain)
        ply_stress = np.einsum("kij,kfj->kfi", self._q, ply_strain - free[:, None, :])
        stress = np.einsum("kji,kfj->kfi", self._turn, ply_stress)
        return Response(Q_(midplane, ""), Q_(curvature, "1/m"), Q_(strain, ""), Q_(stress, "Pa"),
                        Q_(ply_strain, ""), Q_(ply_stress, "Pa"))

    def _solve(self, load):
        return np.linalg.solve(self.si.abd / np.outer(self._scale, self._scale), load / self._scale) / self._scale

    @checked(stress_free_temperature="K > 0", temperature="K > 0", returns=None)
    def cure_stress(self, stress_free_temperature, temperature):
        """Stress and curl left in the stack after cure, by cooling from where it set without stress.

        stress_free_temperature  [K]  temperature at which the resin set: of the cure, or what a curled strip shows
        temperature              [K]  temperature now
        Returns a Response under no load; to add loads, give ``response`` the difference as delta_T.
        Raises UnitError for a ply without cte1 and cte2, RangeError for more than 250 K.
        Relation: delta_T = T - T_free; shrinkage of the resin in curing is left out, relaxation too
        Source: Kaw, Mechanics of Composite Materials, ch. 4 (from memory)
        """
        change = temperature - stress_free_temperature
        return self.response(Q_(np.zeros(3), "N/m"), delta_T=Q_(change, "K"))

    def thermal_expansion(self):
        """Mid-plane strain per degree, free of load [1/K]: (x, y, xy). A stack with B also curls: see ``response``."""
        return self.response(Q_(np.zeros(3), "N/m"), delta_T=Q_(1.0, "K")).midplane_strain / Q_(1.0, "K")

    def moisture_expansion(self):
        """Mid-plane strain per change of moisture content, free of load [1]: (x, y, xy)."""
        return self.response(Q_(np.zeros(3), "N/m"), delta_C=0.1).midplane_strain / 0.1

    def strain_energy(self, response):
        """Elastic energy stored per area [J/m^2] in a Response of this laminate, residual stresses included.

        Relation: U = 1/2 sum integral sigma S sigma dz, exact for stress that runs straight through each ply;
        under loads alone it equals 1/2 (N e0 + M k)
        Source: Clapeyron's theorem (textbook form, from memory)
        """
        stress = response.ply_stress.m_as("Pa")
        if np.shape(stress) != (len(self.plies), 2, 3):
            raise ShapeError(f"strain_energy: the response is of {len(stress)} plies, the laminate of {len(self.plies)}; "
                             "give the response this laminate returned.")
        strain = np.linalg.solve(self._q[:, None], stress[..., None])[..., 0]
        face = np.einsum("kfi,kgi->kfg", stress, strain)
        return Q_(np.diff(self._z) @ (face.sum(axis=(1, 2)) + np.trace(face, axis1=1, axis2=2)) / 12, "J/m^2")


def read_plies(plies, owner):
    """Plies as a tuple; ShapeError for none, for another thing, or for a ply that holds several values in one field."""
    plies = tuple(plies) if isinstance(plies, (list, tuple)) else (plies,)
    if not plies:
        raise ShapeError(f"{owner}: 0 plies came; give at least one.")
    for index, ply in enumerate(plies):
        if not isinstance(ply, Ply):
            raise ShapeError(f"{owner}: plies[{index}] is {type(ply).__name__}, but must be a Ply.")
        if any(np.ndim(getattr(ply.si, name)) for name in _ELASTIC):
            raise ShapeError(f"{owner}: ply {ply.name} holds several values in one field; give one ply per value.")
    return plies


def _triple(load, name):
    if load is None:
        return np.zeros(3)
    if np.shape(load) != (3,):
        raise RangeError(f"response: {name} has shape {np.shape(load)}, but must be three numbers (x, y, xy).")
    return np.asarray(load, dtype=float)
