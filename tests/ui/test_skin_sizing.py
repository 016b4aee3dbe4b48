"""The skin sizing panel: every control does something, the record changes the part file, all demo parts show an answer."""

from __future__ import annotations

import json

import pytest

from compositekit.part import Part, PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.ui.skin_sizing import SkinSizingPanel
from compositekit.units import say


@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


@pytest.fixture(scope="module")
def read_only():
    """One panel for all tests that only look, since laying out the picture takes a while."""
    return SkinSizingPanel(open_part(DEMO / "fen_punt" / "part.json"))


@pytest.fixture
def panel(file):
    return SkinSizingPanel(file)


OTHER = [("zone", "side"), ("fabric", "glass-twill-280"), ("outside", 3), ("inside", 2), ("core", "pvc-80"), ("thickness", 20.0), ("solid", True), ("edges", "clamped")]


def test_the_list_names_every_control(read_only):
    assert [*(name for name, _ in OTHER), "among"] == list(read_only.controls)


def test_among_says_which_cloths_the_search_tries(read_only):
    panel = read_only
    panel.view.value = "What else would do"
    png, few = panel.png, len(panel.result.search)
    panel.controls["among"].value = "all"
    assert panel.error is None and len(panel.result.search) > few and panel.png != png
    assert "still wants its own trial panel" in panel.page and "offcuts, bag, mesh, hose and labour are not in them" in panel.page
    assert "own" not in dict(panel.controls["among"].options).values()      # the demo part has no tables of its own
    panel.put(among="fibre")
    panel.view.value = "Section and core"
    assert panel.error is None


@pytest.mark.parametrize("name, value", OTHER)
def test_each_control_changes_words_and_picture(read_only, name, value):
    panel, before = read_only, read_only.values
    page, png, headline = panel.page, panel.png, panel.headline(panel.result)
    panel.controls[name].value = value
    assert panel.error is None and panel.page != page and panel.png != png and panel.headline(panel.result) != headline
    panel.put(**before)
    assert panel.values == before


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_opens_on_its_saved_layup(name):
    file = open_part(DEMO / name / "part.json")
    panel = SkinSizingPanel(file)
    assert panel.error is None and panel.changes(**panel.values) == {}
    assert panel.result.verdict == skin_sizing(file.part, file.catalogue).verdict
    assert panel.headline(panel.result) in panel.alt(panel.result) and panel.window_words(panel.result)
    assert "as saved" in panel.result.knock_on
    for load in panel.result.loads:
        assert load.name in panel.extra_html(panel.result)


def test_the_zone_brings_its_own_layup_and_record(panel):
    panel.controls["thickness"].value = 25.0
    panel.controls["zone"].value = "ends"
    assert (panel.controls["thickness"].value, panel.controls["outside"].value) == (10.0, 2)
    assert panel.result.zone == "ends" and "zone ends" in panel.record.box.subject
    panel.controls["zone"].value = "bottom"
    assert "zone bottom" in panel.record.box.subject and panel.changes(**panel.values) == {}


def test_the_difference_is_taken_from_the_part_as_saved(panel):
    panel.controls["thickness"].value = 20.0
    area = panel.result.build.zone.area.m_as("m^2")
    assert f"(+{area * 0.010 * 100:.2f} kg)" in panel.result.knock_on        # 10 mm of 100 kg/m3
    panel.controls["thickness"].value = 10.0
    assert "(as saved)" in panel.result.knock_on


def test_recording_writes_the_layup_that_later_pages_read(panel, file):
    panel.put(thickness=22.0, inside=2, core="pvc-80")
    seen = panel.result
    panel.record.box.reason.value, panel.record.box.who.value = "holds a step", "Ada"
    panel.record.box.button.click()
    saved = PartFile.read(file.save_to)
    layup = saved.part.layup["bottom"]
    assert (layup.core.core, layup.core.thickness.m_as("mm"), len(layup.inside)) == ("pvc-80", 22.0, 2)
    assert skin_sizing(saved.part, saved.catalogue).verdict == seen.verdict
    (decision,) = saved.part.decisions
    assert decision.subject == "skins and core thickness of zone bottom" and len(decision.numbers) == len(seen.checks)
    assert decision.choice == "outside 2 plies of basalt-twill-300, 22 mm pvc-80, inside 2 plies of basalt-twill-300"
    assert "as before" in decision.alternatives[0] and saved.standing()[0][1] == ()
    assert panel.changes(**panel.values) == {}


def test_a_reason_is_asked_for_and_nothing_is_saved_without(panel, file):
    panel.record.box.button.click()
    assert "say why" in panel.record.box.said.value and not file.save_to.exists()


def test_no_core_and_back_again(panel):
    panel.controls["solid"].value = True
    assert panel.result.sweep is None and "no core" in panel.headline(panel.result) and "more than 20 times" in panel.headline(panel.result)
    panel.controls["solid"].value = False
    assert panel.result.sweep is not None and panel.changes(**panel.values) == {}


def test_absurd_sags_are_words_in_the_table_too(panel):
    panel.controls["solid"].value = True
    page = panel.extra_html(panel.result)
    assert "more than 20 times what is allowed" in page and "sag (more than 20 times it)" in page
    for case in panel.result.loads:
        assert say(case.deflection, "mm") not in page
    panel.put(solid=False, thickness=10.0)
    case = panel.result.worst
    assert case.deflection > 3 * panel.result.build.thickness
    assert "sags more than" in panel.headline(panel.result) and say(case.deflection, "mm") not in panel.extra_html(panel.result)


@pytest.mark.parametrize("thickness, said", [(23.0, "23 mm of core (next sheet sold: 25 mm):"), (25.0, "25 mm of core:"), (39.0, "39 mm of core (no sheet so thick; thickest sold: 30 mm):")])
def test_a_thickness_that_is_no_sheet_names_the_next_one(panel, thickness, said):
    panel.put(core="pvc-80", thickness=thickness)
    assert said in panel.headline(panel.result)


def test_cloth_that_lies_lengthwise_only_is_said_on_the_page(panel):
    line = "All plies run lengthwise; a UD cloth has almost nothing across"
    assert line not in panel.page
    panel.controls["fabric"].value = "glass-uni-300"
    assert line in panel.page


def test_a_core_without_inside_plies_is_said_in_the_page(panel):
    panel.controls["inside"].value = 0
    assert panel.result is None and "set plies inside to 1 or more, or tick &quot;no core&quot;" in panel.page
    panel.record.box.reason.value, panel.record.box.who.value = "no matter", "Ada"
    panel.record.box.button.click()
    assert "Nothing was recorded: the page has no answer" in panel.record.box.said.value
    panel.controls["inside"].value = 1
    assert panel.error is None


def opened(tmp_path, **changes):
    plain = json.loads(open_part(DEMO / "locker_lid" / "part.json").part.to_json().replace('"lid"', '"hatch"'))
    (tmp_path / "lid.json").write_text(Part.from_plain(plain).changed(changes).to_json(), "utf-8")
    return SkinSizingPanel(PartFile.read(tmp_path / "lid.json"))


def test_mixed_cloths_and_angles_are_kept_until_one_cloth_is_chosen(tmp_path):
    mixed = [{"fabric": "glass-twill-200", "angle": "45 deg"}, {"fabric": "glass-biax-450"}]
    panel = opened(tmp_path, **{"layup.hatch.outside": mixed})
    assert panel.controls["fabric"].value == "" and panel.changes(**panel.values) == {}
    panel.controls["outside"].value = 3
    assert panel.result.build.outer_keys == ("glass-twill-200", "glass-biax-450", "glass-biax-450")
    panel.controls["fabric"].value = "basalt-twill-200"
    assert set(panel.result.build.outer_keys) == {"basalt-twill-200"}
    assert panel.result.build.outer.angles[0].m_as("deg") == pytest.approx(45)


def test_a_thick_odd_core_and_a_solid_zone_open_as_they_are(tmp_path):
    assert opened(tmp_path, **{"layup.hatch.core.thickness": "62.5 mm"}).result.build.core_thickness == pytest.approx(0.0625)
    solid = opened(tmp_path, **{"layup.hatch.core": None, "layup.hatch.inside": []})
    assert solid.error is None and solid.controls["solid"].value and solid.changes(**solid.values) == {}
    solid.put(solid=False, inside=1)
    assert solid.error is None and solid.result.build.core is not None


def test_the_shops_own_cloth_is_offered(tmp_path):
    own = tmp_path / "fabrics.csv"
    own.write_text("key,title,fibre,form,direction,areal_weight_g_m2,fibre_fraction,crimp_factor,strain_limit_tension_percent,"
                   "strain_limit_compression_percent,source\nown-cloth,cloth from the store room,e-glass,plain weave,balanced,400,0.5,0.95,0.5,0.4,scale\n", "utf-8")
    panel = opened(tmp_path, own_materials=["fabrics.csv"])
    assert ("cloth from the store room", "own-cloth") in panel.controls["fabric"].options
    panel.controls["among"].value = "own"
    assert panel.error is None and {key for skin in panel.result.search.space.solids for key in skin.fabrics} == {"own-cloth"}
    panel.controls["among"].value = "fibre"
    panel.controls["fabric"].value = "own-cloth"
    assert panel.error is None and "cloth from the store room" in panel.page


# --- the further pictures -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", demo_parts())
def test_every_view_follows_the_core_and_says_what_it_shows(name):
    panel = SkinSizingPanel(open_part(DEMO / name / "part.json"))
    for label, picture in panel.by_title.items():
        panel.view.value = label
        seen = set()
        for thickness in (8.0, 15.0, 30.0):
            panel.put(thickness=thickness)
            assert panel.error is None
            seen.add((panel.png, picture.alt(panel.result)))
        assert len({png for png, _ in seen}) == len({said for _, said in seen}) == 3, label
        assert panel.by_title[label].alt(panel.result).replace('"', "&quot;").replace("'", "&#x27;") in panel.page


@pytest.mark.parametrize("label", ["Section and core", "Through the thickness", "What fails first", "What else would do"])
def test_a_solid_laminate_has_every_view_too(label):
    panel = SkinSizingPanel(open_part(DEMO / "fen_punt" / "part.json"))
    panel.put(solid=True)
    panel.view.value = label
    assert panel.error is None and panel.result.build.core is None and panel.png
    assert label != "What fails first" or panel.by_title[label].alt(panel.result) == "No map: this zone has no core."
    panel.put(solid=False)
    assert panel.error is None


def test_ply_rows_are_those_of_the_study():
    panel = SkinSizingPanel(open_part(DEMO / "fen_punt" / "part.json"))
    margins = panel.result.margins
    assert len(margins.rows) == 2 * len(panel.result.build.plies)
    assert max(f"{row.share:.0%}" for row in margins.rows) in panel.page and margins.least.mode in panel.page
