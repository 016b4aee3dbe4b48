"""Own edge cases of the strip reduction: slips of unit, one span, unlike numbers of set-ups."""

import numpy as np
import pytest

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.sandwich import four_point_deflection
from compositekit.trial import strips
from compositekit.units import Q_

WIDTH, LOAD = Q_(50, "mm"), Q_(300, "N")
RIGID = (Q_(8000, "N*m"), Q_(6e5, "N/m"))
SPANS = Q_([300, 600, 900], "mm")


def sag(span, load_span=None):
    return four_point_deflection(*RIGID, WIDTH, span, span / 3 if load_span is None else load_span, LOAD)


def test_what_the_beam_formula_bends_the_reduction_gives_back():
    found = strips.two_span_rigidities(SPANS, SPANS / 3, LOAD, sag(SPANS), WIDTH)
    assert found.flexural_rigidity.m == pytest.approx(8000) and found.shear_rigidity.m == pytest.approx(6e5)
    assert found.misfit < 1e-12 and found.caution == ""


def test_scaling_load_and_width_changes_nothing():
    once = strips.two_span_rigidities(SPANS, SPANS / 3, LOAD, sag(SPANS), WIDTH)
    twice = strips.two_span_rigidities(SPANS, SPANS / 3, 2 * LOAD, sag(SPANS), 2 * WIDTH)
    assert twice.flexural_rigidity.m == pytest.approx(once.flexural_rigidity.m)


def test_small_errors_are_shared_between_three_set_ups():
    measured = sag(SPANS) * np.array([1.02, 0.98, 1.01])
    found = strips.two_span_rigidities(SPANS, SPANS / 3, LOAD, measured, WIDTH)
    assert 0.001 < found.misfit < 0.05
    assert found.flexural_rigidity.m == pytest.approx(8000, rel=0.1)


def say(function, *arguments):
    with pytest.raises((RangeError, UnitError)) as err:
        function(*arguments)
    return str(err.value)


def test_one_span_where_two_are_needed():
    assert say(strips.two_span_rigidities, SPANS[0], SPANS[0] / 3, LOAD, sag(SPANS[0]), WIDTH) == (
        "two_span_rigidities: 1 set-up given, but bending and shear can only be told apart with two different spans; "
        "with one span use facing_modulus or core_shear_modulus.")
    same = Q_([600, 600], "mm")
    assert say(strips.two_span_rigidities, same, same / 3, LOAD, sag(same), WIDTH) == (
        "two_span_rigidities: all set-ups have the same spans, so bending and shear cannot be told apart; "
        "test the strip on a second span.")


def test_unlike_numbers_of_readings():
    assert "must have the same number of set-ups, but have 3, 3, 1, 2, 1." in say(
        strips.two_span_rigidities, SPANS, SPANS / 3, LOAD, sag(SPANS)[:2], WIDTH)


def test_loads_wider_than_the_supports():
    assert say(strips.two_span_rigidities, SPANS, SPANS, LOAD, sag(SPANS, 0 * SPANS), WIDTH).startswith(
        "two_span_rigidities: load_span is 0.9 m, but must be shorter than span")
    assert "must be shorter than span" in say(strips.flexural_modulus, SPANS[0], SPANS[1], LOAD, sag(SPANS[0]), WIDTH, Q_(4, "mm"))


SLIPS = [(1 / 25.4, "inches written down as millimetres"), (25.4, "millimetres written down as inches"),
         (1e-3, "metres written down as millimetres"), (1e3, "millimetres written down as metres")]


@pytest.mark.parametrize(("factor", "words"), SLIPS)
@pytest.mark.parametrize("place", [0, 1, 2])
def test_one_deflection_of_three_in_another_unit_is_named(factor, words, place):
    measured = sag(SPANS)
    measured[place] *= factor
    text = say(strips.two_span_rigidities, SPANS, SPANS / 3, LOAD, measured, WIDTH)
    assert f"that of set-up {place + 1} like {words} would explain it" in text


def test_of_two_deflections_the_possible_slips_are_named():
    measured = sag(SPANS[[0, 2]])
    measured[1] /= 25.4
    text = say(strips.two_span_rigidities, SPANS[[0, 2]], SPANS[[0, 2]] / 3, LOAD, measured, WIDTH)
    assert text.startswith("two_span_rigidities: the set-ups contradict each other")
    assert "that of set-up 2 like inches written down as millimetres" in text


def test_readings_that_no_slip_explains():
    text = say(strips.two_span_rigidities, SPANS, SPANS / 3, LOAD, sag(SPANS) * np.array([1.0, 3.0, 0.4]), WIDTH)
    assert text.endswith("check loads, spans and deflections.")


SANDWICH = (Q_(2, "mm"), Q_(25, "mm"))
SLIPPED = [  # deflection as written, words; the true one is 10.7 mm for 20 GPa skins on a 27 MPa core (SW-12)
    (10.707372 / 25.4, "inches written down as millimetres"), (10.707372 / 1000, "metres written down as millimetres"),
    (10.707372 * 25.4, "millimetres written down as inches"), (10.707372 * 1000, "millimetres written down as metres"),
]


@pytest.mark.parametrize(("deflection", "words"), SLIPPED)
def test_facing_modulus_names_the_slip(deflection, words):
    text = say(strips.facing_modulus, Q_(900, "mm"), Q_(300, "mm"), Q_(500, "N"), Q_(deflection, "mm"), Q_(50, "mm"), *SANDWICH,
               Q_(27, "MPa"))
    assert words in text and text.startswith("facing_modulus comes out as ")
    assert "but no composite skin lies outside 1.5 to 300 GPa." in text


@pytest.mark.parametrize(("deflection", "words"), [
    (1.335302 / 25.4, "inches written down as millimetres"), (1.335302 / 1000, "metres written down as millimetres"),
    (1.335302 * 1000, "millimetres written down as metres")])
def test_core_shear_modulus_names_the_slip(deflection, words):
    text = say(strips.core_shear_modulus, Q_(300, "mm"), Q_(0, "mm"), Q_(500, "N"), Q_(deflection, "mm"), Q_(50, "mm"), *SANDWICH,
               Q_(20, "GPa"))
    assert words in text and text.startswith("core_shear_modulus comes out as ")


@pytest.mark.parametrize(("factor", "words"), [
    (1 / 25.4, "inches written down as millimetres"), (1e-3, "metres written down as millimetres"),
    (25.4, "millimetres written down as inches"), (1e3, "millimetres written down as metres")])
def test_flexural_modulus_of_a_solid_strip_names_the_slip(factor, words):
    deflection = Q_(80**3 * 100 / (4 * 10 * 4**3 * 12e3) * factor, "mm")   # 12 GPa laminate under 100 N
    text = say(strips.flexural_modulus, Q_(80, "mm"), Q_(0, "mm"), Q_(100, "N"), deflection, Q_(10, "mm"), Q_(4, "mm"))
    assert words in text


def test_an_unbelievable_strip_that_no_slip_explains():
    text = say(strips.flexural_modulus, Q_(80, "mm"), Q_(0, "mm"), Q_(100, "N"), Q_(1e-9, "mm"), Q_(10, "mm"), Q_(4, "mm"))
    assert text.endswith("Check spans, load, thicknesses and deflection and their units.")


OWN_BAD = [Q_(0, "mm"), Q_(-1, "mm"), Q_(float("nan"), "mm"), Q_(5, "N"), 5.0, "5 mm"]


@pytest.mark.parametrize("deflection", OWN_BAD)
def test_bad_deflections_get_our_own_error(deflection):
    for function in (lambda d: strips.flexural_modulus(Q_(80, "mm"), Q_(0, "mm"), LOAD, d, WIDTH, Q_(4, "mm")),
                     lambda d: strips.two_span_rigidities(SPANS, SPANS / 3, LOAD, d, WIDTH)):
        with pytest.raises((RangeError, UnitError), match="deflection"):
            function(deflection)
