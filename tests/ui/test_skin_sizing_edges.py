"""Edges of the panel on page 03: from the brief, changed there, drawn, warned of and recorded."""

from __future__ import annotations

import pytest

from compositekit.mechanics.panel_peaks import EDGES
from compositekit.part import PartFile
from compositekit.part.folders import DEMO
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.ui.layup_controls import edge_changes, edge_options
from compositekit.ui.skin_sizing import SkinSizingPanel


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


@pytest.fixture
def panel(file):
    return SkinSizingPanel(file)


def test_the_page_opens_on_the_edges_of_the_brief(panel):
    assert panel.controls["edges"].value == "supported" and panel.changes(**panel.values) == {} and not panel.result.clamped
    assert sorted(value for _, value in panel.controls["edges"].options) == sorted(EDGES)


def test_clamped_edges_change_picture_and_verdict(panel):
    panel.put(thickness=18.0, inside=2)
    png, before = panel.png, panel.result
    panel.controls["edges"].value = "clamped"
    after = panel.result
    assert panel.error is None and panel.png != png
    assert after.verdict != before.verdict and not before.checks[0].passed and after.checks[0].passed    # it sagged too far, supported
    assert all(one.deflection < other.deflection for one, other in zip(after.loads, before.loads, strict=True))
    even = [next(case for case in found.loads if case.patch_pressure is None) for found in (after, before)]
    assert even[0].core_shear > even[1].core_shear
    page = panel.extra_html(after)
    assert "7 % above" in page and "30 % above" in page and "clamped" in page and "7 % above" not in panel.extra_html(before)


def test_the_edges_are_those_of_the_zone_shown_and_are_recorded_with_it(panel, file):
    panel.put(thickness=18.0, inside=2, edges="long edges clamped")
    seen = panel.result
    panel.record.box.reason.value, panel.record.box.who.value = "bonded to the sides", "Ada"
    panel.record.box.button.click()
    saved = PartFile.read(file.save_to)
    edges = {load.name: (load.zone, load.edges) for load in saved.part.brief.loads}
    assert all((edge == "long edges clamped") == (zone == "bottom") for zone, edge in edges.values())
    assert skin_sizing(saved.part, saved.catalogue).verdict == seen.verdict
    (decision,) = saved.part.decisions
    assert decision.choice.endswith("panel edges long edges clamped") and "clamped" not in decision.alternatives[0]
    assert panel.changes(**panel.values) == {}
    panel.controls["zone"].value = "ends"
    assert panel.controls["edges"].value == "supported"
    panel.controls["zone"].value = "bottom"
    assert panel.controls["edges"].value == "long edges clamped"


def test_loads_that_differ_stay_as_they_are_until_one_is_chosen(file):
    part = file.part.changed({"brief.loads.0.edges": "clamped"})
    (words, first), *_ = edge_options(part, "bottom")
    assert first == "" and "mixed" in words and edge_changes(part, "bottom", "") == {}
    assert list(edge_changes(part, "bottom", "clamped").values()) == ["clamped"]
    assert list(edge_changes(part, "bottom", "supported")) == ["brief.loads.0.edges"]
