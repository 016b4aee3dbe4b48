"""The core panel: every control does something, the record changes the part file, all demo parts show an answer."""

from __future__ import annotations

import pytest

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.decision import changes_since
from compositekit.part.folders import DEMO
from compositekit.studies.skin_sizing import skin_sizing
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
    page, png = panel.page, panel.png
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page and panel.png != png
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
    choice = panel.result.choice
    assert panel.chosen.get_xdata() == [choice.exact.m_as("mm")] and panel.chosen.get_ydata() == [choice.part_mass.m_as("kg")]
    assert set(panel.saved.get_ydata()) == {panel.result.part_mass_now.m_as("kg")} and panel.heights[1].get_text() == "as in the part file, 10 mm"


@pytest.mark.parametrize("name", demo_parts())
def test_no_name_in_the_picture_lies_on_another(name):
    panel = CoreSelectionPanel(open_part(DEMO / name / "part.json"))
    texts = [text for text in (*panel.names, *panel.heights) if text.get_text()]
    boxes = [text.get_window_extent() for text in texts]
    assert len(texts) >= 3
    assert not [(a, b) for n, a in enumerate(texts) for m, b in enumerate(texts) if n < m and boxes[n].overlaps(boxes[m])]
    marks = [panel.chart.transData.transform(point) for mark in panel.marks.values() for point in mark.get_xydata()]
    assert not [text for text, box in zip(texts, boxes, strict=True) if text in panel.names and any(box.contains(*point) for point in marks)]


def test_nothing_speaks_against_it_is_not_said_of_skins_that_fail(panel):
    panel.put(core="pvc-80", longest=25)
    assert "but the skins are at" in panel.headline(panel.result) and "nothing speaks" not in panel.headline(panel.result)
    panel.put(longest=40)
    assert "nothing speaks against it" in panel.headline(panel.result) and "mm for the skins in compression" in panel.headline(panel.result)


def test_a_core_thicker_than_any_sheet_is_not_called_a_sheet(panel):
    panel.put(core="pvc-48")
    assert "so 32 mm (no sheet so thick; thickest sold: 30 mm: glue two together)" in panel.headline(panel.result)
    panel.put(core="pvc-80")
    assert "so a 30 mm sheet" in panel.headline(panel.result)


def test_the_core_decision_outlives_a_thickness_settled_on_the_next_page(panel, file):
    panel.put(core="pvc-80")
    panel.record.box.reason.value, panel.record.box.who.value = "stands", "Ada"
    panel.record.box.button.click()
    saved = PartFile.read(file.save_to)
    assert not [check for check in skin_sizing(saved.part, saved.catalogue).failed]
    later = saved.part.changed({"layup.bottom.core.thickness": "33 mm"})
    assert changes_since(saved.part.decisions[0], later, saved.catalogue) == ()


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
    assert decision.choice.startswith(f"{seen.choice.thickness.m_as('mm'):.3g} mm {seen.choice.core.key}") and len(decision.alternatives) == 5
    assert decision.numbers == [check.sentence() for check in seen.checks] and saved.standing()[0][1] == ()


def test_a_solid_zone_is_said_to_need_inner_plies(tmp_path):
    part = open_part(DEMO / "locker_lid" / "part.json").part.changed({"layup.lid.core": None, "layup.lid.inside": []})
    (tmp_path / "lid.json").write_text(part.to_json(), "utf-8")
    panel = CoreSelectionPanel(PartFile.read(tmp_path / "lid.json"))
    assert panel.result is None and "no inner skin" in panel.page and "page 03" in panel.page


def test_a_core_that_is_too_soft_is_not_recorded(tmp_path):
    part = open_part(DEMO / "locker_lid" / "part.json").part.changed({"brief.deflection_share": "0.0005"})
    (tmp_path / "lid.json").write_text(part.to_json(), "utf-8")
    panel = CoreSelectionPanel(PartFile.read(tmp_path / "lid.json"))
    assert panel.error is None and "too soft" in panel.headline(panel.result)
    panel.record.box.reason.value, panel.record.box.who.value = "no matter", "Ada"
    panel.record.box.button.click()
    assert "Nothing was recorded" in panel.record.box.said.value and not PartFile.read(tmp_path / "lid.json").part.decisions


# --- the further pictures ---


@pytest.mark.parametrize("name", demo_parts())
def test_every_view_says_what_it_shows_and_follows_the_core(name):
    panel = CoreSelectionPanel(open_part(DEMO / name / "part.json"))
    for label, picture in panel.by_title.items():
        panel.view.value = label
        seen, sheets = set(), set()
        for core in ("balsa-94", "pvc-48", "san-65", "cork-200"):
            panel.put(core=core)
            seen.add((panel.png, picture.alt(panel.result)))
            sheets.add(panel.result.choice.thickness.m_as("mm"))
        assert len(seen) >= (len(sheets) if label == "Cuts and edge" else 4), label


def test_side_by_side_leaves_unread_figures_open(read_only):
    picture = read_only.by_title["Side by side"]
    rows = picture.shown(read_only.result)
    assert rows[0] is read_only.result.choice
    unread = [row for row in rows if row.good_to is None]
    assert unread and all(picture.figures(row)[6] is None for row in unread)


def test_counts_are_of_the_family_compared(read_only):
    panel, before = read_only, read_only.values
    panel.put(core="pet-recycled-100", family="balsa")
    balsa = [row for row in panel.result.rows if row.core.family == "balsa"]
    assert len(panel.result.rows) == len(balsa) + 1
    assert f"of {len(balsa)} cores fit" in panel.headline(panel.result)
    low, high = panel.chart.get_xlim()
    panel.put(longest=5)
    assert panel.chart.get_xlim()[0] < panel.chart.get_xlim()[1] and low < high
    panel.put(**before)
