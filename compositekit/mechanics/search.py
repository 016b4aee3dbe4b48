"""Choosing among many candidates: those that nothing beats on every figure, and the nearest when none will do."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked


@checked(objectives="1", returns=None)
def pareto_front(objectives):
    """Rows that no other row beats: no other is at least as low in every figure and lower in one.

    objectives  [1]  figures to keep low, shape (candidates, figures)
    Returns the row numbers, by rising first figure; rows that are alike all stay.
    Raises RangeError for another shape, UnitError.
    Relation: x beats y when x_k <= y_k for every k and x_k < y_k for one; the front is what nothing beats
    Source: Pareto optimality, definition (textbook form, from memory)
    """
    rows = _table(objectives, "pareto_front")
    order = np.lexsort(rows.T[::-1])   # nothing later in this order can beat what stands first
    rows, front = rows[order], []
    while len(order):
        first = rows[0]
        front.append(order[(rows == first).all(axis=1)])
        left = (rows < first).any(axis=1)
        rows, order = rows[left], order[left]
    return np.concatenate(front)


@checked(shares="1", returns=None)
def least_violation(shares):
    """The row whose worst share is smallest: what comes nearest to holding every limit.

    shares  [1]  share of each limit used up, 1 being the limit, shape (candidates, limits)
    Returns the row number.
    Raises RangeError for another shape, UnitError.
    Relation: min over candidates of the max over limits
    Source: minimax, definition (textbook form, from memory)
    """
    return int(np.argmin(_table(shares, "least_violation").max(axis=1)))


def _table(values, owner):
    values = np.asarray(values, dtype=float)
    if values.ndim != 2:
        raise RangeError(f"{owner}: the figures have shape {values.shape}, but must be one row per candidate and one column per figure.")
    return values
