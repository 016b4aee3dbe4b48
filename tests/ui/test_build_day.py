"""The day's page: every control does something, every button writes its line, bad jottings get a sentence (OWN cases)."""

from __future__ import annotations

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.build_day import BuildDayPanel

BASE = {"drop_start": "20", "drop_end": "30", "drop_minutes": "10", "readings": "5 60, 12 100"}
OTHER = [("temperature", 25.0), ("humidity", 80.0), ("drop_start", "15"), ("drop_end", "60"), ("drop_minutes", "5"), ("readings", "5 30, 12 55"),
         ("gel_hours", "9"), ("warmer", 15.0), ("cure_hours", 120.0), ("weight", "9")]
IN_WORDS_ONLY = {"humidity", "drop_start", "drop_end", "drop_minutes", "weight"}


@pytest.fixture
def file(tmp_path):
    file = PartFile.read(DEMO / "locker_lid" / "part.json", save_to=tmp_path / "lid" / "part.json")
    file.part = file.part.changed({"feed.layout": "rungs", "feed.rungs": 2, "layup.lid.outside": [{"fabric": "flax-twill-200"}]})
    return file


@pytest.fixture
def panel(file):
    panel = BuildDayPanel(file)
    panel.put(**BASE)
    return panel


def test_the_list_names_every_control(panel):
    assert [name for name, _ in OTHER] == list(panel.controls)


@pytest.mark.parametrize(("name", "value"), OTHER)
def test_each_control_changes_what_is_said(panel, name, value):
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page
    if name not in IN_WORDS_ONLY:
        assert panel.png != png


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_has_its_day_in_words(name):
    panel = BuildDayPanel(open_part(DEMO / name / "part.json"))
    assert panel.error is None and "bag not tested yet" in panel.headline(panel.result)
    for words in ("Mixing cards", "Check list", "The build log is empty", "an estimate", "Free water boils", "No readings yet", "Drop test not done", "build sheet, page 08"):
        assert words in panel.page, words


@pytest.mark.parametrize(("typed", "words"), [
    ({"drop_start": "-5"}, "at the start is given as -5.00 mbar"), ({"drop_end": "2000"}, "at the end is given as 2000 mbar"), ({"drop_minutes": "0"}, "time is 0"),
    ({"drop_end": "thirty"}, "not a number"), ({"weight": "-1"}, "finished weight is -1"), ({"weight": "0"}, "finished weight is 0"),
    ({"weight": "nan"}, "not a number"), ({"gel_hours": "-2"}, "thin film gelled is -2")])
def test_a_figure_that_cannot_be_is_refused_in_words(panel, typed, words):
    panel.put(**typed)
    assert panel.result is None and words in str(panel.error) and words in panel.page


def test_a_drop_test_counts_once_all_three_figures_are_in(file):
    panel = BuildDayPanel(file)
    for name, value in (("drop_start", "20"), ("drop_end", "28")):
        panel.controls[name].value = value
        assert panel.error is None and panel.result.leak is None and "bag not tested yet" in panel.headline(panel.result)
    panel.controls["drop_minutes"].value = "10"
    assert "bag holds (0.8" in panel.headline(panel.result)


def test_humidity_is_asked_only_where_something_takes_water():
    asked = {name: "humidity" in BuildDayPanel(open_part(DEMO / name / "part.json")).controls for name in demo_parts()}
    assert asked == {"fen_punt": False, "locker_lid": False, "shelter_roof": True}


def test_the_page_opens_without_a_verdict_on_hours_nobody_chose(panel):
    slow = panel.result.cure.not_before
    assert "time in the mould" not in panel.page and f"demould not before {slow:.0f} h" in panel.headline(panel.result)
    panel.controls["cure_hours"].value = 48
    assert f"48.0 h (at least {slow:.0f} h)" in panel.page


def test_bad_jottings_get_a_sentence_and_mending_them_brings_the_page_back(panel):
    panel.controls["readings"].value = "5 60, later 100"
    assert "later" in panel.page and "not a number" in str(panel.error)
    panel.controls["readings"].value = "5 60, 12 100"
    assert panel.error is None


def test_buttons_write_into_the_part_file_and_the_page_shows_plan_beside_built(panel, file):
    log = panel.children[-1]
    panel.controls["weight"].value = "7.5"
    for text in ("Drop test", "Room", "Front readings", "Finished weight", "Bucket 1 mixed"):
        log.remark.value = "A. Prentice"
        log.buttons[text].click()
        assert "✓" in log.said.value, log.said.value
    saved = PartFile.read(file.save_to).part.build_log
    assert [entry.what for entry in saved] == ["drop test", "room", "front readings", "finished weight", "bucket mixed 1"]
    assert all("A. Prentice" in entry.note for entry in saved) and "readings 5 60, 12 100" in saved[2].note
    assert "Planned beside built" in panel.page and "of the plan" in panel.page


def test_a_button_without_figures_writes_nothing(file):
    panel = BuildDayPanel(file)
    log = panel.children[-1]
    for text in ("Drop test", "Front readings", "Finished weight"):
        log.buttons[text].click()
        assert "Nothing was written" in log.said.value
    panel.controls["readings"].value = "nonsense"
    log.buttons["Room"].click()
    assert "no answer" in log.said.value and not file.part.build_log


def test_a_save_by_somebody_else_is_not_overwritten(panel, file):
    PartFile.read(file.path, save_to=file.save_to).log("room")
    log = panel.children[-1]
    log.buttons["Drop test"].click()
    assert "Nothing was written" in log.said.value and "somebody saved in between" in log.said.value
    assert [entry.what for entry in PartFile.read(file.save_to).part.build_log] == ["room"]
