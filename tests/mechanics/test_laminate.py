"""Identities every laminate must keep (laminate reference page, section E), and bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.mechanics.angles import radians_in_disguise
from compositekit.mechanics.interlaminar import interlaminar_shear
from compositekit.mechanics.laminate import Laminate, reduced_stiffness, strain_rotation
from compositekit.mechanics.ply import Ply
from compositekit.units import Q_

ANGLE = st.floats(-180, 180).filter(lambda degrees: not radians_in_disguise(degrees))
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


def test_a_change_of_temperature_reads_alike_in_kelvin_and_in_degrees():
    sheet, pull = laminate([0], cte1=1e-6, cte2=30e-6), Q_([1.0, 0, 0], "N/m")
    cold = [sheet.response(pull, delta_T=change).midplane_strain.magnitude for change in (Q_(-60, "K"), Q_(-60, "delta_degC"), Q_(-108, "delta_degF"))]
    np.testing.assert_allclose(cold, [cold[0]] * 3, rtol=1e-12)


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


@given(STACK)
def test_a_full_turn_changes_nothing(angles):
    one, turned_round = (laminate(np.array(angles) - start) for start in (0, 360 * np.sign(angles)))
    for name in ("A", "B", "D"):
        near(getattr(turned_round.si, name), getattr(one.si, name), one.si.A.max() * one.si.thickness ** "ABD".index(name))


@given(STACK, st.floats(-90, 90), st.randoms())
def test_invariants_of_a_turned_and_a_shuffled_stack(angles, turn, shuffle):
    one, turned_stack = laminate(angles), laminate(np.array(angles) + turn)
    shuffled = list(angles)
    shuffle.shuffle(shuffled)
    near(laminate(shuffled).si.A, one.si.A, one.si.A.max())
    for name, size in (("A", one.si.A.max()), ("B", one.si.A.max() * one.si.thickness), ("D", one.si.D.max())):
        x, y = getattr(one.si, name), getattr(turned_stack.si, name)
        near(x[0, 0] + x[1, 1] + 2 * x[0, 1], y[0, 0] + y[1, 1] + 2 * y[0, 1], size)
        near(x[2, 2] - x[0, 1], y[2, 2] - y[0, 1], size)


@given(STACK)
def test_compliance_blocks_invert_the_stiffness(angles):
    sheet = laminate(angles)
    inverse = np.block([[sheet.a.m_as("m/N"), sheet.b.m_as("1/N")], [sheet.b.m_as("1/N").T, sheet.d.m_as("1/(N*m)")]])
    scale = np.repeat([1.0, sheet.si.thickness], 3)
    near(sheet.abd @ inverse * np.outer(1 / scale, scale), np.eye(6), 1)
    response = sheet.response(Q_([1e3, 0.0, 0.0], "N/m"))
    near(response.midplane_strain.magnitude, sheet.a.m_as("m/N")[0] * 1e3, abs(sheet.a.m_as("m/N")).max() * 1e3)
    near(response.curvature.magnitude, sheet.b.m_as("1/N")[0] * 1e3, abs(sheet.d.m_as("1/(N*m)")).max())


@given(STACK, LOAD, LOAD)
def test_stored_energy_is_the_work_of_the_loads(angles, n, m):
    sheet = laminate(angles)
    n, m = np.array(n), np.array(m) * 1e-4
    response = sheet.response(Q_(n, "N/m"), Q_(m, "N"))
    work = (n @ response.midplane_strain.magnitude + m @ response.curvature.magnitude) / 2
    assert sheet.strain_energy(response).m_as("J/m^2") == pytest.approx(work, rel=1e-9, abs=1e-15)


@given(ANGLE, st.integers(1, 5), st.floats(-100, 100), st.floats(-0.02, 0.02))
def test_one_material_one_way_expands_without_stress(angle, count, warm, damp):
    sheet = laminate([angle] * count, cte1=8e-6, cte2=25e-6, cme1=0.05, cme2=0.6)
    response = sheet.response(Q_(np.zeros(3), "N/m"), delta_T=Q_(warm, "K"), delta_C=damp)
    near(response.ply_stress.magnitude, 0, 40e9 * (25e-6 * abs(warm) + 0.6 * abs(damp)) + 1e-12)
    near(response.curvature.magnitude * sheet.si.thickness, 0, 1e-3)


@given(STACK, st.floats(-100, 100))
def test_locked_in_energy_is_never_negative_and_balances(angles, warm):
    """Free of load the whole strain does no work, so stored energy is minus half the stress on the free strain."""
    sheet = laminate(angles, cte1=8e-6, cte2=25e-6)
    response = sheet.response(Q_(np.zeros(3), "N/m"), delta_T=Q_(warm, "K"))
    energy = sheet.strain_energy(response).m_as("J/m^2")
    free = np.array([8e-6, 25e-6, 0]) * warm
    mean = response.ply_stress.magnitude.mean(axis=1)
    size = 40e9 * (25e-6 * warm) ** 2 * sheet.si.thickness
    assert energy >= 0
    assert energy == pytest.approx(-0.2e-3 * np.sum(mean @ free) / 2, abs=1e-9 * size + 1e-15)


def test_cure_stress_by_hand():
    """[0/90]s cooled 60 K: both ways alike, so each ply is pulled by (a - alpha) dT, and the four add up to nothing."""
    sheet = laminate([0, 90, 90, 0], cte1=8e-6, cte2=25e-6)
    response = sheet.cure_stress(Q_(80, "degC"), Q_(20, "degC"))
    free = 1 - 0.27**2 / 4
    q11, q22, q12 = 40e9 / free, 10e9 / free, 2.7e9 / free
    shared = ((q11 + q12) * 8e-6 + (q22 + q12) * 25e-6) / (q11 + q22 + 2 * q12)
    e1, e2 = (shared - 8e-6) * -60, (shared - 25e-6) * -60
    np.testing.assert_allclose(response.ply_stress.magnitude[0, 0, :2], [q11 * e1 + q12 * e2, q12 * e1 + q22 * e2], rtol=1e-9)
    assert response.ply_stress.magnitude[0, 0, 1] > 0 > response.ply_stress.magnitude[0, 0, 0]   # across the fibre: pulled
    np.testing.assert_allclose(sheet.thermal_expansion().magnitude[:2], shared, rtol=1e-12)


def test_moisture_expansion_undoes_cooling_where_the_two_swell_alike():
    sheet = laminate([0, 30, 90], cte1=8e-6, cte2=25e-6, cme1=8e-3, cme2=25e-3)
    np.testing.assert_allclose(sheet.moisture_expansion().magnitude, 1000 * sheet.thermal_expansion().magnitude, rtol=1e-9)
    both = sheet.response(Q_(np.zeros(3), "N/m"), delta_T=Q_(-20, "K"), delta_C=0.02)
    near(both.ply_stress.magnitude, 0, 40e9 * 25e-6 * 20)


def test_mutual_influence_of_one_turned_ply():
    """Closed form of a turned ply: S16/S11 and S16/S66, Jones ch. 2 (from memory)."""
    sheet, c, s = laminate([30]), np.cos(np.pi / 6), np.sin(np.pi / 6)
    s11, s22, s66, s12 = 1 / 40e9, 1 / 10e9, 1 / 4e9, -0.27 / 40e9
    s16 = (2 * s11 - 2 * s12 - s66) * s * c**3 - (2 * s22 - 2 * s12 - s66) * s**3 * c
    along = s11 * c**4 + (2 * s12 + s66) * s**2 * c**2 + s22 * s**4
    shear = 2 * (2 * s11 + 2 * s22 - 4 * s12 - s66) * s**2 * c**2 + s66 * (s**4 + c**4)
    eta = sheet.mutual_influence()
    assert eta.eta_xy_x.magnitude == pytest.approx(s16 / along)
    assert eta.eta_x_xy.magnitude == pytest.approx(s16 / shear)
    near([value.magnitude for value in laminate([0, 90]).mutual_influence()], 0, 1)
    constants = sheet.engineering_constants()
    assert (constants.nuyx / constants.ey).magnitude == pytest.approx((constants.nuxy / constants.ex).magnitude)


def core_stack(modulus, nu=0.3):
    skin = Ply.from_si(name="skin", thickness=1e-3, e1=20e9, e2=20e9, g12=20e9 / 2.6, nu12=0.3)
    core = Ply.from_si(name="core", thickness=20e-3, e1=modulus, e2=modulus, g12=modulus / 2 / (1 + nu), nu12=nu)
    return Laminate([skin, core, skin], Q_([0, 0, 0], "deg"))


def test_core_between_nothing_and_the_skin_itself():
    skins = 20e9 / (1 - 0.3**2)
    empty = core_stack(1.0)
    assert empty.si.A[0, 0] == pytest.approx(skins * 2e-3, rel=1e-8)
    assert empty.si.D[0, 0] == pytest.approx(skins * (22e-3**3 - 20e-3**3) / 12, rel=1e-8)
    assert core_stack(20e9).si.D[0, 0] == pytest.approx(skins * 22e-3**3 / 12, rel=1e-12)
    stiffness = [core_stack(modulus).si.D[0, 0] for modulus in (1e3, 1e6, 1e8, 1e10)]
    assert stiffness == sorted(stiffness)


@given(STACK, st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_interlaminar_shear_ends_at_nought_and_carries_the_force(angles, qx, qy):
    sheet = laminate(angles + angles[::-1])
    stress = interlaminar_shear(sheet, Q_([qx, qy], "N/m")).magnitude
    size = (abs(qx) + abs(qy)) / sheet.si.thickness + 1e-9
    near(stress[-1, 2], 0, size)
    near(stress[1:, 0], stress[:-1, 2], size)
    force = 0.2e-3 / 6 * (stress[:, 0] + 4 * stress[:, 1] + stress[:, 2]).sum(axis=0)
    near(force, [qx, qy], abs(qx) + abs(qy) + 1e-6)


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
    (lambda: Laminate([ply()], Q_([90], "rad")), RangeError, r'90 rad.*write Q_\(90, "deg"\)'),
    (lambda: Laminate([ply()], Q_([1.5708], "deg")), UnitError, r'looks like radians.*write Q_\(90, "deg"\)'),
    (lambda: Laminate([ply(), ply()], Q_([0, np.pi / 4], "deg")), UnitError, "looks like radians"),
    (lambda: Laminate([ply()], Q_([0.79], "deg")), UnitError, "0.79 degrees, which looks like radians"),
    (lambda: Laminate([ply(), ply()], [Q_(0, "deg"), Q_(-1.57, "deg")]), UnitError, "looks like radians"),
    (lambda: laminate([0, 90]).strain_energy(laminate([0]).response(Q_([1.0, 0, 0], "N/m"))), ShapeError, "1 plies"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_C=0.01), UnitError, "no cme1"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_C=7), RangeError, "-0.5 to 0.5"),
    (lambda: laminate([0]).cure_stress(Q_(80, "degC"), Q_(20, "degC")), UnitError, "no cte1"),
    (lambda: laminate([0], cte1=0, cte2=0).cure_stress(Q_(600, "degC"), Q_(20, "degC")), RangeError, "250"),
    (lambda: interlaminar_shear(laminate([0]), Q_([1.0, 0, 0], "N/m")), RangeError, "two numbers"),
    (lambda: Laminate(["glass"], Q_([0], "deg")), ShapeError, "must be a Ply"),
    (lambda: Laminate([ply(thickness=np.array([1e-3, 2e-3]))], Q_([0], "deg")), ShapeError, "several values"),
    (lambda: laminate([0]).response(Q_([1.0, 2], "N/m")), RangeError, "three numbers"),
    (lambda: laminate([0]).response(Q_([], "N/m")), RangeError, "N is empty"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N")), UnitError, "N wants"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(20, "degC")), UnitError, "on a scale, but a difference"),
    (lambda: laminate([0], cte1=0, cte2=0).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(-60, "degC")), UnitError, "delta_degC"),   # not 213 K
    (lambda: laminate([0], cte1=0, cte2=0).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(-76, "degF")), UnitError, "delta_degC"),
    (lambda: laminate([0]).response(Q_([1.0, 0, 0], "N/m"), delta_T=Q_(20, "K")), UnitError, "no cte1"),
]


@pytest.mark.parametrize("degrees", [0.8, 1.6, 2.1, 0.75, 1.5, 22.5, 1.58])   # own: small angles that may be meant
def test_small_angles_in_degrees_pass(degrees):
    assert laminate([degrees]).angles.m_as("deg") == pytest.approx([degrees])


@pytest.mark.parametrize("make, error, words", OWN)
def test_bad_laminate(make, error, words):
    with pytest.raises(error, match=words):
        make()
