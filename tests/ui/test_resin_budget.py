"""The resin panel: every control does something, the record is kept, all demo parts show an answer."""

from __future__ import annotations

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.resin_budget import ITEMS, ResinBudgetPanel


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


@pytest.fixture
def panel(file):
    file.part = file.part.changed({"feed.layout": "centre line", "feed.flow_mesh": True, **{f"layup.{zone}.core.cut": "slit" for zone in file.part.layup}})
    return ResinBudgetPanel(file)


OTHER = [("contingency", 25), ("largest", 1.0), ("temperature", 30.0), ("mixing", 12.0)]


def test_the_list_names_every_control(panel):
    assert [name for name, _ in OTHER] == list(panel.controls)


@pytest.mark.parametrize("name,value", OTHER)
def test_each_control_changes_picture_and_words(panel, name, value):
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page and panel.png != png


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_is_answered_in_words(name):
    panel = ResinBudgetPanel(open_part(DEMO / name / "part.json"))
    assert panel.error is None and panel.png and panel.headline(panel.result) in panel.alt(panel.result)
    assert "Mixing card" in panel.page and "local fire and health rules" in panel.page
    for row in panel.result.demand.items:
        assert row.what in panel.page and row.what in ITEMS
    assert f"{panel.result.batches[0].hardener.m_as('g'):.0f} g" in panel.page


def test_every_item_that_can_come_has_a_bar(panel):
    assert {row.what for row in panel.result.demand.items} == set(ITEMS)


def test_a_stalled_fill_is_the_first_thing_said(file):
    panel = ResinBudgetPanel(file)
    assert panel.result.cautions[0].startswith("The resin gels before the part is full")
    assert panel.headline(panel.result).startswith("Do not mix yet") and not panel.result.checks[0].passed


def test_a_plan_past_the_safe_share_is_forbidden_on_the_page():
    file = open_part(DEMO / "locker_lid" / "part.json")
    file.part = file.part.changed({"feed.layout": "rungs", "feed.rungs": 4})
    panel = ResinBudgetPanel(file)
    assert "Do not mix to these cards" not in panel.page
    file.part = file.part.changed({"workshop.mixing_time": "100 min"})
    panel = ResinBudgetPanel(file)
    assert panel.headline(panel.result).startswith("Do not mix") and "Do not mix to these cards" in panel.page and panel.result.failed


def test_no_plan_is_shown_and_mended(panel):
    panel.put(mixing=20.0, temperature=35.0, largest=0.2)
    assert panel.error is None and not panel.result.batches
    assert "no batch plan" in panel.headline(panel.result).lower() and "Do not mix" in panel.page
    panel.put(mixing=5.0, temperature=20.0, largest=2.5)
    assert panel.result.batches


def test_record_changes_the_workshop(panel, file):
    panel.put(largest=2.0, mixing=6.0)
    box = panel.make_record()
    box.reason.value, box.who.value = "the scale takes two kilograms", "an apprentice"
    box.button.click()
    again = PartFile.read(file.save_to)
    assert again.part.workshop.largest_batch.m_as("kg") == 2.0 and again.part.workshop.mixing_time.m_as("min") == 6.0
    decision = again.part.decisions[0]
    assert "batches of at most 2 kg" in decision.choice and decision.alternatives and not again.standing()[0][1]
