"""Every public signature: documented in the unit it checks, named as the glossary names it, and safe to misuse."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pint
import pytest
from public_walk import everything, valid_call

import compositekit
from compositekit.errors import CompositeKitError, RangeError, UnitError
from compositekit.units import Q_, Spec

WALK = everything()
GLOSSARY = Path(compositekit.__file__).parent / "glossary.csv"
walk = pytest.mark.parametrize("guarded", WALK, ids=lambda guarded: guarded.place)


@walk
def test_documented_units_are_the_checked_ones(guarded):
    told = guarded.documented()
    wrong = [f"{name}: text says [{told[name]}], checked is [{spec.unit}]" for name, spec in guarded.specs.items()
             if told.get(name, spec.unit) != spec.unit]
    if not guarded.is_record:    # results are records too, and read by name
        wrong += [f"{name}: no line `{name}  [{spec.unit}]  meaning`" for name, spec in guarded.specs.items()
                  if name not in told]
    assert not wrong, f"{guarded.place}:\n" + "\n".join(wrong)


@cache
def glossary():
    with GLOSSARY.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_glossary_is_whole():
    rows = glossary()
    assert list(rows[0]) == ["name", "symbol", "unit", "meaning"]
    names = [row["name"] for row in rows]
    assert names == sorted(set(names), key=str.lower), "names stand once each and in order"
    empty = [row["name"] for row in rows if not (row["name"] and row["unit"] and row["meaning"])]
    assert not empty, f"rows without unit or meaning: {empty}"
    for row in rows:
        for unit in row["unit"].split(" or "):
            assert Spec.of(unit).pint_unit is not None    # raises for a unit nobody knows


def test_every_argument_name_is_in_the_glossary_with_its_unit():
    known = {row["name"]: row["unit"].split(" or ") for row in glossary()}
    used = {}
    for guarded in WALK:
        for name, spec in guarded.specs.items():
            used.setdefault(name, {}).setdefault(spec.unit, guarded.place)
    missing = [f"{name},,{' or '.join(units)},  ({next(iter(units.values()))})"
               for name, units in sorted(used.items()) if name not in known]
    wrong = [f"{name}: glossary {known[name]}, used in [{unit}] by {place}" for name, units in sorted(used.items())
             if name in known for unit, place in units.items() if unit not in known[name]]
    assert not missing + wrong, "glossary.csv lacks:\n" + "\n".join(missing) + "\nor has another unit:\n" + "\n".join(wrong)


@walk
def test_a_valid_call_gives_an_answer(guarded):
    try:
        guarded.call(**valid_call(guarded))
    except (CompositeKitError, TypeError, KeyError, AttributeError) as err:
        pytest.fail(f"{guarded.place}: no valid call could be built; add a row to tests/valid_calls.py ({err})")


def refused(spec):
    """Inputs the boundary must refuse, and with what."""
    wrong_unit = Q_(1.0, "kg") if spec.unit != "kg" else Q_(1.0, "s")
    yield "NaN", Q_(np.nan, spec.pint_unit), RangeError
    yield "infinity", Q_(np.inf, spec.pint_unit), RangeError
    yield "NaN in an array", Q_(np.array([1.0, np.nan]), spec.pint_unit), RangeError
    yield "wrong unit", wrong_unit, UnitError
    yield "an empty array", Q_(np.array([]), spec.pint_unit), RangeError
    yield "text", "6 mm", UnitError
    yield "a truth value", True, UnitError
    if spec.unit != "1":
        yield "a bare number", 1.0, UnitError
    if spec.low >= 0:
        yield "a negative value", Q_(-1.0, spec.pint_unit), RangeError
    if spec.low > 0 or (spec.open_low and spec.low >= 0):
        yield "nought", Q_(0.0, spec.pint_unit), RangeError
    if np.isfinite(spec.high):
        yield "too much", Q_(spec.high * 2 + 1, spec.pint_unit), RangeError


def survived(spec):
    """Inputs that may give a number or one of our own errors, nothing else."""
    yield "nothing (None)", None
    if spec.low < 0:
        yield "a negative value", Q_(-1.0, spec.pint_unit)
    if spec.low < 0 or (spec.low == 0 and not spec.open_low):
        yield "nought", Q_(0.0, spec.pint_unit)
    if np.isfinite(spec.high):
        yield "the upper bound", Q_(spec.high, spec.pint_unit)


@walk
def test_what_the_boundary_must_refuse(guarded):
    faults = []
    for name, spec in guarded.specs.items():
        for what, value, error in refused(spec):
            try:
                guarded.call(**valid_call(guarded) | {name: value})
                faults.append(f"{name} = {what}: taken without a word")
            except error as err:
                if name not in str(err):
                    faults.append(f"{name} = {what}: the error does not name it: {err}")
            except Exception as err:
                faults.append(f"{name} = {what}: {type(err).__name__}: {err}")
    assert not faults, f"{guarded.place}:\n" + "\n".join(faults)


@walk
def test_odd_input_gives_a_number_or_our_own_error(guarded):
    faults = []
    for name, spec in guarded.specs.items():
        for what, value in survived(spec):
            try:
                if has_nan(guarded.call(**valid_call(guarded) | {name: value})):
                    faults.append(f"{name} = {what}: the answer holds NaN")
            except CompositeKitError:
                pass
            except Exception as err:    # warnings too: pytest makes them errors
                faults.append(f"{name} = {what}: {type(err).__name__}: {err}")
    assert not faults, f"{guarded.place}:\n" + "\n".join(faults)


def has_nan(answer):
    if isinstance(answer, tuple | list):
        return any(map(has_nan, answer))
    values = answer.magnitude if isinstance(answer, pint.Quantity) else answer
    return isinstance(values, float | np.ndarray) and np.asarray(values).dtype.kind == "f" and bool(np.any(np.isnan(values)))
