"""Bent strips reduced to properties: how stiff the skins are, how stiff the core is in shear.

A sandwich strip on two supports, under one load (``load_span`` nought) or two, sinks by bending and by core shear.
Two set-ups with different spans tell the two apart; one set-up is enough when skin or core is known.
Rigidities are per width, as in ``mechanics.sandwich``.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError
from ..mechanics.sandwich import layer_section
from ..units import Q_, checked

# true reading over the one written down -> what such a slip looks like
SLIPS = {25.4: "inches written down as millimetres", 1 / 25.4: "millimetres written down as inches",
         1000.0: "metres written down as millimetres", 1 / 1000.0: "millimetres written down as metres"}
SKIN_MODULI = (1.5e9, 300e9)   # no skin is softer than bare resin (2.5 GPa and up) or stiffer than carbon
CORE_MODULI = (1e6, 1e9)       # no sandwich core lies outside in shear
ILL_CONDITIONED = 10.0         # own judgement: an error of 1 % in a deflection may become 10 % in a rigidity


class Rigidities(NamedTuple):
    """Bending and shear rigidity per width, and how far the set-ups can tell them apart."""

    flexural_rigidity: pint.Quantity
    shear_rigidity: pint.Quantity
    condition_number: float
    misfit: float
    caution: str


def compliance_terms(span, load_span):
    """Bending [m^3] and shear [m] term of the mid-span deflection under one or two loads, as SI floats.

    Relation: (2 S^3 - 3 S L^2 + L^3)/96 and (S - L)/4
    """
    return (2 * span**3 - 3 * span * load_span**2 + load_span**3) / 96, (span - load_span) / 4


@checked(span="m > 0", load_span="m >= 0", load="N > 0", deflection="m > 0", width="m > 0", returns=None)
def two_span_rigidities(span, load_span, load, deflection, width) -> Rigidities:
    """Bending and shear rigidity of a strip from two set-ups or more, by least squares on relative errors.

    span        [m]  between supports, one per set-up, at least two
    load_span   [m]  between the two loads, nought for one load; one per set-up
    load        [N]  whole load in each set-up
    deflection  [m]  mid-span deflection under it, with the give of the machine taken off
    width       [m]  width of the strip, or one per set-up
    Returns Rigidities: flexural_rigidity [N*m], shear_rigidity [N/m], condition_number, misfit (largest relative
            deflection error of the fit), caution.
    Raises UnitError, RangeError.
    Relation: w b/P = (2 S^3 - 3 S L^2 + L^3)/(96 D) + (S - L)/(4 U), D and U per width
    Valid: ASTM D7250 advises span/thickness above 20; skins bending under a single load on a short span make the core
           read some 10 % stiff (SW-12), so prefer two loads
    Source: ASTM D7250, restated openly (SW-09, read second-hand)
    """
    span, load_span, load, deflection, width = _set_ups(span, load_span, load, deflection, width)
    bending, shear = compliance_terms(span, load_span)
    measured = deflection * width / load
    compliance, misfit, condition = _fit(bending, shear, measured)
    caution = ""
    if condition > ILL_CONDITIONED:
        caution = (f"The set-ups are nearly alike (condition number {condition:.0f}, above {ILL_CONDITIONED:g}): an error of "
                   f"1 % in a deflection may become {condition:.0f} % in a rigidity. Add a much shorter or longer span.")
    slip = _slipped_set_up(bending, shear, measured, misfit, compliance)
    if min(compliance) <= 0:
        raise RangeError(
            "two_span_rigidities: the set-ups contradict each other, for no strip with a bending and a shear rigidity "
            f"above nought sinks like this{slip}")
    if slip:
        raise RangeError(f"two_span_rigidities: the best fit misses a deflection by {100 * misfit:.0f} %{slip}")
    return Rigidities(Q_(1 / compliance[0], "N*m"), Q_(1 / compliance[1], "N/m"), condition, misfit, caution)


def _set_ups(*arguments):
    try:
        arrays = np.broadcast_arrays(*map(np.atleast_1d, arguments))
    except ValueError:
        raise RangeError("two_span_rigidities: span, load_span, load, deflection and width must have the same number "
                         f"of set-ups, but have {', '.join(str(np.size(a)) for a in arguments)}.") from None
    span, load_span = arrays[0], arrays[1]
    if span.ndim != 1 or span.size < 2:
        raise RangeError(f"two_span_rigidities: {span.size} set-up given, but bending and shear can only be told apart "
                         "with two different spans; with one span use facing_modulus or core_shear_modulus.")
    two_loads_inside(span, load_span, "two_span_rigidities")
    if len(set(zip(span.tolist(), load_span.tolist(), strict=True))) < 2:
        raise RangeError("two_span_rigidities: all set-ups have the same spans, so bending and shear cannot be told "
                         "apart; test the strip on a second span.")
    return arrays


def two_loads_inside(span, load_span, function):
    """Refuse two loads set wider than the supports."""
    if np.any(load_span >= span):
        raise RangeError(f"{function}: load_span is {np.max(load_span):g} m, but must be shorter than span, "
                         f"{np.min(span):g} m.")


def _fit(bending, shear, measured):
    """Compliances (1/D, 1/S), largest relative misfit, and condition number with both columns scaled alike."""
    matrix = np.column_stack([bending, shear]) / measured[:, None]
    scale = np.linalg.norm(matrix, axis=0)
    solution, *_ = np.linalg.lstsq(matrix / scale, np.ones(len(measured)), rcond=None)
    misfit = float(np.max(np.abs(matrix / scale @ solution - 1)))
    return solution / scale, misfit, float(np.linalg.cond(matrix / scale))


def _slipped_set_up(bending, shear, measured, misfit, compliance):
    """Say which one deflection, in another unit, would bring the set-ups together; empty if all is well."""
    possible = min(compliance) > 0
    if possible and misfit < 0.2:
        return ""
    found = []
    for place in range(len(measured)):
        for factor, words in SLIPS.items():
            tried = measured.copy()
            tried[place] *= factor
            mended, rest, _ = _fit(bending, shear, tried)
            if min(mended) > 0 and rest < 0.1:
                found.append((round(rest, 6), place, words))
    if not found:
        return "; check loads, spans and deflections."
    likely = [f"that of set-up {place + 1} like {words}" for rest, place, words in sorted(found) if rest == min(found)[0]]
    return f". Among the deflections, {' or '.join(likely)} would explain it."


@checked(flexural_rigidity="N*m > 0", skin_thickness="m > 0", core_thickness="m > 0", core_modulus="Pa >= 0",
         returns="Pa")
def facing_modulus_from_rigidity(flexural_rigidity, skin_thickness, core_thickness, core_modulus=0.0):
    """Modulus of two equal skins from the bending rigidity of the strip.

    flexural_rigidity  [N*m]  bending rigidity per width
    skin_thickness     [m]    thickness of one skin
    core_thickness     [m]    thickness of the core
    core_modulus       [Pa]   modulus of the core along the strip; nought is nearly true of foam
    Returns the modulus [Pa].
    Raises UnitError, RangeError.
    Relation: D = E (t d^2/2 + t^3/6) + Ec c^3/12, d = c + t
    Source: Zenkert, restated openly (SW-08, read second-hand)
    """
    return (flexural_rigidity - core_modulus * core_thickness**3 / 12) / _skins_alone(skin_thickness, core_thickness)


@checked(shear_rigidity="N/m > 0", skin_thickness="m > 0", core_thickness="m > 0", returns="Pa")
def core_shear_modulus_from_rigidity(shear_rigidity, skin_thickness, core_thickness):
    """Shear modulus of the core from the shear rigidity of the strip.

    shear_rigidity  [N/m]  shear rigidity per width
    skin_thickness  [m]    thickness of one skin, both alike
    core_thickness  [m]    thickness of the core
    Returns the modulus [Pa].
    Raises UnitError, RangeError.
    Relation: G = S c/d^2, d = c + t
    Source: ASTM D7250, restated openly (SW-09, read second-hand)
    """
    return shear_rigidity * core_thickness / (core_thickness + skin_thickness) ** 2


@checked(span="m > 0", load_span="m >= 0", load="N > 0", deflection="m > 0", width="m > 0", skin_thickness="m > 0",
         core_thickness="m > 0", core_shear_modulus="Pa > 0", core_modulus="Pa >= 0", returns="Pa")
def facing_modulus(span, load_span, load, deflection, width, skin_thickness, core_thickness, core_shear_modulus,
                   core_modulus=0.0):
    """Modulus of two equal skins from one span, the core being known.

    span                [m]   between supports
    load_span           [m]   between the two loads, nought for one load
    load                [N]   whole load
    deflection          [m]   mid-span deflection under it, with the give of the machine taken off
    width               [m]   width of the strip
    skin_thickness      [m]   thickness of one skin
    core_thickness      [m]   thickness of the core
    core_shear_modulus  [Pa]  shear modulus of the core
    core_modulus        [Pa]  modulus of the core along the strip; nought is nearly true of foam
    Returns the modulus [Pa].
    Raises RangeError when it comes out as no skin's can be, saying which slip of unit would explain it.
    Relation: w - P (S - L)/(4 U) = P (2 S^3 - 3 S L^2 + L^3)/(96 D)
    Valid: long spans, where shear is the smaller part
    Source: ASTM D7250, restated openly (SW-09, read second-hand)
    """
    two_loads_inside(span, load_span, "facing_modulus")
    bending, shear = compliance_terms(span, load_span)
    rigidity = core_shear_modulus * (core_thickness + skin_thickness) ** 2 / core_thickness

    def modulus(deflection):
        left = deflection * width / load - shear / rigidity
        return facing_modulus_from_rigidity.si(bending / left, skin_thickness, core_thickness, core_modulus)

    return _believable("facing_modulus", modulus, deflection, SKIN_MODULI, "composite skin")


@checked(span="m > 0", load_span="m >= 0", load="N > 0", deflection="m > 0", width="m > 0", skin_thickness="m > 0",
         core_thickness="m > 0", facing_modulus="Pa > 0", core_modulus="Pa >= 0", returns="Pa")
def core_shear_modulus(span, load_span, load, deflection, width, skin_thickness, core_thickness, facing_modulus,
                       core_modulus=0.0):
    """Shear modulus of the core from one span, the skins being known.

    span            [m]   between supports
    load_span       [m]   between the two loads, nought for one load
    load            [N]   whole load
    deflection      [m]   mid-span deflection under it, with the give of the machine taken off
    width           [m]   width of the strip
    skin_thickness  [m]   thickness of one skin, both alike
    core_thickness  [m]   thickness of the core
    facing_modulus  [Pa]  modulus of the skins
    core_modulus    [Pa]  modulus of the core along the strip; nought is nearly true of foam
    Returns the modulus [Pa].
    Raises RangeError when it comes out as no core's can be, saying which slip of unit would explain it.
    Relation: w - P (2 S^3 - 3 S L^2 + L^3)/(96 D) = P (S - L)/(4 U), G = U c/(b d^2)
    Valid: short spans, where shear is a good part; a single load on a short span reads the core some 10 % stiff (SW-12)
    Source: ASTM D7250, restated openly (SW-09, read second-hand)
    """
    two_loads_inside(span, load_span, "core_shear_modulus")
    bending, shear = compliance_terms(span, load_span)
    rigidity = facing_modulus * _skins_alone(skin_thickness, core_thickness) + core_modulus * core_thickness**3 / 12

    def modulus(deflection):
        left = deflection * width / load - bending / rigidity
        return core_shear_modulus_from_rigidity.si(shear / left, skin_thickness, core_thickness)

    return _believable("core_shear_modulus", modulus, deflection, CORE_MODULI, "sandwich core")


@checked(span="m > 0", load_span="m >= 0", load="N > 0", deflection="m > 0", width="m > 0", thickness="m > 0",
         returns="Pa")
def flexural_modulus(span, load_span, load, deflection, width, thickness):
    """Modulus of a solid laminate strip in bending.

    span        [m]  between supports
    load_span   [m]  between the two loads, nought for one load
    load        [N]  whole load
    deflection  [m]  mid-span deflection under it, with the give of the machine taken off
    width       [m]  width of the strip
    thickness   [m]  thickness of the strip
    Returns the modulus [Pa].
    Raises RangeError when it comes out as no laminate's can be, saying which slip of unit would explain it.
    Relation: E = 12 P (2 S^3 - 3 S L^2 + L^3)/(96 b h^3 w); with one load P S^3/(4 b h^3 w)
    Valid: span/thickness 16 or more, 32 to 60 where shear must not count (D790, read second-hand)
    Source: ASTM D790 and D7250, restated openly (SW-09, read second-hand)
    """
    two_loads_inside(span, load_span, "flexural_modulus")
    bending, _ = compliance_terms(span, load_span)
    return _believable("flexural_modulus", lambda deflection: 12 * load * bending / (width * thickness**3 * deflection),
                       deflection, SKIN_MODULI, "composite laminate")


def _skins_alone(skin_thickness, core_thickness):
    """Bending rigidity per width and per modulus of two equal skins held apart [m^3]."""
    return layer_section((1.0, 0.0, 1.0), (skin_thickness, core_thickness, skin_thickness))[1]


def _believable(function, modulus, deflection, limits, thing):
    """The modulus at the deflection given, or an error that names the slip of unit which would explain it."""
    with np.errstate(divide="ignore", invalid="ignore"):
        value = modulus(deflection)
        if np.all((value >= limits[0]) & (value <= limits[1])):
            return value
        slips = [words for factor, words in SLIPS.items()
                 if np.all((modulus(factor * deflection) >= limits[0]) & (modulus(factor * deflection) <= limits[1]))]
    worst = np.ravel(value)[np.argmax(np.abs(np.log(np.clip(np.ravel(value), 1e-3, 1e30) / np.sqrt(limits[0] * limits[1]))))]
    shown = "nought or below" if worst <= 0 else "without end" if not np.isfinite(worst) else f"{worst / 1e9:.3g} GPa"
    hint = (f" The deflection of {1e3 * float(np.mean(deflection)):.4g} mm looks like {' or '.join(slips)}."
            if slips else " Check spans, load, thicknesses and deflection and their units.")
    raise RangeError(f"{function} comes out as {shown}, but no {thing} lies outside {limits[0] / 1e9:g} to "
                     f"{limits[1] / 1e9:g} GPa.{hint}")
