"""First-ply failure: identities of every criterion, and bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.strength import MODES, first_ply_failure
from compositekit.units import Q_

CRITERIA = ["max stress", "max strain", "Tsai-Hill", "Tsai-Wu"]
STRENGTH = dict(xt=1000e6, xc=600e6, yt=60e6, yc=150e6, s12=70e6)  # yt high enough that Poisson swelling never governs


def sheet(*angles, **strength):
    ply = Ply.from_si(name="glass", thickness=0.5e-3, e1=40e9, e2=10e9, g12=4e9, nu12=0.27, **strength)
    return Laminate([ply] * len(angles), Q_(list(angles), "deg"))


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("mode, stress", [
    ("fibre tension", (1000, 0, 0)), ("fibre compression", (-600, 0, 0)), ("transverse tension", (0, 60, 0)),
    ("transverse compression", (0, -150, 0)), ("in-plane shear", (0, 0, 70)), ("in-plane shear", (0, 0, -70)),
])
def test_one_stress_at_its_strength(criterion, mode, stress):
    laminate = sheet(0, **STRENGTH)
    failure = first_ply_failure(laminate, Q_(np.array(stress, float), "MPa") * laminate.thickness, criterion=criterion)
    assert failure.multiplier == pytest.approx(1.0)
    assert failure.mode == mode and mode in MODES


LOAD = st.lists(st.floats(-1e5, 1e5), min_size=3, max_size=3).filter(lambda load: max(map(abs, load)) > 1)


@pytest.mark.parametrize("criterion", CRITERIA)
@given(LOAD, st.floats(0.1, 10))
def test_a_larger_load_halves_the_multiplier(criterion, load, factor):
    laminate = sheet(0, 45, 90, **STRENGTH)
    n = Q_(np.array(load), "N/m")
    one, other = (first_ply_failure(laminate, k * n, criterion=criterion).multiplier for k in (1.0, factor))
    assert other * factor == pytest.approx(one, rel=1e-9)


@pytest.mark.parametrize("criterion", CRITERIA)
def test_bending_fails_at_a_face(criterion):
    failure = first_ply_failure(sheet(90, 90, 90, 90, **STRENGTH), Q_([0.0, 0, 0], "N/m"), Q_([1.0, 0, 0], "N"), criterion)
    # a positive moment stretches the inner face; sigma = 6 M/h^2
    assert (failure.ply, failure.face) == (3, 1)
    assert failure.multiplier == pytest.approx(60e6 / (6 / 2e-3**2))
    assert np.isinf(failure.multipliers[1, 1])   # the mid-plane is unstressed


OWN = [
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([0.0, 0, 0], "N/m")), RangeError, "all nought"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0, 0], "N/m"), criterion="guess"), RangeError, "Tsai-Wu"),
    (lambda: first_ply_failure(sheet(0), Q_([1.0, 0, 0], "N/m")), UnitError, "glass has no xt"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0], "N/m")), RangeError, "three numbers"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([np.nan, 0, 0], "N/m")), RangeError, "finite"),
    (lambda: first_ply_failure(sheet(0, **STRENGTH), Q_([1.0, 0, 0], "MPa")), UnitError, "N wants"),
]


@pytest.mark.parametrize("call, error, words", OWN)
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call()
