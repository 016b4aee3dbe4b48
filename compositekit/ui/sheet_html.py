"""A build sheet as one printable HTML file: no script, no link, every picture inside."""

from __future__ import annotations

import base64
import html
from functools import singledispatch

from ..studies.sheet import Blanks, BuildSheet, Items, Picture, Section, Table, Text

CSS = """
.cks {font: 15px/1.45 "DejaVu Sans", Verdana, sans-serif; color: #1c1c1c; background: #fff; max-width: 190mm; margin: 0 auto; padding: 8px 16px}
.cks h1 {font-size: 26px; line-height: 1.2; margin: 0 0 2px}
.cks h2 {font-size: 18px; margin: 26px 0 6px; padding-top: 6px; border-top: 3px solid #1c1c1c}
.cks p {margin: 6px 0}
.cks .cks-under {color: #444; margin: 0 0 8px}
.cks .cks-loud {font-size: 23px; line-height: 1.25; font-weight: 700; border: 4px solid #1c1c1c; padding: 10px 14px; margin: 10px 0}
.cks table {border-collapse: collapse; width: 100%; margin: 10px 0 14px; font-size: 13px; line-height: 1.35}
.cks caption {text-align: left; font-weight: 700; padding: 0 0 3px}
.cks th, .cks td {text-align: left; vertical-align: top; padding: 3px 8px 3px 0; border-bottom: 1px solid #bbb; font-weight: 400;
  overflow-wrap: break-word}
.cks thead th {border-bottom: 2px solid #1c1c1c; font-weight: 700; vertical-align: bottom}
.cks .cks-figure {text-align: right}
.cks td.cks-figure {white-space: nowrap}
.cks td.cks-figure.cks-long {white-space: normal}
.cks tr.cks-fails > th, .cks .cks-fail {font-weight: 700}
.cks tr.cks-fails > :first-child {border-left: 6px solid #1c1c1c; padding-left: 6px}
.cks ul {margin: 6px 0 10px; padding-left: 20px}
.cks li {margin: 3px 0}
.cks ul.cks-care {list-style: none; padding-left: 0}
.cks ul.cks-care li {border-left: 5px double #8c2510; padding: 2px 0 2px 10px; margin: 6px 0}
.cks img {display: block; max-width: 100%; height: auto; margin: 8px 0}
.cks .cks-blank {display: flex; gap: 12px; align-items: flex-end; min-height: 42px}
.cks .cks-blank span:last-child {flex: 1; border-bottom: 1px solid #1c1c1c}
"""
PRINT = """
@page {size: A4; margin: 14mm}
@media print {
  .cks {max-width: none; padding: 0; font-size: 10.5pt}
  .cks table {font-size: 9pt}
  .cks thead {display: table-header-group}
  .cks tr, .cks li, .cks img, .cks .cks-loud, .cks .cks-blank {break-inside: avoid}
  .cks table.cks-short {break-inside: avoid}
  .cks h2, .cks caption {break-after: avoid}
}
"""
SHORT = 14   # rows; a longer table may break between rows, its head is repeated
LONG = 18    # letters; a figure longer than this is a sentence and may wrap
CARE = "Take care: "


def page(sheet: BuildSheet) -> str:
    """The whole file."""
    title = html.escape(f"Build sheet: {sheet.title}")
    return (f'<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
            f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>{title}</title>\n'
            f"<style>{CSS}{PRINT}</style>\n</head>\n<body>\n{body(sheet)}\n</body>\n</html>\n")


def body(sheet: BuildSheet) -> str:
    """The sheet without the file around it; its style is CSS."""
    parts = [f'<header><h1>{html.escape(sheet.title)}</h1><p class="cks-under">{html.escape(under(sheet))}</p></header>']
    parts += [_section(section) for section in sheet.sections]
    return '<main class="cks">\n' + "\n".join(parts) + "\n</main>"


def under(sheet: BuildSheet) -> str:
    """The line under the title: which part, which revision, decided when."""
    return f"Build sheet of part {sheet.part_name}, revision {sheet.revision}; {sheet.decided}"


def _section(section: Section):
    name = f"sheet-{section.key}"
    blocks = "\n".join(_block(block) for block in section.blocks)
    return f'<section aria-labelledby="{name}"><h2 id="{name}">{html.escape(section.heading)}</h2>\n{blocks}</section>'


@singledispatch
def _block(block):
    raise TypeError(f"a sheet holds no {type(block).__name__}")


@_block.register
def _text(block: Text):
    return f'<p class="cks-loud">{html.escape(block.words)}</p>' if block.loud else f"<p>{html.escape(block.words)}</p>"


@_block.register
def _items(block: Items):
    if block.caution:
        return f'<ul class="cks-care">{"".join(f"<li><strong>{CARE}</strong>{html.escape(item)}</li>" for item in block.items)}</ul>'
    return f'<ul>{"".join(f"<li>{html.escape(item)}</li>" for item in block.items)}</ul>'


@_block.register
def _table(block: Table):
    head = "".join(f'<th scope="col"{_figure(block, n)}>{html.escape(text)}</th>' for n, text in enumerate(block.heads))
    rows = "".join(_row(block, row) for row in block.rows)
    short = ' class="cks-short"' if len(block.rows) <= SHORT else ""
    return (f"<table{short}><caption>{html.escape(block.caption)}</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>")


def _row(block, row):
    style = ' class="cks-fails"' if fails(row) else ""
    cells = "".join(f"<td{_figure(block, n, text)}>{html.escape(text)}</td>" for n, text in enumerate(row[1:], start=1))
    return f'<tr{style}><th scope="row">{html.escape(row[0])}</th>{cells}</tr>'


def fails(row) -> bool:
    """Whether a row says of something that it fails or no longer stands."""
    return any(map(fault, row))


def fault(cell) -> bool:
    """Whether this cell is what says so."""
    return cell.startswith(("FAILS", "STALE", "SINKS"))


def _figure(block, column, text=""):
    styles = ["cks-figure"] * (column in block.figures) + ["cks-long"] * (len(text) > LONG) + ["cks-fail"] * fault(text)
    return f' class="{" ".join(styles)}"' if styles else ""


@_block.register
def _blanks(block: Blanks):
    return "".join(f'<p class="cks-blank"><span>{html.escape(label)}</span><span></span></p>' for label in block.labels)


@_block.register
def _picture(block: Picture):
    data = base64.b64encode(block.png).decode()
    return f'<img style="width: {block.width:.0%}" alt="{html.escape(block.alt)}" src="data:image/png;base64,{data}">'
