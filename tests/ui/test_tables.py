"""Tables: nothing by colour alone, everything escaped, headed for a screen reader."""

from __future__ import annotations

from html.parser import HTMLParser

import numpy as np
import pytest

from compositekit.studies.findings import Check, Step
from compositekit.ui import tables
from compositekit.units import Q_

OWN_MARKS = [    # value, trim, mark and a word of the verdict
    (50, False, "✓", "in hand"),
    (95, False, "~", "but only"),
    (130, False, "✗", "FAILS"),
    (30, True, "~", "room to trim"),
    (30, False, "✓", "in hand"),
]


class Shape(HTMLParser):
    """Counts what a screen reader leans on."""

    def __init__(self, text):
        super().__init__()
        self.opened, self.scopes, self.rows = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.opened.append(tag)
        if tag == "th":
            self.scopes.append(dict(attrs).get("scope"))
        if tag == "tr":
            self.rows.append(0)
        if tag in ("th", "td"):
            self.rows[-1] += 1


def check(value=50.0, trim=False):
    return Check("deflection <mid>", Q_(value, "mm"), Q_(100.0, "mm"), "at most", "brief & trade", "thicker core", trim)


@pytest.mark.parametrize(("value", "trim", "sign", "word"), OWN_MARKS)
def test_verdict_has_a_mark_and_words(value, trim, sign, word):
    text = tables.checks([check(value, trim)])
    assert f"{sign} " in text and word in text
    assert ("To mend it: thicker core" in text) == (sign == "✗")


@pytest.mark.parametrize(("value", "cell"), [(50.0, "50%"), (130.0, "–"), (1101.0, "–")])
def test_what_is_in_hand_is_a_dash_when_nothing_is(value, cell):
    assert f'<td class="ck-number">{cell}</td>' in tables.checks([check(value)]) and "-1001%" not in tables.checks([check(value)])


def test_tables_have_a_caption_scoped_heads_and_even_rows():
    step = Step("sag", "w = a<b", {"L": Q_(1.0, "m"), "n": 3}, Q_(50.0, "mm"), "invented")
    records = [{"core": "A<", "mass": Q_(1.2345, "kg"), "ok": True}, {"core": "B", "mass": Q_(2.0, "kg"), "ok": False}]
    for text in (tables.checks([check(), check(130.0)]), tables.working([step]), tables.rows(records, "Cores & masses")):
        shape = Shape(text)
        assert shape.opened.count("caption") == 1
        assert len(set(shape.rows)) == 1
        assert set(shape.scopes) == {"col", "row"}
        assert "<mid>" not in text and "a<b" not in text and "A<" not in text


def test_value_is_shown_in_the_unit_of_the_limit():
    text = tables.checks([Check("w", Q_(0.0123, "m"), Q_(20.0, "mm"), "at most", "brief")])
    assert "12.3 mm" in text and "at most 20.0 mm" in text


def test_rows_in_an_asked_unit():
    assert "1230 g" in tables.rows([{"core": "A", "mass": Q_(1.2345, "kg")}], "c", {"mass": "g"})


OWN_CELLS = [
    (None, "–"), (True, "yes"), (7, "7"), (0.0, "0"), (float("inf"), "inf"), ("<i>", "&lt;i&gt;"),
    (Q_(6.0, "mm"), "6.00 mm"), (Q_(20.0, "degC"), "20.0 °C"),
    (Q_(np.array([1.0, 2.0]), "mm"), "1.00 mm, 2.00 mm"),
    (Q_(np.arange(1.0, 9.0), "mm"), "1.00 mm to 8.00 mm, 8 values"),
    (np.float64(0.25), "0.250"), ([1.0, 2.0], "1.00, 2.00"),
]


@pytest.mark.parametrize(("value", "text"), OWN_CELLS)
def test_any_value_can_be_shown(value, text):
    assert tables.show(value) == text


def test_nothing_to_show_gives_nothing():
    assert tables.checks([]) == tables.working([]) == tables.rows([], "x") == tables.bullets([], "x") == ""


def test_a_long_source_is_folded_after_its_first_words_and_a_short_one_shown():
    long = "span/100 for shell laminates, as a class rule read on its web page says, the reading of it as a divisor being ours (read)"
    for source, folded in ((long, True), ("brief", False)):
        page = tables.checks([Check("sag", Q_(5, "mm"), Q_(7, "mm"), "at most", source)])
        assert source in page and ("<details" in page) is folded
