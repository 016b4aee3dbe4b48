"""Flat and singly curved shapes against plane geometry, and what they refuse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import CompositeKitError, ShapeError, UnitError
from compositekit.shape import CurvedShape, FlatShape
from compositekit.units import Q_

SQUARE = [[0, 0], [1, 0], [1, 1], [0, 1]]


def turned(outline, angle, shift=(0.0, 0.0)):
    c, s = np.cos(angle), np.sin(angle)
    return np.asarray(outline, float) @ np.array([[c, s], [-s, c]]) + shift


def test_rectangle():
    zone = FlatShape({"panel": [[0, 0], [1.2, 0], [1.2, 0.5], [0, 0.5]]}).zones["panel"].si
    assert (zone.area, zone.perimeter, zone.length, zone.width) == pytest.approx((0.6, 3.4, 1.2, 0.5), rel=1e-12)
    assert zone.centre == pytest.approx([0.6, 0.25, 0.0], abs=1e-12)


def test_right_triangle_has_its_centre_at_a_third():
    zone = FlatShape({"gusset": [[0, 0], [0.3, 0], [0, 0.6]]}).zones["gusset"].si
    assert zone.area == pytest.approx(0.09, rel=1e-12)
    assert zone.centre == pytest.approx([0.1, 0.2, 0], rel=1e-12)


@given(angle=st.floats(-7, 7), x=st.floats(-9, 9), y=st.floats(-9, 9),
       sides=st.tuples(st.floats(0.01, 5), st.floats(0.01, 5)))
def test_sizes_do_not_change_when_the_panel_is_turned_and_moved(angle, x, y, sides):
    a, b = sides
    zone = FlatShape({"panel": turned([[0, 0], [a, 0], [a, b], [0, b]], angle, (x, y))}).zones["panel"].si
    assert zone.area == pytest.approx(a * b, rel=1e-9)
    assert (zone.width, zone.length) == pytest.approx((min(a, b), max(a, b)), rel=1e-7)


def test_polygon_of_a_circle_converges_with_second_order():
    errors = []
    for n in (16, 32, 64):
        t = np.arange(n) * 2 * np.pi / n
        errors.append(np.pi - FlatShape({"disc": np.column_stack([np.cos(t), np.sin(t)])}).area.magnitude)
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders == pytest.approx([2, 2], abs=0.03)


def test_zones_add_up_and_a_hole_is_taken_out():
    shape = FlatShape({"left": SQUARE, "right": turned(SQUARE, 0, (1, 0))},
                      holes={"left": [[[.4, .4], [.6, .4], [.6, .6], [.4, .6]]]})
    assert shape.area.magnitude == pytest.approx(2 - 0.04, rel=1e-12)
    assert shape.zones["left"].si.perimeter == pytest.approx(4.8, rel=1e-12)
    assert shape.bounds.magnitude == pytest.approx([2, 1])
    assert shape.perimeter.magnitude == pytest.approx(6.8)
    assert shape.centre.magnitude[0] == pytest.approx((2 * 1 - 0.04 * 0.5) / 1.96)
    assert shape.outline("left").shape == (4, 2)


def test_outline_in_millimetres_as_a_quantity():
    assert FlatShape({"panel": Q_(np.array(SQUARE) * 500.0, "mm")}).area.magnitude == pytest.approx(0.25)
    assert FlatShape({"panel": [[Q_(a, "m"), Q_(b, "m")] for a, b in SQUARE]}).area.magnitude == pytest.approx(1)


FLAT_REFUSED = [
    ("self-crossing", {"a": [[0, 0], [1, 1], [1, 0], [0, 1]]}, r"Self-intersection\[0\.5 0\.5\]"),
    ("two points", {"a": [[0, 0], [1, 1]]}, "2 points; it needs at least 3"),
    ("empty outline", {"a": []}, "list of points"),
    ("no zones", {}, "at least one zone"),
    ("not by name", [SQUARE], "by name"),
    ("NaN", {"a": [[0, 0], [1, 0], [float("nan"), 1]]}, "not a number"),
    ("overlap", {"a": SQUARE, "b": turned(SQUARE, 0, (0.5, 0))}, r'"a" and "b" overlap by 0\.5 m\^2'),
    ("no area", {"a": [[0, 0], [1, 0], [2, 0]]}, "no area"),
    ("one spot", {"a": [[1, 1], [1, 1], [1, 1]]}, "no area"),
    ("millimetres", {"a": np.array(SQUARE) * 1200}, "millimetres read as metres"),
    ("words", {"a": [["x", "y"]] * 3}, "cannot be read"),
    ("ragged", {"a": [[0, 0], [1], [1, 1]]}, "cannot be read"),
    ("None", {"a": None}, "cannot be read"),
]


@pytest.mark.parametrize("what,zones,text", FLAT_REFUSED, ids=[row[0] for row in FLAT_REFUSED])
def test_flat_refuses(what, zones, text):
    with pytest.raises(ShapeError, match=text):
        FlatShape(zones)


def test_flat_refuses_wrong_units_and_strange_holes():
    with pytest.raises(UnitError, match="wants a length"):
        FlatShape({"a": Q_(np.array(SQUARE, float), "kg")})
    with pytest.raises(ShapeError, match='holes are given for "b"'):
        FlatShape({"a": SQUARE}, holes={"b": []})
    with pytest.raises(ShapeError, match="not one clean loop"):
        FlatShape({"a": SQUARE}, holes={"a": [turned(SQUARE, 0, (3, 3))]})
    with pytest.raises(ShapeError, match="its zones are a"):
        FlatShape({"a": SQUARE}).outline("b")


def arc(radius, angle, n):
    t = np.linspace(-angle / 2, angle / 2, n + 1)
    return radius * np.column_stack([np.sin(t), np.cos(t)])


def test_arc_shell():
    shape = CurvedShape(arc(1.5, 1.0, 400), 2.0)
    assert shape.girth.magnitude == pytest.approx(1.5, rel=1e-6)
    assert shape.chord.magnitude == pytest.approx(3 * np.sin(0.5), rel=1e-9)
    assert shape.rise.magnitude == pytest.approx(1.5 * (1 - np.cos(0.5)), rel=1e-9)
    assert shape.radius.magnitude == pytest.approx(1.5, rel=1e-9)
    assert shape.length.magnitude == 2.0
    assert shape.centre.magnitude == pytest.approx([1.0, 0.0, 1.5 * np.sin(0.5) / 0.5], abs=1e-5)
    assert shape.unrolled().area.magnitude == pytest.approx(shape.area.magnitude, rel=1e-12)


def test_girth_shortfall_is_the_one_the_docstring_gives():
    n = 20
    short = 1 - CurvedShape(arc(1.0, 2.0, n), 1.0).girth.magnitude / 2.0
    assert short == pytest.approx((2.0 / n) ** 2 / 24, rel=1e-3)


def test_girth_zones_unroll_side_by_side():
    shape = CurvedShape([[0, 0], [0.4, 0], [0.4, 0.3]], 1.0, zones={"roof": (0, 0.4), "side": (0.4, 0.7)})
    assert shape.zones["side"].si.centre == pytest.approx([0.5, 0.4, 0.15])
    assert shape.zones["roof"].si.area == pytest.approx(0.4)
    assert shape.unrolled_outline("side").magnitude[:, 1] == pytest.approx([0.4, 0.4, 0.7, 0.7])


def test_flat_section_has_no_radius():
    shape = CurvedShape([[0, 0], [1, 0]], 1.0)
    assert np.isinf(shape.radius.magnitude)
    assert shape.rise.magnitude == 0


CURVED_REFUSED = [
    ("one point", ([[0, 0]], 1.0), {}, "at least 2"),
    ("closed", ([[0, 0], [1, 0], [0, 1], [0, 0]], 1.0), {}, "ends where it starts"),
    ("twice", ([[0, 0], [0, 0], [1, 0]], 1.0), {}, "points 1 and 2"),
    ("no length", ([[0, 0], [1, 0]], 0.0), {}, "above 0"),
    ("NaN", ([[0, 0], [1, float("nan")]], 1.0), {}, "not a number"),
    ("list for length", ([[0, 0], [1, 0]], [1.0]), {}, "one number"),
    ("millimetres", ([[0, 0], [900, 0]], 1.0), {}, "millimetres"),
    ("outside", ([[0, 0], [1, 0]], 1.0), {"zones": {"a": (0, 1.2)}}, "girth range"),
    ("no zones", ([[0, 0], [1, 0]], 1.0), {"zones": {}}, "at least one zone"),
    ("overlap", ([[0, 0], [1, 0]], 1.0), {"zones": {"a": (0, .6), "b": (.5, 1)}}, "overlap by 0.1 m"),
]


@pytest.mark.parametrize("what,args,more,text", CURVED_REFUSED, ids=[row[0] for row in CURVED_REFUSED])
def test_curved_refuses(what, args, more, text):
    with pytest.raises(CompositeKitError, match=text):
        CurvedShape(*args, **more)
