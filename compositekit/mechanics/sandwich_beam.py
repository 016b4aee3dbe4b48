"""One sandwich beam, answered whole: how far it sags, by thin and by thick skins, and what every part of it bears."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError
from ..units import Q_, checked
from .beam import beam_case
from .sandwich import Sandwich, core_shear_stress, facing_stress


class BeamAnswer(NamedTuple):
    """What a load does to a sandwich beam.

    deflection          m, bending and shear together
    bending, shear      m, its two parts
    stiff_skins         m, the same deflection counting that the skins resist a kink where the shear force jumps
    sagging, hogging    N*m, largest moment that squeezes, and that pulls, the loaded face
    shear_force         N, largest
    outer_stress, inner_stress   Pa, in the face of each skin where its stress is largest, tension positive; the skins' own bending
                        where the shear force jumps is in it
    core_shear          Pa, largest shear stress in the core
    """

    deflection: pint.Quantity
    bending: pint.Quantity
    shear: pint.Quantity
    stiff_skins: pint.Quantity
    sagging: pint.Quantity
    hogging: pint.Quantity
    shear_force: pint.Quantity
    outer_stress: pint.Quantity
    inner_stress: pint.Quantity
    core_shear: pint.Quantity


def _sech(x):
    return 2 * np.exp(-x) / (1 + np.exp(-2 * x))


def _tail(x, share):
    """sinh(share x)/cosh(x/2), without overflow."""
    return np.exp((share - 0.5) * x) * -np.expm1(-2 * share * x) / (1 + np.exp(-x))


# share of the thin-skin shear deflection that is left, over x = beta L; from gamma'' - beta^2 gamma = -beta^2 V D0/(D S),
# with no slip where the section is held or by symmetry, and no skin moment at a free or supported end
_LEFT = {
    "supported uniform": lambda x: 1 - 8 * (1 - _sech(x / 2)) / x**2,
    "supported centre": lambda x: 1 - np.tanh(x / 2) / (x / 2),
    "four point thirds": lambda x: 1 - _tail(x, 1 / 3) / (x / 3),
    "four point quarters": lambda x: 1 - _tail(x, 1 / 4) / (x / 4),
    "cantilever end": lambda x: 1 - np.tanh(x) / x,
    "cantilever uniform": lambda x: 1 - 2 * np.tanh(x) / x + 2 * (1 - _sech(x)) / x**2,
    "clamped uniform": lambda x: 1 - np.tanh(x / 4) / (x / 4),
    "clamped centre": lambda x: 1 - np.tanh(x / 4) / (x / 4),
}


def _coth(x):
    return 1 / np.tanh(x)


def _both_sides(x, share):
    """2 sinh(share x) cosh((1/2 - share) x)/cosh(x/2), without overflow."""
    return -np.expm1(-2 * share * x) * (1 + np.exp(-(1 - 2 * share) * x)) / (1 + np.exp(-x))


# the skins' own curvature beyond that of the whole section where the moment is largest, from the same equation: gamma' there,
# over W D0/(D S L)
_KINK = {
    "supported uniform": lambda x: 1 - _sech(x / 2),
    "supported centre": lambda x: x / 2 * np.tanh(x / 2),
    "four point thirds": lambda x: x / 4 * _both_sides(x, 1 / 3),
    "four point quarters": lambda x: x / 4 * _both_sides(x, 1 / 4),
    "cantilever end": lambda x: x * np.tanh(x),
    "cantilever uniform": lambda x: x * np.tanh(x) - 1 + _sech(x),
    "clamped uniform": lambda x: x / 2 * _coth(x / 2) - 1,
    "clamped centre": lambda x: x / 2 * np.tanh(x / 4),
}


def slenderness(sandwich, span):
    """beta L of the skins' resistance to a kink [1], SI; large (above 30, say) means that it hardly counts.

    Relation: beta^2 = S D/(Df (D - Df)), Df = sum E t^3/12 of the two skins
    """
    rigidity, own = sandwich.flexural_rigidity.magnitude, sandwich.skins_own_rigidity.magnitude
    return span * np.sqrt(sandwich.shear_rigidity.magnitude * rigidity / (own * (rigidity - own)))


def fits_span(sandwich, span, where):
    """Refuse a core as thick as the span: neither beam theory nor the builder means that."""
    if np.any(sandwich.si.core_thickness >= span):
        raise RangeError(f"{where}: core_thickness is {np.max(sandwich.si.core_thickness):g} m, but the span is only {np.min(span):g} m; "
                         "beam theory wants a span of many core thicknesses. Check the units of both.")


@checked(span="m > 0", width="m > 0", load="N", returns=None)
def sandwich_beam(sandwich: Sandwich, case, span, width, load) -> BeamAnswer:
    """Deflection, moments and stresses of a sandwich beam, all at once.

    sandwich  a Sandwich, numbers or arrays; its outer skin is the loaded face
    case      one of BEAM_CASES
    span      [m]  between supports, or the length of a cantilever
    width     [m]  width of the beam
    load      [N]  whole load
    Returns a BeamAnswer.
    Raises RangeError for an unknown case, or a core as thick as the span.
    Relation: w = kb W L^3/(D b) + ks W L/(S b); stiff skins: the second part times (1 - Df/D)^2 f(beta L); skin stress
              E e (M - Df g)/D + E t/2 (M + D0 g)/D, e from neutral axis to mid-skin, D0 = D - Df, g = W D0/(D S L b) k(beta L)
    Valid: small deflections, supports that do not crush the core; spans above about 20 thicknesses (ASTM D7250 scope, read).
           Own plane-stress FE, 2 mm skins on 25 mm foam: an even load to 0.5 %, a 20 mm strip in the middle to 7 % (300 mm) and
           2 % (600 mm). A very soft core (Ec 0.1 MPa) sags 3.5 times less than by deflection at 300 mm; stiff_skins holds to 0.3 %.
           Skin stress, same FE, Ec 0.1 to 100 MPa: an even load to 0.5 %, where the plain section's M y/I is up to 27 times too low;
           a load in the middle is taken as a line: over a 20 mm strip that is 1.2 to 1.8 times the far skin's stress, and 0.88
           (Ec 0.1 MPa) to 1.2 times (100 MPa) the loaded skin's
    Source: beam constants, statics; stiff skins, Allen, Analysis and Design of Structural Sandwich Panels, ch. 2 (from
            memory), all cases worked out anew (own reference)
    """
    k = beam_case(case)
    fits_span(sandwich, span, "sandwich_beam")
    rigidity, own = sandwich.flexural_rigidity.magnitude, sandwich.skins_own_rigidity.magnitude
    bending = k.bending * load * span**3 / (rigidity * width)
    shear = k.shear * load * span / (sandwich.shear_rigidity.magnitude * width)
    stiff = bending + shear * (1 - own / rigidity) ** 2 * _LEFT[case](slenderness(sandwich, span))
    sagging, hogging, force = k.sagging * load * span, k.hogging * load * span, k.shear_force * load
    outer, inner = _skin_stress(sandwich, case, k, span, width, load)
    values = (bending + shear, bending, shear, stiff, sagging, hogging, force, outer, inner, core_shear_stress.si(sandwich, force, width))
    units = ("m",) * 4 + ("N*m",) * 2 + ("N",) + ("Pa",) * 3
    return BeamAnswer(*(Q_(value, unit) for value, unit in zip(values, units, strict=True)))


def _skin_stress(sandwich, case, k, span, width, load):
    """Stress in the faces of both skins [Pa] where the moment is largest: skins pulled and pushed as one section, and bent by themselves."""
    rigidity, own = sandwich.flexural_rigidity.magnitude, sandwich.skins_own_rigidity.magnitude
    kink = (rigidity - own) / (rigidity * sandwich.shear_rigidity.magnitude) * _KINK[case](slenderness(sandwich, span)) / span
    sense = 1 if k.sagging >= k.hogging else -1
    moment, kink = sense * load * k.moment * span, sense * load * kink     # the skins bend on in the sense of the moment
    whole = [facing_stress.si(sandwich, one, width, at) for one, at in (
        (moment - own * kink, "middle"), (moment + (rigidity - own) * kink, "surface"), (moment + (rigidity - own) * kink, "middle"))]
    return tuple(middle + surface - centre for middle, surface, centre in zip(*whole, strict=True))
