"""The trial panel's page: every control does something, parts with and without a trial, the record is kept (OWN cases)."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.ui.trial_panel import NONE, TrialPanelPanel


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "mine" / "part.json")


def with_second_trial(file):
    trial = file.part._plain()["trials"][0] | {"name": "second try", "mass": "0.9 kg", "strips": None}
    file.part = file.part.changed({"trials": [*file.part._plain()["trials"], trial]})
    return file


OTHER = [("trial", "second try"), ("skip_early", 2), ("viscosity_factor", 1.5), ("strip", "B")]


def test_the_list_names_every_control(file):
    assert [name for name, _ in OTHER] == list(TrialPanelPanel(file).controls)


@pytest.mark.parametrize(("name", "value"), OTHER)
def test_each_control_changes_what_is_said_and_drawn(file, name, value):
    panel = TrialPanelPanel(with_second_trial(file))
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page
    assert panel.png != png


def test_strips_and_readings_offered_are_those_of_the_trial_chosen(file):
    panel = TrialPanelPanel(with_second_trial(file))
    panel.put(strip="B", skip_early=3)
    panel.controls["trial"].value = "second try"
    assert panel.error is None and list(panel.controls["strip"].options) == ["all strips"]
    panel.controls["trial"].value = "slice of the bottom"
    assert "B" in panel.controls["strip"].options and panel.controls["skip_early"].max == 10


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_is_read_and_said_in_words(name):
    panel = TrialPanelPanel(open_part(DEMO / name / "part.json"))
    page = panel.page
    assert panel.error is None and "permeability" in panel.headline(panel.result)
    for words in ("Measured beside the catalogue", "other limits in print", "The other pages still calculate with the catalogue",
                  "lies farthest off the line", "what to make", "few"):
        assert words in page, words


def test_a_part_without_trial_is_told_what_to_make(file):
    file.part = file.part.changed({"trials": []})
    panel = TrialPanelPanel(file)
    assert panel.error is None and panel.controls["trial"].value == NONE
    assert "No trial panel" in panel.headline(panel.result) and "long span, for bending" in panel.page


def test_a_spoilt_table_is_said_in_the_page(file, tmp_path):
    file.save(file.part)
    (file.folder / "trial_front.csv").write_text("time_min,distance_mm\n1,62\n2,oops\n3,90\n", "utf-8")
    panel = TrialPanelPanel(file)
    assert "oops" in str(panel.error) and "line 3" in panel.page
    record = panel.children[-1]
    record.reason.value, record.who.value = "none", "me"
    record.button.click()
    assert not file.part.decisions and "no answer to record" in record.said.value


def test_recording_keeps_the_measured_values_and_goes_stale_with_the_layup(file):
    panel = TrialPanelPanel(file)
    record = panel.children[-1]
    record.reason.value, record.who.value = "first trial", "apprentice"
    record.button.click()
    decision = file.part.decisions[-1]
    assert decision.subject == "what the trial panel showed" and "permeability of the cloth 1.28e-10" in decision.choice
    assert file.save_to.exists() and file.standing()[0][1] == ()
    file.save(file.part.changed({"layup.bottom.core.thickness": "20 mm"}))
    assert [change.path for change in file.standing()[0][1]] == ["layup.bottom.core.thickness"]


def test_a_panel_of_another_layup_is_said_first_and_keeps_its_figures(file):
    before = TrialPanelPanel(file)
    said = before.headline(before.result)
    file.part = file.part.changed({"layup.bottom.core.thickness": "20 mm"})
    panel = TrialPanelPanel(file)
    now = panel.headline(panel.result)
    assert now.startswith("This panel was another layup (2+1 plies on 10 mm, plain; the part now has 2+1 plies on 20 mm, plain): its stiffness does not")
    assert now.endswith(said.replace("calculated for it", "calculated for that panel"))
    record = panel.children[-1]
    record.reason.value, record.who.value = "first trial", "apprentice"
    record.button.click()
    assert panel.result.other in file.part.decisions[-1].numbers


def test_the_worked_example_of_the_page_can_be_read(tmp_path):
    """Copied from the page as it stands there: the entry and both tables."""
    page = json.loads((Path(__file__).parents[2] / "notebooks" / "01_trial_panel.ipynb").read_text("utf-8"))
    text = "".join("".join(cell["source"]) for cell in page["cells"] if cell["cell_type"] == "markdown")
    entry, = (json.loads(block) for block in re.findall(r"```json\n(.*?)```", text, re.S))
    tables = {block.partition(",")[0]: block for block in re.findall(r"```\n(\w+,.*?)```", text, re.S)}
    lid = json.loads((DEMO / "locker_lid" / "part.json").read_text("utf-8"))
    (tmp_path / "part.json").write_text(json.dumps(lid | {"trials": [entry]}), "utf-8")
    (tmp_path / entry["front_log"]).write_text(tables["time_min"], "utf-8")
    (tmp_path / entry["strips"]).write_text(tables["strip"], "utf-8")
    panel = TrialPanelPanel(PartFile.read(tmp_path / "part.json"))
    assert panel.error is None and panel.result.front is not None and len(panel.result.strips) == 1 and not panel.result.other
