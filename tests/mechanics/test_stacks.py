"""Many laminates at once: the same numbers as Laminate, one by one, and bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.mechanics import stacks as module
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.stacks import NO_PLY, StiffnessTable
from compositekit.units import Q_

PLIES = [Ply.from_si(name=name, thickness=t, e1=e1, e2=e2, g12=g12, nu12=nu) for name, t, e1, e2, g12, nu in (
    ("carbon", 0.125e-3, 181e9, 10.3e9, 7.17e9, 0.28), ("glass", 0.4e-3, 40e9, 10e9, 4e9, 0.27),
    ("core", 8e-3, 60e6, 60e6, 22e6, 0.35))]
ANGLES = Q_(np.array([0, 30, 45, -45, 60, 90]), "deg")
TABLE = StiffnessTable(PLIES, ANGLES)
ROWS = st.lists(st.lists(st.integers(0, len(TABLE) - 1), min_size=1, max_size=9), min_size=1, max_size=6)


def filled(lists):
    width = max(map(len, lists))
    return np.array([[*one, *[NO_PLY] * (width - len(one))] for one in lists])


def one_by_one(lists):
    return [Laminate([PLIES[row // len(ANGLES)] for row in one], ANGLES[[row % len(ANGLES) for row in one]]) for one in lists]


@given(ROWS)
def test_equal_to_laminate(lists):
    many = TABLE.stacks(filled(lists))
    for index, alone in enumerate(one_by_one(lists)):
        size, h = alone.si.A.max(), alone.si.thickness
        assert many.thickness[index].m_as("m") == pytest.approx(h, rel=1e-14)
        for power, name in enumerate("ABD"):
            np.testing.assert_allclose(getattr(many, name)[index].magnitude, getattr(alone.si, name), rtol=0,
                                       atol=1e-12 * size * h**power)


@given(ROWS, st.lists(st.floats(-1e4, 1e4), min_size=3, max_size=3), st.lists(st.floats(-10, 10), min_size=3, max_size=3))
def test_one_load_solved_as_laminate_does(lists, n, m):
    strain, curvature = TABLE.stacks(filled(lists)).response(Q_(np.array(n), "N/m"), Q_(np.array(m), "N"))
    for index, alone in enumerate(one_by_one(lists)):
        response = alone.response(Q_(np.array(n), "N/m"), Q_(np.array(m), "N"))
        for mine, whole, scale in ((strain, response.midplane_strain, 1.0), (curvature, response.curvature, alone.si.thickness)):
            size = np.abs(alone.a.magnitude).max() * (np.abs(n).max() + np.abs(m).max() / alone.si.thickness) / scale
            np.testing.assert_allclose(mine[index].magnitude, whole.magnitude, rtol=1e-8, atol=1e-9 * size + 1e-30)


def test_chunks_make_no_difference(monkeypatch):
    rows = np.random.default_rng(3).integers(NO_PLY, len(TABLE), (50, 8))
    rows[:, 0] = 5
    whole = TABLE.stacks(rows)
    load = Q_(np.random.default_rng(4).normal(size=(50, 3)) * 1e4, "N/m")
    monkeypatch.setattr(module, "CHUNK", 7)
    parts = TABLE.stacks(rows)
    np.testing.assert_array_equal(parts.numbers, whole.numbers)
    np.testing.assert_allclose(parts.response(load)[0].magnitude, whole.response(load)[0].magnitude, rtol=1e-12)
    assert len(parts) == 50 and parts.numbers.shape == (50, 3, 6)


def test_rows_by_ply_and_angle():
    assert TABLE.row(1, 3) == 1 * 6 + 3
    np.testing.assert_array_equal(TABLE.row([0, 2], [5, 0]), [5, 12])
    alone = TABLE.stacks([[TABLE.row(1, 2)]])
    np.testing.assert_allclose(alone.A[0].magnitude, Laminate([PLIES[1]], Q_([45], "deg")).si.A, rtol=1e-13)


OWN = [
    (lambda: StiffnessTable([], ANGLES), ShapeError, "0 plies"),
    (lambda: StiffnessTable(["glass"], ANGLES), ShapeError, "must be a Ply"),
    (lambda: StiffnessTable(PLIES, [0, 90]), UnitError, "angles"),
    (lambda: StiffnessTable(PLIES, Q_([], "deg")), RangeError, "empty"),
    (lambda: StiffnessTable(PLIES, Q_([0, 90], "rad")), RangeError, "full turn"),
    (lambda: TABLE.row(3, 0), RangeError, "0 to 2"), (lambda: TABLE.row(0, 0.5), RangeError, "whole numbers"),
    (lambda: TABLE.stacks([0, 1]), ShapeError, "one line per laminate"), (lambda: TABLE.stacks([[]]), ShapeError, "none of them empty"),
    (lambda: TABLE.stacks([[0.0, 1.0]]), ShapeError, "whole numbers"), (lambda: TABLE.stacks([[0, 18]]), RangeError, "0 to 17"),
    (lambda: TABLE.stacks([[0, -2]]), RangeError, "-2"), (lambda: TABLE.stacks([[0, 1], [NO_PLY, NO_PLY]]), ShapeError, "laminate 1"),
    (lambda: TABLE.stacks([[0, 1]]).response(Q_([1.0, 2], "N/m")), RangeError, "three numbers"),
    (lambda: TABLE.stacks([[0, 1]]).response(Q_([1.0, 2, 3], "N")), UnitError, "N wants"),
]


@pytest.mark.parametrize("make, error, words", OWN)
def test_bad_input(make, error, words):
    with pytest.raises(error, match=words):
        make()
