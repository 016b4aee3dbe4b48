"""The cut list against rectangles worked by hand and its own allowances."""

from __future__ import annotations

import pytest

from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.cut_list import ROLL, cut_list
from compositekit.studies.flow_paths import feed_map
from compositekit.studies.resin_budget import resin_budget
from compositekit.units import Q_


def made(name, **changes):
    file = open_part(DEMO / name / "part.json")
    part = file.part.changed({path.replace("__", "."): value for path, value in changes.items()})
    return part, cut_list(part, file.catalogue)


def supply(found, what):
    return next(item for item in found.supplies if item.what == what)


# Hand calculation: lid 1200 x 800 mm, 25 mm more on every edge; roof 2400 mm by its girth, two widths lapping 50 mm.
OWN_PIECES = [
    ("locker_lid", "outside 1", 1, 1250, 850, 1.0625),
    ("locker_lid", "core", 1, 1200, 800, 0.96),
    ("locker_lid", "peel ply", 1, 1250, 850, 1.0625),
    ("shelter_roof", "outside 1", 2, 2450, (1889.457 + 50 + 50) / 2, 2 * 2.450 * 0.994728),
]


@pytest.mark.parametrize("name,place,pieces,length,width,area", OWN_PIECES)
def test_rectangles_by_hand(name, place, pieces, length, width, area):
    _, found = made(name)
    piece = next(piece for piece in found.pieces if piece.place == place)
    assert piece.pieces == pieces
    assert piece.length.m_as("mm") == pytest.approx(length, abs=0.5) and piece.width.m_as("mm") == pytest.approx(width, abs=0.5)
    assert piece.area.m_as("m^2") == pytest.approx(area, rel=1e-3)


def test_two_mirrored_sides_are_two_pieces():
    _, found = made("fen_punt")
    assert {piece.pieces for piece in found.of_zone("side")} == {2} and {piece.pieces for piece in found.of_zone("bottom")} == {1}


@pytest.mark.parametrize("name", demo_parts())
def test_every_ply_is_cut_and_covers_its_zone(name):
    part, found = made(name)
    for zone, layup in part.layup.items():
        cut = found.of_zone(zone)
        assert len(cut) == len(layup.outside) + len(layup.inside) + (layup.core is not None) + 1
        size = part.geometry.zones[zone]
        assert all(piece.area >= size.area * (1 - 1e-9) for piece in cut)
        assert all(piece.width.m_as("m") <= ROLL + 1e-9 for piece in cut if piece.place != "core")


def test_a_ply_laid_across_is_cut_in_strips_across():
    _, along = made("shelter_roof")
    _, across = made("shelter_roof", layup__shell__outside=[{"fabric": "hemp-twill-360", "angle": "90 deg"}])
    one, other = along.pieces[0], across.pieces[0]
    assert one.length.m_as("mm") == pytest.approx(2450) and other.length.m_as("mm") == pytest.approx(1939.5, abs=0.1)
    assert other.pieces == 2 and other.width.m_as("mm") == pytest.approx((2450 + 50) / 2)


def test_waste_comes_on_top_of_what_is_cut():
    _, found = made("locker_lid")
    cloth = supply(found, "E-glass biaxial 0/90, stitched 450 g/m2")
    assert cloth.amount.m_as("m^2") == pytest.approx(2 * 1.0625 * 1.15) and "IEA22 (read)" in cloth.source
    core = next(item for item in found.supplies if "PVC" in item.what)
    assert core.amount.m_as("m^2") == pytest.approx(0.96 * 1.20)


def test_bag_and_tape_by_hand():
    _, found = made("locker_lid")
    length, width = (1.2 + 0.3) * 1.25, (0.8 + 0.3) * 1.25
    assert supply(found, "bag film").amount.m_as("m^2") == pytest.approx(length * width)
    assert supply(found, "sealant tape").amount.m_as("m") == pytest.approx(2 * (length + width))


def test_tubes_follow_the_feed_plan():
    part, few = made("fen_punt")
    part, many = made("fen_punt", feed__layout="rungs", feed__rungs=3)
    lines = feed_map(part.geometry, "rungs", 3)
    assert supply(many, "spiral tube, feed lines").amount.m_as("m") == pytest.approx(1.1 * lines.feed_length)
    assert supply(many, "hose, feed side").amount == resin_budget(part, open_part(DEMO / "fen_punt" / "part.json").catalogue).inlets.hoses * Q_(2, "m")
    assert supply(few, "spiral tube, feed lines").amount < supply(many, "spiral tube, feed lines").amount


def test_mesh_is_listed_only_when_it_is_laid():
    _, without = made("locker_lid")
    _, found = made("locker_lid", feed__flow_mesh=True)
    assert "flow mesh" not in [item.what for item in without.supplies]
    assert supply(found, "flow mesh").amount.m_as("m^2") == pytest.approx(0.96 * 0.75 / 0.8 * 1.15)    # 50 mm short of the vent on a run of 0.8 m


def test_it_says_that_these_are_rectangles_and_which_core_is_not_sold():
    _, found = made("locker_lid", layup__lid__core__thickness="11.3 mm")
    assert "Flat patterns come later" in found.notes[0]
    assert any("is not listed in 11.3 mm" in note for note in found.notes)
    assert not any("not listed" in note for note in made("locker_lid")[1].notes)


def test_a_solid_laminate_has_no_core_to_cut():
    _, found = made("locker_lid", layup__lid={"outside": [{"fabric": "glass-biax-450"}] * 8})
    assert [piece.place for piece in found.pieces] == [*(f"outside {n}" for n in range(1, 9)), "peel ply"]
