"""Pareto front and nearest candidate: the definition by brute force, a hand example, then bad input.

Grades: O own reference. Everything here is an own case: the front is a definition, there is nothing to read off.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.search import least_violation, pareto_front
from compositekit.units import Q_

# drawn by hand on squared paper: mass against sag; 0, 2 and 5 are the corners, 4 is 2 over again
HAND = np.array([[1, 9], [2, 9], [3, 5], [4, 6], [3, 5], [8, 1], [9, 1]])


def beaten(rows, n):
    """The definition, row by row."""
    return any(all(other <= own for other, own in zip(row, rows[n], strict=True)) and any(row != rows[n]) for row in rows)


def test_hand_example():
    assert sorted(pareto_front(HAND)) == [0, 2, 4, 5]
    assert list(HAND[pareto_front(HAND), 0]) == [1, 3, 3, 8]


few_figures = hnp.arrays(float, st.tuples(st.integers(1, 25), st.integers(1, 4)), elements=st.integers(0, 6).map(float))


@settings(max_examples=150, deadline=None)
@given(few_figures)
def test_front_is_what_the_definition_says(rows):
    front = pareto_front(rows)
    assert sorted(front) == [n for n in range(len(rows)) if not beaten(rows, n)]
    assert np.all(np.diff(rows[front, 0]) >= 0)


def test_large_front_is_not_beaten_and_beats_the_rest():
    rows = np.random.default_rng(3).random((20_000, 2))
    front = pareto_front(rows)
    assert not any(beaten(rows[front], n) for n in range(len(front)))
    rest = np.delete(np.arange(len(rows)), front)
    assert all(np.any(np.all(rows[front] <= rows[n], axis=1)) for n in rest[::50])


@settings(max_examples=60, deadline=None)
@given(few_figures)
def test_nothing_comes_nearer(rows):
    row = least_violation(rows)
    assert max(rows[row]) == min(max(one) for one in rows)


@pytest.mark.parametrize("call", [pareto_front, least_violation])
@pytest.mark.parametrize(("values", "error", "words"), [
    (np.array([1.0, 2.0]), RangeError, "one row per candidate"), (3.0, RangeError, "one row per candidate"),
    (np.empty((0, 2)), RangeError, "empty"), (np.array([[1.0, np.nan]]), RangeError, "not a finite number"),
    (Q_(np.array([[1.0, 2.0]]), "kg"), UnitError, "a plain number"), ([["a", "b"]], UnitError, "a plain number")])
def test_bad_input(call, values, error, words):
    with pytest.raises(error, match=words):
        call(values)
