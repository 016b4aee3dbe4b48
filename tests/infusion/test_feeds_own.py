"""Own cases: feed layouts, shared lines, a room that warms, and the trial panel's front: limits, inverses, merges."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from compositekit.infusion import (
    ageing,
    ageing_room,
    darcy,
    feed,
    feed_layouts,
    feed_sharing,
    front_fit,
    rate_fit,
    resin,
)
from compositekit.units import Q_

FABRIC = Q_(2e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(90e3, "Pa")


# --- limits of what was there ----------------------------------------------------------------------------

def test_one_zone_is_plain_and_equal_zones_merge():
    plain = darcy.fill_time_linear(Q_(1, "m"), *FABRIC).m
    for pieces in ([1.0], [0.4, 0.6], [0.1] * 10):
        n = len(pieces)
        assert darcy.fill_time_zones(Q_(pieces, "m"), Q_([2e-10] * n, "m^2"), [0.5] * n, *FABRIC[2:]).m[-1] == pytest.approx(plain, rel=1e-12)


def test_climb_goes_to_level():
    level = darcy.fill_time_linear(Q_(1, "m"), *FABRIC).m
    times = [darcy.climbing(Q_(1, "m"), climb, Q_(1100, "kg/m^3"), *FABRIC).m for climb in (-1, -0.1, -1e-9, 0, 1e-9, 0.1, 1)]
    assert np.all(np.diff(times) >= 0)
    np.testing.assert_allclose(times[2:5], level, rtol=1e-8)


@pytest.mark.parametrize("change,sign", [({0: 2.0}, -1), ({1: 1.2}, 1), ({2: 2.0}, 1), ({3: 0.5}, 1)])
def test_monotony(change, sign):
    altered = tuple(value * change.get(i, 1.0) for i, value in enumerate(FABRIC))
    for time in (lambda fabric: darcy.fill_time_linear(Q_(1, "m"), *fabric), lambda fabric: darcy.fill_time_radial(Q_(1, "m"), Q_(6, "mm"), *fabric),
                 lambda fabric: darcy.fill_time_perimeter(Q_(1, "m"), Q_(0, "m"), *fabric),
                 lambda fabric: feed_layouts.gap_closes(Q_(1, "m"), Q_(0, "s"), *fabric)[0]):
        assert np.sign(time(altered) - time(FABRIC)) == sign


# --- edge-in, centre-out, oval ----------------------------------------------------------------------------

def test_feeds_compared():
    found = feed_layouts.compare_feeds(Q_(0.5, "m"), Q_(6, "mm"), *FABRIC)
    assert found.middle_line.m == found.both_edges.m == darcy.fill_time_linear(Q_(0.5, "m"), *FABRIC).m
    assert found.si.middle_point / found.si.round_edge == pytest.approx(2 * np.log(0.5 / 0.006) - 1, rel=1e-3)
    assert "7.8 times" in found.words


def test_oval_front():
    round_ = darcy.fill_time_radial(Q_(0.3, "m"), Q_(6, "mm"), *FABRIC).m
    for x, y in ((0.3, 0.0), (0.0, 0.3), (0.18, 0.24)):
        assert feed_layouts.fill_time_oval(Q_(x, "m"), Q_(y, "m"), Q_(6, "mm"), FABRIC[0], *FABRIC).m == pytest.approx(round_, rel=1e-12)
    args = Q_(6, "mm"), Q_(4e-10, "m^2"), Q_(1e-10, "m^2"), *FABRIC[1:]
    swap = Q_(6, "mm"), Q_(1e-10, "m^2"), Q_(4e-10, "m^2"), *FABRIC[1:]
    assert feed_layouts.fill_time_oval(Q_(0.3, "m"), Q_(0.1, "m"), *args).m == pytest.approx(feed_layouts.fill_time_oval(Q_(0.1, "m"), Q_(0.3, "m"), *swap).m)


# --- a second line -------------------------------------------------------------------------------------------

def front_by_steps(second_line, opens, time):
    """The front equation stepped: beyond the second line the resin comes from there."""
    c = 2 * 2e-10 * 90e3 / (0.5 * 0.3)
    alone = np.sqrt(c * opens)
    if alone < second_line:
        return None
    found = solve_ivp(lambda t, x: c / 2 / np.maximum(x - second_line, 1e-9), (opens, time), [alone], rtol=1e-10)
    return found.y[0, -1]


@pytest.mark.parametrize("opens", [2000.0, 4000.0])
def test_second_line_behind_the_front(opens):
    front = front_by_steps(0.5, opens, 9000.0)
    assert feed_layouts.fill_time_second_line(Q_(front, "m"), Q_(0.5, "m"), Q_(opens, "s"), *FABRIC).m == pytest.approx(9000.0, rel=1e-5)


def test_second_line_never_opened_in_time_and_opened_as_the_front_comes():
    alone = darcy.fill_time_linear(Q_(0.9, "m"), *FABRIC)
    assert feed_layouts.fill_time_second_line(Q_(0.9, "m"), Q_(0.5, "m"), alone * 2, *FABRIC).m == pytest.approx(alone.m)
    come = darcy.fill_time_linear(Q_(0.5, "m"), *FABRIC)
    passed = feed_layouts.fill_time_second_line(Q_(0.9, "m"), Q_(0.5, "m"), come, *FABRIC)
    assert passed.m == pytest.approx((come + darcy.fill_time_linear(Q_(0.4, "m"), *FABRIC)).m)


def test_two_lines_at_once_meet_in_the_middle():
    time, place = feed_layouts.gap_closes(Q_(1, "m"), Q_(0, "s"), *FABRIC)
    assert place.m == pytest.approx(0.5)
    assert time.m == pytest.approx(darcy.fill_time_linear(Q_(0.5, "m"), *FABRIC).m)


@pytest.mark.parametrize("opens", [10.0, 500.0, 1500.0])
def test_gap_closes_where_both_fronts_are(opens):
    time, place = feed_layouts.gap_closes(Q_(1, "m"), Q_(opens, "s"), *FABRIC)
    assert darcy.front_position_linear(time, *FABRIC).m == pytest.approx(place.m, rel=1e-12)
    assert 1 - darcy.front_position_linear(time - Q_(opens, "s"), *FABRIC).m == pytest.approx(place.m, rel=1e-12)
    assert place.m > 0.5


# --- before gel -------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("doubling", [None, Q_(1, "hour")])
def test_longest_distance_and_share_are_inverses(doubling):
    share = np.array([0.1, 0.5, 0.9])
    distance = feed_layouts.longest_distance(Q_(2, "hour"), share, *FABRIC, doubling)
    np.testing.assert_allclose(feed_layouts.gel_share_used(distance, Q_(2, "hour"), *FABRIC, doubling).m, share, rtol=1e-10)
    assert np.all(np.diff(distance.m) > 0)


def test_thickening_shortens_the_run():
    without, slow, quick = (feed_layouts.longest_distance(Q_(2, "hour"), 0.5, *FABRIC, doubling).m for doubling in (None, Q_(999, "day"), Q_(1, "hour")))
    assert quick < slow == pytest.approx(without, rel=1e-4)


# --- lines that share or lose ---------------------------------------------------------------------------------------

BRANCH = Q_(8, "mm"), Q_(2, "m"), Q_(10, "mm"), Q_(0.3, "Pa*s"), Q_(90e3, "Pa")


def test_branches_cost_what_the_last_one_needs():
    times, volumes, lengths = Q_([300.0, 900], "s"), Q_([1.0, 3], "L"), Q_([0.5, 1], "m")
    total = feed_sharing.fill_time_branched(times, volumes, lengths, *BRANCH)
    own = feed.line_delay(Q_(3, "L"), Q_(90e3, "Pa"), Q_(1, "m"), Q_(8, "mm"), Q_(0.3, "Pa*s"))
    common = feed.line_delay(Q_(4, "L"), Q_(90e3, "Pa"), Q_(2, "m"), Q_(10, "mm"), Q_(0.3, "Pa*s"))
    assert total.m == pytest.approx(900 + own.m + common.m)
    assert total < feed_sharing.fill_time_branched(times, volumes * 2, lengths, *BRANCH)


def test_branched_against_two_fronts_stepped():
    """Two panels on a tee fed by one hose, stepped in time: the last to fill is full when the sum says."""
    K, phi, mu, P, h = 2e-10, 0.5, 0.3, 90e3, 4e-3
    widths, runs = np.array([0.4, 0.8]), np.array([0.3, 0.4])
    hose = 128 * mu * 3.0 / (np.pi * 0.006**4)
    twig = 128 * mu * np.array([0.5, 1.0]) / (np.pi * 0.006**4)

    def rates(t, x):
        resistance = twig + mu * np.maximum(x, 1e-9) / (K * h * widths)
        conductance = np.where(x < runs, 1 / resistance, 0.0)
        tee = P / (1 + hose * conductance.sum())
        return conductance * tee / (phi * h * widths)

    def last(t, x):
        return x[1] - runs[1]
    last.terminal = True
    stepped = solve_ivp(rates, (0, 1e5), [0.0, 0.0], events=last, rtol=1e-8, atol=1e-9, max_step=20.0)
    alone = darcy.fill_time_linear(Q_(runs, "m"), Q_(K, "m^2"), phi, Q_(mu, "Pa*s"), Q_(P, "Pa"))
    total = feed_sharing.fill_time_branched(alone, Q_(phi * h * widths * runs, "m^3"), Q_([0.5, 1.0], "m"), Q_(6, "mm"), Q_(3, "m"), Q_(6, "mm"),
                                            Q_(mu, "Pa*s"), Q_(P, "Pa"))
    assert stepped.t_events[0].size == 1
    assert total.m == pytest.approx(stepped.t[-1], rel=2e-3)


def test_leaking_line_limits():
    rest = Q_(4, "mm"), *FABRIC
    times = [feed_sharing.fill_time_leaking_line(Q_(0.4, "m"), Q_(length, "m"), Q_(8, "mm"), *rest).m for length in (1e-4, 1, 3)]
    assert times[0] == pytest.approx(darcy.fill_time_linear(Q_(0.4, "m"), *FABRIC).m, rel=1e-6)
    assert np.all(np.diff(times) > 0)
    shares = [feed_sharing.pressure_left_at_end(Q_(2, "m"), Q_(8, "mm"), Q_(2e-9, "m^2"), Q_(4, "mm"), Q_(front, "m")).m for front in (1e-9, 0.1, 100)]
    assert shares[0] < shares[1] < shares[2] < 1 and shares[2] == pytest.approx(1, abs=0.01)


# --- a room that warms or cools ----------------------------------------------------------------------------------------

LAW = Q_(1, "hour"), Q_(25, "degC"), Q_(50, "kJ/mol"), Q_(55, "kJ/mol")


@pytest.mark.parametrize("start,end", [(18, 28), (28, 15), (22, 22)])
def test_room_against_quadrature(start, end):
    hours, span = Q_([0, 2], "hour"), 7200.0
    def warm(t):
        return 273.15 + start + (end - start) * t / span
    def doublings(t):
        return quad(lambda s: resin.speed_up(warm(s), 298.15, 55e3) / 3600, 0, t, epsabs=1e-12)[0]
    def pace(t):
        return 1 / (2 ** doublings(t) / resin.speed_up(warm(t), 298.15, 50e3))
    fresh = ageing_room.fresh_time_in_room(hours, Q_(273.15 + np.array([start, end]), "K"), *LAW).m[-1]
    assert fresh == pytest.approx(quad(pace, 0, span, epsabs=1e-9)[0], rel=1e-7)


def test_room_is_the_plain_clock_at_the_reference_temperature():
    history = Q_([0, 1, 3], "hour"), Q_([298.15] * 3, "K")
    np.testing.assert_allclose(ageing_room.fresh_time_in_room(*history, *LAW).m, ageing.fresh_time(history[0], Q_(1, "hour")).m, rtol=1e-8)
    times = Q_([0, 300, 2000], "s")
    np.testing.assert_allclose(ageing_room.fill_time_in_room(times, *history, *LAW).m, ageing.clock_time(times, Q_(1, "hour")).m, rtol=1e-7, atol=1e-9)


def test_room_inverse_and_slow_resin():
    history = Q_(np.array([0.0, 20, 45, 120]), "min"), Q_(np.array([288.0, 296, 293, 299]), "K")
    fresh = ageing_room.fresh_time_in_room(*history, *LAW)
    np.testing.assert_allclose(ageing_room.fill_time_in_room(fresh, *history, *LAW).m, history[0].m_as("s"), rtol=1e-7, atol=1e-6)
    steady = ageing_room.fill_time_in_room(Q_(40, "min"), Q_([0, 2], "hour"), Q_([298.15] * 2, "K"), Q_(9999, "day"), *LAW[1:])
    assert steady.m_as("min") == pytest.approx(40, rel=1e-4)


def test_colder_room_fills_slower():
    times = [ageing_room.fill_time_in_room(Q_(15, "min"), Q_([0, 2], "hour"), Q_([T, T], "degC"), *LAW).m for T in (15, 20, 25)]
    assert times[0] > times[1] > times[2]


# --- the trial panel --------------------------------------------------------------------------------------------------------

TIMES = np.linspace(60, 3000, 12)


def test_interval_covers_the_truth_as_often_as_it_says():
    square = darcy.front_position_linear(Q_(TIMES, "s"), *FABRIC).m ** 2
    draws = np.random.default_rng(7).normal(0, 0.01, (300, TIMES.size)) * square.max() + square
    fits = [front_fit.permeability_from_front(Q_(np.sqrt(np.abs(draw)), "m"), Q_(TIMES, "s"), *FABRIC[1:]) for draw in draws]
    for confidence in (0.8, 0.95):
        inside = np.mean([low.m < 2e-10 < high.m for low, high in (fit.interval(confidence) for fit in fits)])
        assert inside == pytest.approx(confidence, abs=3 * np.sqrt(confidence * (1 - confidence) / 300) + 0.01)
    starts = np.mean([fit.starts_at_nought(0.95) for fit in fits])
    assert starts == pytest.approx(0.95, abs=0.05)


def test_interval_widens_with_confidence():
    noisy = darcy.front_position_linear(Q_(TIMES, "s"), *FABRIC) * (1 + 0.02 * np.cos(np.arange(12)))
    fit = front_fit.permeability_from_front(noisy, Q_(TIMES, "s"), *FABRIC[1:])
    (low, high), (lower, higher) = fit.interval(0.8), fit.interval(0.95)
    assert lower < low < fit.permeability < high < higher


def test_late_clock_is_noticed():
    noise = 1 + 0.002 * np.cos(7 * np.arange(12))
    front = darcy.front_position_linear(Q_(TIMES + 200, "s"), *FABRIC) * noise
    assert not front_fit.permeability_from_front(front, Q_(TIMES, "s"), *FABRIC[1:]).starts_at_nought()
    assert front_fit.permeability_from_front(front, Q_(TIMES + 200, "s"), *FABRIC[1:]).starts_at_nought()


def test_early_readings_off_the_line_are_counted():
    front = darcy.front_position_linear(Q_(TIMES, "s"), *FABRIC).m
    assert front_fit.early_readings_off(Q_(front, "m"), Q_(TIMES, "s")) == 0
    front[:2] -= 0.03
    assert front_fit.early_readings_off(Q_(front, "m"), Q_(TIMES, "s")) == 2
    assert front_fit.early_readings_off(Q_(front[:3], "m"), Q_(TIMES[:3], "s")) == 0


def test_hose_taken_out_of_a_log():
    distance = np.linspace(0.1, 0.8, 9)
    hose = Q_(3, "m"), Q_(6, "mm"), FABRIC[2]
    clean = darcy.fill_time_linear(Q_(distance, "m"), *FABRIC)
    read = clean + feed.line_delay(Q_(0.5 * 4e-3 * 0.5 * distance, "m^3"), FABRIC[3], *hose)
    left = front_fit.times_without_hose(Q_(distance, "m"), read, Q_(0.5, "m"), Q_(4, "mm"), 0.5, FABRIC[3], *hose)
    assert front_fit.permeability_from_front(Q_(distance, "m"), left, *FABRIC[1:]).permeability.m == pytest.approx(2e-10, rel=1e-9)
    assert front_fit.permeability_from_front(Q_(distance, "m"), read, *FABRIC[1:]).permeability.m < 1.99e-10


def test_pot_height_costs_pressure():
    level, below = (front_fit.driving_pressure(Q_(1013, "mbar"), Q_(13, "mbar"), Q_(1100, "kg/m^3"), Q_(height, "m")) for height in (0, 0.5))
    assert level.m == pytest.approx(1e5)
    assert (level - below).m == pytest.approx(feed.hydrostatic_head(Q_(1100, "kg/m^3"), Q_(0.5, "m")).m)


def test_round_front_gives_back_its_permeability():
    radius = Q_([0.05, 0.1, 0.2, 0.35], "m")
    fit = front_fit.permeability_from_round_front(radius, darcy.fill_time_radial(radius, Q_(6, "mm"), *FABRIC), Q_(6, "mm"), *FABRIC[1:])
    assert fit.permeability.m == pytest.approx(2e-10, rel=1e-9)


def test_rate_panels_give_back_their_permeability():
    time = np.array([5.0, 10, 20, 40])
    Q, A, K, phi, mu = 4e-6, 1e-3, 3e-9, 0.5, 0.24
    line = rate_fit.permeability_from_rate(Q_(time, "s"), Q_(mu / phi * (Q / A) ** 2 / K * time, "Pa"), Q_(Q, "m^3/s"), Q_(A, "m^2"), phi, Q_(mu, "Pa*s"))
    assert line.permeability.m == pytest.approx(K, rel=1e-9)
    pressure = mu * Q / (4 * np.pi * 5e-3 * K) * np.log1p(Q * time / (np.pi * 5e-3 * 6e-3**2 * phi))
    round_ = rate_fit.permeability_from_rate_round(Q_(time, "s"), Q_(pressure, "Pa"), Q_(Q, "m^3/s"), Q_(5, "mm"), Q_(6, "mm"), phi, Q_(mu, "Pa*s"))
    assert round_.permeability.m == pytest.approx(K, rel=1e-9)
    low, high = round_.interval()
    assert low.m <= K * (1 + 1e-6) and high.m >= K * (1 - 1e-6)
