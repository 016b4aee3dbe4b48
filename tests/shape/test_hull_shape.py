"""Hulls from stations: exact solids, symmetry, mesh against formula, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import CompositeKitError, RangeError, ShapeError, UnitError
from compositekit.shape import HullShape
from compositekit.units import Q_

LINES = ["keel", "chine", "gunwale"]
ZONES = {"bottom": ("keel", "chine"), "sides": ("chine", "gunwale")}


def row(chine, gunwale, keel=(0.0, 0.0)):
    return {"keel": keel, "chine": chine, "gunwale": gunwale}


def box(length=2.4, beam=0.9, depth=0.3):
    same = row((beam / 2, 0), (beam / 2, depth))
    return HullShape([(0, same), (length, same)], LINES, ZONES)


def punt():
    """A 3.6 m flat-bottomed boat with raked ends and flared sides."""
    shape = [(0.0, 0.30, 0.35, 0.20), (0.6, 0.38, 0.42, 0.03), (1.8, 0.40, 0.46, 0.0), (3.0, 0.38, 0.42, 0.04),
             (3.6, 0.30, 0.35, 0.22)]
    return HullShape([(x, row((c, z), (g, 0.40), (0.0, z))) for x, c, g, z in shape], LINES, ZONES)


def mesh_area(vertices, faces):
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    return np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2


def test_box():
    hull = box()
    sizes = [hull.length, hull.beam, hull.depth, hull.volume, hull.area, hull.girth(Q_(1, "m"))]
    assert [q.magnitude for q in sizes] == pytest.approx([2.4, 0.9, 0.3, 0.648, 4.14, 1.5], rel=1e-12)
    bottom, sides, ends = (hull.zones[name].si for name in ("bottom", "sides", "ends"))
    assert (bottom.area, bottom.perimeter, bottom.length, bottom.width) == pytest.approx((2.16, 6.6, 2.4, 0.9))
    assert (sides.area, sides.perimeter, sides.length, sides.width) == pytest.approx((1.44, 10.8, 2.4, 0.3))
    assert (ends.area, ends.perimeter) == pytest.approx((0.54, 4.8))
    assert ends.centre == pytest.approx([1.2, 0, 0.15])
    assert [hull.zones[n].pieces for n in hull.zones] == [1, 2, 2]


def test_open_box_centre_is_the_mean_of_its_panels():
    """Floor at z = 0, walls of 1.98 m2 at z = 0.15: by hand 0.15 x 1.98/4.14."""
    assert box().centre.magnitude == pytest.approx([1.2, 0, 0.15 * 1.98 / 4.14], rel=1e-12)


def test_v_hull():
    """X2: wetted area 2.830194, volume 0.300, each end 0.1 (own reference, exact form)."""
    v = {"keel": (0, 0), "gunwale": (0.4, 0.25)}
    hull = HullShape([(0, v), (3, v)], ["keel", "gunwale"])
    assert hull.volume.magnitude == pytest.approx(0.300, rel=1e-12)
    assert hull.zones["hull"].si.area == pytest.approx(2.830194, abs=5e-7)
    assert hull.zones["ends"].si.area == pytest.approx(0.200, rel=1e-12)


def test_pyramid_with_a_pointed_end():
    base = {"keel": (0, 0), "chine": (0.5, 0), "gunwale": (0.5, 1)}
    tip = dict.fromkeys(base, (0, 0.5))
    hull = HullShape([(0, base), (3, tip)], LINES, ZONES)
    assert hull.volume.magnitude == pytest.approx(1.0, rel=1e-12)
    assert hull.zones["ends"].si.area == pytest.approx(1.0, rel=1e-12)
    assert hull.zones["ends"].pieces == 1
    assert hull.zones["sides"].si.area == pytest.approx(2 * np.hypot(3, 0.5) / 2, rel=1e-12)


def test_both_ends_pointed_or_left_open_have_no_end_zone():
    tip, middle = row((0, 0.1), (0, 0.3), (0, 0.1)), row((0.3, 0), (0.4, 0.3))
    assert "ends" not in HullShape([(0, tip), (1, middle), (2, tip)], LINES, ZONES).zones
    same = row((0.3, 0), (0.4, 0.3))
    assert "ends" not in HullShape([(0, same), (1, same)], LINES, ZONES, ends=False).zones


def test_section_runs_from_port_to_starboard_and_is_its_own_mirror():
    section = punt().section(Q_(1.2, "m")).magnitude
    assert section.shape == (5, 2)
    assert section[::-1] * [-1, 1] == pytest.approx(section)
    assert section[0] == pytest.approx([-0.44, 0.40])


def test_mesh_is_a_mirrored_copy_and_meets_the_zone_areas():
    hull = punt()
    vertices, faces, names = hull.triangles(16)
    area = mesh_area(vertices, faces)
    for name, zone in hull.zones.items():
        assert area[names == name].sum() == pytest.approx(zone.si.area, rel=2e-5)
    assert area @ vertices[faces].mean(1) / area.sum() == pytest.approx(hull.centre.magnitude, abs=2e-5)
    half = vertices[vertices[:, 1] > 0]
    port = vertices[vertices[:, 1] < 0] * [1, -1, 1]
    assert np.sort(half, axis=0) == pytest.approx(np.sort(port, axis=0))


def test_mesh_volume_comes_to_the_section_volume_with_second_order():
    """Divergence theorem over the mesh, its deck plane at z = 0 so that the open top adds nothing."""
    low, high = row((0.2, -0.3), (0.5, 0.0), (0, -0.4)), row((0.5, -0.5), (0.3, 0.0), (0, -0.55))
    hull = HullShape([(0, low), (2, high)], LINES, ZONES)
    errors = []
    for n in (2, 4, 8):
        vertices, faces, _ = hull.triangles(n)
        a, b, c = (vertices[faces[:, k]] for k in range(3))
        errors.append(np.einsum("ij,ij->", a, np.cross(b, c)) / 6 - hull.volume.magnitude)
    extrapolated = (4 * errors[2] - errors[1]) / 3
    assert abs(extrapolated) < 1e-9 * hull.volume.magnitude
    assert np.abs(errors[:-1]) / np.abs(errors[1:]) == pytest.approx([4, 4], abs=0.2)


def test_area_of_a_twisted_patch_against_a_fine_mesh():
    hull = HullShape([(0, {"keel": (0, 0), "gunwale": (0.5, 0)}), (1, {"keel": (0, 0), "gunwale": (0.4, 0.5)})],
                     ["keel", "gunwale"], ends=False)
    t = np.linspace(0, 1, 401)
    u, v = np.meshgrid(t, t, indexing="ij")
    p = np.stack([u, v * (0.5 - 0.1 * u), v * 0.5 * u], axis=-1)
    d1, d2 = p[1:, 1:] - p[:-1, :-1], p[1:, :-1] - p[:-1, 1:]
    quads = np.linalg.norm(np.cross(d1, d2), axis=-1).sum() / 2
    assert hull.area.magnitude == pytest.approx(2 * quads, rel=1e-6)


def test_extra_stations_on_the_loft_change_nothing():
    hull = punt()
    places = np.unique(np.concatenate([hull.x, np.linspace(0, 3.6, 14)]))
    table = [(x, dict(zip(LINES, hull.section(Q_(x, "m")).magnitude[2:], strict=True))) for x in places]
    finer = HullShape(table, LINES, ZONES)
    assert finer.volume.magnitude == pytest.approx(hull.volume.magnitude, rel=1e-12)
    assert finer.area.magnitude == pytest.approx(hull.area.magnitude, rel=1e-7)
    assert finer.centre.magnitude == pytest.approx(hull.centre.magnitude, abs=1e-7)


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(0.05, 0.6), st.floats(0.05, 0.6), st.floats(0.1, 0.5)), min_size=2, max_size=5))
def test_a_hull_turned_end_for_end_is_the_same_hull(rows):
    table = [(float(i), row((c, 0.05), (g, 0.05 + d))) for i, (c, g, d) in enumerate(rows)]
    last = len(rows) - 1.0
    back = [(last - x, r) for x, r in reversed(table)]
    one, other = HullShape(table, LINES, ZONES), HullShape(back, LINES, ZONES)
    assert other.volume.magnitude == pytest.approx(one.volume.magnitude, rel=1e-12)
    assert other.area.magnitude == pytest.approx(one.area.magnitude, rel=1e-9)
    mirrored = [last, 0, 0] + one.centre.magnitude * [-1, 1, 1]
    assert other.centre.magnitude == pytest.approx(mirrored, abs=1e-9)


def test_longest_flat_panel():
    assert [q.magnitude for q in box().longest_flat_panel("bottom")] == pytest.approx([2.4, 0.9])
    assert [q.magnitude for q in box().longest_flat_panel("sides")] == pytest.approx([2.4, 0.3])
    assert [q.magnitude for q in box().longest_flat_panel("ends")] == pytest.approx([0.9, 0.3])
    bent = [(0, row((.4, 0), (.4, .4))), (2, row((.4, 0), (.4, .4))), (3, row((.4, .5), (.4, .9), (0, .5)))]
    length, width = HullShape(bent, LINES, ZONES).longest_flat_panel("bottom")
    assert (length.magnitude, width.magnitude) == pytest.approx((2.0, 0.8))


def test_a_vee_bottom_is_two_panels():
    same = row((0.4, 0.1), (0.4, 0.4))
    length, width = HullShape([(0, same), (2, same)], LINES, ZONES).longest_flat_panel("bottom")
    assert (length.magnitude, width.magnitude) == pytest.approx((2.0, np.hypot(0.4, 0.1)))


def test_quantities_in_millimetres():
    same = {"keel": Q_([0, 0], "mm"), "chine": (Q_(450, "mm"), Q_(0, "mm")), "gunwale": (0.45, 0.3)}
    assert HullShape([(Q_(0, "mm"), same), (Q_(2400, "mm"), same)], LINES).volume.magnitude == pytest.approx(0.648)


GOOD = row((0.4, 0), (0.5, 0.3))
REFUSED = [
    ("order", [(0, GOOD), (2, GOOD), (1, GOOD)], "stations 2 and 3 are out of order: x = 2 m and x = 1 m"),
    ("repeated", [(0, GOOD), (1, GOOD), (1, GOOD)], "stations 2 and 3 both stand at x = 1 m"),
    ("missing", [(0, GOOD), (1, {"keel": (0, 0), "gunwale": (1, 1)})], 'station 2 .* no point on line "chine"'),
    ("extra", [(0, GOOD), (1, GOOD | {"rail": (0, 0)})], 'names line "rail"'),
    ("negative", [(0, GOOD), (1, row((-0.4, 0), (0.5, 0.3)))], r'station 2 \(x = 1 m\), line "chine": half-breadth is -0.4'),
    ("NaN", [(0, GOOD), (1, row((float("nan"), 0), (0.5, 0.3)))], "not a number"),
    ("NaN x", [(float("nan"), GOOD), (1, GOOD)], "not a number"),
    ("mm", [(0, row((400, 0), (500, 300))), (1, GOOD)], "the beam is 1000 m.*millimetres"),
    ("mm along", [(0, GOOD), (3600, GOOD)], "the length is 3600 m"),
    ("not a list", 5, "stations must be a list"),
    ("one", [(0, GOOD)], "at least 2 stations"),
    ("none", [], "at least 2 stations"),
    ("keel off", [(0, row((0.4, 0), (0.5, 0.3), (0.1, 0))), (1, GOOD)], "centreline"),
    ("no breadth", [(0, row((0, 0), (0, 0.3))), (1, row((0, 0), (0, 0.3)))], "no breadth"),
    ("three numbers", [(0, GOOD), (1, row((0.4, 0, 0), (0.5, 0.3)))], "two numbers"),
    ("not a pair", [5, 6], "station 1 must be"),
]


@pytest.mark.parametrize("what,stations,text", REFUSED, ids=[r[0] for r in REFUSED])
def test_refuses(what, stations, text):
    with pytest.raises(ShapeError, match=text):
        HullShape(stations, LINES, ZONES)


def test_refuses_bad_zones_lines_and_places():
    good = [(0, GOOD), (1, GOOD)]
    for zones, text in [({"a": ("keel", "chine"), "b": ("keel", "gunwale")}, "overlap"), ({"a": ("keel", "rail")}, "two different"),
                        ({}, "at least one zone"), ([1], "by name"), ({"a": 5}, "two different"),
                        ({"ends": ("keel", "chine")}, "kept for the transoms")]:
        with pytest.raises(ShapeError, match=text):
            HullShape(good, LINES, zones)
    with pytest.raises(ShapeError, match="at least two different"):
        HullShape(good, ["keel"])
    with pytest.raises(RangeError, match="runs from 0 to 1"):
        HullShape(good, LINES).girth(Q_(2, "m"))
    with pytest.raises(UnitError):
        HullShape(good, LINES).section(2.0)
    with pytest.raises(RangeError, match="whole number"):
        HullShape(good, LINES).triangles(0)
    with pytest.raises(ShapeError, match="its zones are hull, ends"):
        HullShape(good, LINES).longest_flat_panel("deck")
    with pytest.raises(CompositeKitError, match="no area"):
        HullShape([(0, row((0, 0), (.5, .3))), (1, row((0, 0), (.5, .3)))], LINES, ZONES)
