"""A sandwich: two skins on a core, its rigidities, and the stress a moment or shear force sets up in it.

Rigidities are per width, so a strip of width b has b times as much. z runs from the outer face inwards.
"""

from __future__ import annotations

import operator

import numpy as np
import pint

from ..errors import RangeError, UnitError
from ..units import Q_, checked, checked_fields
from .beam import (
    BEAM_CASES,
    RIGID_IN_SHEAR,
    beam_deflection,
    beam_peak,
    four_point_deflection,
    strip_load_deflection,
)

__all__ = ["BEAM_CASES", "RIGID_IN_SHEAR", "Sandwich", "beam_deflection", "beam_peak", "core_shear_stress",
           "facing_stress", "four_point_deflection", "layer_section", "solid_rigidity", "strip_load_deflection"]


def layer_section(moduli, thicknesses):
    """Neutral axis depth [m] and bending rigidity per width [N*m] of layers glued in order, as SI floats.

    Relation: z0 = sum(E t z)/sum(E t), D = sum E (t^3/12 + t (z - z0)^2): each layer's own term and its offset
    """
    layers, depth, middles = tuple(zip(moduli, thicknesses, strict=True)), 0.0, []
    for thickness in thicknesses:
        middles.append(depth + thickness / 2)
        depth = depth + thickness
    stretches = [modulus * thickness for modulus, thickness in layers]
    neutral = sum(map(operator.mul, stretches, middles)) / sum(stretches)
    return neutral, sum(stretch * (thickness**2 / 12 + (middle - neutral) ** 2)
                        for stretch, middle, thickness in zip(stretches, middles, thicknesses, strict=True))


@checked(outer_skin_thickness="m > 0", outer_skin_modulus="Pa > 0", inner_skin_thickness="m > 0",
         inner_skin_modulus="Pa > 0", returns="N*m")
def solid_rigidity(outer_skin_thickness, outer_skin_modulus, inner_skin_thickness, inner_skin_modulus):
    """Bending rigidity per width of the same two skins put together without a core.

    outer_skin_thickness  [m]   thickness of the outer skin
    outer_skin_modulus    [Pa]  its modulus along the beam
    inner_skin_thickness  [m]   thickness of the inner skin
    inner_skin_modulus    [Pa]  its modulus along the beam
    Returns the rigidity [N*m].
    Raises UnitError, RangeError.
    Relation: D = sum E (t^3/12 + t (z - z0)^2)
    Source: Gere, Mechanics of Materials, ch. 6 (from memory)
    """
    return layer_section((outer_skin_modulus, inner_skin_modulus), (outer_skin_thickness, inner_skin_thickness))[1]


@checked_fields(outer_skin_thickness="m > 0", outer_skin_modulus="Pa > 0", inner_skin_thickness="m > 0",
                inner_skin_modulus="Pa > 0", core_thickness="m > 0", core_modulus="Pa >= 0",
                core_shear_modulus="Pa > 0", areal_mass="kg/m^2 > 0", poisson="1 in -0.99..0.99",
                core_poisson="1 in -0.99..0.99")
class Sandwich:
    """Two skins, equal or not, on a core.

    outer_skin_thickness, inner_skin_thickness  [m]   thickness of each skin
    outer_skin_modulus, inner_skin_modulus      [Pa]  modulus of each skin along the direction asked about
    core_thickness      [m]       thickness of the core
    core_modulus        [Pa]      modulus of the core in the plane; nought is allowed and nearly true of foam
    core_shear_modulus  [Pa]      shear modulus of the core across its thickness
    areal_mass          [kg/m^2]  mass per area with resin and core; may be left out where no mass is asked
    poisson             [1]       Poisson ratio of the skins
    core_poisson        [1]       Poisson ratio of the core
    """

    outer_skin_thickness: pint.Quantity
    outer_skin_modulus: pint.Quantity
    inner_skin_thickness: pint.Quantity
    inner_skin_modulus: pint.Quantity
    core_thickness: pint.Quantity
    core_modulus: pint.Quantity
    core_shear_modulus: pint.Quantity
    areal_mass: pint.Quantity = None
    poisson: float = 0.3
    core_poisson: float = 0.3

    @classmethod
    @checked(core_thickness="m > 0", core_modulus="Pa >= 0", core_shear_modulus="Pa > 0",
             core_density="kg/m^3 > 0", resin_uptake="kg/m^2 >= 0", returns=None)
    def from_laminates(cls, outer, inner, core_thickness, core_modulus, core_shear_modulus,
                       core_density=None, resin_uptake=0.0, across=False):
        """The sandwich two laminates make on a core, seen along x, or with ``across`` along y.

        outer, inner        Laminate of each skin
        core_thickness      [m]       thickness of the core
        core_modulus        [Pa]      modulus of the core in the plane
        core_shear_modulus  [Pa]      shear modulus of the core across its thickness
        core_density        [kg/m^3]  density of the dry core; left out, the mass stays unknown
        resin_uptake        [kg/m^2]  resin the core drinks per face
        Returns a Sandwich; its Poisson ratio is sqrt(nuxy nuyx), so that E/(1 - nu^2) is the skin's plate stiffness.
        Raises UnitError, RangeError.
        """
        skins = [laminate.engineering_constants() for laminate in (outer, inner)]
        squares = [skin.nuxy.magnitude**2 * (skin.ey / skin.ex).magnitude for skin in skins]
        moduli = [(skin.ey if across else skin.ex).magnitude for skin in skins]
        mass = None if core_density is None else (
            (outer.areal_mass + inner.areal_mass).m_as("kg/m^2") + core_density * core_thickness + 2 * resin_uptake)
        return cls.from_si(
            outer_skin_thickness=outer.si.thickness, outer_skin_modulus=moduli[0],
            inner_skin_thickness=inner.si.thickness, inner_skin_modulus=moduli[1],
            core_thickness=core_thickness, core_modulus=core_modulus, core_shear_modulus=core_shear_modulus,
            areal_mass=mass, poisson=float(np.sqrt(np.mean(squares))),
        )

    def layers(self, plate=False):
        """Moduli and thicknesses from the outer face inwards as SI floats; for a plate each E/(1 - nu^2)."""
        si = self.si
        skin, core = (1 - si.poisson**2, 1 - si.core_poisson**2) if plate else (1.0, 1.0)
        return ((si.outer_skin_modulus / skin, si.core_modulus / core, si.inner_skin_modulus / skin),
                (si.outer_skin_thickness, si.core_thickness, si.inner_skin_thickness))

    @property
    def thickness(self):
        """Skins and core together [m]."""
        return Q_(sum(self.layers()[1]), "m")

    @property
    def centroid_distance(self):
        """Distance d between the middles of the two skins [m]."""
        return Q_(self.si.core_thickness + (self.si.outer_skin_thickness + self.si.inner_skin_thickness) / 2, "m")

    @property
    def flexural_rigidity(self):
        """Bending rigidity of a strip per width [N*m], with the skins' and the core's own terms."""
        return Q_(layer_section(*self.layers())[1], "N*m")

    @property
    def thin_face_rigidity(self):
        """Bending rigidity of a strip per width [N*m] by the thin-face form: each skin counts at its middle, the core not.

        Relation: D = E1 t1 E2 t2 d^2/(E1 t1 + E2 t2); E t d^2/2 for equal skins. Good enough where small_terms are small.
        """
        one, other = self.si.outer_skin_modulus * self.si.outer_skin_thickness, self.si.inner_skin_modulus * self.si.inner_skin_thickness
        return Q_(one * other * self.centroid_distance.magnitude**2 / (one + other), "N*m")

    @property
    def skins_own_rigidity(self):
        """What the two skins would bear by themselves, each bending about its own middle, per width [N*m]: sum E t^3/12."""
        si = self.si
        return Q_((si.outer_skin_modulus * si.outer_skin_thickness**3 + si.inner_skin_modulus * si.inner_skin_thickness**3) / 12, "N*m")

    @property
    def small_terms(self):
        """Skins' own term and the core's E c^3/12, each over the thin-face rigidity: below 0.01 the thin-face form will do.

        Source: Zenkert, An Introduction to Sandwich Structures, eqs 3.4-3.7 (read second-hand): for equal skins the first
        is 0.01 at d/t = 5.77, the second where 6 Ef t d^2 = 100 Ec c^3. A core stiff in its plane also shifts the axis.
        """
        thin = self.thin_face_rigidity.magnitude
        return self.skins_own_rigidity.magnitude / thin, self.si.core_modulus * self.si.core_thickness**3 / 12 / thin

    @property
    def plate_rigidity(self):
        """Bending rigidity of a wide panel per width [N*m]: as the strip's, each layer stiffer by 1/(1 - nu^2)."""
        return Q_(layer_section(*self.layers(plate=True))[1], "N*m")

    @property
    def shear_rigidity(self):
        """Shear rigidity per width [N/m]. Relation: S = G d^2/c, not G c."""
        return Q_(self.si.core_shear_modulus * self.centroid_distance.magnitude**2 / self.si.core_thickness, "N/m")

    @property
    def bulk_density(self):
        """Mass over volume [kg/m^3]: below 1000 the panel itself floats in fresh water while its core stays dry."""
        if self.si.areal_mass is None:
            raise UnitError("Sandwich: bulk_density needs areal_mass; give it when making the sandwich.")
        return Q_(self.si.areal_mass / self.thickness.magnitude, "kg/m^3")


# --- stresses ----------------------------------------------------------------------

@checked(moment="N*m", width="m > 0", returns=("Pa", "Pa"))
def facing_stress(sandwich, moment, width, at="surface"):
    """Stress along each skin under a bending moment.

    sandwich  a Sandwich
    moment    [N*m]  positive when it squeezes the outer skin, as a load on the outer face does on two supports
    width     [m]    width that carries the moment
    at        "surface" for the outermost fibres, "middle" for the middle of each skin
    Returns the stress in the outer and the inner skin [Pa], tension positive.
    Raises RangeError when ``at`` is neither.
    Relation: sigma = M E (z - z0)/(D b); for thin skins it tends to M/(b t d)
    Source: Gere, Mechanics of Materials, ch. 6 (read second-hand)
    """
    if at not in ("surface", "middle"):
        raise RangeError(f'facing_stress: at is "{at}", but must be "surface" or "middle".')
    moduli, thicknesses = sandwich.layers()
    neutral, rigidity = layer_section(moduli, thicknesses)
    inset = 0.0 if at == "surface" else 0.5
    outer = inset * thicknesses[0] - neutral
    inner = sum(thicknesses) - inset * thicknesses[2] - neutral
    curvature = moment / (rigidity * width)
    return moduli[0] * outer * curvature, moduli[2] * inner * curvature


@checked(shear_force="N", width="m > 0", returns="Pa")
def core_shear_stress(sandwich, shear_force, width):
    """Largest shear stress in the core under a shear force.

    sandwich     a Sandwich
    shear_force  [N]  shear force across the section
    width        [m]  width that carries it
    Returns the stress [Pa].
    Raises UnitError, RangeError.
    Relation: tau = V/(D b) integral of E (z - z0) from the face; for thin skins on a soft core it tends to V/(b d)
    Source: Gere, Mechanics of Materials, ch. 5 and 6 (from memory)
    """
    (skin, core, _), (t_skin, t_core, _) = moduli, thicknesses = sandwich.layers()
    neutral, rigidity = layer_section(moduli, thicknesses)
    depth = np.clip(neutral, t_skin, t_skin + t_core)   # where in the core the shear peaks
    first_moment = (skin * t_skin * (neutral - t_skin / 2)
                    + core * (depth - t_skin) * (neutral - (depth + t_skin) / 2))
    return shear_force * first_moment / (rigidity * width)
