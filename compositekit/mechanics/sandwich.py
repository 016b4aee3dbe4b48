"""A sandwich: two skins on a core, its rigidities, and beams cut from it.

Rigidities are per width, so a strip of width b has b times as much. z runs from the outer face inwards.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError, UnitError
from ..units import Q_, checked, checked_fields

RIGID_IN_SHEAR = Q_(1e30, "N/m")   # for a solid laminate, whose shear is too small to count


def layer_section(moduli, thicknesses):
    """Neutral axis depth [m] and bending rigidity per width [N*m] of layers glued in order, as SI floats.

    Relation: z0 = sum(E t z)/sum(E t), D = sum E (t^3/12 + t (z - z0)^2): each layer's own term and its offset
    """
    moduli, thicknesses = np.split(np.stack(np.broadcast_arrays(*moduli, *thicknesses)), 2)
    middle = np.cumsum(thicknesses, axis=0) - thicknesses / 2
    stretch = moduli * thicknesses
    neutral = (stretch * middle).sum(axis=0) / stretch.sum(axis=0)
    return neutral, (moduli * thicknesses**3 / 12 + stretch * (middle - neutral) ** 2).sum(axis=0)


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
                       core_density=None, resin_uptake=0.0):
        """The sandwich two laminates make on a core, seen along x.

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
        mass = None if core_density is None else (
            (outer.areal_mass + inner.areal_mass).m_as("kg/m^2") + core_density * core_thickness + 2 * resin_uptake)
        return cls.from_si(
            outer_skin_thickness=outer.si.thickness, outer_skin_modulus=skins[0].ex.magnitude,
            inner_skin_thickness=inner.si.thickness, inner_skin_modulus=skins[1].ex.magnitude,
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


# --- beams ---------------------------------------------------------------------------------------


class BeamCase(NamedTuple):
    """Constants of one way to hold and load a beam with a whole load W over a span L.

    deflection = bending W L^3/D + shear W L/S, moment = moment W L, shear force = shear_force W
    """

    bending: float
    shear: float
    moment: float
    shear_force: float


BEAM_CASES = {
    "supported uniform": BeamCase(5 / 384, 1 / 8, 1 / 8, 1 / 2),
    "supported centre": BeamCase(1 / 48, 1 / 4, 1 / 4, 1 / 2),
    "four point thirds": BeamCase(23 / 1296, 1 / 6, 1 / 6, 1 / 2),
    "four point quarters": BeamCase(11 / 768, 1 / 8, 1 / 8, 1 / 2),
    "cantilever end": BeamCase(1 / 3, 1.0, 1.0, 1.0),
    "cantilever uniform": BeamCase(1 / 8, 1 / 2, 1 / 2, 1.0),
    "clamped uniform": BeamCase(1 / 384, 1 / 8, 1 / 12, 1 / 2),
    "clamped centre": BeamCase(1 / 192, 1 / 4, 1 / 8, 1 / 2),
}


def _case(case):
    if case not in BEAM_CASES:
        raise RangeError(f'the beam case "{case}" is not known; it must be one of {", ".join(BEAM_CASES)}.')
    return BEAM_CASES[case]


@checked(flexural_rigidity="N*m > 0", shear_rigidity="N/m > 0", width="m > 0", span="m > 0", load="N", returns="m")
def beam_deflection(flexural_rigidity, shear_rigidity, width, span, load, case="supported centre"):
    """Largest deflection of a sandwich strip: bending of the skins plus shear of the core.

    flexural_rigidity  [N*m]  bending rigidity per width
    shear_rigidity     [N/m]  shear rigidity per width; RIGID_IN_SHEAR for a solid laminate
    width              [m]    width of the strip
    span               [m]    between supports, or the length of a cantilever
    load               [N]    whole load on the strip
    case               one of BEAM_CASES
    Returns the deflection [m]: at mid-span, or at the free end of a cantilever.
    Raises RangeError for an unknown case.
    Relation: w = kb W L^3/(D b) + ks W L/(S b)
    Valid: small deflections, supports that do not crush the core
    Source: beam constants, statics (own reference)
    """
    k = _case(case)
    return (k.bending * load * span**3 / flexural_rigidity + k.shear * load * span / shear_rigidity) / width


@checked(flexural_rigidity="N*m > 0", shear_rigidity="N/m > 0", width="m > 0", span="m > 0", load_span="m >= 0",
         load="N", returns="m")
def four_point_deflection(flexural_rigidity, shear_rigidity, width, span, load_span, load):
    """Mid-span deflection of a strip on two supports under two equal loads; load_span nought is one load.

    flexural_rigidity  [N*m]  bending rigidity per width
    shear_rigidity     [N/m]  shear rigidity per width; RIGID_IN_SHEAR for a solid laminate
    width              [m]    width of the strip
    span               [m]    between supports, S
    load_span          [m]    between the two loads, L
    load               [N]    both loads together, P
    Returns the deflection [m].
    Raises RangeError when load_span is not shorter than span.
    Relation: w = P (2 S^3 - 3 S L^2 + L^3)/(96 D) + P (S - L)/(4 U)
    Valid: ASTM D7250 advises span/thickness above 20 and skin/core thickness below 0.1 (scope page, read)
    Source: ASTM D7250, restated openly (read second-hand)
    """
    if np.any(load_span >= span):
        raise RangeError(f"four_point_deflection: load_span is {np.max(load_span):g} m, but must be shorter than "
                         f"span, {np.min(span):g} m.")
    bending = load * (2 * span**3 - 3 * span * load_span**2 + load_span**3) / (96 * flexural_rigidity)
    return (bending + load * (span - load_span) / (4 * shear_rigidity)) / width


@checked(flexural_rigidity="N*m > 0", shear_rigidity="N/m > 0", width="m > 0", span="m > 0", strip_width="m >= 0",
         load="N", returns="m")
def strip_load_deflection(flexural_rigidity, shear_rigidity, width, span, strip_width, load):
    """Mid-span deflection of a strip on two supports, its centre load spread over a short length.

    flexural_rigidity  [N*m]  bending rigidity per width
    shear_rigidity     [N/m]  shear rigidity per width; RIGID_IN_SHEAR for a solid laminate
    width              [m]    width of the strip
    span               [m]    between supports, L
    strip_width        [m]    length along the span that the load is spread over, a
    load               [N]    whole load, P
    Returns the deflection [m].
    Raises RangeError when strip_width is longer than span.
    Relation: w = P (8 L^3 - 4 L a^2 + a^3)/(384 D) + P (L - a/2)/(4 U)
    Source: statics (own reference)
    """
    if np.any(strip_width > span):
        raise RangeError(f"strip_load_deflection: strip_width is {np.max(strip_width):g} m, but cannot pass span, "
                         f"{np.min(span):g} m.")
    bending = load * (8 * span**3 - 4 * span * strip_width**2 + strip_width**3) / (384 * flexural_rigidity)
    return (bending + load * (span - strip_width / 2) / (4 * shear_rigidity)) / width


@checked(load="N", span="m > 0", returns=("N*m", "N"))
def beam_peak(case, load, span):
    """Largest bending moment and shear force in a beam.

    case  one of BEAM_CASES
    load  [N]  whole load
    span  [m]  between supports, or the length of a cantilever
    Returns the moment [N*m] and the shear force [N], both as sizes without sign for a positive load.
    Raises RangeError for an unknown case.
    Relation: M = km W L, V = kv W
    Source: beam constants, statics (own reference)
    """
    k = _case(case)
    return k.moment * load * span, k.shear_force * load


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
