"""Ply-discount estimate of last-ply failure: its limits, balance of forces at every step, and bad input. All own cases."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.last_ply import last_ply_failure_estimate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.strength import CRITERIA, first_ply_failure
from compositekit.units import Q_

STRENGTH = dict(xt=1000e6, xc=600e6, yt=60e6, yc=150e6, s12=70e6)  # yt high enough that Poisson swelling never governs
every = pytest.mark.parametrize("criterion", CRITERIA)


def sheet(*angles, **strength):
    ply = Ply.from_si(name="glass", thickness=0.5e-3, e1=40e9, e2=10e9, g12=4e9, nu12=0.27, **(strength or STRENGTH))
    return Laminate([ply] * len(angles), Q_(list(angles), "deg"))


def force(*values):
    return Q_(np.array(values, dtype=float), "N/m")


@every
@pytest.mark.parametrize("load", [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1)])
@pytest.mark.parametrize("left", [0.0, 0.2])
def test_plies_all_one_way_fail_at_once(criterion, load, left):
    # own: nothing is there to take over, so the last failure is the first, whatever a ply is said to keep
    laminate = sheet(0, 0, 0)
    estimate = last_ply_failure_estimate(laminate, force(*load) * 1e5, criterion=criterion, matrix_left=left, fibre_left=left)
    assert estimate.multiplier == pytest.approx(first_ply_failure(laminate, force(*load) * 1e5, criterion=criterion).multiplier)
    assert {step.ply for step in estimate.steps} == {0, 1, 2} and "estimate" in estimate.caution


def test_cross_ply_by_hand():
    # own: with the 90 degree plies' matrix gone, the 0 degree plies carry all of Nx and fail at Xt times their own thickness
    estimate = last_ply_failure_estimate(sheet(0, 90, 90, 0), force(1e5, 0, 0))
    assert [step.mode for step in estimate.steps[:2]] == ["transverse tension"] * 2
    assert {step.ply for step in estimate.steps[:2]} == {1, 2}
    assert estimate.multiplier == pytest.approx(1000e6 * 1e-3 / 1e5, rel=1e-6)
    assert estimate.multiplier > estimate.first


@every
@pytest.mark.parametrize("stays", [False, True])
@settings(max_examples=8)
@given(st.lists(st.floats(-1e5, 1e5), min_size=3, max_size=3).filter(lambda load: max(map(abs, load)) > 10),
       st.lists(st.sampled_from([-45, 0, 30, 45, 90]), min_size=1, max_size=4), st.sampled_from([0.0, 0.1, 0.5]))
def test_every_step_balances_its_load_and_the_first_is_first_ply_failure(criterion, stays, load, angles, left):
    half = sheet(*angles, *angles[::-1])
    estimate = last_ply_failure_estimate(half, force(*load), criterion=criterion, matrix_left=0.0 if stays else left, stress_stays=stays)
    assert estimate.first == pytest.approx(first_ply_failure(half, force(*load), criterion=criterion).multiplier, rel=1e-9)
    assert estimate.multiplier >= estimate.first
    for step in estimate.steps:
        carried = step.stress.m_as("Pa").mean(axis=1).sum(axis=0) * 0.5e-3
        np.testing.assert_allclose(carried, step.multiplier * np.array(load), atol=1e-5 * step.multiplier * np.abs(load).max())


def test_bending_balances_too():
    laminate = sheet(0, 90, 45)
    estimate = last_ply_failure_estimate(laminate, force(0, 0, 0), Q_([10.0, 2.0, 0.0], "N"))
    assert len(estimate.steps) > 2
    for step in estimate.steps:
        stress, z = step.stress.m_as("Pa"), np.array([-0.75e-3, -0.25e-3, 0.25e-3, 0.75e-3])
        low, high = stress[:, 0], stress[:, 1]
        moment = sum((2 * a * z0 + a * z1 + b * z0 + 2 * b * z1) / 6 * (z1 - z0) for a, b, z0, z1 in zip(low, high, z[:-1], z[1:], strict=True))
        np.testing.assert_allclose(moment, step.multiplier * np.array([10.0, 2.0, 0.0]), atol=1e-4 * step.multiplier * 10)


def test_a_stack_that_keeps_something_bears_no_less_by_keeping_stress():
    shed, kept = (last_ply_failure_estimate(sheet(0, 90, 90, 0), force(1e5, 0, 0), stress_stays=stays).multiplier for stays in (False, True))
    assert kept > shed   # what the cracked plies hold on to is that much less for the others


@pytest.mark.parametrize("call, error, words", [
    (lambda: last_ply_failure_estimate(sheet(0), force(0, 0, 0)), RangeError, "not all nought"),
    (lambda: last_ply_failure_estimate(sheet(0), Q_([1.0, 0], "N/m")), RangeError, "three numbers"),
    (lambda: last_ply_failure_estimate(sheet(0), force(1, 0, 0), criterion="guess"), RangeError, "Hashin"),
    (lambda: last_ply_failure_estimate(sheet(0, xt=1e9), force(1, 0, 0)), UnitError, "glass has no xc"),
    (lambda: last_ply_failure_estimate(sheet(0), force(1, 0, 0), matrix_left=1.5), RangeError, "matrix_left"),
    (lambda: last_ply_failure_estimate(sheet(0), force(1, 0, 0), matrix_left=0.1, stress_stays=True), RangeError, "takes no more"),
    (lambda: last_ply_failure_estimate(sheet(0), Q_([1.0, 0, 0], "Pa")), UnitError, "N wants"),
])
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call()
