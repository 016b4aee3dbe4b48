"""The core panel: every control does something, the record changes the part file, all demo parts show an answer."""

from __future__ import annotations

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.core_selection import CoreSelectionPanel


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


@pytest.fixture(scope="module")
def read_only():
    """One panel for all tests that only look, since laying out the picture takes a while."""
    return CoreSelectionPanel(open_part(DEMO / "fen_punt" / "part.json"))


@pytest.fixture
def panel(file):
    return CoreSelectionPanel(file)


OTHER = [("zone", "side"), ("core", "balsa-94"), ("cut", "slit"), ("longest", 20), ("family", "pvc"), ("skin_temperature", 75)]


def test_the_list_names_every_control(read_only):
    assert [name for name, _ in OTHER] == list(read_only.controls)


@pytest.mark.parametrize("name, value", OTHER)
def test_each_control_changes_words_and_picture(read_only, name, value):
    panel, before = read_only, read_only.values
    page, png = panel._page.value, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel._page.value != page and panel.png != png
    panel.put(**before)
    assert panel.values == before


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_names_each_core_and_why_it_is_out(name):
    panel = CoreSelectionPanel(open_part(DEMO / name / "part.json"))
    assert panel.error is None
    page = panel.extra_html(panel.result)
    for row in panel.result.rows:
        assert row.core.title in page and all(reason.replace("'", "&#x27;") in page for reason in row.reasons)
    for family, _, why in panel.result.ruled_out:
        assert family in page and why in page
    assert "Why a core" in page and panel.headline(panel.result) in panel.alt(panel.result)
    assert panel.result.choice.core.key == panel.file.part.layup[panel.result.zone].core.core


def test_the_picture_holds_every_core_once(panel):
    drawn = sum(len(mark.get_xdata()) for mark in panel.marks.values())
    assert drawn == len(panel.result.rows)
    hollow = sum(len(mark.get_xdata()) for (_, fits), mark in panel.marks.items() if not fits)
    assert hollow == len(panel.result.rows) - len(panel.result.fit)
    assert panel.chosen.get_xdata() == [panel.result.choice.thickness.m_as("mm")]
    assert list(panel.saved.get_xdata()) == [10.0]


def test_the_zone_brings_its_own_core_cut_and_record(panel):
    panel.put(core="balsa-94", cut="slit")
    panel.controls["zone"].value = "ends"
    assert (panel.controls["core"].value, panel.controls["cut"].value) == ("pet-recycled-100", "plain")
    assert panel.result.zone == "ends" and panel.record.box.subject == "core of zone ends"


def test_recording_writes_core_sheet_and_cut(panel, file):
    panel.put(core="", cut="grooved")
    seen = panel.result
    panel.record.box.reason.value, panel.record.box.who.value = "lightest that holds", "Ada"
    panel.record.box.button.click()
    core = PartFile.read(file.save_to).part.layup["bottom"].core
    assert (core.core, core.thickness.m_as("mm"), core.cut) == (seen.choice.core.key, seen.choice.thickness.m_as("mm"), "grooved")
    saved = PartFile.read(file.save_to)
    (decision,) = saved.part.decisions
    assert decision.choice.startswith(f"25 mm {seen.choice.core.key}") and len(decision.alternatives) == 5
    assert decision.numbers == [check.sentence() for check in seen.checks] and saved.standing()[0][1] == ()


def test_a_solid_zone_is_said_to_need_inner_plies(tmp_path):
    part = open_part(DEMO / "locker_lid" / "part.json").part.changed({"layup.lid.core": None, "layup.lid.inside": []})
    (tmp_path / "lid.json").write_text(part.to_json(), "utf-8")
    panel = CoreSelectionPanel(PartFile.read(tmp_path / "lid.json"))
    assert panel.result is None and "no inner skin" in panel._page.value and "page 03" in panel._page.value


def test_a_core_that_is_too_soft_is_not_recorded(tmp_path):
    part = open_part(DEMO / "locker_lid" / "part.json").part.changed({"brief.deflection_share": "0.0005"})
    (tmp_path / "lid.json").write_text(part.to_json(), "utf-8")
    panel = CoreSelectionPanel(PartFile.read(tmp_path / "lid.json"))
    assert panel.error is None and "too soft" in panel.headline(panel.result)
    panel.record.box.reason.value, panel.record.box.who.value = "no matter", "Ada"
    panel.record.box.button.click()
    assert "Nothing was recorded" in panel.record.box.said.value and not PartFile.read(tmp_path / "lid.json").part.decisions
