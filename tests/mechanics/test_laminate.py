"""Identities every laminate must keep (laminate reference page, section E), and bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.mechanics.laminate import Laminate, reduced_stiffness, strain_rotation
from compositekit.mechanics.ply import Ply
from compositekit.units import Q_

ANGLE = st.floats(-180, 180)
STACK = st.lists(ANGLE, min_size=1, max_size=6)


def ply(thickness=0.2e-3, **more):
    return Ply.from_si(name="ply", thickness=thickness, e1=40e9, e2=10e9, g12=4e9, nu12=0.27, **more)


def laminate(angles, **more):
    return Laminate([ply(**more)] * len(angles), Q_(list(angles), "deg"))


def turned(degrees):
    q = reduced_stiffness(40e9, 10e9, 4e9, 0.27)
    t = strain_rotation(np.radians(degrees))
    return t.T @ q @ t


def near(a, b, scale):
    np.testing.assert_allclose(a, b, atol=1e-9 * scale, rtol=0)


@given(ANGLE)
def test_invariants_of_a_turned_ply(angle):
    q, q0 = turned(angle), turned(0)
    assert q[0, 0] + q[1, 1] + 2 * q[0, 1] == pytest.approx(q0[0, 0] + q0[1, 1] + 2 * q0[0, 1])
    assert q[2, 2] - q[0, 1] == pytest.approx(q0[2, 2] - q0[0, 1])
    near(turned(angle + 180), q, 40e9)
    near(turned(-angle)[:2, 2], -q[:2, 2], 40e9)


def test_turned_ply_formula():
    """LAM-08: the coupling term carries -4 Q66, not the -2 Q66 one solution page prints (+19 %)."""
    q = reduced_stiffness(170e9, 10e9, 13e9, 0.30)
    t = strain_rotation(np.radians(30))
    assert (t.T @ q @ t)[0, 1] == pytest.approx(26.065e9, rel=1e-4)


@given(STACK)
def test_reversing_the_stack_flips_only_the_coupling(angles):
    one, other = laminate(angles), laminate(angles[::-1])
    near(one.si.A, other.si.A, one.si.A.max())
    near(one.si.B, -other.si.B, one.si.A.max() * one.si.thickness)
    near(one.si.D, other.si.D, one.si.D.max())


@given(STACK)
def test_mirrored_stack_has_no_coupling_at_all(angles):
    np.testing.assert_array_equal(laminate(angles + angles[::-1]).si.B, 0)


@given(STACK)
def test_isotropic_plies_forget_their_angles(angles):
    modulus, nu = 3e9, 0.35
    plain = Ply.from_si(name="resin", thickness=1e-3, e1=modulus, e2=modulus, g12=modulus / 2 / (1 + nu), nu12=nu)
    sheet = Laminate([plain] * len(angles), Q_(angles, "deg"))
    height = len(angles) * 1e-3
    assert sheet.si.A[0, 0] == pytest.approx(modulus * height / (1 - nu**2))
    assert sheet.si.D[0, 0] == pytest.approx(modulus * height**3 / 12 / (1 - nu**2))


@given(STACK)
def test_a_split_ply_changes_nothing(angles):
    whole = laminate(angles, thickness=0.4e-3)
    split = laminate([angle for angle in angles for _ in range(2)])
    for name in ("A", "B", "D"):
        size = whole.si.A.max() * whole.si.thickness ** "ABD".index(name)
        near(getattr(whole.si, name), getattr(split.si, name), size)


@pytest.mark.parametrize("count", [3, 4, 5, 6])
@given(start=ANGLE)
def test_quasi_isotropic(count, start):
    a = laminate([start + 180 * k / count for k in range(count)]).si.A
    near(a[0, 0], a[1, 1], a.max())
    near(a[2, 2], (a[0, 0] - a[0, 1]) / 2, a.max())
    near(a[:2, 2], 0, a.max())


LOAD = st.lists(st.floats(-1e5, 1e5), min_size=3, max_size=3)


@given(STACK, LOAD, LOAD, st.floats(-100, 100))
def test_ply_stresses_add_up_to_the_load(angles, n, m, warm):
    sheet = laminate(angles, cte1=8e-6, cte2=25e-6)
    response = sheet.response(Q_(np.array(n), "N/m"), Q_(np.array(m) * 1e-4, "N"), Q_(warm, "K"))
    stress, height = response.stress.magnitude, sheet.si.thickness
    t = np.full(len(angles), 0.2e-3)
    middle = np.cumsum(t) - t / 2 - height / 2
    mean, half = stress.mean(axis=1), np.diff(stress, axis=1)[:, 0] / 2
    size = (np.abs(stress).max() + 40e9 * 25e-6 * abs(warm)) * height + 1e-9   # free expansion cancels stresses of this size
    near(t @ mean, n, size)
    near((t * middle) @ mean + (t**2 / 6) @ half, np.array(m) * 1e-4, size * height)


def test_areal_mass():
    sheet = laminate([0, 90], density=1800, areal_weight=0.2)
    assert sheet.areal_mass.m_as("kg/m^2") == pytest.approx(2 * 0.2e-3 * 1800)
    assert sheet.resin_areal_mass.m_as("kg/m^2") == pytest.approx(0.72 - 0.4)
    assert sheet.thickness.m_as("mm") == pytest.approx(0.4)
    assert sheet.abd.shape == (6, 6)


def test_angles_as_a_list_of_quantities():
    listed = Laminate([ply(), ply()], [Q_(0, "deg"), Q_(90, "deg")])
    np.testing.assert_array_equal(listed.si.A, laminate([0, 90]).si.A)


OWN = [
    (lambda: Laminate([], Q_([0], "deg")), ShapeError, "0 plies"),
    (lambda: Laminate([ply()], Q_([0, 90], "deg")), ShapeError, "2 angles"),
    (lambda: Laminate([ply()], [30]), UnitError, r"angles\[0\]"),
    (lambda: Laminate([ply()], Q_([30], "mm")), UnitError, "angles"),
    (lambda: Laminate([ply()], Q_([float("nan")], "deg")), RangeError, "finite"),
    (lambda: Laminate(["glass"], Q_([0], "deg")), ShapeError, "must be a Ply"),
    (lambda: Laminate([ply(thickness=np.array([1e-3, 2e-3]))], Q_([0], "deg")), ShapeError, "several values"),
    (lambda: laminate([0]).response(Q_([1.0, 2], "N/m")), RangeError, "three numbers"),
    (lambda: laminate([0]).response(Q_([], "N/m")), RangeError, "N is empty"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N")), UnitError, "N wants"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(20, "degC")), RangeError, "250"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(20, "K")), UnitError, "no cte1"),
]


@pytest.mark.parametrize("make, error, words", OWN)
def test_bad_laminate(make, error, words):
    with pytest.raises(error, match=words):
        make()
