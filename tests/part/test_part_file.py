"""Part files: what is refused, in which words, and that nothing on disk is lost."""

from __future__ import annotations

import json
import shutil

import pytest
from filelock import FileLock
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import CompositeKitError, PartFileError, StaleRevision
from compositekit.part import PartFile, demo_parts, open_part, set_current_part
from compositekit.part.decision import changes_since, state
from compositekit.part.folders import DEMO, current_part
from compositekit.units import Q_, parse, write


@pytest.fixture
def punt(tmp_path):
    """The punt's part file copied where a test may write."""
    shutil.copytree(DEMO / "fen_punt", tmp_path / "fen_punt")
    return tmp_path / "fen_punt" / "part.json"


@pytest.mark.parametrize("name", demo_parts())
def test_a_demo_part_reads_and_writes_back_the_same(name):
    part = open_part(name).part
    assert part.invented, "demo parts say that they are invented"
    assert type(part).from_plain(json.loads(part.to_json())) == part


def test_there_are_three_demo_parts_each_with_a_readme_saying_invented():
    assert demo_parts() == ("fen_punt", "locker_lid", "shelter_roof")
    for name in demo_parts():
        assert "invented" in (DEMO / name / "README.md").read_text("utf-8").lower()


BAD = [  # path in the part file, value put there, words the error must hold
    ("brief.mass_target", "34 stoens", ["brief.mass_target", 'the unit "stoens" is not known']),
    ("brief.mass_target", "34 mm", ["brief.mass_target", "wants a mass (kg) but came as 34.0 mm"]),
    ("brief.mass_target", "34", ["brief.mass_target", '"34" has no unit', '"34 kg"']),
    ("brief.mass_target", "-34 kg", ["brief.mass_target", "-34.0 kg", "must be above 0 kg"]),
    ("layup.bottom.core.thickness", "0 mm", ["layup.bottom.core.thickness", "must be above 0 m"]),
    ("layup.bottom.core.thickness", 10, ["layup.bottom.core.thickness", 'like "6 mm"']),
    ("layup.bottom.outside", [], ["layup.bottom.outside", "at least 1 item"]),
    ("layup.bottom.inside", [], ["layup.bottom", "needs plies on the inside too"]),
    ("brief.deflection_share", "1.2", ["brief.deflection_share", "from 0.0001 to 0.05"]),
    ("brief.deflection_share", "0", ["brief.deflection_share", "from 0.0001 to 0.05"]),
    ("brief.deflection_share", "1/19", ["brief.deflection_share", "from 0.0001 to 0.05"]),
    ("brief.strength_factor", "0.9", ["brief.strength_factor", "at least 1"]),
    ("brief.loads.0.factor", "0.5", ["brief.loads.0.factor", "at least 1"]),
    ("workshop.altitude", "10 km", ["workshop.altitude", "from -400 to 6000 m"]),
    ("workshop.altitude", "-500 m", ["workshop.altitude", "from -400 to 6000 m"]),
    ("workshop.relative_humidity", "120 %", ["workshop.relative_humidity", "from 0 to 1"]),
    ("workshop.temperature", "20 m", ["workshop.temperature", "a temperature"]),
    ("workshop.temprature", "20 degC", ["workshop.temprature", "no such field"]),
    ("feed.layout", "spiral", ["feed.layout", "'centre line'"]),
    ("brief.loads.0.force", None, ["brief.loads.0", "needs either a pressure or a force"]),
    ("brief.person_mass", "1,200 kg", ["brief.person_mass", "could be read two ways"]),
]


@pytest.mark.parametrize("path, value, words", BAD, ids=[f"{p}={v}" for p, v, _ in BAD])
def test_a_bad_field_is_named_with_its_value_and_remedy(punt, path, value, words):
    part = PartFile.read(punt).part
    with pytest.raises(PartFileError) as caught:
        part.changed({path: value})
    for word in words:
        assert word in str(caught.value)


def test_a_path_that_does_not_exist_is_refused(punt):
    with pytest.raises(PartFileError, match=r'no field "layup.keel.core.thickness"'):
        PartFile.read(punt).part.changed({"layup.keel.core.thickness": "10 mm"})


BROKEN = [  # what is done to the text, words the error must hold
    (lambda t: t[: len(t) // 2], ["line", "column", "not changed"]),
    (lambda t: t.replace('"revision": 0,', '"revision": 0'), ["line 7", "delimiter", "not changed"]),
    (lambda t: t.replace('"36 kg"', "NaN"), ["NaN is not a number", "not changed"]),
    (lambda t: "", ["line 1", "not changed"]),
    (lambda t: "[1, 2]", ['should start with "{"']),
    (lambda t: t.replace('"basalt-twill-300"', '"basalt-twil-300"', 1), ["layup.bottom.outside[0].fabric", "basalt-twil-300", "basalt-twill-300"]),
    (lambda t: t.replace('"zone": "bottom"', '"zone": "botom"', 1), ['there is no zone "botom"']),
    (lambda t: t.replace('"x": "2.7 m"', '"x": "1.7 m"'), ["shape", "1.7", "1.8"]),
    (lambda t: t.replace('"side": ["chine", "gunwale"]', '"side": ["keel", "gunwale"]'), ["shape", "bottom", "side"]),
    (lambda t: t.replace(', "side": ["chine", "gunwale"]', ""), ['from line "chine" to line "gunwale" belongs to no zone']),
    (lambda t: t.replace('"title"', '"titel"'), ["titel: there is no such field", "title: this field is missing"]),
]


@pytest.mark.parametrize("break_it, words", BROKEN, ids=range(len(BROKEN)))
def test_a_broken_file_says_where_and_stays_as_it_was(punt, break_it, words):
    text = break_it(punt.read_text("utf-8"))
    punt.write_text(text, "utf-8")
    with pytest.raises(CompositeKitError) as caught:
        PartFile.read(punt)
    for word in words:
        assert word in str(caught.value)
    assert punt.read_text("utf-8") == text


def test_a_missing_file_says_so(tmp_path):
    with pytest.raises(PartFileError, match="there is no part file"):
        PartFile.read(tmp_path / "nowhere.json")


def test_recording_changes_the_part_and_keeps_the_previous_save(punt):
    file = PartFile.read(punt)
    before = punt.read_text("utf-8")
    file.record(subject="core of the bottom", choice="15 mm", reason="deflection", who="test",
                rests_on=["layup.bottom.core.thickness", "brief.mass_target"], changes={"layup.bottom.core.thickness": "15 mm"})
    again = PartFile.read(punt)
    assert again.part.revision == 1
    assert again.part.layup["bottom"].core.thickness == Q_(15, "mm")
    assert punt.with_suffix(".previous.json").read_text("utf-8") == before
    assert [changes for _, changes in again.standing()] == [()]


def test_a_decision_goes_stale_and_names_old_and_new(punt):
    file = PartFile.read(punt)
    file.record(subject="s", choice="c", reason="r", who="w", rests_on=["layup.bottom.core.thickness", "catalogue.core.pet-recycled-100.density"])
    file.save(file.part.changed({"layup.bottom.core.thickness": "15 mm"}))
    [(_, [change])] = file.standing()
    assert change.sentence() == "layup bottom core thickness was 10 mm, is now 15 mm"


def test_a_change_deep_in_a_sub_tree_is_named_leaf_by_leaf(punt):
    file = PartFile.read(punt)
    decision = file.record(subject="s", choice="c", reason="r", who="w", rests_on=["layup.bottom", "brief.loads"])
    file.save(file.part.changed({"layup.bottom.core.thickness": "15 mm", "layup.bottom.inside": [{"fabric": "basalt-twill-300"}] * 2, "brief.loads.0.factor": "3"}))
    said = [change.sentence() for change in changes_since(file.part.decisions[0], file.part, file.catalogue)]
    assert said == ["layup bottom core thickness was 10 mm, is now 15 mm", "layup bottom inside was 1 entries, is now 2 entries", "brief loads 1 factor was 2, is now 3"]
    assert decision.subject == "s"


def test_a_newer_decision_on_the_same_subject_replaces_the_old_one(punt):
    file = PartFile.read(punt)
    for thickness in ("15 mm", "20 mm"):
        file.record(subject="core", choice=thickness, reason="r", who="w", rests_on=["layup.bottom.core.thickness"],
                    changes={"layup.bottom.core.thickness": thickness})
    old, new = file.part.decisions
    assert state(old, file.part, file.catalogue).startswith("replaced on ") and state(new, file.part, file.catalogue) == "stands"
    assert [decision.choice for decision, _ in file.standing()] == ["20 mm"]


def test_a_decision_without_reason_or_name_is_refused_and_nothing_is_saved(punt):
    before = punt.read_text("utf-8")
    with pytest.raises(PartFileError, match="say why and say who decided"):
        PartFile.read(punt).record(subject="s", choice="c", reason=" ", who="")
    assert punt.read_text("utf-8") == before


def test_an_old_revision_is_told_so_and_its_text_is_kept(punt):
    first, second = PartFile.read(punt), PartFile.read(punt)
    first.save(first.part.changed({"title": "first"}))
    with pytest.raises(StaleRevision, match="is at revision 1, but yours started from revision 0"):
        second.save(second.part.changed({"title": "second"}))
    assert PartFile.read(punt).part.title == "first"
    [kept] = punt.parent.glob("part.unsaved-*.json")
    assert json.loads(kept.read_text("utf-8"))["title"] == "second"


def test_a_locked_file_is_not_written(punt, monkeypatch):
    monkeypatch.setattr("compositekit.part.file.LOCK_WAIT", 0.05)
    file, before = PartFile.read(punt), punt.read_text("utf-8")
    with FileLock(f"{punt}.lock"), pytest.raises(PartFileError, match="being written by another notebook"):
        file.save(file.part.changed({"title": "x"}))
    assert punt.read_text("utf-8") == before


def test_a_save_that_fails_half_way_leaves_the_old_file(punt, monkeypatch):
    file, before = PartFile.read(punt), punt.read_text("utf-8")

    def fail(*_):
        raise OSError("disk full")

    monkeypatch.setattr("compositekit.part.file.os.replace", fail)
    with pytest.raises(OSError, match="disk full"):
        file.save(file.part.changed({"title": "x"}))
    assert punt.read_text("utf-8") == before
    assert not list(punt.parent.glob(".part.json*.part"))


def test_a_demo_part_is_never_written_to(monkeypatch, tmp_path):
    monkeypatch.setenv("COMPOSITEKIT_PARTS", str(tmp_path))
    before = (DEMO / "fen_punt" / "part.json").read_text("utf-8")
    file = open_part("fen_punt")
    file.save(file.part.changed({"title": "ours"}))
    assert (DEMO / "fen_punt" / "part.json").read_text("utf-8") == before
    assert open_part("fen_punt").part.title == "ours"
    assert (tmp_path / "fen_punt" / "trial_front.csv").exists(), "its tables come along"


def test_the_current_part_is_chosen_once_for_all_pages(monkeypatch, tmp_path):
    monkeypatch.setenv("COMPOSITEKIT_PARTS", str(tmp_path))
    monkeypatch.delenv("COMPOSITEKIT_PART", raising=False)
    assert current_part() == "fen_punt"
    set_current_part("locker_lid")
    assert open_part().part.name == "locker_lid"
    with pytest.raises(PartFileError, match=r'no part "lid".*locker_lid'):
        set_current_part("lid")


@settings(max_examples=100)
@given(value=st.floats(1e-6, 1e6), unit=st.sampled_from(["mm", "m", "inch"]))
def test_what_is_written_reads_back(value, unit):
    quantity = Q_(value, unit)
    assert parse(write(quantity), "m").m_as("m") == pytest.approx(quantity.m_as("m"), rel=1e-11)


@settings(max_examples=100)
@given(text=st.text(max_size=12))
def test_any_text_gives_a_quantity_or_our_own_error(text):
    try:
        parse(text, "m > 0", "here")
    except CompositeKitError as err:
        assert "here" in str(err)
