"""Readings beside the part file: every fault is said with file, line and column (OWN cases only)."""

from __future__ import annotations

import pytest

from compositekit.errors import PartFileError
from compositekit.part.folders import DEMO
from compositekit.part.tables import STRIPS, front_from_text, read_front, read_strips

HEAD = "# invented\ntime_min,distance_mm\n"
STRIP_HEAD = ",".join(STRIPS) + "\n"

OWN_BAD_FRONT = [
    ("", ["front.csv", "empty"]),
    ("# only a remark\n\n", ["front.csv", "empty"]),
    (",,\n", ["front.csv", "nothing but commas"]),
    ("# x\nminutes,distance_mm\n1,2\n2,3\n3,4\n", ["no column time_min", "minutes, distance_mm"]),
    ("time_min;distance_mm\n1;2\n2;3\n3;4\n", ["semicolons"]),
    (HEAD + "1,62\n2,about 100\n4,148\n", ["line 4", "column distance_mm", "about 100", "not a number"]),
    (HEAD + "1,62\n2,\n4,148\n", ["line 4", "column distance_mm", "empty"]),
    (HEAD + '1,62\n"2,5",100\n4,148\n', ["line 4", "column time_min", "decimal comma", "2.5"]),
    (HEAD + "1,62\n2,5,100\n4,148\n", ["line 4", "3 cells under 2 headings", "decimal comma"]),
    (HEAD + "1,62\n4,100\n\n# a remark\n2,148\n", ["line 7", "from 4 to 2 min"]),
    (HEAD + "1,62\n4,100\n5,90\n", ["line 5", "goes back from 100 to 90 mm"]),
    (HEAD + "1,62\n2,-100\n4,148\n", ["line 4", "column distance_mm", "-100", "below 0"]),
    (HEAD + "1,62\n2,nan\n4,148\n", ["line 4", "column distance_mm", "nan"]),
    (HEAD + "1,62\n2,100\n", ["2 rows", "at least 3"]),
    (HEAD, ["0 rows"]),
]
OWN_BAD_STRIPS = [
    ("A,50,10,150,0,70,0.5\n", ["1 row ", "at least 2"]),
    ("A,50,10,150,0,70,0.5\nA,50,10,400,150,25,1.5\n", ["strip A", "one load only on span 150 mm"]),
    (",50,10,150,0,70,0.5\nA,50,10,150,0,80,1.5\n", ["line 2", "column strip", "empty"]),
    ("A,0,10,150,0,70,0.5\nA,50,10,150,0,80,1.5\n", ["line 2", "column width_mm", "below 1"]),
]
OWN_BAD_JOTTINGS = [
    ("", ["0 readings", "at least 3"]),
    ("5 120, 10 180", ["2 readings", "at least 3"]),
    ("5 120, 10 180, 20", ['reading 3 ("20")', "1 figure,"]),
    ("5 120, 10 far, 20 260", ['reading 2 ("10 far")', '"far" is not a number', "millimetres"]),
    ("5,5 120; 10 180; 20 260", ['reading 1 ("5")', "decimals with a point"]),
    ("5 120, 10 180, 8 260", ["reading 3", "from 10 to 8 min"]),
    ("5 -120, 10 180, 20 260", ["reading 1", "below 0"]),
    ("5 120 mm, 10 180, 20 260", ["reading 1", "3 figures"]),
]


def said(call, *arguments):
    with pytest.raises(PartFileError) as caught:
        call(*arguments)
    return str(caught.value)


@pytest.mark.parametrize(("text", "words"), OWN_BAD_FRONT, ids=[words[-1] for _, words in OWN_BAD_FRONT])
def test_a_bad_front_log_is_refused_by_place(tmp_path, text, words):
    path = tmp_path / "front.csv"
    path.write_text(text, "utf-8")
    told = said(read_front, path)
    assert all(word in told for word in ["front.csv", *words]), told


@pytest.mark.parametrize(("text", "words"), OWN_BAD_STRIPS, ids=[words[-1] for _, words in OWN_BAD_STRIPS])
def test_a_bad_strip_table_is_refused_by_place(tmp_path, text, words):
    path = tmp_path / "strips.csv"
    path.write_text(STRIP_HEAD + text, "utf-8")
    told = said(read_strips, path)
    assert all(word in told for word in words), told


@pytest.mark.parametrize(("text", "words"), OWN_BAD_JOTTINGS, ids=[text or "nothing" for text, _ in OWN_BAD_JOTTINGS])
def test_bad_jottings_get_a_sentence(text, words):
    told = said(front_from_text, text)
    assert all(word in told for word in words), told


def test_a_missing_or_unreadable_file_is_said_without_its_folder(tmp_path):
    told = said(read_front, tmp_path / "gone.csv")
    assert "gone.csv" in told and str(tmp_path) not in told
    (tmp_path / "odd.csv").write_bytes(b"\xff\xfe\x00time")
    assert "UTF-8" in said(read_front, tmp_path / "odd.csv")
    assert "cannot be read" in said(read_front, tmp_path)


@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["plain", "as a spreadsheet saves it"])
def test_a_good_log_is_read_with_its_units(tmp_path, mark):
    path = tmp_path / "front.csv"
    path.write_text(mark + "time_min, distance_mm, remark\r\n1, 62, start\r\n2, 100,\r\n4.5, 148,\r\n\r\n", "utf-8")
    log = read_front(path)
    assert log.times.m_as("s").tolist() == [60, 120, 270] and log.distances.m_as("m").tolist() == [0.062, 0.100, 0.148]


def test_jottings_may_be_parted_by_comma_semicolon_or_line():
    for text in ("5 120, 10 180, 20 260", "5 120;10 180;20 260;", "5 120\n10 180\n20 260\n"):
        log = front_from_text(text)
        assert log.times.m_as("min").tolist() == [5, 10, 20] and log.distances.m_as("mm").tolist() == [120, 180, 260]


@pytest.mark.parametrize("name", sorted(path.parent.name for path in DEMO.glob("*/part.json")))
def test_demo_tables_can_be_read(name):
    log, strips = read_front(DEMO / name / "trial_front.csv"), read_strips(DEMO / name / "trial_strips.csv")
    assert len(log.times) >= 3 and set(strips["strip"]) == {"A", "B", "C"}
