"""The swamped boat, densities, levers and head counts: limits, balance and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit import flotation as f
from compositekit.errors import CompositeKitError, RangeError, UnitError
from compositekit.units import Q_

FRESH = Q_(1000, "kg/m^3")


def item(name, mass, volume):
    return f.Item(name, Q_(mass, "kg"), Q_(volume, "m^3"))


def test_a_short_boat_floats_once_its_foam_is_added():
    boat = [item("fibreglass hull", 90, 90 / 1500), item("gear", 20, 0.008)]
    short = f.swamped_flotation(boat, 2, FRESH)
    assert not short.floats
    assert short.persons_supported == 0
    assert short.si.fraction_submerged > 1
    foam = short.si.foam_volume
    added = item("foam", foam * (1000 - 881), foam)  # foam credited at the capped lift
    enough = f.swamped_flotation([*boat, added], 2, FRESH)
    assert enough.si.reserve == pytest.approx(0, abs=1e-9)
    assert enough.si.fraction_submerged == pytest.approx(1)


def test_foam_lift_is_capped():
    heavy = [item("lead", 100, 100 / 11340)]
    light, plain = (f.swamped_flotation(heavy, 0, FRESH, foam_density=Q_(d, "kg/m^3")).si.foam_volume for d in (10, 400))
    shortfall = 100 - 1000 * 100 / 11340
    assert light == pytest.approx(shortfall / 881.0)
    assert plain == pytest.approx(shortfall / 600)


def test_person_loads_are_the_ones_cited():
    assert f.CLINGING_LOAD == pytest.approx(10.0)  # 2/15 of 75 kg, 33 CFR 183.105 (read)
    panel = [item("sandwich", 22.234, 0.0873474)]
    clinging = f.swamped_flotation(panel, 1, FRESH)
    sitting = f.swamped_flotation(panel, 1, FRESH, person_load_in_water=Q_(f.PERSON_MASS * f.SITTING_SHARE, "kg"))
    assert (clinging.si.persons_load, sitting.si.persons_load) == pytest.approx((10.0, 37.5))
    assert (clinging.persons_supported, sitting.persons_supported) == (6, 1)


def test_weightless_people_give_no_head_count():
    assert f.swamped_flotation([item("a", 1, 0.01)], 3, FRESH, person_load_in_water=Q_(0, "kg")).persons_supported is None


def test_result_says_it_is_no_approval():
    caution = f.swamped_flotation([item("a", 1, 0.01)], 0, FRESH).caution
    assert "not an approval" in caution
    assert "defer to local codes and licensed practice" in caution


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(1e-3, 0.2)), min_size=1, max_size=6), st.integers(0, 8))
def test_swamped_balance_holds_and_order_does_not_matter(parts, persons):
    items = [item(str(i), *part) for i, part in enumerate(parts)]
    found = f.swamped_flotation(items, persons, FRESH)
    other = f.swamped_flotation(items[::-1], persons, FRESH)
    si = found.si
    assert si.net_buoyancy == pytest.approx(1000 * si.displaced_volume - si.total_mass)
    assert si.reserve == pytest.approx(si.net_buoyancy - si.persons_load)
    assert found.floats == (si.fraction_submerged <= 1 + 1e-15) or abs(si.reserve) < 1e-9
    assert other.si.reserve == pytest.approx(si.reserve, abs=1e-9)
    if found.floats:
        assert found.persons_supported >= persons


@given(st.floats(0.05, 20))
def test_factor_and_specific_gravity_undo_each_other(gravity):
    assert f.specific_gravity_from_factor(f.weight_in_water_factor(gravity)).magnitude == pytest.approx(gravity)
    assert (f.weight_in_water_factor(gravity).magnitude < 0) == (gravity < 1)


def test_fresh_water_is_heaviest_at_four_degrees_and_salt_is_heavier():
    celsius = np.linspace(0, 30, 301)
    density = f.water_density("fresh", Q_(celsius, "degC")).magnitude
    assert celsius[density.argmax()] == pytest.approx(4.0, abs=0.05)
    salt = f.water_density("salt", Q_(celsius, "degC")).magnitude
    assert np.all(salt > density + 25)


def test_lever_is_gm_times_angle_for_a_small_angle():
    assert f.righting_lever_wall_sided.si(0.4, 0.6, 1e-4) == pytest.approx(0.4e-4, rel=1e-7)


def test_a_capsizing_boat_has_a_negative_metacentric_height():
    assert f.metacentric_height(Q_(0.1, "m"), Q_(0.2, "m"), Q_(0.5, "m")).magnitude == pytest.approx(-0.2)


def test_simpson_is_exact_for_a_cubic_and_half_stations_change_nothing():
    x = np.array([0, 0.5, 1, 2, 3.0])
    volume, centre = f.volume_from_areas(Q_(x, "m"), Q_(x**2, "m^2"))
    assert (volume.magnitude, centre.magnitude) == pytest.approx((9.0, 2.25), rel=1e-12)


OWN = [
    (lambda: f.swamped_flotation(None, 1, FRESH), UnitError, "give a list"),
    (lambda: f.swamped_flotation([item("a", np.array([1.0]), 1)], 1, FRESH), RangeError, "one number at a time"),
    (lambda: f.water_density(None), RangeError, '"fresh" or "salt"'),
    (lambda: f.swamped_flotation([], 1, FRESH), RangeError, "no items"),
    (lambda: f.swamped_flotation([("a", Q_(1, "kg"))], 1, FRESH), UnitError, "item 1 must be"),
    (lambda: f.swamped_flotation([("a", 1, 2)], 1, FRESH), UnitError, "without a unit"),
    (lambda: f.swamped_flotation([("a", Q_(-1, "kg"), Q_(1, "m^3"))], 1, FRESH), RangeError, "at least 0"),
    (lambda: f.swamped_flotation([5], 1, FRESH), UnitError, "item 1 must be"),
    (lambda: f.swamped_flotation([item("a", 1, 0)], 1, FRESH), RangeError, "no item has any volume"),
    (lambda: f.swamped_flotation([item("a", 1, 1)], 1.5, FRESH), RangeError, "whole people"),
    (lambda: f.swamped_flotation([item("a", 1, 1)], -1, FRESH), RangeError, "from 0 to 1000"),
    (lambda: f.swamped_flotation([item("a", 1, 1)], 1, Q_(float("nan"), "kg/m^3")), RangeError, "finite"),
    (lambda: f.swamped_flotation([item("a", 1, 1)], 1, FRESH, foam_density=Q_(1000, "kg/m^3")), RangeError, "to lift anything"),
    (lambda: f.water_density("brackish"), RangeError, '"fresh" or "salt"'),
    (lambda: f.water_density("fresh", Q_(60, "degC")), RangeError, "from 273"),
    (lambda: f.seawater_density(50, Q_(20, "degC")), RangeError, "from 0 to 42"),
    (lambda: f.weight_in_water_factor(0), RangeError, "above 0"),
    (lambda: f.specific_gravity_from_factor(1.0), RangeError, "below 1"),
    (lambda: f.weight_in_water(Q_([1.0, 2.0], "kg"), [0.3]), RangeError, "same number"),
    (lambda: f.sandwich_bulk_density(Q_(5, "kg/m^2"), Q_(0, "m")), RangeError, "above 0"),
    (lambda: f.righting_lever_wall_sided(Q_(1, "m"), Q_(1, "m"), Q_(90, "deg")), RangeError, "heel"),
    (lambda: f.list_from_shift(Q_(2, "kg"), Q_(1, "m"), Q_(1, "kg"), Q_(1, "m")), RangeError, "total includes"),
    (lambda: f.list_from_shift(Q_(1, "kg"), Q_(1, "m"), Q_(2, "kg"), Q_(0, "m")), RangeError, "above 0"),
    (lambda: f.persons_capacity(Q_(10, "kg"), Q_(20, "kg")), RangeError, "more than the gross load"),
    (lambda: f.volume_from_areas(Q_([0, 1.0], "m"), Q_([1, 1.0], "m^2")), RangeError, "at least 3"),
    (lambda: f.volume_from_areas(Q_([0, 1, 1.0], "m"), Q_([1, 1, 1.0], "m^2")), RangeError, "rising"),
    (lambda: f.volume_from_areas(Q_([0, 1, 2.0], "m"), Q_([0, 0, 0.0], "m^2")), RangeError, "no volume"),
    (lambda: f.waterplane_from_half_breadths(Q_([0, 1, 2.0], "m"), Q_([0, 0, 0.0], "m")), RangeError, "no waterplane"),
    (lambda: f.waterplane_from_half_breadths(Q_([], "m"), Q_([], "m")), RangeError, "is empty"),
    (lambda: f.open_boat_volume(Q_(0, "m"), *[Q_(1, "m^2")] * 3), RangeError, "above 0"),
    (lambda: f.mass_per_immersion(Q_(1, "m"), FRESH), CompositeKitError, "wants an area"),
]


@pytest.mark.parametrize("call,error,text", OWN)
def test_refuses(call, error, text):
    with pytest.raises(error, match=text):
        call()
