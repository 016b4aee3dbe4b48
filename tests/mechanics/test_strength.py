"""Strength of plies: identities of every criterion, residual stress that does not grow, many loads, and bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.strength import CRITERIA, MODES, first_ply_failure, strength_ratios
from compositekit.units import Q_

STRENGTH = dict(xt=1000e6, xc=600e6, yt=60e6, yc=150e6, s12=70e6)  # yt high enough that Poisson swelling never governs
EXPANDS = dict(cte1=8e-6, cte2=25e-6)
few = settings(max_examples=20)   # each is run for every criterion
every = pytest.mark.parametrize("criterion", CRITERIA)


def sheet(*angles, **strength):
    ply = Ply.from_si(name="glass", thickness=0.5e-3, e1=40e9, e2=10e9, g12=4e9, nu12=0.27, **strength)
    return Laminate([ply] * len(angles), Q_(list(angles), "deg"))


def force(*values):
    return Q_(np.array(values, dtype=float), "N/m")


@every
@pytest.mark.parametrize("mode, matrix_mode, stress", [
    ("fibre tension", "fibre tension", (1000, 0, 0)), ("fibre compression", "fibre compression", (-600, 0, 0)),
    ("transverse tension", "matrix tension", (0, 60, 0)), ("transverse compression", "matrix compression", (0, -150, 0)),
    ("in-plane shear", "matrix tension", (0, 0, 70)), ("in-plane shear", "matrix tension", (0, 0, -70)),
])
def test_one_stress_at_its_strength(criterion, mode, matrix_mode, stress):
    laminate = sheet(0, **STRENGTH)
    failure = first_ply_failure(laminate, Q_(np.array(stress, float), "MPa") * laminate.thickness, criterion=criterion)
    assert failure.multiplier == pytest.approx(1.0, rel=1e-12)
    assert failure.mode == (matrix_mode if criterion.startswith("Hashin") else mode) and failure.mode in MODES
    assert failure.mode in failure.words and "ply 1 of 1" in failure.words


LOAD = st.lists(st.floats(-1e5, 1e5), min_size=3, max_size=3).filter(lambda load: max(map(abs, load)) > 1)
ANGLES = st.lists(st.floats(-90, 90), min_size=1, max_size=4)


@every
@few
@given(LOAD, st.floats(0.1, 10))
def test_a_larger_load_lowers_the_multiplier_as_much(criterion, load, factor):
    laminate = sheet(0, 45, 90, **STRENGTH)
    one, other = (first_ply_failure(laminate, k * force(*load), criterion=criterion).multiplier for k in (1.0, factor))
    assert other * factor == pytest.approx(one, rel=1e-9)


@every
@few
@given(LOAD, ANGLES, st.floats(-180, 180))
def test_turning_stack_and_load_together_changes_nothing(criterion, load, angles, turn):
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    tensor = np.array([[load[0], load[2]], [load[2], load[1]]])
    rotation = np.array([[c, -s], [s, c]])
    (nx, nxy), (_, ny) = rotation @ tensor @ rotation.T
    straight = strength_ratios(sheet(*angles, **STRENGTH), force(*load), criterion=criterion).multipliers
    turned = strength_ratios(sheet(*(a + turn for a in angles), **STRENGTH), force(nx, ny, nxy), criterion=criterion).multipliers
    # the criteria jump nowhere, but a stress near nought is known to rounding of the largest only
    np.testing.assert_allclose(1 / turned, 1 / straight, rtol=1e-6, atol=1e-9 * np.max(1 / straight))


@every
@few
@given(LOAD)
def test_shear_has_no_sign(criterion, load):
    there, back = (strength_ratios(sheet(0, **STRENGTH), force(load[0], load[1], sign * load[2]), criterion=criterion).multipliers
                   for sign in (1, -1))
    np.testing.assert_allclose(back, there, rtol=1e-12)


# not for Hashin, where shear counts beside a pull along the fibres and not beside a push
@pytest.mark.parametrize("criterion", [name for name in CRITERIA if name != "Hashin"])
@few
@given(LOAD)
def test_equal_strengths_make_the_load_signless(criterion, load):
    alike = dict(xt=800e6, xc=800e6, yt=60e6, yc=60e6, s12=70e6)
    there, back = (strength_ratios(sheet(0, 90, 30, **alike), sign * force(*load), criterion=criterion).multipliers for sign in (1, -1))
    np.testing.assert_allclose(back, there, rtol=1e-9)


@every
@few
@given(LOAD, st.floats(-0.99, 0.99))
def test_the_envelope_is_closed(criterion, load, interaction):
    # in every direction of stress a single ply fails at some finite load; in Tsai-Wu for any interaction below 1
    multiplier = first_ply_failure(sheet(0, **STRENGTH), force(*load), criterion=criterion, interaction=interaction).multiplier
    assert 0 < multiplier < np.inf


@every
@few
@given(LOAD)
def test_at_the_multiplier_the_load_is_just_borne(criterion, load):
    laminate = sheet(0, 45, -45, 90, **STRENGTH)
    failure = first_ply_failure(laminate, force(*load), criterion=criterion)
    again = first_ply_failure(laminate, failure.multiplier * force(*load), criterion=criterion)
    assert again.multiplier == pytest.approx(1.0, rel=1e-9) and again.multiplier == again.multipliers.min()


@every
def test_bending_fails_at_a_face(criterion):
    failure = first_ply_failure(sheet(90, 90, 90, 90, **STRENGTH), Q_([0.0, 0, 0], "N/m"), Q_([1.0, 0, 0], "N"), criterion)
    # a positive moment stretches the inner face; sigma = 6 M/h^2
    assert (failure.ply, failure.face) == (3, 1)
    assert failure.multiplier == pytest.approx(60e6 / (6 / 2e-3**2))
    assert np.isinf(failure.multipliers[1, 1])   # the mid-plane is unstressed


# --- what separates the criteria, worked by hand on one ply -------------------------------------------------------------------------

def one_ply(stress, criterion, **more):
    laminate = sheet(0, **STRENGTH)
    return first_ply_failure(laminate, Q_(np.array(stress, float), "MPa") * laminate.thickness, criterion=criterion, **more)


@pytest.mark.parametrize("criterion, stress, multiplier, mode", [
    ("Hashin", (500, 0, 35), 1 / np.hypot(0.5, 0.5), "fibre tension"),           # (s1/Xt)^2 + (t/S)^2
    ("Hashin-Rotem", (500, 0, 20), 2.0, "fibre tension"),
    ("Hashin", (-300, 0, 20), 2.0, "fibre compression"),                         # shear does not count there
    ("Hashin", (100, 30, 35), 1 / np.hypot(0.5, 0.5), "matrix tension"),         # (s2/Yt)^2 + (t/S)^2
    ("Hashin", (100, -75, 35), 1 / np.hypot(0.5, 0.5), "matrix compression"),    # (s2/Yc)^2 + (t/S)^2
    ("Tsai-Hill", (500, 24, 0), 1 / np.sqrt(0.25 - 500 * 24 / 1000**2 + 0.16), "fibre tension"),
    ("max strain", (500, -75, 0), 150 / (75 + 0.27 / 4 * 500), "transverse compression"),   # s2 - nu21 s1 of Yc
    ("max strain", (500, -30, 0), 1000 / (500 + 0.27 * 30), "fibre tension"),                # s1 - nu12 s2 of Xt
])
def test_by_hand(criterion, stress, multiplier, mode):
    failure = one_ply(stress, criterion)
    assert failure.multiplier == pytest.approx(multiplier, rel=1e-12) and failure.mode == mode


def test_the_interaction_counts_where_both_stresses_do():
    assert one_ply((0, 30, 0), "Tsai-Wu", interaction=0.9).multiplier == pytest.approx(2.0)
    pulls = [one_ply((500, 30, 0), "Tsai-Wu", interaction=f).multiplier for f in (-0.9, -0.5, 0.0, 0.5)]
    assert np.all(np.diff(pulls) < 0)


# --- residual stress: the multiplier goes on the load only --------------------------------------------------------------------------

@every
@few
@given(st.floats(-60, 60), st.sampled_from([(1, 0, 0), (0, -1, 0), (0.3, 1, 0.5), (-1, 0.5, 1)]))
def test_with_residual_stress_the_total_is_just_borne(criterion, delta_t, way):
    """Own: put the multiplied load on, residual stress beside it, and the ply must stand exactly on its envelope."""
    laminate = sheet(0, 90, 45, **STRENGTH, **EXPANDS)
    delta = Q_(delta_t, "delta_degC")
    failure = first_ply_failure(laminate, force(*way) * 1e5, criterion=criterion, delta_T=delta)
    assert 0 < failure.multiplier < np.inf
    response = laminate.response(failure.multiplier * force(*way) * 1e5, delta_T=delta)
    stress = response.ply_stress.magnitude[failure.ply, failure.face]
    alone = sheet(0, **STRENGTH)
    assert first_ply_failure(alone, Q_(stress, "Pa") * alone.thickness, criterion=criterion).multiplier == pytest.approx(1, rel=1e-7)
    others = strength_ratios(laminate, force(*way) * 1e5 * failure.multiplier * (1 - 1e-6), criterion=criterion, delta_T=delta)
    assert np.all(others.multipliers > 1)


def test_residual_stress_by_hand():
    # a lone pull across the 90 degree ply of a stack already cold: R = (Yt - residual)/stress
    laminate = sheet(0, 90, 0, **STRENGTH, **EXPANDS)
    load, cold = force(1e5, 0, 0), Q_(-80, "delta_degC")
    residual = laminate.response(force(0, 0, 0), delta_T=cold).ply_stress.m_as("MPa")[1, 0, 1]
    pulled = laminate.response(load).ply_stress.m_as("MPa")[1, 0, 1]
    assert residual > 5
    failure = first_ply_failure(laminate, load, delta_T=cold)
    assert (failure.ply, failure.mode) == (1, "transverse tension")
    assert failure.multiplier == pytest.approx((60 - residual) / pulled, rel=1e-12)


@every
def test_nothing_is_left_where_residual_stress_fails_the_ply(criterion):
    weak = {**STRENGTH, "yt": 1e6}
    failure = first_ply_failure(sheet(0, 90, 0, **weak, **EXPANDS), force(1e4, 0, 0), criterion=criterion, delta_T=Q_(-80, "delta_degC"))
    assert failure.multiplier == 0 and failure.mode in ("transverse tension", "matrix tension")


def test_tsai_hill_counts_the_side_it_has_reached():
    # own: held in compression across, pulled into tension: the tensile strength governs though it starts on the other side
    laminate = sheet(0, 90, 0, **STRENGTH, **EXPANDS)
    hot = Q_(100, "delta_degC")
    failure = first_ply_failure(laminate, force(1e5, 0, 0), criterion="Tsai-Hill", delta_T=hot)
    stress = laminate.response(force(1e5, 0, 0) * failure.multiplier, delta_T=hot).ply_stress.m_as("MPa")[failure.ply, failure.face]
    held = laminate.response(force(0, 0, 0), delta_T=hot).ply_stress.m_as("MPa")[failure.ply, failure.face]
    assert held[1] < 0 < stress[1]
    along = 1000 if stress[0] > 0 else 600
    assert (stress[0] / along) ** 2 - stress[0] * stress[1] / along**2 + (stress[1] / 60) ** 2 == pytest.approx(1, rel=1e-9)


def test_many_loads_are_each_load_by_itself():
    laminate = sheet(0, 30, 90, **STRENGTH)
    rng = np.random.default_rng(3)
    n, m = Q_(rng.normal(size=(20, 3)) * 1e5, "N/m"), Q_(rng.normal(size=(20, 3)) * 20, "N")
    together = strength_ratios(laminate, n, m, criterion="Tsai-Wu")
    assert together.multipliers.shape == together.modes.shape == (20, 3, 2)
    for k in range(20):
        alone = strength_ratios(laminate, n[k], m[k], criterion="Tsai-Wu")
        np.testing.assert_allclose(together.multipliers[k], alone.multipliers, rtol=1e-9)
        np.testing.assert_array_equal(together.modes[k], alone.modes)
    one_moment = strength_ratios(laminate, n, m[0]).multipliers[4]
    np.testing.assert_allclose(one_moment, strength_ratios(laminate, n[4], m[0]).multipliers, rtol=1e-9)


OWN = [
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([0.0, 0, 0], "N/m")), RangeError, "all nought"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0, 0], "N/m"), criterion="guess"), RangeError, "Tsai-Wu"),
    (lambda: first_ply_failure(sheet(0), Q_([1.0, 0, 0], "N/m")), UnitError, "glass has no xt, xc, yt, yc, s12"),
    (lambda: first_ply_failure(sheet(0, xt=1e9, yt=4e7), force(1, 0, 0), criterion="Hashin"), UnitError,
     '"Hashin" needs .* glass has no xc, yc, s12'),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), force(1, 0, 0), delta_T=Q_(-60, "K")), UnitError, "glass has no cte1"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), force(1, 0, 0), delta_T=Q_(-60, "mm")), UnitError, "delta_T"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0], "N/m")), RangeError, "three numbers"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([np.nan, 0, 0], "N/m")), RangeError, "finite"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0, 0], "MPa")), UnitError, "N wants"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), force(1, 0, 0), criterion="Tsai-Wu", interaction=1.2), RangeError, "interaction"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_(np.ones((4, 3)), "N/m")), RangeError, "strength_ratios"),
    (lambda: strength_ratios(sheet(0, **STRENGTH), Q_(np.ones((4, 2)), "N/m")), RangeError, "loads, 3"),
    (lambda: strength_ratios(sheet(0, **STRENGTH), Q_(np.ones((4, 3)), "N/m"), Q_(np.ones((5, 3)), "N")), RangeError, "as many"),
]


@pytest.mark.parametrize("call, error, words", OWN)
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call()
