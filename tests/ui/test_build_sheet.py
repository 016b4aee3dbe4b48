"""The sheet as HTML and PDF: whole, well formed, safe against nasty text, and written where the part lies."""

from __future__ import annotations

import io
import re
from functools import cache
from html.parser import HTMLParser

import pytest
from pypdf import PdfReader

from compositekit.errors import PartFileError, RangeError
from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build_sheet import build_sheet
from compositekit.studies.sheet import Blanks, Items, Picture, Table, Text
from compositekit.ui import sheet_html, sheet_pdf
from compositekit.ui.build_sheet import BuildSheetPanel, sheet_of, write_sheet

VOID = {"meta", "img", "br", "hr", "link", "input"}
NASTY = '<b>&"\'</td></script> {x} %s'


class Reader(HTMLParser):
    """Checks that every tag is closed in order, and collects text, tags and attributes."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.words, self.faults = [], [], [], []
        self.feed(text)
        self.close()
        self.text = " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> at line {self.getpos()[0]}")

    def handle_data(self, data):
        if self.open[-1:] != ["style"]:
            self.words.append(data)


@cache
def demo_sheet(name):
    return sheet_of(open_part(DEMO / name / "part.json"))


@cache
def demo_pdf(name):
    return sheet_pdf.document(demo_sheet(name))


def words_of(sheet):
    """Every sentence and cell of a sheet."""
    for section in sheet.sections:
        yield section.heading
        for block in section.blocks:
            if isinstance(block, Text):
                yield block.words
            elif isinstance(block, Items):
                yield from block.items
            elif isinstance(block, Table):
                yield from (block.caption, *block.heads, *(cell for row in block.rows for cell in row))
            elif isinstance(block, Blanks):
                yield from block.labels


def squeezed(text):
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("name", demo_parts())
def test_html_is_well_formed_and_holds_every_word_of_the_sheet(name):
    sheet = demo_sheet(name)
    read = Reader(sheet_html.page(sheet))
    assert not read.faults and not read.open
    for words in words_of(sheet):
        assert " ".join(words.split()) in read.text


@pytest.mark.parametrize("name", demo_parts())
def test_html_stands_alone(name):
    text = sheet_html.page(demo_sheet(name))
    read = Reader(text)
    names = [tag for tag, _ in read.tags]
    assert not {"script", "link", "iframe", "a"} & set(names) and "@media print" in text and "A4" in text
    assert not re.findall(r"""(?:src|href)=["'](?!data:image/png;base64,)""", text) and "url(" not in text and "http" not in text
    assert ("html", {"lang": "en-GB"}) in read.tags and names.count("h1") == 1
    pictures = [attributes for tag, attributes in read.tags if tag == "img"]
    assert len(pictures) == 2 and all(len(picture["alt"]) > 40 for picture in pictures)
    assert names.count("caption") == names.count("table") and all("scope" in a for tag, a in read.tags if tag == "th")


@pytest.mark.parametrize("name", demo_parts())
def test_pdf_holds_every_word_of_the_sheet(name):
    sheet, reader = demo_sheet(name), PdfReader(io.BytesIO(demo_pdf(name)))
    pages = [page.extract_text() for page in reader.pages]
    whole = squeezed("".join(pages))
    for words in words_of(sheet):
        assert squeezed(words) in whole
    for number, page in enumerate(pages, start=1):
        assert f"page {number}" in page and f"revision {sheet.revision}" in page and sheet.part_name in page
    assert reader.metadata.title == f"Build sheet: {sheet.title}"
    assert sum(len(page.images) for page in reader.pages) == 2


def test_a_long_table_repeats_its_head():
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(demo_pdf("fen_punt"))).pages]
    assert sum("in hand verdict" in " ".join(page.split()) for page in pages) >= 2


def test_the_same_part_gives_the_same_bytes():
    file = open_part(DEMO / "locker_lid" / "part.json")
    assert sheet_html.page(sheet_of(file)) == sheet_html.page(demo_sheet("locker_lid"))
    assert sheet_pdf.document(sheet_of(file)) == demo_pdf("locker_lid")


def test_nasty_text_is_shown_as_text():
    file = open_part(DEMO / "locker_lid" / "part.json")
    loads = [{**load, "name": NASTY} for load in file.part._plain()["brief"]["loads"]]
    part = file.part.changed({"title": NASTY, "brief.purpose": NASTY, "brief.loads": loads, "fittings.0.name": NASTY, "decisions": [
        {"subject": NASTY, "choice": NASTY, "reason": NASTY, "who": NASTY, "when": "2026-05-01 10:00 UTC", "rests_on": {"resin": NASTY}}]})
    sheet = build_sheet(part, file.catalogue, file.folder)
    read = Reader(sheet_html.page(sheet))
    assert not read.faults and not read.open and not {"b", "script"} & {tag for tag, _ in read.tags}
    assert read.text.count(NASTY) >= 10
    printed = squeezed("".join(page.extract_text() for page in PdfReader(io.BytesIO(sheet_pdf.document(sheet))).pages))
    assert squeezed(NASTY) in printed


def test_pictures_follow_the_part():
    file = open_part(DEMO / "locker_lid" / "part.json")
    changed = file.part.changed({"layup.lid.core.thickness": "20 mm", "feed.layout": "centre line"})
    other = sheet_of(PartFile(file.path, changed, file.save_to, file.catalogue))
    for key in ("layup", "feed"):
        one, two = (next(b for b in sheet.section(key).blocks if isinstance(b, Picture)) for sheet in (demo_sheet("locker_lid"), other))
        assert one.png != two.png and one.alt != two.alt
    assert "20.0 mm of core" in two.alt or "20.0 mm of core" in next(b for b in other.section("layup").blocks if isinstance(b, Picture)).alt


def test_a_part_that_cannot_be_sized_still_makes_a_sheet():
    file = open_part(DEMO / "locker_lid" / "part.json")
    part = file.part.changed({"layup.lid.core.core": "pmi-75"})
    sheet = sheet_of(PartFile(file.path, part, file.save_to, file.catalogue))
    assert "DO NOT BUILD YET" in sheet_html.page(sheet) and sheet_pdf.document(sheet).startswith(b"%PDF")
    assert [block for block in sheet.blocks() if isinstance(block, Picture)]    # what is laid up, and how it is fed, is known


# --- the panel ---------------------------------------------------------------------------------

@pytest.fixture
def file(tmp_path):
    return PartFile.read(DEMO / "fen_punt" / "part.json", save_to=tmp_path / "fen_punt" / "part.json")


def test_buttons_write_beside_the_shops_copy_and_say_where(file):
    panel = BuildSheetPanel(file)
    for kind, start in (("html", b"<!DOCTYPE html>"), ("pdf", b"%PDF")):
        panel.buttons[kind].click()
        path = file.save_to.parent / f"build_sheet.{kind}"
        assert path.read_bytes().startswith(start)
        assert f"build_sheet.{kind}</a>" in panel.said.value and 'folder "fen_punt"' in panel.said.value
    assert [entry.name for entry in file.save_to.parent.iterdir() if entry.name.startswith(".")] == []
    assert not (DEMO / "fen_punt" / "build_sheet.html").exists()


def test_the_panel_shows_the_verdict_and_the_whole_sheet(file):
    panel = BuildSheetPanel(file)
    assert repr(panel) == f"BuildSheetPanel: {panel.headline}" and "checks fail" in panel.headline
    read = Reader(panel._page.value)
    assert not read.faults and "DO NOT BUILD YET" in read.text and panel.result.section("signatures").heading in read.text
    assert panel._repr_mimebundle_()["text/plain"] == repr(panel)


def test_gathering_again_sees_a_decision_of_another_page(file):
    panel = BuildSheetPanel(file)
    before = panel._page.value
    file.record(subject="core", choice="thicker bottom", reason="too floppy", who="Ada", changes={"layup.bottom.core.thickness": "20 mm"},
                rests_on=["layup.bottom"])
    panel.buttons["again"].click()
    assert panel._page.value != before and "thicker bottom" in panel._page.value and "revision 1" in repr(panel)


def test_one_line_writes_a_file(file, tmp_path):
    assert write_sheet(file, "pdf", tmp_path / "elsewhere").read_bytes().startswith(b"%PDF")
    assert write_sheet(file) == file.save_to.parent / "build_sheet.html"


def test_what_cannot_be_written_is_said_in_words(file, tmp_path):
    with pytest.raises(RangeError, match='as "html" or "pdf", not as "docx"'):
        write_sheet(file, "docx")
    blocked = tmp_path / "blocked"
    blocked.write_text("a file, not a folder")
    with pytest.raises(PartFileError, match="could not be written"):
        write_sheet(file, "html", blocked)
    file.save_to = blocked / "part.json"
    panel = BuildSheetPanel(file)
    panel.buttons["html"].click()
    assert 'role="alert"' in panel.said.value and "could not be written" in panel.said.value
