"""Verdicts in words, and what a check refuses. OWN cases."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.studies.findings import Check, Finding
from compositekit.units import Q_

WORDS = [  # value, limit, sense, trim, verdict
    (50, 50, "at most", False, "holds, with nothing in hand"),
    (49, 50, "at most", False, "holds, but only 2% in hand"),
    (30, 50, "at most", False, "holds, 40% in hand"),
    (10, 50, "at most", False, "holds, 80% in hand"),
    (10, 50, "at most", True, "holds 5 times over: room to trim"),
    (50.2, 50, "at most", False, "FAILS: 0.4% over the limit"),
    (120, 50, "at most", False, "FAILS: 2.4 times the limit"),
    (80, 50, "at least", False, "holds, 60% in hand"),
    (49.8, 50, "at least", False, "FAILS: 99.6% of what is needed"),
    (20, 50, "at least", False, "FAILS: 40% of what is needed"),
    (-20, 50, "at least", False, "FAILS: below nought"),
]


@pytest.mark.parametrize("value, limit, sense, trim, words", WORDS)
def test_the_verdict_in_words(value, limit, sense, trim, words):
    check = Check("x", Q_(value, "MPa"), Q_(limit, "MPa"), sense, "OWN", trim=trim)
    assert check.verdict == words
    assert check.passed is words.startswith("holds")


@given(value=st.floats(-1e6, 1e6), limit=st.floats(1e-3, 1e6), sense=st.sampled_from(["at most", "at least"]))
def test_verdict_margin_and_sense_agree(value, limit, sense):
    check = Check("x", Q_(value, "kg"), Q_(limit, "kg"), sense, "OWN")
    assert check.passed == (value <= limit if sense == "at most" else value >= limit) or abs(value / limit - 1) < 1e-12
    assert check.verdict.startswith("holds" if check.passed else "FAILS")


def test_units_of_value_and_limit_may_differ_but_not_dimensions():
    assert Check("x", Q_(7, "mm"), Q_(1, "cm"), "at most", "OWN").margin == pytest.approx(0.3)
    with pytest.raises(UnitError, match="cannot be compared"):
        Check("x", Q_(7, "mm"), Q_(1, "kg"), "at most", "OWN")


@pytest.mark.parametrize("limit, sense, words", [(0, "at most", "gives no margin"), (1, "below", 'must be "at most" or "at least"')])
def test_a_check_that_cannot_be_judged_is_refused(limit, sense, words):
    with pytest.raises(RangeError, match=words):
        Check("x", Q_(7, "mm"), Q_(limit, "mm"), sense, "OWN")


def test_a_finding_names_its_worst_check_first():
    fails = Check("sag", Q_(9, "mm"), Q_(3, "mm"), "at most", "OWN")
    tight = Check("mass", Q_(99, "kg"), Q_(100, "kg"), "at most", "OWN")
    assert Finding(checks=(tight, fails)).verdict == "1 of 2 checks fails; worst: sag: 9.00 mm (at most 3.00 mm), FAILS: 3 times the limit"
    assert Finding(checks=(fails, fails, tight)).verdict.startswith("2 of 3 checks fail; worst: sag")
    assert Finding(checks=(tight,)).verdict.startswith("all 1 checks hold; tightest: mass")
    assert Finding().verdict == "nothing to check here"
