"""Read one CSV table row by row and refuse, by file, row and column, what cannot be used."""

from __future__ import annotations

import csv
import difflib
from math import isfinite
from pathlib import Path

from ..errors import CatalogueError
from . import columns


def read_rows(path) -> list[tuple[str, dict[str, str]]]:
    """Rows of a CSV file as (place, cells); the place reads ``cores.csv, row 2`` with the heading as row 1."""
    path = Path(path)
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = list(csv.reader(file))
    except FileNotFoundError:
        raise CatalogueError(f'There is no file "{path.name}" in the folder given; check the name.') from None
    except (OSError, UnicodeDecodeError, csv.Error) as err:
        raise CatalogueError(f"{path.name} cannot be read as a table ({err}); save it as CSV in UTF-8.") from None
    if not lines or not any(cell.strip() for cell in lines[0]):
        raise CatalogueError(f"{path.name} is empty; its first row must hold the column names, beginning with key.")
    heads = [cell.strip() for cell in lines[0]]
    if len(heads) == 1 and ";" in heads[0]:
        raise CatalogueError(f"{path.name} separates its columns by semicolons; save it with commas between columns "
                             "and a point in the numbers.")
    twice = {head for head in heads if heads.count(head) > 1}
    if twice:
        raise CatalogueError(f'{path.name} has the column "{sorted(twice)[0]}" twice; keep one.')
    rows = []
    for number, cells in enumerate(lines[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(heads):
            raise CatalogueError(f"{path.name}, row {number} has {len(cells)} cells under {len(heads)} column names; "
                                 "a comma inside a cell needs quotes round the cell.")
        rows.append((f"{path.name}, row {number}", dict(zip(heads, map(str.strip, cells), strict=True))))
    return rows


def read_row(table: str, place: str, cells: dict[str, str]) -> dict:
    """One checked row: words as they stand, numbers as floats or None, yes and no as True and False."""
    _known_columns(table, place, cells)
    for name in ("key", "source", *columns.NEEDED[table]):
        if not cells.get(name):
            raise CatalogueError(f"{place}: the column {name} is empty; {_why(name)}")
    row = {name: cells.get(name, "") for name in columns.WORDS[table]}
    for name, allowed in columns.CHOICES.items():
        if row.get(name) and row[name] not in allowed:
            raise CatalogueError(f'{place}, column {name}: "{row[name]}" is not one of {", ".join(allowed)}.')
    for name in columns.YES_OR_NO:
        if name in row:
            row[name] = row[name] == "yes" if row[name] else _UNSAID[name]
    for name in columns.numeric_columns(table):
        row[name] = _number(cells.get(name, ""), place, name)
    for name in columns.PROPERTIES[table]:
        _bounded(table, name, row, place)
    row["title"] = row["title"] or row["key"]
    return row


_UNSAID = {"hygroscopic": False, "structural": True, "infusible": True, "closed_cell": False, "contains_styrene": False}


def _why(name):
    if name == "source":
        return "write where the figures come from, such as the data sheet and its date."
    if name in ("key", "fibre", "direction", "boundary"):
        return "every row needs it."
    return "every row needs it; if your sheet does not say, copy it from the nearest starter row and note that in remark."


def _known_columns(table, place, cells):
    known = [*columns.WORDS[table], *columns.numeric_columns(table), "replaces", "table"]
    for name, text in cells.items():
        if name in known or ("table" in cells and not text):  # a file of several tables leaves cells open
            continue
        for stem in columns.PROPERTIES[table]:
            if name == stem or name in (f"{stem}_low", f"{stem}_high"):
                right = columns.column(table, stem, name.removeprefix(stem).strip("_"))
                raise CatalogueError(f'{place}: the column "{name}" does not say its unit; head it "{right}".')
        near = difflib.get_close_matches(name, known, n=2, cutoff=0.6)
        hint = f'did you mean {" or ".join(near)}?' if near else f'{table} know {", ".join(known)}.'
        raise CatalogueError(f'{place}: the column "{name}" is not known; {hint}')


def _number(text, place, name):
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        pass
    if "," in text:
        raise CatalogueError(f'{place}, column {name}: "{text}" has a comma in the number; '
                             f'write it with a point, like "{text.replace(",", ".")}".')
    raise CatalogueError(f'{place}, column {name}: "{text}" is not a plain number; the unit belongs in the heading only.')


def _bounded(table, name, row, place):
    heads = [columns.column(table, name, end) for end in ("low", "", "high")]
    values = [row[head] for head in heads]
    if all(value is None for value in values):
        return
    if values[1] is None:
        raise CatalogueError(f"{place}: {name} has an end of its range but no typical value; fill the column {heads[1]}.")
    factor, offset = columns.to_si(table, name)
    spec = columns.spec(table, name)
    for head, value in zip(heads, values, strict=True):
        if value is None:
            continue
        si = value * factor + offset
        if not (si > spec.low if spec.open_low else si >= spec.low) or not si <= spec.high or not isfinite(si):
            raise CatalogueError(f"{place}, column {head}: {value:g} cannot be; {_limits(spec, factor, offset)}.")
    low, typical, high = (values[1] if value is None else value for value in values)
    if not low <= typical <= high:
        raise CatalogueError(f"{place}: {name} must rise from low over typical to high, but reads "
                             f"{low:g}, {typical:g}, {high:g}.")


def _limits(spec, factor, offset):
    low, high = (spec.low - offset) / factor, (spec.high - offset) / factor
    if high == float("inf"):
        return f'it must be {"above" if spec.open_low else "at least"} {low:g}' if low > -float("inf") else "it must be a finite number"
    return f"it must lie from {low:g} to {high:g}"


def as_si(table: str, row: dict) -> tuple[dict[str, float | None], dict[str, tuple[float, float]]]:
    """Typical values of a checked row in SI, and the ends of every range that is known."""
    typical, spread = {}, {}
    for name in columns.PROPERTIES[table]:
        factor, offset = columns.to_si(table, name)
        low, middle, high = (row[columns.column(table, name, end)] for end in ("low", "", "high"))
        typical[name] = None if middle is None else middle * factor + offset
        if middle is not None and (low is not None or high is not None):
            spread[name] = tuple((middle if end is None else end) * factor + offset for end in (low, high))
    return typical, spread


