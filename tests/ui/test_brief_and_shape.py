"""The first page: its view in space, its budget, the part chosen for all pages, and the decisions so far."""

from __future__ import annotations

import json

import numpy as np
import pytest

from compositekit.part import PartFile, current_part, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.brief_and_shape import BriefAndShapePanel, ChoosePart
from compositekit.ui.in_space import InSpace, turned


@pytest.fixture(autouse=True)
def own_parts(tmp_path, monkeypatch):
    monkeypatch.setenv("COMPOSITEKIT_PARTS", str(tmp_path))
    monkeypatch.delenv("COMPOSITEKIT_PART", raising=False)
    return tmp_path


@pytest.fixture
def panel():
    return BriefAndShapePanel(open_part("fen_punt"))


def test_turning_keeps_lengths_and_looks_the_way_it_says():
    points = np.random.default_rng(5).normal(size=(20, 3))
    seen = turned(points, 73, -21)
    assert np.linalg.norm(seen, axis=1) == pytest.approx(np.linalg.norm(points, axis=1))
    x, y, z = np.eye(3)
    assert turned(z, 0, 0) == pytest.approx([0, 0, 1]) and turned(y, 0, 0) == pytest.approx([0, 1, 0])
    assert turned(y, 0, 90) == pytest.approx([0, 0, 1]), "from straight above, what was far is up"
    assert turned(x, 90, 0) == pytest.approx([0, 1, 0])
    assert turned(z, 0, 45)[1] < 0, "looking down on it, the top is nearer"


@pytest.mark.parametrize("name", demo_parts())
@pytest.mark.parametrize("tilt", [-90, 0, 90])
def test_every_part_stays_in_the_frame_from_every_side(name, tilt):
    view = InSpace(open_part(name).part.geometry)
    for turn in range(0, 360, 45):
        assert abs(turned(view.corners, turn, tilt)).max() <= view.reach * 1.001


@pytest.mark.parametrize("name,value", [("turn", -120), ("tilt", -40), ("mass_target", 25.0)])
def test_each_control_changes_the_picture(panel, name, value):
    png = panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.png != png


def test_the_target_moves_the_verdict(panel):
    panel.controls["mass_target"].value = 20
    assert "OVER its target of 20.0 kg" in panel.headline(panel.result) and panel.result.failed
    panel.controls["mass_target"].value = 0
    assert "no mass target" in panel.headline(panel.result) and panel.result.checks == ()


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_shows_zones_loads_and_sources(name):
    panel = BriefAndShapePanel(open_part(name))
    said = panel.extra_html(panel.result)
    assert panel.error is None and panel.file.part.brief.loads[0].name in said and "How" not in panel.alt(panel.result)
    for zone in panel.file.part.layup:
        assert zone in said and zone in panel.alt(panel.result)
    assert "remembered, not looked up" in said
    assert sum(panel.bars.masses[:-1]) == pytest.approx(panel.bars.masses[-1])


def test_zones_may_be_called_anything(own_parts):
    plain = json.loads((DEMO / "fen_punt" / "part.json").read_text("utf-8").replace('"bottom"', '"floor of it"').replace('"side"', '"wall"'))
    folder = own_parts / "other"
    folder.mkdir()
    (folder / "part.json").write_text(json.dumps(plain), "utf-8")
    page = ChoosePart(open_part("other"))
    assert page.choice.value == "other" and "floor of it" in page.panel.alt(page.panel.result)


def test_a_chosen_part_is_shown_and_opened_by_every_page():
    page = ChoosePart(open_part())
    before = page.panel
    page.choice.value = "shelter_roof"
    assert current_part() == "shelter_roof" and open_part().part.name == "shelter_roof"
    assert page.panel is not before and page.panel in page.children and "Roof shell" in repr(page)
    assert "Every page opens shelter_roof" in page.said.value


def test_a_part_that_cannot_be_read_leaves_the_page_as_it_was(own_parts):
    (own_parts / "broken").mkdir()
    (own_parts / "broken" / "part.json").write_text("{", "utf-8")
    page = ChoosePart(open_part("locker_lid"))
    page.choice.value = "broken"
    assert "part.json" in page.said.value and page.file.part.name == "locker_lid" and current_part() == "fen_punt"


def test_a_part_named_at_the_start_is_not_overruled_in_silence(monkeypatch):
    monkeypatch.setenv("COMPOSITEKIT_PART", "locker_lid")
    page = ChoosePart(open_part())
    page.choice.value = "shelter_roof"
    assert "still open locker_lid" in page.said.value


def test_a_part_opened_by_its_path(tmp_path):
    folder = tmp_path / "elsewhere" / "deep"
    folder.mkdir(parents=True)
    (folder / "part.json").write_text((DEMO / "locker_lid" / "part.json").read_text("utf-8"), "utf-8")
    page = ChoosePart(PartFile.read(folder / "part.json"))
    assert page.choice.value is None and page.panel.error is None


def test_the_record_is_kept_shown_and_goes_stale():
    page = ChoosePart(open_part("fen_punt"))
    page.panel.controls["mass_target"].value = 30
    record = page.panel.record
    record.reason.value, record.who.value = "two people carry it over a stile", "Ida"
    record.button.click()
    assert open_part("fen_punt").part.brief.mass_target.m_as("kg") == 30
    assert "over a stile" in page.decisions.value and "stands" in page.decisions.value and "36.0 kg of before" in str(page.file.part.decisions)
    page.file.save(page.file.part.changed({"layup.side.core.thickness": "15 mm"}))
    assert "STALE" not in ChoosePart(open_part("fen_punt")).decisions.value, "a target does not rest on the layup"
    page.file.save(page.file.part.changed({"brief.purpose": "A punt for one."}))
    assert "STALE: brief purpose was" in ChoosePart(open_part("fen_punt")).decisions.value


def test_the_page_keeps_its_picture_and_words_without_a_kernel(panel):
    page = ChoosePart(open_part("fen_punt"))
    kept = page._repr_mimebundle_()
    assert kept["image/png"] and "finished it weighs" in kept["text/plain"]
