"""The box that records a decision."""

from __future__ import annotations

import shutil

import pytest

from compositekit.part import PartFile
from compositekit.part.folders import DEMO
from compositekit.ui.record import RecordDecision

OFFER = {"choice": "15 mm & <thin> skins", "changes": {"layup.bottom.core.thickness": "15 mm"},
         "rests_on": ["layup.bottom.core.thickness"], "numbers": ["deflection holds"]}


@pytest.fixture
def file(tmp_path):
    shutil.copytree(DEMO / "fen_punt", tmp_path / "punt")
    return PartFile.read(tmp_path / "punt" / "part.json")


def press(box, reason, who):
    box.reason.value, box.who.value = reason, who
    box.button.click()


def test_pressing_the_button_saves_choice_and_change(file):
    box = RecordDecision(file, "core of the bottom", lambda: OFFER)
    assert "No decision on this is recorded yet" in box.said.value
    press(box, "stiff enough", "an apprentice")
    saved = PartFile.read(file.path).part
    assert saved.layup["bottom"].core.thickness.m_as("mm") == pytest.approx(15)
    assert saved.decisions[0].reason == "stiff enough"
    assert "&lt;thin&gt;" in box.said.value and "<thin>" not in box.said.value, "what people type is escaped"
    assert "stands" in box.said.value
    assert repr(box) == "RecordDecision: core of the bottom; 1 recorded"


@pytest.mark.parametrize("reason, who, words", [("", "me", "say why"), ("because", "  ", "say who decided")])
def test_without_a_reason_or_a_name_nothing_is_saved(file, reason, who, words):
    before = file.path.read_text("utf-8")
    box = RecordDecision(file, "core", lambda: OFFER)
    press(box, reason, who)
    assert words in box.said.value
    assert box.reason.value == reason, "what was typed is not lost"
    assert file.path.read_text("utf-8") == before


def test_another_notebooks_save_is_told_in_the_box(file):
    other = PartFile.read(file.path)
    other.save(other.part.changed({"title": "theirs"}))
    box = RecordDecision(file, "core", lambda: OFFER)
    press(box, "because", "me")
    assert "somebody saved in between" in box.said.value
    assert PartFile.read(file.path).part.title == "theirs"


def test_an_earlier_decision_shows_what_made_it_stale(file):
    file.record(subject="core", reason="r", who="w", **OFFER)
    file.save(file.part.changed({"layup.bottom.core.thickness": "20 mm"}))
    assert "STALE: layup bottom core thickness was 15 mm, is now 20 mm" in RecordDecision(file, "core", lambda: OFFER).said.value
