"""The build sheet: everything on it comes from the studies and follows the part; nothing that fails stays hidden."""

from __future__ import annotations

import re
from functools import cache

import pytest

from compositekit.catalogue import Catalogue
from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import fittings_mass, part_build, part_mass
from compositekit.studies.build_sheet import build_sheet
from compositekit.studies.buoyancy import buoyancy
from compositekit.studies.flow_distance import flow_distance
from compositekit.studies.resin_budget import resin_budget
from compositekit.studies.sheet import Blanks, Items, Table, Text
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.units import say

KEYS = ("verdict", "purpose", "layup", "cores", "cut_list", "masses", "feed", "resin", "day", "trials", "flotation", "checks", "decisions",
        "guesses", "cautions", "signatures")
TWO = [{"fabric": "basalt-twill-300"}, {"fabric": "basalt-twill-300"}]
# A punt that holds everywhere: thicker cores, two plies inside, fed by many lines across under mesh through pierced cores.
PASSES = {"layup.bottom.core.thickness": "25 mm", "layup.ends.core.thickness": "15 mm", "layup.bottom.inside": TWO, "layup.side.core.thickness": "15 mm", "feed.layout": "rungs",
          "feed.rungs": 8, "feed.flow_mesh": True, "trials": [], "brief.mass_target": "36 kg",
          **{f"layup.{zone}.core.cut": "perforated" for zone in ("bottom", "side", "ends")}}


def demo(name):
    return open_part(DEMO / name / "part.json")


def sheet_of(name="fen_punt", changes=None):
    return changed_sheet(name, changes) if changes else demo_sheet(name)


def changed_sheet(name, changes):
    file = demo(name)
    return build_sheet(file.part.changed(changes), file.catalogue, file.folder)


@cache
def demo_sheet(name):
    file = demo(name)
    return build_sheet(file.part, file.catalogue, file.folder)


@cache
def holding_sheet():
    return changed_sheet("fen_punt", PASSES)


def text_of(section) -> str:
    lines = []
    for block in section.blocks:
        lines += [block.words] if isinstance(block, Text) else list(block.items) if isinstance(block, Items) else \
            [block.caption, *(" | ".join(row) for row in block.rows)] if isinstance(block, Table) else list(block.labels)
    return "\n".join(lines)


@pytest.mark.parametrize("name", demo_parts())
def test_every_section_is_filled_on_every_demo_part(name):
    sheet = sheet_of(name)
    assert tuple(section.key for section in sheet.sections) == KEYS
    assert not sheet.not_computed
    for section in sheet.sections:
        assert section.heading and section.blocks
        for block in section.blocks:
            if isinstance(block, Table):
                assert block.rows and all(len(row) == len(block.heads) for row in block.rows), f"{section.key}: {block.caption}"
                assert all(isinstance(cell, str) for row in block.rows for cell in row)
            elif isinstance(block, Items):
                assert all(block.items)
            elif isinstance(block, Blanks):
                assert block.labels
            else:
                assert block.words
    said = "\n".join(map(text_of, sheet.sections))
    assert not re.search(r"\b(nan|inf|None)\b|magnitude|Quantity", said)


@pytest.mark.parametrize("name", demo_parts())
def test_a_failing_part_says_so_in_large_words_with_every_check(name):
    sheet = sheet_of(name)
    first = sheet.section("verdict").blocks[0]
    assert first.loud and first.words == f"DO NOT BUILD YET: {len(sheet.failed)} checks fail." and not sheet.ready
    for check in sheet.failed:
        assert check.sentence() in text_of(sheet.section("verdict")) and check.remedy in text_of(sheet.section("verdict"))


def test_a_part_that_holds_may_be_built():
    sheet = holding_sheet()
    assert sheet.ready, sheet.verdict
    said = text_of(sheet.section("verdict"))
    assert "DO NOT BUILD" not in said and said.startswith(f"All {len(sheet.checks)} checks hold") and "not an approval" in said


@pytest.mark.parametrize("name", demo_parts())
def test_every_number_of_the_mass_table_is_that_of_the_layup(name):
    file = demo(name)
    builds = part_build(file.part, file.catalogue)
    table = sheet_of(name).section("masses").blocks[0]
    rows = {row[0]: dict(zip(table.heads, row, strict=True)) for row in table.rows}
    for zone, build in builds.items():
        for item, per_area in build.per_area.items():
            assert float(rows[zone][item]) == pytest.approx(per_area * build.zone.area.m_as("m^2"), rel=5e-3, abs=1e-9)
        assert rows[zone]["mass"] == say(build.mass, "kg") and rows[zone]["area"] == say(build.zone.area, "m^2")
    for fitting in file.part.fittings:
        assert rows[fitting.name]["mass"] == say(fitting.mass, "kg")
    assert rows["finished part"]["mass"] == say(part_mass(file.part, builds), "kg")
    if len(file.part.fittings) > 1:
        assert rows["all fittings together"]["mass"] == say(fittings_mass(file.part), "kg")


def test_masses_add_up_to_the_finished_part():
    table = sheet_of().section("masses").blocks[0]
    single = [float(row[-1].removesuffix(" kg")) for row in table.rows if row[0] not in ("finished part", "all fittings together")]
    assert sum(single) == pytest.approx(float(table.rows[-1][-1].removesuffix(" kg")), abs=0.06)    # three digits are shown


def test_a_thicker_core_changes_mass_resin_and_flotation():
    thin, thick = sheet_of("fen_punt"), sheet_of("fen_punt", {"layup.bottom.core.thickness": "20 mm", "layup.bottom.core.cut": "perforated"})
    for key in ("layup", "masses", "resin", "flotation", "checks", "cut_list"):
        assert text_of(thin.section(key)) != text_of(thick.section(key)), key
    assert thick.part_mass > thin.part_mass


@pytest.mark.parametrize("name", demo_parts())
def test_the_sheet_repeats_the_studies(name):
    file = demo(name)
    part, catalogue, sheet = file.part, file.catalogue, sheet_of(name)
    flow, resin, water = flow_distance(part, catalogue), resin_budget(part, catalogue), buoyancy(part, catalogue)
    assert say(flow.pressure, "mbar") in text_of(sheet.section("feed")) and say(flow.time_allowed, "min") in text_of(sheet.section("feed"))
    cards = text_of(sheet.section("resin"))
    for batch in resin.batches:
        assert f"bucket {batch.number}" in cards and f"{batch.resin.m_as('g'):.0f} g | {batch.hardener.m_as('g'):.0f} g" in cards
    assert f"{resin.demand.total[1].m_as('g'):.0f}" in cards
    if water.needed:
        assert say(water.draught, "mm") in text_of(sheet.section("flotation"))
    else:
        assert file.part.brief.floats_note in text_of(sheet.section("flotation"))
    told = [check.sentence() for check in sheet.checks]
    for zone in part.structural_zones:
        for check in skin_sizing(part, catalogue, zone).checks:
            assert any(sentence.endswith(check.sentence()) for sentence in told)
    assert len(told) == len(set(told))


def test_cores_tried_in_other_thicknesses_are_not_checks_of_the_part():
    sheet = sheet_of()
    masses = [check.value for check in sheet.checks if check.what.endswith("mass of the finished part")]
    assert len(masses) == 1 and masses[0].m_as("kg") == pytest.approx(sheet.part_mass.m_as("kg"))


def test_cards_of_a_part_that_never_fills_are_forbidden():
    stuck = sheet_of("locker_lid")
    assert any(isinstance(block, Text) and block.loud and "Do not mix" in block.words for block in stuck.section("resin").blocks)
    assert not any(isinstance(block, Text) and block.loud for block in holding_sheet().section("resin").blocks)


FORBIDDEN = [({"workshop.largest_batch": "10 g"}, "THERE IS NO MIXING PLAN", "buckets in a mixing plan"),
             ({"workshop.mixing_time": "80 min", "workshop.largest_batch": "20 kg"}, "Do not mix to these cards", "age of the oldest bucket")]


@pytest.mark.parametrize("changes,loud,check", FORBIDDEN)
def test_no_plan_and_a_plan_past_the_safe_share_stop_the_build(changes, loud, check):
    sheet = changed_sheet("fen_punt", PASSES | changes)
    assert not sheet.ready and any(check in failed.what for failed in sheet.failed)
    assert any(isinstance(block, Text) and block.loud and block.words.startswith(loud) for block in sheet.section("resin").blocks)


@pytest.mark.parametrize("name", demo_parts())
def test_cautions_and_guesses_of_every_study_once(name):
    sheet = sheet_of(name)
    cautions = sheet.section("cautions").blocks[-1]
    guesses = sheet.section("guesses").blocks[-1].items
    assert cautions.caution and "local codes and licensed practice" in cautions.items[-1]
    for study in sheet.gathered:
        assert set(study.finding.cautions) <= set(cautions.items), study.name
        assert set(study.finding.guesses) <= set(guesses), study.name
    assert len(set(cautions.items)) == len(cautions.items) and len(set(guesses)) == len(guesses)


def test_a_study_without_an_answer_is_named_and_counted():
    sheet = sheet_of("locker_lid", {"layup.lid.core.core": "pmi-75"})    # no shear modulus was read for it
    assert sheet.not_computed and not sheet.ready
    said = text_of(sheet.section("verdict"))
    assert "DO NOT BUILD YET" in said and "gave no answer" in said and "cannot be sized with" in said
    assert "NOT COMPUTED" in text_of(sheet.section("trials"))
    assert "NOT COMPUTED" not in text_of(sheet.section("masses")) + text_of(sheet.section("feed"))    # neither asks how stiff a core is
    assert "PMI" in text_of(sheet.section("layup")) and "1250 × 850 mm" in text_of(sheet.section("cut_list"))    # still known
    for study in sheet.not_computed:
        assert study.name in sheet.verdict and study.fault in text_of(sheet.section("checks"))


def test_missing_trial_table_is_said_in_its_section(tmp_path):
    file = demo("fen_punt")
    sheet = build_sheet(file.part, file.catalogue, tmp_path)
    assert [study.name for study in sheet.not_computed] == ["trial panel, slice of the bottom"]
    assert "NOT COMPUTED" in text_of(sheet.section("trials"))


def test_without_a_trial_it_says_what_to_make():
    sheet = sheet_of(changes={"trials": []})
    assert "No trial panel is recorded" in text_of(sheet.section("verdict")) and "long span" in text_of(sheet.section("trials"))


def test_a_trial_of_an_older_layup_does_not_hold_up_the_build_and_is_asked_for_anew():
    """The usual path: the trial was made, then the core came out thicker."""
    sheet = changed_sheet("fen_punt", {path: value for path, value in PASSES.items() if path != "trials"})
    assert sheet.ready and sheet.verdict == holding_sheet().verdict
    asked = "No trial panel of this layup yet: make one before the part (zone bottom)."
    assert any(isinstance(block, Text) and block.loud and block.words == asked for block in sheet.section("verdict").blocks)
    trials, old = text_of(sheet.section("trials")), sheet.study("trial panel, slice of the bottom")
    assert old.other in trials and "long span" in trials and all(check.sentence() in trials for check in old.checks)
    assert not any("slice of the bottom" in check.what for check in sheet.checks)


def test_a_soft_trial_of_the_layup_as_it_is_still_counts():
    sheet = sheet_of()
    assert "No trial panel" not in text_of(sheet.section("verdict")) and any("slice of the bottom" in check.what for check in sheet.checks)


@pytest.fixture
def own(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


def test_decisions_stand_or_are_stale_with_both_values(own):
    own.record(subject="core of the bottom", choice="thicker", reason="too floppy", who="Ada", rests_on=["workshop.temperature"])
    sheet = build_sheet(own.part, own.catalogue, own.folder)
    row = sheet.section("decisions").blocks[-1].rows[0]
    assert row[:3] == ("core of the bottom", "thicker", "too floppy") and row[3].startswith("Ada, 20") and row[4] == "stands"
    assert own.part.decisions[0].when in sheet.decided and sheet.revision == 1
    colder = build_sheet(own.part.changed({"workshop.temperature": "12 degC"}), own.catalogue, own.folder)
    stale = colder.section("decisions").blocks[-1].rows[0][4]
    assert stale == "STALE: workshop temperature was 20 degC, is now 12 degC"
    assert "1 decision is STALE" in text_of(colder.section("verdict"))


def test_the_same_part_gives_the_same_words():
    assert changed_sheet("fen_punt", {}).sections == sheet_of().sections


def test_the_build_log_stands_beside_the_plan():
    sheet = sheet_of("locker_lid", {"build_log": [{"when": "2026-05-04 16:00 UTC", "what": "finished weight", "values": {"mass": "3.3 kg"}, "note": "trimmed"}]})
    table = sheet.section("day").blocks[-1]
    when, what, planned, built, note = table.rows[0]
    assert (when, what, planned, note) == ("2026-05-04 16:00 UTC", "finished weight", f"mass {say(sheet.part_mass, 'kg')}", "trimmed")
    assert built.startswith("mass 3.3 kg") and len(table.rows) == 1


def test_demoulding_is_given_in_hours_and_follows_the_room():
    cold, warm = (text_of(sheet_of("locker_lid", {"workshop.temperature": room}).section("day")) for room in ("15 degC", "28 degC"))
    assert "Do not demould before" in cold and "hardness has stopped rising" in cold and cold != warm


def test_the_sheet_counts_no_check_on_hours_that_nobody_chose():
    sheet = sheet_of()
    day = next(study.finding for study in sheet.gathered if study.name == "build day")
    assert f"Do not demould before {day.cure.not_before:.0f} h after the fill at this room temperature, {say(day.room)}" in text_of(sheet.section("day"))
    assert not any("time in the mould" in check.what for check in sheet.checks)


def test_a_room_too_cold_to_harden_in_fails_on_the_sheet():
    sheet = sheet_of("locker_lid", {"workshop.temperature": "0 degC"})
    assert "DO NOT DEMOULD within two weeks" in text_of(sheet.section("day")) and any("glass transition" in check.what for check in sheet.failed)


def test_a_logged_finished_weight_is_checked_on_the_sheet():
    log = [{"when": "2026-05-04 16:00 UTC", "what": "finished weight", "values": {"mass": "60 kg"}, "note": ""}]
    checks = {check.what: check for check in sheet_of("fen_punt", {"build_log": log}).checks}
    assert not checks["finished weight"].passed and not checks["finished weight, over the calculated one"].passed
    assert "finished weight" not in {check.what for check in sheet_of().checks}


def test_zones_of_other_names_and_without_a_load_or_core():
    file = demo("locker_lid")
    half = {"left wing": [[0, 0], [0.6, 0], [0.6, 0.8], [0, 0.8]], "right wing": [[0.6, 0], [1.2, 0], [1.2, 0.8], [0.6, 0.8]]}
    plies = [{"fabric": "glass-biax-450"}]
    part = file.part.changed({
        "shape.zones": half, "brief.loads": [{**load, "zone": "left wing", "panel_length": "800 mm", "panel_width": "600 mm"} for load in file.part._plain()["brief"]["loads"]], "trials": [],
        "layup": {"left wing": {"outside": plies, "core": {"core": "pvc-80", "thickness": "20 mm"}, "inside": plies}, "right wing": {"outside": plies * 6}}})
    sheet = build_sheet(part, Catalogue.starter())
    assert not sheet.not_computed
    assert "No load of the brief stands on zone right wing" in text_of(sheet.section("checks"))
    assert "a solid laminate" in text_of(sheet.section("layup"))


def test_the_feed_plan_tells_the_fill_of_the_real_surface():
    sheet = changed_sheet("fen_punt", PASSES)
    words = [block.words for block in sheet.section("feed").blocks if isinstance(block, Text)]
    assert any(text.startswith("The real surface") and "no dry spot" in text for text in words)
    assert any("dry spot" in check.what for check in sheet.checks)
