"""Own cases of the few-sample statistics: very few strips, no spread, wrong input."""

import math

import numpy as np
import pytest

from compositekit.errors import RangeError, UnitError
from compositekit.trial.statistics import BASES, characteristic_value, mean_interval, tolerance_factor
from compositekit.units import Q_


def test_two_strips_are_allowed_and_say_how_little_they_tell():
    found = characteristic_value(Q_([20.0, 22.0], "GPa"), "5 %")
    assert found.number == 2 and found.caution.startswith("Two strips show whether something is badly off and little more")
    assert found.value < found.mean - 5 * found.deviation  # t(0.95; 1) = 6.31


def test_few_strips_cannot_carry_a_b_value():
    assert "3 strips cannot carry a B value" in characteristic_value([38.2, 41.0, 36.9], "B").caution
    assert characteristic_value([38.2, 41.0, 36.9, 39, 38, 40, 39.5], "B").caution == ""


def test_a_value_below_nought_is_said_to_be_unusable():
    found = characteristic_value(Q_([20.0, 24.0], "MPa"), "B")
    assert found.value.m < 0 and "nothing may be sized with it" in found.caution


def test_equal_readings_are_doubted():
    found = characteristic_value([5.0, 5.0, 5.0])
    assert found.value == found.mean and "real strips never are" in found.caution


def test_a_reading_in_another_unit_stands_out():
    assert "slip of unit" in characteristic_value(Q_([412, 398, 0.431, 405], "MPa")).caution


def test_known_spread_uses_the_least_variation():
    """1.645 sqrt(1 + 1/n) with 6 % of the mean where the strips happen to agree better (EN 1990 form, from memory)."""
    found = characteristic_value([100.0, 100.5, 99.5], "5 % known spread")
    assert found.value.m == pytest.approx(100 - 1.6449 * math.sqrt(4 / 3) * 6, abs=1e-3)
    wide = characteristic_value([80.0, 100.0, 120.0], "5 % known spread")
    assert wide.deviation.m == pytest.approx(20)


def test_the_strictness_of_the_bases_is_ordered():
    values = [412, 398, 431, 405, 420]
    one = {basis: characteristic_value(values, basis).value.m for basis in BASES}
    assert one["A"] < one["95/95"] < one["B"] < one["5 %"] < one["mean - 2 s"]


def test_scale_and_unit_go_through():
    gpa = characteristic_value(Q_([20.0, 22.0, 21.0], "GPa"), "B")
    mpa = characteristic_value([Q_(20, "GPa"), Q_(22000, "MPa"), Q_(21, "GPa")], "B")
    assert gpa.value.m_as("Pa") == pytest.approx(mpa.value.m_as("Pa"))
    assert gpa.value < gpa.mean


def test_the_factor_falls_towards_the_plain_quantile():
    factors = [tolerance_factor(n).m for n in (2, 3, 5, 10, 30, 100, 1000)]
    assert factors == sorted(factors, reverse=True)
    assert factors[-1] == pytest.approx(1.2816, abs=0.08)


def test_the_interval_covers_the_true_mean_as_often_as_it_says():
    rng = np.random.default_rng(7)
    hits = sum(low.m <= 50 <= high.m for low, _, high in (mean_interval(rng.normal(50, 5, 4)) for _ in range(600)))
    assert 0.92 < hits / 600 < 0.98


def test_the_b_value_lies_below_the_tenth_percentile_as_often_as_it_says():
    rng = np.random.default_rng(11)
    tenth = 50 - 1.2815516 * 5
    hits = sum(characteristic_value(rng.normal(50, 5, 6), "B").value.m <= tenth for _ in range(600))
    assert 0.92 < hits / 600 < 0.98


OWN_BAD = [  # values, error, part of the sentence
    ([5.0], RangeError, "1 reading given, in one row of at least 2"),
    ([], RangeError, "0 readings given"),
    (Q_(5.0, "MPa"), RangeError, "1 reading given"),
    ([1.0, float("nan")], RangeError, "Reading 2 is not a finite number"),
    ([[1.0, 2.0], [3.0, 4.0]], RangeError, "4 readings given, in one row"),
    (["strong", "weak"], UnitError, "not all numbers"),
    ([Q_(1, "MPa"), Q_(1, "mm")], UnitError, "do not share one kind of unit"),
    ([Q_(1, "MPa"), 2.0], UnitError, "do not share one kind of unit"),
    (None, UnitError, "a list or an array of readings is wanted"),
]


@pytest.mark.parametrize(("values", "error", "part"), OWN_BAD)
def test_bad_readings_get_our_own_error(values, error, part):
    for function in (characteristic_value, mean_interval):
        with pytest.raises(error, match=part):
            function(values)


@pytest.mark.parametrize("number", [1, 0, -3, 2.5, float("nan"), True, None, "five"])
def test_bad_numbers_of_strips(number):
    with pytest.raises(RangeError, match="tolerance_factor: number is"):
        tolerance_factor(number)


def test_unknown_basis_and_odd_confidence():
    with pytest.raises(RangeError, match='the basis "C" is not known; it must be one of B, A, 95/95'):
        characteristic_value([1.0, 2.0], "C")
    with pytest.raises(RangeError, match="confidence is 95, but must lie between 0 and 1"):
        mean_interval([1.0, 2.0], 95)
    with pytest.raises(RangeError, match="least_variation is 6, but must be from 0 to 1"):
        characteristic_value([1.0, 2.0], "5 % known spread", 6)
    with pytest.raises(RangeError, match="confidence"):
        tolerance_factor(5, confidence=95)
