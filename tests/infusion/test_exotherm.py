"""Own cases: the bucket's working life against the data sheet, the stiff solver, and what a builder knows."""

import time

import numpy as np
import pytest

from compositekit.infusion.exotherm import (
    HEAT_OF_REACTION,
    ORDER,
    SPECIFIC_HEAT,
    WORKING_RISE,
    bucket_cooling,
    bucket_life,
    self_heating,
    starting_rate,
)
from compositekit.infusion.resin import GAS_CONSTANT
from compositekit.units import Q_

WARM = Q_(25, "degC")
OWN = [10, 60, 150, 300]  # pot lives in minutes


@pytest.mark.parametrize("minutes", OWN)
def test_data_sheet_cup_gives_the_data_sheet(minutes):
    assert bucket_life(Q_(100, "g"), WARM, Q_(minutes, "min")).m_as("min") == pytest.approx(minutes, rel=1e-5)


@pytest.mark.parametrize("minutes", OWN)
def test_larger_is_shorter(minutes):
    lives = bucket_life(Q_([0.1, 0.3, 1, 3, 10, 30], "kg"), WARM, Q_(minutes, "min")).m_as("min")
    assert np.all(np.diff(lives) < 0)
    assert lives[-1] > minutes / 4


@pytest.mark.parametrize("minutes", OWN)
@pytest.mark.parametrize("mass,celsius", [(0.05, 20), (0.5, 25), (5, 30), (20, 15)])
def test_quick_scheme_against_the_stiff_solver(minutes, mass, celsius):
    """Own reference: LSODA on conversion and temperature in time, against Runge-Kutta over conversion."""
    energy, start = 55e3, 298.15
    rate = starting_rate(minutes * 60.0, 0.1, start, energy)
    quick = bucket_life(Q_(mass, "kg"), Q_(celsius, "degC"), Q_(minutes, "min")).m_as("s")
    course = self_heating(Q_(celsius, "degC"), Q_(celsius, "degC"), bucket_cooling(Q_(mass, "kg")), Q_(quick, "s"),
                          Q_(rate * np.exp(energy / (GAS_CONSTANT * start)), "1/s"), Q_(energy, "J/mol"), ORDER)
    assert course.conversions[-1].m == pytest.approx(WORKING_RISE * SPECIFIC_HEAT / HEAT_OF_REACTION, rel=1e-4)


def test_wide_tray_lives_longer():
    bucket, tray = (bucket_life(Q_(2, "kg"), WARM, Q_(60, "min"), diameter=d) for d in (None, Q_(0.5, "m")))
    assert tray > 1.2 * bucket


def test_no_cooling_is_the_limit_of_a_huge_bucket():
    huge = bucket_life(Q_(1000, "kg"), WARM, Q_(150, "min")).m_as("min")
    assert huge == pytest.approx(bucket_life(Q_(300, "kg"), WARM, Q_(150, "min")).m_as("min"), rel=0.02)


def test_quick_enough_for_a_slider():
    """A fresh pot life (nothing remembered) and a table of masses in well under 20 ms; the best of five is taken."""
    def once(minutes):
        began = time.perf_counter()
        bucket_life(Q_([0.5, 1, 2, 5], "kg"), WARM, Q_(minutes, "min"))
        return time.perf_counter() - began
    assert min(once(77.0 + n) for n in range(5)) < 0.020


def test_ordinary_bucket_is_filled_to_six_tenths_of_its_width():
    """Own judgement, stated in bucket_cooling: depth 0.6 of the diameter, so 2 x end + wall = pi d^2 (0.5 + 0.6)."""
    diameter = 0.2
    mass = np.pi * diameter**2 / 4 * 0.6 * diameter * 1100
    cooling = bucket_cooling(Q_(mass, "kg"), density=Q_(1100, "kg/m^3"), heat_transfer=Q_(8, "W/m^2/K"))
    assert cooling.m == pytest.approx(8 * np.pi * diameter**2 * 1.1 / mass)


@pytest.mark.parametrize("heat", [320, 440, 500])
def test_the_cup_of_the_data_sheet_keeps_its_life_whatever_the_heat(heat):
    assert bucket_life(Q_(100, "g"), WARM, Q_(45, "min"), heat_of_reaction=Q_(heat, "kJ/kg")).m_as("min") == pytest.approx(45, rel=1e-5)


def test_another_heat_of_reaction_gives_another_big_bucket():
    lives = [bucket_life(Q_(5, "kg"), WARM, Q_(150, "min"), heat_of_reaction=Q_(heat, "kJ/kg")).m_as("min") for heat in (320, 380, 440, 500)]
    assert len(set(lives)) == 4 and all(0 < life < 150 for life in lives)
