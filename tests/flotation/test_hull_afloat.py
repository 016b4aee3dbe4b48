"""Hydrostatics against exact forms, with observed order where the loft only comes near, and what must hold for any hull.

EXACT rows are forms a straight-line loft can hold without error; the case ids are those of the reference sheet
(own reference: derived by hand and quadrature, six figures and more).
"""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import CompositeKitError, RangeError, ShapeError, UnitError
from compositekit.flotation import draught_for, freeboard, hydrostatics
from compositekit.shape import FlatShape, HullShape
from compositekit.units import Q_

FRESH = Q_(1000, "kg/m^3")


def m(value):
    return Q_(value, "m")


def box(length=2.4, beam=0.9, depth=0.3):
    row = {"keel": (0, 0), "chine": (beam / 2, 0), "gunwale": (beam / 2, depth)}
    return HullShape([(0, row), (length, row)], list(row))


def vee(length, beam, depth):
    row = {"keel": (0, 0), "gunwale": (beam / 2, depth)}
    return HullShape([(0, row), (length, row)], list(row))


def wedge(length, beam, depth):
    aft, fore = ({"keel": (0, 0), "gunwale": (half, depth)} for half in (beam / 2, 0))
    return HullShape([(0, aft), (length, fore)], ["keel", "gunwale"])


def wigley(length, beam, depth, intervals, waterlines):
    heights = np.linspace(-depth, 0, waterlines + 1)
    lines = [f"waterline {j}" for j in range(waterlines + 1)]

    def row(x):
        half = beam / 2 * (1 - (2 * x / length) ** 2) * (1 - (heights / depth) ** 2)
        return dict(zip(lines, zip(np.abs(half), heights, strict=True), strict=True))

    return HullShape([(x, row(x)) for x in np.linspace(-length / 2, length / 2, intervals + 1)], lines)


def punt():
    shape = [(0.0, 0.30, 0.35, 0.20), (0.6, 0.38, 0.42, 0.03), (1.8, 0.40, 0.46, 0.0), (3.0, 0.38, 0.42, 0.04),
             (3.6, 0.30, 0.35, 0.22)]
    return HullShape([(x, {"keel": (0, z), "chine": (c, z), "gunwale": (g, 0.40)}) for x, c, g, z in shape],
                     ["keel", "chine", "gunwale"])


def ramp():
    """Upright sides, 1 m wide; the flat bottom rises from 0 to 0.4 m over 2 m, so at 0.2 m half of it is dry."""
    aft, fore = ({"keel": (0, z), "chine": (0.5, z), "gunwale": (0.5, 0.5)} for z in (0.0, 0.4))
    return HullShape([(0, aft), (2, fore)], ["keel", "chine", "gunwale"])


EXACT = [
    ("ramp, half its bottom dry", ramp(), 0.2, dict(
        volume=0.1, waterplane_area=1.0, centre_of_buoyancy=0.4 / 3, metacentric_radius=1 / 1.2,
        longitudinal_metacentric_radius=1 / 1.2, longitudinal_centre_of_buoyancy=1 / 3, centre_of_flotation=0.5)),
    ("X1 box", box(), 0.12, dict(
        volume=0.2592, mass=259.2, centre_of_buoyancy=0.060, metacentric_radius=0.5625, waterplane_area=2.16,
        longitudinal_metacentric_radius=4.0, mass_per_immersion=2160.0, longitudinal_centre_of_buoyancy=1.2,
        centre_of_flotation=1.2, freeboard=0.18)),
    ("X2 V hull", vee(3.0, 0.8, 0.25), 0.25, dict(
        volume=0.300, centre_of_buoyancy=0.5 / 3, metacentric_radius=0.8**2 / 1.5, longitudinal_metacentric_radius=6.0)),
    ("V hull at half draught", vee(3.0, 0.8, 0.25), 0.125, dict(
        volume=0.075, centre_of_buoyancy=0.25 / 3, metacentric_radius=0.4**2 / 0.75)),
    ("tapered wedge", wedge(3.0, 0.8, 0.3), 0.3, dict(
        volume=3 * .8 * .3 / 4, waterplane_area=1.2, centre_of_buoyancy=0.2, metacentric_radius=.64 / 3.6,
        longitudinal_metacentric_radius=9 / 2.7, longitudinal_centre_of_buoyancy=1.0, centre_of_flotation=1.0)),
]


@pytest.mark.parametrize("name,hull,draught,expected", EXACT, ids=[r[0] for r in EXACT])
def test_exact_form(name, hull, draught, expected):
    found = vars(hydrostatics(hull, m(draught), FRESH).si)
    assert {k: found[k] for k in expected} == pytest.approx(expected, rel=1e-9)


WIGLEY = dict(volume=0.2844444444, waterplane_area=2.1333333333, centre_of_buoyancy=0.125, metacentric_radius=0.2742857143,
              longitudinal_metacentric_radius=6.0)  # X5, L 4.0, B 0.80, T 0.20
WIGLEY_HALF = dict(volume=0.0888888889, centre_of_buoyancy=0.0650, waterplane_area=1.600, metacentric_radius=0.3702857143)


@pytest.mark.parametrize("draught,exact", [(0.20, WIGLEY), (0.10, WIGLEY_HALF)], ids=["X5", "X5 half draught"])
def test_wigley_comes_to_the_exact_form_with_second_order(draught, exact):
    found = [vars(hydrostatics(wigley(4.0, 0.8, 0.2, n, n), m(draught), FRESH).si) for n in (8, 16, 32)]
    for name, value in exact.items():
        errors = np.abs([row[name] - value for row in found])
        assert np.log2(errors[:-1] / errors[1:]) == pytest.approx([2, 2], abs=0.06), name
        assert (4 * found[2][name] - found[1][name]) / 3 == pytest.approx(value, rel=1e-4), name


X8 = [(4, 2, -12.11, -6.25), (8, 4, -3.10, -1.56), (10, 4, -2.55, -1.00), (20, 10, -0.50, -0.25), (40, 20, -0.125, -0.063)]


@pytest.mark.parametrize("intervals,waterlines,volume,area", X8)
def test_x8_a_straight_loft_loses_what_the_trapezoid_loses(intervals, waterlines, volume, area):
    """X8 (own reference): errors in per cent of volume and waterplane area for a Wigley hull."""
    found = hydrostatics(wigley(4.0, 0.8, 0.2, intervals, waterlines), m(0.2), FRESH).si
    assert 100 * (found.volume / WIGLEY["volume"] - 1) == pytest.approx(volume, abs=0.006)
    assert 100 * (found.waterplane_area / WIGLEY["waterplane_area"] - 1) == pytest.approx(area, abs=0.006)


def test_full_draught_volume_is_the_volume_of_the_shape():
    hull = wigley(4.0, 0.8, 0.2, 10, 4)
    assert hydrostatics(hull, m(0.2), FRESH).volume.magnitude == pytest.approx(hull.volume.magnitude, rel=1e-12)
    assert freeboard(hull, m(0.2)).magnitude == pytest.approx(0, abs=1e-12)


def test_half_cylinder_keeps_its_metacentre_on_the_axis():
    t = np.linspace(0, np.pi / 2, 201)
    lines = [str(i) for i in range(len(t))]
    row = {n: (np.sin(a), 1 - np.cos(a)) for n, a in zip(lines, t, strict=True)}
    hull = HullShape([(0, row), (2, row)], lines)
    for draught in (0.3, 0.7, 1.0):
        found = hydrostatics(hull, m(draught), FRESH).si
        assert found.centre_of_buoyancy + found.metacentric_radius == pytest.approx(1.0, abs=1e-4)


def test_waterplane_is_the_slope_of_volume():
    hull, step = punt(), 1e-4
    low, mid, high = (hydrostatics(hull, m(0.15 + k * step), FRESH).si for k in (-1, 0, 1))
    assert (high.volume - low.volume) / (2 * step) == pytest.approx(mid.waterplane_area, rel=1e-6)


def test_trimmed_box_by_hand():
    """A box trimmed by 0.06 m keeps its volume; LCB moves by trim L/(12 T), by hand."""
    found = hydrostatics(box(), m(0.12), FRESH, trim=m(0.06)).si
    assert found.volume == pytest.approx(0.2592, rel=1e-12)
    assert found.longitudinal_centre_of_buoyancy == pytest.approx(1.2 + 0.06 * 2.4 / (12 * 0.12), rel=1e-12)
    assert found.freeboard == pytest.approx(0.15)


def test_tunnel_bottom_counts_only_what_is_under_water():
    """Two V floats joined by a bridge above the water: each 0.2 m wide there, centred 0.4 m out."""
    row = {"bridge": (0, 0.3), "inner": (0.2, 0.3), "float": (0.4, 0.0), "outer": (0.6, 0.3)}
    hull = HullShape([(0, row), (2, row)], list(row))
    found = hydrostatics(hull, m(0.15), FRESH).si
    assert found.volume == pytest.approx(2 * 2 * 0.2 * 0.15 / 2, rel=1e-12)
    assert found.waterplane_area == pytest.approx(2 * 2 * 0.2, rel=1e-12)
    inertia = 2 * 2 * (0.2**3 / 12 + 0.2 * 0.4**2)
    assert found.metacentric_radius == pytest.approx(inertia / found.volume, rel=1e-12)


@settings(max_examples=40)
@given(st.floats(1.0, 900.0), st.floats(990.0, 1030.0))
def test_equilibrium_displaces_its_own_mass(mass, density):
    hull, water = punt(), Q_(density, "kg/m^3")
    try:
        draught = draught_for(hull, Q_(mass, "kg"), water)
    except RangeError as err:
        assert "gunwale" in str(err)
        assert mass > density * hull.volume.magnitude * (1 - 1e-12)
        return
    assert hydrostatics(hull, draught, water).mass.magnitude == pytest.approx(mass, rel=1e-9)


@settings(max_examples=30)
@given(st.floats(0.05, 0.35), st.floats(-0.03, 0.03))
def test_turning_the_hull_end_for_end_turns_the_centres(draught, trim):
    hull = punt()
    back = HullShape([(3.6 - x, dict(zip(hull.lines, row, strict=True)))
                      for x, row in zip(hull.x[::-1], hull.offsets[::-1], strict=True)], hull.lines)
    one, other = (hydrostatics(h, m(draught), FRESH, trim=m(t)).si for h, t in ((hull, trim), (back, -trim)))
    assert other.volume == pytest.approx(one.volume, rel=1e-9)
    assert other.centre_of_buoyancy == pytest.approx(one.centre_of_buoyancy, rel=1e-9)
    assert other.longitudinal_centre_of_buoyancy == pytest.approx(3.6 - one.longitudinal_centre_of_buoyancy, rel=1e-9)
    assert other.centre_of_flotation == pytest.approx(3.6 - one.centre_of_flotation, rel=1e-9)


@given(st.floats(-3, 3), st.floats(-20, 20))
def test_moving_the_datum_moves_nothing_but_x(rise, shift):
    hull = punt()
    moved = HullShape([(x + shift, dict(zip(hull.lines, row + np.array([0, rise]), strict=True)))
                       for x, row in zip(hull.x, hull.offsets, strict=True)], hull.lines)
    one, other = (hydrostatics(h, m(0.15), FRESH).si for h in (hull, moved))
    assert other.centre_of_buoyancy == pytest.approx(one.centre_of_buoyancy, rel=1e-7)
    assert other.longitudinal_metacentric_radius == pytest.approx(one.longitudinal_metacentric_radius, rel=1e-7)
    assert other.centre_of_flotation - shift == pytest.approx(one.centre_of_flotation, abs=1e-7)


def test_draught_of_a_punt_is_quick():
    hull, mass = punt(), Q_(180, "kg")
    best = np.inf
    for _ in range(5):
        start = time.perf_counter()
        draught_for(hull, mass, FRESH)
        best = min(best, time.perf_counter() - start)
    assert best < 0.020


REFUSED = [
    (lambda: hydrostatics(box(), m(0.4), FRESH), RangeError, r"over the gunwale at x = 0 m by 0.1 m"),
    (lambda: hydrostatics(box(), m(0.29), FRESH, trim=m(0.1)), RangeError, "over the gunwale at x = 2.4 m"),
    (lambda: hydrostatics(box(), m(0.0), FRESH), RangeError, "above 0 m"),
    (lambda: hydrostatics(box(), m(-0.1), FRESH), RangeError, "above 0 m"),
    (lambda: hydrostatics(box(), m(float("nan")), FRESH), RangeError, "not a finite number"),
    (lambda: hydrostatics(box(), 0.1, FRESH), UnitError, "without a unit"),
    (lambda: hydrostatics(box(), Q_(0.1, "kg"), FRESH), UnitError, "wants a length"),
    (lambda: hydrostatics(box(), m(0.1), Q_(0, "kg/m^3")), RangeError, "above 0"),
    (lambda: hydrostatics(FlatShape({"a": [[0, 0], [1, 0], [1, 1]]}), m(0.1), FRESH), ShapeError, "needs a HullShape"),
    (lambda: hydrostatics(None, m(0.1), FRESH), ShapeError, "needs a HullShape"),
    (lambda: draught_for(box(), Q_(649, "kg"), FRESH), RangeError, "carries only 648 kg"),
    (lambda: draught_for(box(), Q_(0, "kg"), FRESH), RangeError, "above 0 kg"),
    (lambda: draught_for("box", Q_(1, "kg"), FRESH), ShapeError, "needs a HullShape"),
    (lambda: freeboard(None, m(0.1)), ShapeError, "needs a HullShape"),
    (lambda: hydrostatics(box(), Q_(np.array([0.1, 0.2]), "m"), FRESH), CompositeKitError, "one"),
    (lambda: draught_for(box(), Q_(np.array([]), "kg"), FRESH), CompositeKitError, "one"),
]


@pytest.mark.parametrize("call,error,text", REFUSED)
def test_refuses(call, error, text):
    with pytest.raises(error, match=text):
        call()
