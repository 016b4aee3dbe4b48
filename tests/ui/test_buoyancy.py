"""The flotation panel: every control does something, the record is kept, and all demo parts show an answer."""

from __future__ import annotations

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.buoyancy import BuoyancyPanel


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


@pytest.fixture
def panel(file):
    return BuoyancyPanel(file)


OTHER = [("persons", 4), ("kit_mass", 90.0), ("load_height", 0.7), ("freeboard", 400.0), ("water", "salt"), ("crew", "sitting in it"),
         ("kit", "floats")]


def test_the_list_names_every_control(panel):
    assert [name for name, _ in OTHER] == list(panel.controls)


@pytest.mark.parametrize("name,value", OTHER)
def test_each_control_changes_what_is_said(panel, name, value):
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page
    if name != "freeboard":
        assert panel.png != png    # a wish changes the verdict, not the water
    else:
        assert panel.result.failed


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_has_an_answer_in_words(name):
    file = open_part(DEMO / name / "part.json")
    panel = BuoyancyPanel(file)
    assert panel.error is None and panel.png
    assert ("No buoyancy is needed" in panel.headline(panel.result)) == (not file.part.brief.floats)
    assert panel.headline(panel.result) in panel.alt(panel.result) or "offcut" in panel.alt(panel.result)
    for zone in file.part.layup:
        assert zone in panel.extra_html(panel.result)


def test_standing_and_the_range_of_the_mass_are_shown(panel):
    page, result = panel.page, panel.result
    assert "everybody standing" in page and "Standing: with the people" in page and "left over when swamped" in page
    panel.put(kit_mass=36.5)      # floats with the usual core faces, not with thirsty ones
    assert panel.result.swamped.floats and not panel.result.thirsty.floats and "short if its core faces drink much" in panel.headline(panel.result)
    panel.put(persons=0)
    assert result.standing is not None and "everybody standing" not in panel.page


def test_a_lid_shows_its_offcuts_and_salt_water_moves_the_line():
    panel = BuoyancyPanel(open_part(DEMO / "locker_lid" / "part.json"))
    png = panel.png
    panel.controls["water"].value = "salt"
    assert panel.png != png and "salt" in panel.extra_html(panel.result)
    assert list(panel.controls) == ["water"]


def test_too_many_people_are_said_to_swamp_it(panel):
    panel.put(persons=10, kit_mass=200)
    assert panel.error is None
    panel.controls["persons"].max = 20
    panel.controls["persons"].value = 18
    assert "comes over the gunwale" in panel.headline(panel.result) and panel.result.failed


def test_the_record_keeps_load_and_water_and_goes_stale(panel, file, tmp_path):
    panel.put(persons=3, kit_mass=25, water="salt", load_height=0.4, freeboard=150)
    record = panel.children[-1]
    record.reason.value, record.who.value = "a third surveyor in spring", "Ida"
    record.button.click()
    saved = PartFile.read(tmp_path / "fen_punt" / "part.json")
    brief = saved.part.brief
    assert (brief.persons, brief.water) == (3, "salt")
    assert [brief.kit_mass.m_as("kg"), brief.load_height.m_as("m"), brief.freeboard.m_as("mm")] == [25, 0.4, 150]
    (decision, changes), = saved.standing()
    assert not changes and len(decision.numbers) == 6 and "sitting in it" in decision.alternatives[0]
    saved.save(saved.part.changed({"layup.bottom.core.thickness": "20 mm"}))
    assert saved.standing()[0][1][0].path == "layup.bottom.core.thickness"


def test_a_brief_without_least_freeboard(file):
    file.part = file.part.changed({"brief.freeboard": None})
    panel = BuoyancyPanel(file)
    assert panel.controls["freeboard"].value == 0 and not any("freeboard" in check.what for check in panel.result.checks)
    assert panel.offer()["changes"]["brief.freeboard"] is None


def test_the_picture_shows_the_numbers_of_the_result(panel):
    section, balance = panel.pictures
    assert section.surface.get_ydata()[0] == pytest.approx(panel.result.draught.m_as("m"))
    assert section.height.get_ydata() == pytest.approx([section.surface.get_ydata()[0], 0.41])
    widths = {name: bar.get_width() for name, bar in balance.bars.items()}
    assert widths["panels"] + widths["fittings"] == pytest.approx(panel.result.lift.m_as("kg"))
    assert widths["people"] == pytest.approx(20.0)


def test_zones_of_other_names_and_a_floating_part_without_stations():
    lid = open_part(DEMO / "locker_lid" / "part.json")
    lid.part = lid.part.changed({"brief.floats": True})
    panel = BuoyancyPanel(lid)
    assert panel.error is None and len(panel.pictures) == 1 and "stations" in panel.page


def test_nothing_is_recorded_while_there_is_no_answer(panel, file):
    panel.controls["persons"].min = -5
    panel.controls["persons"].value = -2
    assert "No answer" in panel.page
    record = panel.children[-1]
    record.reason.value, record.who.value = "because", "Ida"
    record.button.click()
    assert "✗ persons is -2" in record.said.value and not file.part.decisions
