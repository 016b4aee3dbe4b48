"""What a handful of test strips can say: mean, spread, and a value one may size with."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pint
from scipy import stats

from ..errors import RangeError, UnitError
from ..units import Q_, checked

LEAST_VARIATION = 0.06  # own judgement; hand-made natural-fibre parts scatter 8 to 10 %
_TOLERANCE = {"B": (0.90, 0.95), "A": (0.99, 0.95), "95/95": (0.95, 0.95)}
_OTHER = ("5 %", "5 % known spread", "mean - 2 s", "0.9 mean")
BASES = (*_TOLERANCE, *_OTHER)


class Characteristic(NamedTuple):
    """A value to size with and the strips behind it; ``caution`` is empty when there is nothing to add."""

    value: pint.Quantity
    mean: pint.Quantity
    deviation: pint.Quantity
    variation: float
    number: int
    factor: float
    basis: str
    caution: str


@checked(coverage="1 in 0.5..0.9999", confidence="1 in 0.5..0.9999", returns="1")
def tolerance_factor(number, coverage=0.90, confidence=0.95):
    """Number of standard deviations to go below the mean of a few strips, one-sided, normal scatter.

    number      how many strips, a whole number of at least 2
    coverage    [1]  share of all strips that shall be stronger
    confidence  [1]  how sure to be of it
    Returns the factor k [1].
    Raises RangeError for fewer than two strips or an unsure confidence.
    Relation: k = t'(confidence; n - 1, z_P sqrt n)/sqrt n, t' the noncentral t quantile
    Valid: normal scatter within one batch
    Source: case PR-T02, C-T1 (own reference, recomputed two ways); C-T3: 2.065 at n 50, 95/95 (read)
    """
    number = _whole(number)
    root = np.sqrt(number)
    return float(stats.nct.ppf(confidence, number - 1, stats.norm.ppf(coverage) * root) / root)


def characteristic_value(values, basis="5 %", least_variation=LEAST_VARIATION) -> Characteristic:
    """A cautious value from a few strips, on a named basis.

    values           readings of one property, at least two, as a quantity array or a list
    basis            "B" (90 % of strips stronger, 95 % sure), "A" (99 %, 95 % sure), "95/95",
                     "5 %" (5 % value, spread unknown), "5 % known spread", "mean - 2 s" or "0.9 mean"
    least_variation  [1]  coefficient of variation assumed at least, used by "5 % known spread" only
    Returns a Characteristic: value, mean, deviation, variation, number, factor, basis, caution.
    Raises UnitError, RangeError.
    Relation: value = mean - k s; k of tolerance_factor, or t(0.95; n - 1) sqrt(1 + 1/n), or 1.645 sqrt(1 + 1/n)
    Valid: one batch, made and tested the same way. No such value replaces a class society's own test rules.
    Source: EN 1990 annex D as remembered (PR-T05, from memory); C-T7, C-T8 (own reference)
    """
    readings, unit = _readings(values)
    if basis not in BASES:
        raise RangeError(f'characteristic_value: the basis "{basis}" is not known; it must be one of {", ".join(BASES)}.')
    if not (np.isscalar(least_variation) and 0 <= least_variation <= 1):
        raise RangeError(f"characteristic_value: least_variation is {least_variation}, but must be from 0 to 1.")
    number, mean, deviation = len(readings), readings.mean(), readings.std(ddof=1)
    if basis == "5 % known spread":
        deviation = max(deviation, least_variation * abs(mean))
    factor = _factor(basis, number)
    value = 0.9 * mean if basis == "0.9 mean" else mean - factor * deviation
    variation = float(deviation / abs(mean)) if mean else float("inf")
    return Characteristic(Q_(value, unit), Q_(mean, unit), Q_(deviation, unit), variation, number, factor, basis,
                          _caution(basis, number, value, mean, readings))


def mean_interval(values, confidence=0.95) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
    """Mean of a few strips between the limits it may truly lie in.

    values      readings of one property, at least two
    confidence  [1]  how sure to be of the limits
    Returns (low, mean, high).
    Raises UnitError, RangeError.
    Relation: mean +- t s/sqrt n, t the two-sided quantile at n - 1
    Source: C-T5, published t/sqrt n: 1.59 at n 4, 1.24 at 5, 1.05 at 6 (read)
    """
    readings, unit = _readings(values)
    if not (np.isscalar(confidence) and 0 < confidence < 1):
        raise RangeError(f"mean_interval: confidence is {confidence}, but must lie between 0 and 1.")
    half = stats.t.ppf((1 + confidence) / 2, len(readings) - 1) * readings.std(ddof=1) / np.sqrt(len(readings))
    return tuple(Q_(readings.mean() + sign * half, unit) for sign in (-1, 0, 1))


def _factor(basis, number):
    if basis in _TOLERANCE:
        return tolerance_factor.si(number, *_TOLERANCE[basis])
    if basis == "5 %":
        return float(stats.t.ppf(0.95, number - 1) * np.sqrt(1 + 1 / number))
    if basis == "5 % known spread":
        return float(stats.norm.ppf(0.95) * np.sqrt(1 + 1 / number))
    return 2.0 if basis == "mean - 2 s" else 0.0


def _caution(basis, number, value, mean, readings):
    words = []
    if number == 2:
        words.append("Two strips show whether something is badly off and little more: their spread is next to unknown.")
    elif number < 6 and basis in _TOLERANCE:
        words.append(f"{number} strips cannot carry a {basis} value: the factor is large only because so little is known.")
    if not np.ptp(readings):
        words.append("All readings are the same, which real strips never are: check how they were written down.")
    if value <= 0 < mean:
        words.append("The value falls to nought or below: nothing may be sized with it; test more strips.")
    if number >= 3 and np.max(np.abs(readings - np.median(readings))) > 0.5 * abs(np.median(readings)):
        words.append("One reading lies more than half the middle value away: look for a slip of unit or a spoilt strip.")
    return " ".join(words)


def _whole(number):
    if isinstance(number, bool) or not isinstance(number, (int, float, np.number)) or number != number // 1:
        raise RangeError(f"tolerance_factor: number is {number}, but must be a whole number of strips.")
    if number < 2:
        raise RangeError(f"tolerance_factor: number is {number}; one strip has no spread, at least 2 are needed.")
    return int(number)


def _readings(values):
    """Readings as floats in one unit."""
    if not isinstance(values, pint.Quantity):
        try:
            values = list(values)
        except TypeError:
            raise UnitError(f"The readings came as {values!r}; a list or an array of readings is wanted.") from None
        if any(isinstance(value, pint.Quantity) for value in values):
            try:
                values = Q_([value.m_as(values[0].units) for value in values], values[0].units)
            except (AttributeError, pint.DimensionalityError):
                raise UnitError("The readings do not share one kind of unit; give them all alike, such as MPa.") from None
    unit = values.units if isinstance(values, pint.Quantity) else ""
    try:
        readings = np.atleast_1d(np.asarray(values.magnitude if isinstance(values, pint.Quantity) else values, dtype=float))
    except (TypeError, ValueError):
        raise UnitError(f"The readings are not all numbers: {values}.") from None
    if readings.ndim != 1 or len(readings) < 2:
        raise RangeError(f"{readings.size} reading{'s' if readings.size != 1 else ''} given, in one row of at least 2; "
                         "a spread needs two strips or more.")
    if not np.isfinite(readings).all():
        raise RangeError(f"Reading {int(np.flatnonzero(~np.isfinite(readings))[0]) + 1} is not a finite number.")
    return readings, unit
