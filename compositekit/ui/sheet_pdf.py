"""A build sheet as a PDF; the same sheet gives the same bytes."""

from __future__ import annotations

import functools
import io
from functools import singledispatch
from pathlib import Path
from xml.sax.saxutils import escape

import matplotlib
import numpy as np
from PIL import Image as Raster
from reportlab.lib import colors
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import CondPageBreak, HRFlowable, Image, KeepTogether, Paragraph, SimpleDocTemplate, Spacer
from reportlab.platypus import Table as Grid

from ..studies.sheet import Blanks, BuildSheet, Items, Picture, Section, Table, Text
from . import sheet_html

PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"
MARGIN = 15 * mm
WIDTH = A4[0] - 2 * MARGIN - 12    # the frame keeps 6 points on each side
INK, GREY, CARE = colors.HexColor("#1c1c1c"), colors.HexColor("#bbbbbb"), colors.HexColor("#8c2510")

BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=9.5, leading=13, textColor=INK, spaceAfter=4)
SMALL = ParagraphStyle("cell", parent=BODY, fontSize=7.8, leading=10, spaceAfter=0)
STRONG = ParagraphStyle("strong", parent=SMALL, fontName=BOLD)
RIGHT = {style.name: ParagraphStyle(f"{style.name}-right", parent=style, alignment=TA_RIGHT) for style in (SMALL, STRONG)}
CAPTION = ParagraphStyle("caption", parent=BODY, fontName=BOLD, fontSize=9, leading=12, spaceBefore=6, spaceAfter=2)
TITLE = ParagraphStyle("title", parent=BODY, fontName=BOLD, fontSize=18, leading=22)
HEADING = ParagraphStyle("heading", parent=BODY, fontName=BOLD, fontSize=13, leading=16, spaceBefore=2, spaceAfter=4)
LOUD = ParagraphStyle("loud", parent=BODY, fontName=BOLD, fontSize=16, leading=20, borderWidth=2.5, borderColor=INK, borderPadding=8,
                      spaceBefore=12, spaceAfter=14, leftIndent=10, rightIndent=10)
ITEM = ParagraphStyle("item", parent=BODY, leftIndent=11, bulletIndent=1, spaceAfter=2)
CAUTION = ParagraphStyle("caution", parent=ITEM, leftIndent=9, borderPadding=(1, 1, 1, 7), borderColor=CARE, spaceAfter=5)


def document(sheet: BuildSheet) -> bytes:
    """The PDF's bytes."""
    _fonts()
    out = io.BytesIO()
    doc = SimpleDocTemplate(out, pagesize=A4, leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN, bottomMargin=18 * mm, invariant=1,
                            title=f"Build sheet: {sheet.title}", author="", lang="en-GB", subject=sheet_html.under(sheet))
    story = [Paragraph(escape(sheet.title), TITLE), Paragraph(escape(sheet_html.under(sheet)), BODY)]
    for section in sheet.sections:
        story += _section(section)
    foot = f"{sheet.title} ({sheet.part_name}), revision {sheet.revision}"
    number = functools.partial(_foot, foot)
    doc.build(story, onFirstPage=number, onLaterPages=number)
    return out.getvalue()


@functools.cache
def _fonts():
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    for name in (PLAIN, BOLD):
        pdfmetrics.registerFont(TTFont(name, folder / f"{name}.ttf"))
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)


def _foot(words, canvas, doc):
    canvas.saveState()
    canvas.setFont(PLAIN, 8)
    canvas.drawString(MARGIN, 10 * mm, words if len(words) < 100 else f"{words[:97]}...")
    canvas.drawRightString(A4[0] - MARGIN, 10 * mm, f"page {doc.page}")
    canvas.restoreState()


def _section(section: Section):
    first, *blocks = [_block(block) for block in section.blocks] or [[]]
    head = [Spacer(0, 8), HRFlowable(width="100%", thickness=1.6, color=INK, spaceAfter=3), Paragraph(escape(section.heading), HEADING)]
    return [CondPageBreak(45 * mm), KeepTogether([*head, *first[:1]]), *first[1:], *(piece for pieces in blocks for piece in pieces)]


@singledispatch
def _block(block):
    raise TypeError(f"a sheet holds no {type(block).__name__}")


@_block.register
def _text(block: Text):
    return [Paragraph(escape(block.words), LOUD if block.loud else BODY)]


@_block.register
def _items(block: Items):
    if block.caution:
        return [_caution(item) for item in block.items]
    return [Paragraph(escape(item), ITEM, bulletText="•") for item in block.items]


def _caution(item):
    bar = Grid([["", Paragraph(f"<b>{sheet_html.CARE}</b>{escape(item)}", BODY)]], colWidths=[4, WIDTH - 4])
    bar.setStyle([("LINEBEFORE", (0, 0), (0, -1), 2.5, CARE), ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 3)])
    return bar


@_block.register
def _table(block: Table):
    marked = [n for n, row in enumerate(block.rows, start=1) if sheet_html.fails(row)]
    cells = [_cells(block, block.heads, STRONG), *(_cells(block, row, SMALL) for row in block.rows)]
    grid = Grid(cells, colWidths=_widths(block), repeatRows=1)
    grid.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEBELOW", (0, 0), (-1, -1), 0.4, GREY), ("LINEBELOW", (0, 0), (-1, 0), 1.2, INK),
                   ("LEFTPADDING", (0, 0), (-1, -1), 2), ("RIGHTPADDING", (0, 0), (-1, -1), 5), ("TOPPADDING", (0, 0), (-1, -1), 1.5),
                   ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5), *(("LINEBEFORE", (0, n), (0, n), 3, INK) for n in marked)])
    caption = Paragraph(escape(block.caption), CAPTION)
    return [KeepTogether([caption, grid]), Spacer(0, 5)] if len(block.rows) <= sheet_html.SHORT else [CondPageBreak(35 * mm), caption, grid, Spacer(0, 5)]


def _cells(block, row, style):
    bold = [(n == 0 and sheet_html.fails(row)) or sheet_html.fault(text) for n, text in enumerate(row)]
    return [Paragraph(f"<b>{escape(text)}</b>" if strong else escape(text), RIGHT[style.name] if n in block.figures else style)
            for n, (text, strong) in enumerate(zip(row, bold, strict=True))]


def _widths(block):
    """Each column as wide as its longest word, and the rest shared by how much stands in it."""
    rows, columns = (block.heads, *block.rows), range(len(block.heads))
    words = np.array([max(_long(piece) for row in rows for piece in _unbroken(block, row, n)) + 8 for n in columns])
    full = np.array([max(_long(row[n]) for row in rows) + 8 for n in columns])
    if full.sum() <= WIDTH:
        return list(full + (WIDTH - full.sum()) * full / full.sum())
    if words.sum() >= WIDTH:
        return list(WIDTH * words / words.sum())
    want = np.clip(np.sqrt(full * 60) - words, 0, None)
    return list(words + (WIDTH - words.sum()) * (want / want.sum() if want.sum() else 1 / len(words)))


def _unbroken(block, row, column):
    """Pieces of a cell that stay on one line: a figure as a whole, a sentence word by word."""
    text = row[column]
    whole = column in block.figures and row is not block.heads and len(text) <= sheet_html.LONG
    return [text] if whole else text.split() or [""]


def _long(text):
    return pdfmetrics.stringWidth(text, BOLD, SMALL.fontSize)


@_block.register
def _blanks(block: Blanks):
    grid = Grid([[Paragraph(escape(label), BODY), ""] for label in block.labels], colWidths=[WIDTH * 0.45, WIDTH * 0.55], rowHeights=12 * mm)
    grid.setStyle([("LINEBELOW", (1, 0), (1, -1), 0.8, INK), ("VALIGN", (0, 0), (-1, -1), "BOTTOM")])
    return [KeepTogether([grid])]


@_block.register
def _picture(block: Picture):
    across, down = Raster.open(io.BytesIO(block.png)).size
    width = WIDTH * block.width
    return [Image(io.BytesIO(block.png), width=width, height=width * down / across), Paragraph(escape(block.alt), SMALL), Spacer(0, 4)]
