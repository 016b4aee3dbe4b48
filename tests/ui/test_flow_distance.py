"""The flow panel: every control does something, the record is kept, all demo parts show an answer."""

from __future__ import annotations

import html

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.decision import replaced_by
from compositekit.part.folders import DEMO
from compositekit.studies.flow_paths import LAYOUTS
from compositekit.studies.resin_budget import resin_budget
from compositekit.ui.flow_distance import FlowDistancePanel
from compositekit.ui.flow_words import minutes_said


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "shelter_roof" / "part.json", save_to=tmp_path / "shelter_roof" / "part.json")


@pytest.fixture
def panel(file):
    return FlowDistancePanel(file)


OTHER = [("layout", "centre line"), ("rungs", 3), ("flow_mesh", True), ("cut", "slit"), ("temperature", 30.0), ("bag_pressure", 250.0), ("minutes", 90), ("use_trial", True), ("along", 0.2),
         ("across", -0.15)]
SURFACE = [("edge_gap", "none"), ("vent_kind", "bleeds"), ("along", 0.2), ("flow_mesh", True), ("minutes", 5), ("temperature", 12.0), ("layout", "centre line")]


def test_the_list_names_every_control(panel):
    assert {name for name, _ in (*OTHER, *SURFACE)} >= set(panel.controls) - {"_line", "turn"}    # those two have tests of their own


@pytest.mark.parametrize("name,value", OTHER)
def test_each_control_changes_picture_and_words(panel, name, value):
    if name not in panel.controls:
        pytest.fail(f"no control {name}: {panel.trial_said}")
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page and panel.png != png


@pytest.mark.parametrize("name,value", SURFACE)
@pytest.mark.parametrize("view", ["Filled surface", "In space", "Inflow per line"])
def test_each_control_changes_the_surface_pictures(panel, name, value, view):
    panel.put(edge_gap="square")      # so that resin reaches a vent before it gels, and the kind of vent matters too
    panel.view.value = view
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page and panel.png != png


def test_the_part_is_turned_in_space(panel):
    panel.view.value = "In space"
    before = panel.png
    panel.controls["turn"].value = 100
    assert panel.png != before


def test_the_surface_says_its_verdict_dry_spots_and_what_to_do(panel):
    assert "The real surface, filled" in panel.page and "Three ways to reckon the same fill" in panel.page and "no dry spot" in panel.page
    panel.put(rungs=2, edge_gap="square")
    assert "wet but for" in panel.page and "closed off from the vents" in panel.page and "lay a vent at" in panel.page
    panel.view.value = "Filled surface"
    assert "Dry spot A at" in panel.page and "slower skin" in panel.page


@pytest.mark.parametrize("view", ["Filled surface", "In space", "Inflow per line"])
def test_the_headline_is_about_what_is_shown(panel, view):
    straight = panel.headline(panel.result)
    assert straight == panel.straight_words(panel.result) and "real surface" not in straight
    panel.view.value = view
    said = panel.headline(panel.result)
    assert panel.fill_words(panel.fill()) in said and "By straight runs" in said and "dry spot" in said and said in html.unescape(panel.page)


def test_a_colder_room_is_told_for_both_ways_of_reckoning(panel):
    warm = panel.controls["temperature"].value
    panel.put(layout="rungs", rungs=4, temperature=warm - 5)
    surface, straight = (minutes_said(found.fill_time) for found in (panel.fill(), panel.result))
    panel.put(temperature=warm)
    assert f"on the real surface full in {surface} (" in panel.page and f"by straight runs full in {straight} (" in panel.page


def test_a_fill_is_kept_while_only_the_time_moves(panel):
    panel.view.value = "Filled surface"
    first = panel.fill()
    panel.controls["minutes"].value = 60
    assert panel.fill() is first
    panel.controls["across"].value = 0.1
    assert panel.fill() is not first


def test_each_line_keeps_its_own_move_and_another_layout_forgets_them(panel):
    line, along = panel.controls["_line"], panel.controls["along"]
    assert list(line.options) == ["feed 1", "vent 1", "vent 2"]
    along.value = 0.2
    line.value = "vent 2"
    assert along.value == 0
    along.value = -0.3
    line.value = "feed 1"
    assert along.value == 0.2 and panel.mover.moves == {"feed 1": (0.2, 0.0), "vent 2": (-0.3, 0.0)}
    assert panel.result.layout == "drawn"
    panel.controls["rungs"].value = 2
    assert panel.mover.moves == {} and along.value == 0 and panel.result.layout == "rungs" and len(line.options) == 5


def test_a_vent_moved_on_to_a_feed_is_said_in_the_page(panel):
    panel.controls["_line"].value = "vent 1"
    panel.controls["along"].value = 1.2
    assert "resin would run straight into the vent" in panel.page and panel.result is None
    panel.controls["along"].value = 0.4
    assert panel.error is None


def test_moved_lines_are_recorded_and_offered_again(panel, file):
    panel.put(along=0.25)
    box = panel.make_record()
    box.reason.value, box.who.value = "the far end was last", "an apprentice"
    box.button.click()
    again = PartFile.read(file.save_to)
    assert again.part.feed.layout == "drawn" and [line.kind for line in again.part.feed.lines] == ["feed", "vent", "vent"]
    assert again.part.feed.lines[0].points[0][0] == pytest.approx(1.45) and "feed 1 moved +0.25 m along" in again.part.decisions[0].choice
    after = FlowDistancePanel(again)
    assert after.controls["layout"].value == "drawn" and list(after.controls["_line"].options) == ["feed 1", "vent 1", "vent 2"]
    after.controls["layout"].value = "centre line"
    assert after.error is None and after.result.layout == "centre line"
    after.put(layout="drawn", across=0.1)
    assert after.error is None and after.result.layout == "drawn"
    assert resin_budget(again.part, again.catalogue).demand.total[1].magnitude > 0


def test_rungs_is_grey_where_it_does_nothing(panel):
    assert not panel.controls["rungs"].disabled
    panel.controls["layout"].value = "side to side"
    assert panel.controls["rungs"].disabled


@pytest.mark.parametrize("name", demo_parts())
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_demo_part_and_layout_is_answered_in_words(name, layout):
    file = open_part(DEMO / name / "part.json")
    panel = FlowDistancePanel(file)
    panel.put(layout=layout)
    assert panel.error is None and panel.png and layout in panel.headline(panel.result).lower()
    assert panel.headline(panel.result) in panel.alt(panel.result)
    for words in (*file.part.layup, "5 degrees colder", "Rule of thumb", "common practice, no source"):
        assert words in panel.page


def test_record_changes_the_part_and_goes_stale_with_the_room(panel, file):
    panel.put(layout="rungs", rungs=3, flow_mesh=True)
    box = panel.make_record()
    box.reason.value, box.who.value = "fills in half the time", "an apprentice"
    box.button.click()
    again = PartFile.read(file.save_to)
    assert (again.part.feed.layout, again.part.feed.rungs, again.part.feed.flow_mesh) == ("rungs", 3, True)
    decision = again.part.decisions[0]
    assert decision.choice.startswith("rungs (3) with flow mesh") and len(decision.alternatives) == 4 and decision.numbers
    assert not again.standing()[0][1]
    again.save(again.part.changed({"workshop.temperature": "15 degC"}))
    assert [change.path for change in again.standing()[0][1]] == ["workshop.temperature"]


def test_the_trials_permeability_is_recorded_read_by_other_pages_and_cleared(panel, file):
    panel.put(use_trial=True)
    assert "tightest fabric" not in panel.page
    box = panel.make_record()
    box.reason.value, box.who.value = "our cloth is not the catalogue's", "an apprentice"
    box.button.click()
    again = PartFile.read(file.save_to)
    assert set(again.part.measured_permeability) == {"hemp-twill-360"} and "permeability of the trial panel" in again.part.decisions[0].choice
    assert any("measured on a trial panel" in guess for guess in resin_budget(again.part, again.catalogue).guesses)
    assert not again.standing()[0][1]
    after = FlowDistancePanel(again)
    assert after.controls["use_trial"].value
    after.put(use_trial=False)
    box = after.make_record()
    box.reason.value, box.who.value = "that panel was made with other cloth", "an apprentice"
    box.button.click()
    cleared = PartFile.read(file.save_to)
    assert cleared.part.measured_permeability == {}
    assert replaced_by(cleared.part.decisions[0], cleared.part) is cleared.part.decisions[1]


def test_no_vacuum_is_said_in_the_page(panel):
    panel.controls["bag_pressure"].max = 1000
    panel.controls["bag_pressure"].value = 950
    assert "nothing drives the resin" in panel.page and panel.result is None
    panel.controls["bag_pressure"].value = 30
    assert panel.error is None


def test_a_part_without_core_and_with_another_zone_name():
    file = open_part(DEMO / "locker_lid" / "part.json")
    plain = file.part._plain()
    outline = plain["shape"]["zones"].pop("lid")
    plain["shape"]["zones"]["flap"] = outline
    plain["layup"] = {"flap": {"outside": [{"fabric": "glass-biax-450"}]}}
    plain["brief"]["loads"] = [load | {"zone": "flap"} for load in plain["brief"]["loads"]]
    plain["trials"] = []
    file.part = type(file.part).from_plain(plain)
    panel = FlowDistancePanel(file)
    assert panel.error is None and panel.controls["cut"].disabled and "use_trial" not in panel.controls and "flap" in panel.page
