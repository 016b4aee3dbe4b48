"""Checks, working and rows as accessible HTML tables: a caption, headed rows and columns, everything escaped."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping

import numpy as np

from ..studies.findings import SLIM, Check, Step
from ..units import say

HOLDS, CLOSE, FAILS = "✓", "~", "✗"     # a mark and words carry the verdict; colour only helps

SHOWN = 70      # letters of a source that are shown unopened

CSS = """<style>
.ck-page {line-height: 1.4; font-size: 14px; overflow-x: auto}
.ck-page table.ck {border-collapse: collapse; margin: 8px 0; font-size: 13px; white-space: normal}
.ck-page table.ck caption {text-align: left; font-weight: 600; padding: 2px 0}
.ck-page table.ck th, .ck-page table.ck td {text-align: left; vertical-align: top; padding: 3px 10px 3px 0;
  border-bottom: 1px solid var(--jp-border-color2, #ccc)}
.ck-page table.ck td.ck-number {text-align: right; white-space: nowrap}
.ck-page table.ck td.ck-holds, .ck-page table.ck td.ck-close, .ck-page table.ck td.ck-fails {border-left: 4px solid;
  padding-left: 8px; min-width: 13em}
.ck-page table.ck td.ck-holds {border-left-color: #156b55}
.ck-page table.ck td.ck-close {border-left-color: #b8860b}
.ck-page table.ck td.ck-fails {border-left-color: #8c2510; font-weight: 600}
.ck-page .ck-remedy {font-weight: 400}
.ck-page details.ck-source summary {cursor: pointer}
.ck-page .ck-source {font-weight: 400; color: var(--jp-ui-font-color2, #555); font-size: 12px}
.ck-page .ck-headline {font-weight: 600; margin: 0 0 4px}
.ck-page .ck-stop {border: 2px solid #8c2510; padding: 6px 10px; margin: 6px 0}
.ck-page .ck-caution {border-left: 4px double #8c2510; padding: 4px 10px; margin: 6px 0}
.ck-page img {max-width: 100%; height: auto; background: #fff}
.ck-page img.ck-old {opacity: 0.3}
.ck-controls .widget-inline-hbox {flex-wrap: wrap; height: auto}
.ck-controls .widget-inline-hbox > .widget-label {flex: 0 0 100%; max-width: 100%; text-align: left;
  height: auto; line-height: 1.3; white-space: normal}
.ck-controls .widget-dropdown > select {flex: 1 1 100%}
</style>"""


def show(value, unit: str | None = None, digits: int = 3) -> str:
    """Any cell as escaped text: quantities and numbers to three digits, arrays as a range, None as a dash."""
    magnitude = getattr(value, "magnitude", value)
    if value is None:
        return "–"
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(magnitude, (list, tuple, np.ndarray)) and np.ndim(magnitude):
        return _many(value, unit, digits)
    if isinstance(magnitude, (int, float, np.number, np.ndarray)):
        return html.escape(say(value, unit, digits))
    return html.escape(str(value))


def _many(values, unit, digits):
    flat = np.ravel(values) if not hasattr(values, "units") else values.flatten()
    if len(flat) <= 4:
        return ", ".join(show(value, unit, digits) for value in flat)
    return f"{show(flat.min(), unit, digits)} to {show(flat.max(), unit, digits)}, {len(flat)} values"


def table(caption: str, heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """One table from ready cells (already escaped, or ``<td>`` cells); the first cell of a row names the row."""
    head = "".join(f'<th scope="col">{html.escape(text)}</th>' for text in heads)
    body = "".join(f"<tr>{_row(list(cells))}</tr>" for cells in rows)
    return (f'<table class="ck"><caption>{html.escape(caption)}</caption>'
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>")


def _row(cells):
    rest = "".join(cell if cell.startswith("<td") else f"<td>{cell}</td>" for cell in cells[1:])
    return f'<th scope="row">{cells[0]}</th>{rest}'


def mark(check: Check) -> tuple[str, str]:
    """The mark and the style name that go with a check's verdict."""
    if not check.passed:
        return FAILS, "ck-fails"
    spare = check.trim and "room to trim" in check.verdict
    return (CLOSE, "ck-close") if check.margin < SLIM or spare else (HOLDS, "ck-holds")


def checks(items: Iterable[Check], caption: str = "Checks") -> str:
    """What was checked, found and allowed, what is in hand, the verdict in words, and where the limit comes from."""
    rows = [_check(item) for item in items]
    return table(caption, ["what", "found", "limit", "in hand", "verdict, and where the limit comes from"], rows) if rows else ""


def _check(item):
    sign, style = mark(item)
    mend = f'<div class="ck-remedy">To mend it: {html.escape(item.remedy)}</div>' if item.remedy and not item.passed else ""
    return [html.escape(item.what), _number(html.escape(item.found)),
            _number(f"{html.escape(item.sense)} {show(item.limit)}"), _number(f"{item.margin:.0%}" if item.passed else show(None)),
            f'<td class="{style}">{sign} {html.escape(item.verdict)}{mend}{_folded(item.source)}</td>']


def working(steps: Iterable[Step], caption: str = "The working, step by step") -> str:
    """The relation, the numbers put in, the result and the source of every step."""
    rows = [[html.escape(step.what), f"<code>{html.escape(step.formula)}</code>",
             "<br>".join(f"{html.escape(name)} = {show(value)}" for name, value in step.inputs.items()),
             _number(show(step.result)), _source(step.source)] for step in steps]
    return table(caption, ["what", "relation", "put in", "result", "from"], rows) if rows else ""


def rows(items: Iterable[Mapping], caption: str, units: Mapping[str, str] | None = None, digits: int = 3) -> str:
    """A list of like records as a table; ``units`` names the unit to show a column in."""
    items, units = list(items), units or {}
    if not items:
        return ""
    heads = list(items[0])
    cells = [[_cell(item.get(head), units.get(head), digits) for head in heads] for item in items]
    return table(caption, heads, [[show(item.get(heads[0]), units.get(heads[0]), digits), *line[1:]]
                                  for item, line in zip(items, cells, strict=True)])


def _cell(value, unit, digits):
    text = show(value, unit, digits)
    return f"<td>{text}</td>" if isinstance(value, (str, bool, type(None))) else _number(text)


def bullets(items: Iterable[str], heading: str, style: str = "ck-note") -> str:
    """Sentences under a heading, e.g. cautions or guesses; nothing when there are none."""
    lines = "".join(f"<li>{html.escape(item)}</li>" for item in items)
    return f'<div class="{style}"><strong>{html.escape(heading)}</strong><ul>{lines}</ul></div>' if lines else ""


def _number(text):
    return f'<td class="ck-number">{text}</td>'


def _folded(text):
    """Where a limit comes from: its first words, and the whole when they are opened."""
    if len(text) <= SHOWN:
        return f'<div class="ck-source">from: {html.escape(text)}</div>' if text else ""
    start = text[:SHOWN].rsplit(" ", 1)[0]
    return f'<details class="ck-source"><summary>from: {html.escape(start)} …</summary>{html.escape(text)}</details>'


def _source(text):
    return f'<td class="ck-source">{html.escape(text)}</td>'
