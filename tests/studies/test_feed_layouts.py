"""Layouts compared: every one is the surface fill of the part changed so, ranked in the order that is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from compositekit.errors import PartFileError
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.feed_layouts import (
    candidates,
    feed_layouts,
    herring_bone,
    in_order,
    layout_rows,
    minutes,
    ranked,
)
from compositekit.studies.surface_fill import surface_fill
from compositekit.units import Q_

COARSE = Q_(0.12, "m")


def demo(name="locker_lid"):
    return open_part(DEMO / name / "part.json")


@pytest.fixture(scope="module")
def file():
    return demo()


@pytest.fixture(scope="module")
def found(file):
    return feed_layouts(file.part, file.catalogue, COARSE)


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_is_answered(name):
    file = demo(name)
    found = feed_layouts(file.part, file.catalogue, Q_(0.08, "m"))
    names = [row.name for row in found.rows]
    assert len(set(names)) == len(names) == len(candidates(file.part)) >= 11 and found.complete
    assert sum(row.today for row in found.rows) == 1 and found.today.name in found.how_far and found.best is found.rows[0]
    assert not [row.name for row in found.rows if row.fill is None]
    assert found.checks and found.rests_on and found.cautions


def test_a_row_is_the_surface_fill_of_the_part_so_changed(file, found):
    row = next(row for row in found.rows if row.name == "ladder of 3")
    fill = surface_fill(file.part.changed({"feed.layout": "rungs", "feed.rungs": 3}), file.catalogue, COARSE)
    assert row.fill is fill and row.fill_time == fill.fill_time and row.inlets == 3 and row.lines == 7     # three feeds, two ends, two between
    assert row.feed_length.m_as("m") == pytest.approx(3 * 0.8) and row.vent_length.m_as("m") == pytest.approx(4 * 0.8, abs=1e-3)    # the lid is 1.2 by 0.8 m


def test_rows_stand_in_the_order_that_is_said(found):
    dry = [row.dry_area.magnitude > 0 for row in found.rows]
    late = [row.fill_time > row.time_allowed for row in found.rows if row.dry_area.magnitude == 0]
    held = [row.fill_time.m_as("min") for row in found.rows if row.holds]
    assert dry == sorted(dry) and late == sorted(late) and held == sorted(held) and len(held) > 3
    areas = [row.dry_area.m_as("m^2") for row in found.rows if row.dry_area.magnitude > 0]
    assert areas == sorted(areas)
    assert found.simplest.inlets == min(row.inlets for row in found.rows if row.holds)


# Own cases of the ranking: (minutes, dry cm², inlets) by name, and the order wanted; 60 min are allowed.
OWN = [
    ({"slow": (50, 0, 1), "quick": (20, 0, 4)}, "quick slow"),
    ({"quick": (20.0, 0, 4), "alike": (20.9, 0, 2), "slower": (21.1, 0, 1)}, "alike quick slower"),
    ({"dry": (5, 30, 1), "late": (90, 0, 1), "held": (59, 0, 9)}, "held late dry"),
    ({"stalled": (np.inf, 9000, 1), "spot": (80, 30, 1)}, "spot stalled"),
    ({"wet half": (np.inf, 9000, 1), "larger spot": (80, 9100, 1)}, "wet half larger spot"),      # the smallest dry area first, whatever the time
    ({"larger": (10, 31, 1), "smaller": (40, 30, 1)}, "smaller larger"),
]


@pytest.mark.parametrize("rows,order", OWN)
def test_ranking(found, rows, order):
    made = [replace(found.best, name=name, fill_time=Q_(float(time), "min"), time_allowed=Q_(60.0, "min"), dry_area=Q_(float(dry), "cm^2"), inlets=inlets)
            for name, (time, dry, inlets) in rows.items()]
    for given in (made, made[::-1]):
        assert " ".join(row.name for row in in_order(given)) == order


def test_a_layout_holds_only_if_none_of_its_own_checks_fails(found):
    laid = [row for row in found.rows if row.fill is not None]
    assert all(row.holds == (not row.fill.failed) for row in laid)
    narrow = [row for row in laid if "typical figures only" in row.verdict]
    assert narrow and all(not row.dry_area and row.fill_time <= row.time_allowed and "tightest fabric" in row.fill.failed[0].what for row in narrow)
    assert [check.what for check in found.checks[1:]] == [check.what for check in found.best.fill.checks[1:]]


def test_how_far_says_time_lines_and_dry_area(file, found):
    today, best = found.today, found.best
    assert f"{best.inlets - today.inlets} inlets more" in found.how_far and "left dry: none instead of" in found.how_far and "still holds" in found.how_far
    at_best = file.part.changed(best.changes)
    again = feed_layouts(at_best, file.catalogue, COARSE)
    assert again.today is again.best and "ranks first" in again.how_far
    assert minutes(Q_(np.inf, "min")) == "never" and minutes(Q_(6.54, "min")) == "6.5 min" and minutes(Q_(64.2, "min")) == "64 min"


def test_where_nothing_holds_it_says_what_else_to_change(file):
    hurried = file.part.changed({"workshop.temperature": "34 degC", "workshop.bag_pressure": "930 mbar"})
    found = feed_layouts(hurried, file.catalogue, Q_(0.2, "m"))
    assert found.simplest is None and "None of the layouts tried holds" in found.how_far and found.failed


def test_where_an_open_core_edge_spoils_every_layout_it_says_to_close_it():
    roof = demo("shelter_roof")
    found = feed_layouts(roof.part, roof.catalogue, edge_gap="square")
    assert found.simplest is None and "None of the layouts tried holds: close or bevel the core's edge" in found.how_far
    dry = [row.dry_area.m_as("m^2") for row in found.rows]
    assert dry == sorted(dry)


def test_lines_drawn_by_hand_are_compared_as_they_are(file, found):
    drawn = file.part.changed({"feed.layout": "drawn", "feed.lines": [
        {"kind": "feed", "points": [[0.05, 0.1], [0.05, 0.7]]}, {"kind": "vent", "points": [[1.1, 0.1], [1.1, 0.7]]}]})
    other = feed_layouts(drawn, file.catalogue, COARSE)
    assert other.today.name == "lines as drawn" and other.today.changes == {} and len(other.rows) == len(found.rows) + 1
    assert other.today.inlets == 1 and other.today.feed_length.m_as("m") == pytest.approx(0.6)


@pytest.mark.parametrize("name", demo_parts())
def test_herring_bone_lies_on_the_part_and_clear_of_its_vents(name):
    part = demo(name).part
    lines = herring_bone(part.geometry)
    feeds, vents = ([shapely.LineString(line["points"]) for line in lines if line["kind"] == kind] for kind in ("feed", "vent"))
    assert feeds and vents and min(feed.distance(vent) for feed in feeds for vent in vents) >= 0.03
    for feed in feeds:
        once = shapely.union_all([feed])
        assert once.length < feed.length                     # every rib is drawn out and back
    assert part.changed({"feed.layout": "drawn", "feed.lines": lines}).feed.lines
    fill = surface_fill(part.changed({"feed.layout": "drawn", "feed.lines": lines}), demo(name).catalogue, Q_(0.15, "m"))
    assert len(fill.inflow) == len(feeds)


def test_ribs_shorten_the_fill_of_a_keel_feed(found):
    ribbed = next(row for row in found.rows if row.name.startswith("herring-bone"))
    keel = next(row for row in found.rows if row.name.startswith("keel feed"))
    assert ribbed.fill_time < keel.fill_time and ribbed.inlets == keel.inlets and ribbed.feed_length > keel.feed_length


# --- progress, stop, bad input -----------------------------------------------------------------

def test_progress_is_told_and_a_stop_ranks_what_was_done(file):
    told = []
    found = feed_layouts(file.part, file.catalogue, COARSE, progress=lambda *step: told.append(step), keep_going=lambda: len(told) < 2)
    assert told == [(1, 11), (2, 11)] and not found.complete
    assert len(found.rows) == 3 and found.today in found.rows and "only the first 3 layouts (stopped)" in found.checks[0].what   # today's is always among them


def test_rows_come_one_by_one(file):
    steps = layout_rows(file.part, file.catalogue, COARSE)
    done, many, row = next(steps)
    assert (done, many) == (1, 11) and row.fill is not None


def test_a_layout_that_cannot_be_laid_comes_last_and_says_why(file, found, monkeypatch):
    from compositekit.studies import feed_layouts as module

    off = [{"kind": "feed", "points": [[0.1, 0.1], [9.0, 0.1]]}, {"kind": "vent", "points": [[0.1, 0.7], [0.5, 0.7]]}]
    monkeypatch.setattr(module, "herring_bone", lambda geometry: off)
    worse = feed_layouts(file.part, file.catalogue, COARSE)
    assert worse.rows[-1].fill is None and "off the part" in worse.rows[-1].verdict and worse.best.name == found.best.name
    with pytest.raises(PartFileError, match="can be laid"):
        ranked(file.part, file.catalogue, [replace(worse.rows[-1], today=True)])
