"""Tables of readings that lie beside a part file: read whole, or refused with file, line and column named."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd

from ..errors import PartFileError
from ..units import Q_

FRONT = {"time_min": 0.0, "distance_mm": 0.0}    # least value of a number column; None for a column of words
STRIPS = {"strip": None, "width_mm": 1.0, "thickness_mm": 0.1, "span_mm": 1.0, "load_span_mm": 0.0, "load_N": 0.0,
          "deflection_mm": 0.0}
LEAST_FRONT = 3     # two readings make a line, the third shows whether it is one
LEAST_LOADS = 2     # per strip and span


class FrontLog(NamedTuple):
    """Readings of the flow front, times rising."""

    times: Q_
    distances: Q_


def read_front(path) -> FrontLog:
    """Readings of the flow front from a CSV file with columns time_min and distance_mm.

    path  where the file lies
    Returns a FrontLog. Raises PartFileError naming file, line and column.
    """
    frame = read_table(path, FRONT, LEAST_FRONT)
    return _front(frame["time_min"], frame["distance_mm"], [f'"{Path(path).name}", line {line}' for line in frame.index])


def front_from_text(text: str, least: int = LEAST_FRONT) -> FrontLog:
    """Readings of the flow front as jotted down: ``5 120, 10 180`` is 120 mm after 5 min, 180 mm after 10 min.

    text   pairs of minutes and millimetres, the pairs parted by commas, semicolons or new lines
    least  how many readings are needed
    Returns a FrontLog. Raises PartFileError naming the pair at fault.
    """
    pairs = [pair.strip() for pair in re.split(r"[,;\n]", str(text)) if pair.strip()]
    places = [f'reading {number} ("{pair}")' for number, pair in enumerate(pairs, start=1)]
    readings = []
    for place, pair in zip(places, pairs, strict=True):
        words = pair.split()
        if len(words) != 2:
            raise PartFileError(f'{place}: {len(words)} figure{"" if len(words) == 1 else "s"}, but minutes and millimetres are wanted, '
                                'parted by a blank: "5 120". Part the readings by commas, and write decimals with a point.')
        readings.append([_number(word, place, unit, 0.0) for word, unit in zip(words, ("minutes", "millimetres"), strict=True)])
    if len(readings) < least:
        raise PartFileError(f'{len(readings)} reading{"" if len(readings) == 1 else "s"} of the front, but at least {least} are needed '
                            'to draw a line: write them like "5 120, 10 180, 20 260".')
    times, distances = np.array(readings).T
    return _front(times, distances, places)


def read_strips(path) -> pd.DataFrame:
    """Load against deflection of test strips from a CSV file with the columns of STRIPS.

    path  where the file lies
    Returns a table with those columns. Raises PartFileError naming file, line and column, also where a strip has
    fewer than two loads on a span.
    """
    frame = read_table(path, STRIPS, LEAST_LOADS)
    for (strip, span, load_span), rows in frame.groupby(["strip", "span_mm", "load_span_mm"]):
        if rows["load_N"].nunique() < LEAST_LOADS:
            raise PartFileError(f'"{Path(path).name}", line {rows.index[0]}: strip {strip} has one load only on span {span:g} mm '
                                f"(load span {load_span:g} mm); a slope needs at least {LEAST_LOADS} different loads.")
    return frame


def read_table(path, columns: dict[str, float | None], least: int = 2) -> pd.DataFrame:
    """A table of readings from a CSV file; lines that begin with # are remarks, further columns are left alone.

    path     where the file lies
    columns  name of each wanted column with its least value, None for words
    least    how many rows are needed
    Returns a table indexed by the line in the file. Raises PartFileError.
    """
    name = Path(path).name
    head, rows = _cells(Path(path), name)
    lost = [column for column in columns if column not in head]
    if lost:
        hint = " The cells are parted by semicolons: save it with commas, and with points in decimals." if ";" in "".join(head) else ""
        raise PartFileError(f'"{name}" has no column {" and no column ".join(lost)}; its first line names {", ".join(head)}.{hint}')
    for line, cells in rows.items():
        if len(cells) != len(head):
            raise PartFileError(f'"{name}", line {line}: {len(cells)} cells under {len(head)} headings. A decimal comma cuts a '
                                "number in two: write 1.5 and not 1,5; otherwise a comma is missing or too many.")
    if len(rows) < least:
        raise PartFileError(f'"{name}" has {len(rows)} row{"" if len(rows) == 1 else "s"} of readings; at least {least} are needed.')
    frame = pd.DataFrame.from_dict(rows, orient="index", columns=head)[list(columns)]
    for column, low in columns.items():
        frame[column] = [_text(cell, f'"{name}", line {line}, column {column}') if low is None else
                         _number(cell, f'"{name}", line {line}, column {column}', "", low)
                         for line, cell in frame[column].items()]
    return frame


def _cells(path, name):
    """Headings, and the cells of each row by its line in the file."""
    try:
        text = path.read_text("utf-8-sig")
    except FileNotFoundError:
        raise PartFileError(f'there is no table "{name}" beside the part file; put it there, or take its name out of the trial.') from None
    except (OSError, UnicodeDecodeError) as err:
        raise PartFileError(f'"{name}" cannot be read as a table of text ({type(err).__name__}); save it as CSV in UTF-8.') from err
    lines = {number: line for number, line in enumerate(text.splitlines(), start=1) if line.strip() and not line.lstrip().startswith("#")}
    if not lines:
        raise PartFileError(f'"{name}" is empty: the first line should name the columns, the readings come below.')
    parsed = [[cell.strip() for cell in cells] for cells in csv.reader(lines.values(), skipinitialspace=True)]
    table = {line: cells for line, cells in zip(lines, parsed, strict=False) if any(cells)}
    first = next(iter(table), None)
    if first is None:
        raise PartFileError(f'"{name}" holds nothing but commas: the first line should name the columns.')
    return table.pop(first), table


def _text(cell, place):
    if not cell:
        raise PartFileError(f"{place}: the cell is empty; give the strip a name.")
    return cell


def _number(cell, place, unit, low):
    unit = f" {unit}" if unit else ""
    try:
        value = float(cell)
    except ValueError:
        if re.fullmatch(r"[+-]?\d+,\d+", cell):
            raise PartFileError(f'{place}: "{cell}" has a decimal comma; write {cell.replace(",", ".")}.') from None
        what = f'"{cell}" is not a number' if cell else "the cell is empty"
        raise PartFileError(f"{place}: {what}; write a plain figure{unit and ' of' + unit}, without its unit.") from None
    if not np.isfinite(value):
        raise PartFileError(f'{place}: "{cell}" is not a figure that can be measured.')
    if value < low:
        raise PartFileError(f"{place}: {value:g}{unit} is below {low:g}, which it cannot be.")
    return value


def _front(times, distances, places):
    times, distances = np.asarray(times, dtype=float), np.asarray(distances, dtype=float)
    for number in range(1, len(times)):
        if times[number] <= times[number - 1]:
            raise PartFileError(f"{places[number]}: the time goes from {times[number - 1]:g} to {times[number]:g} min; "
                                "a clock runs forward only, so sort the readings or mend the slip.")
        if distances[number] < distances[number - 1]:
            raise PartFileError(f"{places[number]}: the front goes back from {distances[number - 1]:g} to {distances[number]:g} mm; "
                                "resin does not run back, so mend the slip.")
    return FrontLog(Q_(times, "min"), Q_(distances, "mm"))
