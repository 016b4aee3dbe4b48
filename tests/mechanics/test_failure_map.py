"""The failure map of a beam: borders where two closed forms are equal, each mode in its corner, a map of textbook kind, bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.beam import BEAM_CASES, beam_deflection
from compositekit.mechanics.failure_map import failure_map
from compositekit.mechanics.sandwich import Sandwich, core_shear_stress, facing_stress
from compositekit.units import Q_

SPAN, WIDTH, SKIN, SKIN_MODULUS = 0.6, 0.05, 2e-3, 20e9
GOOD = dict(case="supported centre", span=Q_(SPAN, "m"), width=Q_(WIDTH, "m"), tensile_strength=Q_(200, "MPa"),
            compressive_strength=Q_(150, "MPa"), shear_strength=Q_(1.0, "MPa"), core_modulus=Q_(70, "MPa"))


def panel(**change):
    """Equal skins on a core without stiffness in its plane, SI numbers or arrays."""
    skin = change.pop("skin", SKIN)
    values = dict(outer_skin_thickness=skin, inner_skin_thickness=skin, outer_skin_modulus=SKIN_MODULUS, inner_skin_modulus=SKIN_MODULUS,
                  core_thickness=25e-3, core_modulus=0.0, core_shear_modulus=27e6)
    return Sandwich.from_si(**values | change)


def found(sandwich=None, **change):
    return failure_map(panel() if sandwich is None else sandwich, **GOOD | change)


def first(answer):
    return np.array(answer.names, dtype=object)[answer.governing]


# --- borders: where two closed forms are equal, worked out here by hand for skins of thickness t on a core without stiffness ----------------

def by_hand(mode, skin, core=25e-3, shear_modulus=27e6, strength=1e6, cell=None, strip=None):
    """Load of a middle load on two supports, SI. D = Ef (t d^2/2 + t^3/6), skin M h/2 Ef/D, core V t d/2 Ef/D."""
    d, h = core + skin, core + 2 * skin
    inertia = skin * d**2 / 2 + skin**3 / 6
    face = SPAN / 4 * h / 2 / inertia / WIDTH
    return {
        "skin tension": lambda: 200e6 / face,
        "skin compression": lambda: 150e6 / face,
        "skin wrinkling": lambda: 0.5 * (SKIN_MODULUS * 70e6 * shear_modulus) ** (1 / 3) / face,
        "skin dimpling": lambda: 2 * SKIN_MODULUS / (1 - 0.3**2) * (skin / cell) ** 2 / face,
        "core shear": lambda: strength / (skin * d / 2 / inertia / 2 / WIDTH),
        "deflection": lambda: 5e-3 * WIDTH / (SPAN**3 / 48 / (SKIN_MODULUS * inertia) + SPAN / 4 * core / (shear_modulus * d**2)),
    }[mode]()


BORDERS = [   # left and right of a border over skin thickness, and what else is looked at
    ("skin compression", "core shear", dict(), (0.3e-3, 5e-3)),
    ("skin wrinkling", "core shear", dict(shear_modulus=8e6), (0.3e-3, 5e-3)),
    ("skin dimpling", "skin compression", dict(cell=12e-3, strength=8e6), (0.2e-3, 5e-3)),
    ("deflection", "core shear", dict(shear_modulus=80e6, strength=1.4e6), (0.2e-3, 20e-3)),
]


@pytest.mark.parametrize("left, right, what, ends", BORDERS)
def test_borders_are_where_two_closed_forms_meet(left, right, what, ends):
    border = brentq(lambda t: by_hand(left, t, **what) - by_hand(right, t, **what), *ends)
    change = {"shear_strength": Q_(what.get("strength", 1e6), "Pa")}
    if "cell" in what:
        change["cell_size"] = Q_(what["cell"], "m")
    if "deflection" in (left, right):
        change |= {"deflection": Q_(5, "mm"), "compressive_strength": Q_(9, "GPa"), "tensile_strength": Q_(9, "GPa"), "core_modulus": Q_(1e6, "GPa")}
    skins = border * np.array([1 - 1e-6, 1 + 1e-6])
    answer = found(panel(skin=skins, core_shear_modulus=what.get("shear_modulus", 27e6)), **change)
    assert list(first(answer)) == [left, right]
    np.testing.assert_allclose(answer.load.m_as("N"), by_hand(left, border, **what), rtol=1e-4)


def test_textbook_border_skin_against_core():
    """Thin skins: t/L = shear strength over twice the skin's, whatever the core's thickness (Triantafillou and Gibson, from memory)."""
    ratio = 1.0 / (2 * 150)
    for core in (20e-3, 40e-3, 80e-3):
        skins = SPAN * ratio * np.linspace(0.9, 1.1, 201)
        answer = found(panel(skin=skins, core_thickness=core, core_shear_modulus=1e9))
        border = skins[np.flatnonzero(first(answer) == "core shear")[0]] / SPAN
        assert border == pytest.approx(ratio, rel=1.5 * ratio * SPAN / core + 2e-3)      # h/d - 1 of a real skin, and the step


# --- the modes -------------------------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("mode, sandwich, change", [
    ("skin tension", {}, dict(tensile_strength=Q_(10, "MPa"))),
    ("skin compression", {}, dict(compressive_strength=Q_(10, "MPa"))),
    ("skin wrinkling", {}, dict(core_modulus=Q_(1, "kPa"))),
    ("skin dimpling", {}, dict(cell_size=Q_(0.3, "m"))),
    ("core shear", {}, dict(shear_strength=Q_(10, "kPa"))),
    ("core pressing-in", {}, dict(core_strength=Q_(10, "kPa"), strip_width=Q_(5, "mm"))),
    ("deflection", {}, dict(deflection=Q_(0.1, "mm"))),
])
def test_each_mode_can_govern(mode, sandwich, change):
    answer = found(panel(**sandwich), **change)
    assert first(answer) == mode and answer.load == answer.loads[mode]


@pytest.mark.parametrize("case", BEAM_CASES)
def test_at_its_load_each_mode_is_at_its_limit(case):
    """Put back into the scalar functions, each load gives the limit; unequal skins, so that each counts in its own sense."""
    k = BEAM_CASES[case]
    one = panel(outer_skin_thickness=1e-3, inner_skin_modulus=12e9, core_modulus=30e6)
    answer = found(one, case=case, deflection=Q_(8, "mm"))
    load, width = answer.loads, GOOD["width"]

    def worst(name, sense):
        skins = [facing_stress(one, turn * factor * load[name] * GOOD["span"], width) for turn, factor in ((1, k.sagging), (-1, k.hogging))]
        return max(sense * stress.m_as("MPa") for pair in skins for stress in pair)
    assert worst("skin tension", 1) == pytest.approx(200)
    assert worst("skin compression", -1) == pytest.approx(150)
    assert core_shear_stress(one, k.shear_force * load["core shear"], width).m_as("MPa") == pytest.approx(1)
    w = beam_deflection(one.flexural_rigidity, one.shear_rigidity, width, GOOD["span"], load["deflection"], case)
    assert w.m_as("mm") == pytest.approx(8)
    assert answer.use(answer.load)[answer.names[int(answer.governing)]] == pytest.approx(1)


def test_a_cantilever_pulls_its_loaded_skin():
    weak = panel(outer_skin_thickness=4e-3)       # the thin inner skin is the more stressed
    supported, cantilever = found(weak), found(weak, case="cantilever end")
    ratio = (supported.loads["skin tension"] / cantilever.loads["skin compression"]).m_as("")
    assert ratio == pytest.approx(4 * 200 / 150)  # the inner skin: pulled on two supports, squeezed on a cantilever, moments 1/4 and 1


def test_an_even_load_presses_with_its_own_pressure():
    answer = found(case="supported uniform", core_strength=Q_(1, "MPa"))
    assert answer.loads["core pressing-in"].m_as("N") == pytest.approx(1e6 * SPAN * WIDTH)


def test_two_loads_press_half_each():
    one, two = (found(case=case, core_strength=Q_(1, "MPa"), strip_width=Q_(20, "mm")) for case in ("supported centre", "four point thirds"))
    assert (two.loads["core pressing-in"] / one.loads["core pressing-in"]).m_as("") == pytest.approx(2)


# SW-38 (R2): maker's PVC foam, eight densities: modulus in compression, shear modulus, shear strength, MPa
FOAM = np.array([(48, 50, 15, 0.56), (60, 70, 20, 0.76), (80, 90, 27, 1.15), (100, 135, 35, 1.6), (130, 170, 50, 2.2), (160, 200, 60, 2.6),
                 (200, 310, 73, 3.5), (250, 400, 97, 4.5)]).T


def test_textbook_map_over_skins_and_foam():
    """Skins against core density: thin skins fail first on heavy foam, light foam fails in shear under thick ones, wrinkling between."""
    skins = SPAN * np.geomspace(5e-4, 1e-2, 40)[:, None]
    answer = found(panel(skin=skins, core_shear_modulus=FOAM[2] * 1e6), core_modulus=Q_(FOAM[1], "MPa"), shear_strength=Q_(FOAM[3], "MPa"),
                   compressive_strength=Q_(250, "MPa"), tensile_strength=Q_(400, "MPa"))
    modes = first(answer)
    assert modes.shape == answer.load.shape == (40, 8)
    assert modes[-1, 0] == "core shear" and modes[0, -1] == "skin compression" and modes[0, 0] == "skin wrinkling"
    border = (modes != "core shear").sum(axis=0)
    assert np.all(np.diff(border) >= 0)           # stronger foam is sheared under ever thicker skins only
    one_by_one = [[found(panel(skin=t, core_shear_modulus=g * 1e6), core_modulus=Q_(e, "MPa"), shear_strength=Q_(s, "MPa"),
                         compressive_strength=Q_(250, "MPa"), tensile_strength=Q_(400, "MPa")).load.m_as("N") for _, e, g, s in FOAM.T]
                  for t in skins[::13, 0]]
    np.testing.assert_allclose(answer.load.m_as("N")[::13], one_by_one)


@given(st.floats(0.2, 5), st.sampled_from(sorted(BEAM_CASES)))
def test_everything_twice_as_large_bears_four_times(factor, case):
    """Similar beams of one material: every stress mode's load goes with the square of the size."""
    small, large = (failure_map(panel(skin=SKIN * size, core_thickness=25e-3 * size), **GOOD | dict(
        case=case, span=Q_(SPAN * size, "m"), width=Q_(WIDTH * size, "m"))) for size in (1.0, factor))
    for name in small.names:
        assert (large.loads[name] / small.loads[name]).m_as("") == pytest.approx(factor**2)


OWN = [
    (dict(case="hung"), RangeError, '"hung" is not known'),
    (dict(span=Q_(20, "mm")), RangeError, "core_thickness is 0.025 m, but the span is only 0.02 m"),
    (dict(core_strength=Q_(1, "MPa")), RangeError, "strip_width is not; say how wide"),
    (dict(core_strength=Q_(1, "MPa"), strip_width=Q_(1, "m")), RangeError, "cannot pass span"),
    (dict(cell_size=Q_(0, "mm")), RangeError, "cell_size"),
    (dict(core_modulus=Q_(-70, "MPa")), RangeError, "core_modulus"),
    (dict(shear_strength=None), UnitError, "shear_strength is missing"),
    (dict(tensile_strength=Q_(1, "mm")), UnitError, "tensile_strength"),
]


@pytest.mark.parametrize("change, error, words", OWN)
def test_bad_input(change, error, words):
    with pytest.raises(error, match=words):
        found(**change)
