"""Own cases: limits, inverses and round trips of the flow relations."""

import numpy as np
import pytest

from compositekit.infusion import channels, darcy, feed, front_fit, stack
from compositekit.units import Q_

FABRIC = Q_(2e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(90e3, "Pa")


def test_front_log_gives_back_its_permeability():
    times = Q_([60, 240, 600, 1500, 3000], "s")
    fit = front_fit.permeability_from_front(darcy.front_position_linear(times, *FABRIC), times, *FABRIC[1:])
    assert fit.permeability.m == pytest.approx(2e-10, rel=1e-9)
    assert fit.standard_error.m < 1e-16
    assert fit.intercept.m == pytest.approx(0, abs=1e-9)


def test_late_clock_shows_in_the_intercept_only():
    times = np.array([60, 240, 600, 1500, 3000.0])
    fit = front_fit.permeability_from_front(darcy.front_position_linear(Q_(times, "s"), *FABRIC), Q_(times - 50, "s"), *FABRIC[1:])
    assert fit.permeability.m == pytest.approx(2e-10, rel=1e-9)
    assert fit.intercept.m == pytest.approx(darcy.front_position_linear(Q_(50, "s"), *FABRIC).m ** 2, rel=1e-6)


def test_standard_error_covers_the_truth():
    """Gaussian scatter on distance^2: the truth lies within two standard errors about 95 times of 100 (t with 10 readings)."""
    times = np.linspace(60, 3000, 12)
    square = darcy.front_position_linear(Q_(times, "s"), *FABRIC).m ** 2
    draws = np.random.default_rng(4).normal(0, 0.01, (200, times.size)) * square.max() + square
    fits = [front_fit.permeability_from_front(Q_(np.sqrt(np.abs(draw)), "m"), Q_(times, "s"), *FABRIC[1:]) for draw in draws]
    inside = np.mean([abs(fit.permeability.m - 2e-10) < 2.228 * fit.standard_error.m for fit in fits])
    assert 0.90 < inside <= 0.995


def test_slope_series_meets_the_logarithm():
    climbs = np.array([0.99e-4, 1.01e-4]) * 90e3 / (1100 * feed.STANDARD_GRAVITY)
    below, above = (darcy.climbing(Q_(1, "m"), c, Q_(1100, "kg/m^3"), *FABRIC).m for c in climbs)
    level = darcy.fill_time_linear(Q_(1, "m"), *FABRIC).m
    assert above / level - 1 == pytest.approx(2 / 3 * 1.01e-4, rel=1e-3)
    assert below / level - 1 == pytest.approx(2 / 3 * 0.99e-4, rel=1e-3)


def test_slow_ageing_is_plain_flow():
    assert darcy.fill_time_ageing(Q_(1, "m"), *FABRIC, Q_(1000, "day")).m == pytest.approx(darcy.fill_time_linear(Q_(1, "m"), *FABRIC).m, rel=1e-3)


def test_ageing_inverse():
    distance = Q_(np.linspace(0, 0.9, 7), "m")
    back = darcy.distance_before(darcy.fill_time_ageing(distance, *FABRIC, Q_(1, "hour")), *FABRIC, Q_(1, "hour"))
    np.testing.assert_allclose(back.m, distance.m, atol=1e-12)


MESH = Q_(4e-9, "m^2"), Q_(1, "mm"), 0.85, Q_(1e-10, "m^2"), Q_(2e-12, "m^2"), Q_(4, "mm"), 0.5, Q_(0.3, "Pa*s"), Q_(95e3, "Pa")


def test_mesh_time_joins_up_at_the_lag():
    _, lag = stack.mesh_over_laminate(Q_(1, "m"), *MESH)
    before, after = stack.mesh_over_laminate(lag * np.array([1 - 1e-9, 1 + 1e-9]), *MESH)[0].m
    assert before == pytest.approx(after, rel=1e-7)
    assert np.all(np.diff(stack.mesh_over_laminate(Q_(np.linspace(0, 1, 50), "m"), *MESH)[0].m) > 0)


def test_channel_does_not_mind_which_side_is_called_depth():
    assert channels.channel_permeability(Q_(5, "mm"), Q_(1, "mm")).m == channels.channel_permeability(Q_(1, "mm"), Q_(5, "mm")).m


@pytest.mark.parametrize("flow,count", [(0.5, 1), (4.0, 2), (4.1, 3)])
def test_inlets_for_flow_keep_the_drop(flow, count):
    line = Q_(2, "m"), Q_(10, "mm"), Q_(0.3, "Pa*s")
    allowed = feed.line_pressure_drop(Q_(2, "L/min"), *line)
    assert feed.inlets_for_flow(Q_(flow, "L/min"), allowed, *line) == count


def test_line_delay_is_volume_over_largest_flow():
    line = Q_(2, "m"), Q_(10, "mm"), Q_(0.3, "Pa*s")
    assert feed.line_delay(Q_(3, "L"), Q_(90, "kPa"), *line).m == pytest.approx((Q_(3, "L") / feed.largest_flow(Q_(90, "kPa"), *line)).m_as("s"))
