"""Beams cut from a sandwich or a laminate: how far they sag and what they carry, by case and load."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import RangeError
from ..units import Q_, checked

RIGID_IN_SHEAR = Q_(1e30, "N/m")   # for a solid laminate, whose shear is too small to count


class BeamCase(NamedTuple):
    """Constants of one way to hold and load a beam with a whole load W over a span L.

    deflection = bending W L^3/D + shear W L/S, moment = moment W L, shear force = shear_force W
    sagging, hogging  largest moment over W L that squeezes, or pulls, the loaded face
    pressed           largest share of W that stands on one line; nought for an even load
    """

    bending: float
    shear: float
    sagging: float
    hogging: float
    shear_force: float
    pressed: float

    @property
    def moment(self):
        """Largest moment over W L, whichever way it bends."""
        return max(self.sagging, self.hogging)


BEAM_CASES = {
    "supported uniform": BeamCase(5 / 384, 1 / 8, 1 / 8, 0.0, 1 / 2, 0.0),
    "supported centre": BeamCase(1 / 48, 1 / 4, 1 / 4, 0.0, 1 / 2, 1.0),
    "four point thirds": BeamCase(23 / 1296, 1 / 6, 1 / 6, 0.0, 1 / 2, 1 / 2),
    "four point quarters": BeamCase(11 / 768, 1 / 8, 1 / 8, 0.0, 1 / 2, 1 / 2),
    "cantilever end": BeamCase(1 / 3, 1.0, 0.0, 1.0, 1.0, 1.0),
    "cantilever uniform": BeamCase(1 / 8, 1 / 2, 0.0, 1 / 2, 1.0, 0.0),
    "clamped uniform": BeamCase(1 / 384, 1 / 8, 1 / 24, 1 / 12, 1 / 2, 0.0),
    "clamped centre": BeamCase(1 / 192, 1 / 4, 1 / 8, 1 / 8, 1 / 2, 1.0),
}


def beam_case(case) -> BeamCase:
    """The constants of a named case. Raises RangeError for an unknown one."""
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
    k = beam_case(case)
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
    k = beam_case(case)
    return k.moment * load * span, k.shear_force * load
