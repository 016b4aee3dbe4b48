"""How far the figures of a few candidates may move: fibre, cloth, resin and core at either end of their ranges."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..units import Q_
from .skin_search import SkinSearch
from .skin_search_figures import SIZED, SOFT, STIFF, evaluate
from .skin_search_space import Space


@dataclass(frozen=True, eq=False)
class Scatter:
    """Low and high of some candidates, one array each; alike where nothing behind a figure has a range.

    rows         of the search
    deflection   share of the limit used up, shape (2, rows)
    worst        the largest share of any limit; strengths and design strains stay as they are sized with
    part_mass    of the finished part
    """

    rows: np.ndarray
    deflection: np.ndarray
    worst: np.ndarray
    part_mass: Q_


def scatter(search: SkinSearch, rows) -> Scatter:
    """Ranges of these rows of a search: the figure sized with, the soft end (all at their low together, core as sized
    with) and the stiff end (all at their high, core at its nominal figure); the band is wider than scatter alone makes it.

    rows  row numbers, such as those of a front; at most a few thousand
    Raises RangeError for no row, or one that the search has not.
    """
    rows = np.atleast_1d(np.asarray(rows))
    if not rows.size or rows.ndim != 1 or rows.dtype.kind not in "iu":
        raise RangeError("rows came without a row number; give those of a front, or the row chosen.")
    return _scatter(search.ground, search.space, tuple(int(row) for row in rows))


@functools.lru_cache(maxsize=16)
def _scatter(ground, space, rows):
    layups = [space.layup(row) for row in rows]
    cored = [layup for layup in layups if layup.core is not None]
    pairs, sheets, solids = (_numbered(values) for values in (
        [(layup.outer, layup.inner) for layup in cored], [(layup.core, layup.core_thickness) for layup in cored],
        [layup.outer for layup in layups if layup.core is None]))
    few = Space(tuple(pairs), tuple(sheets), tuple(solids))
    at = np.array([pairs[layup[:2]] * len(sheets) + sheets[layup[2:]] if layup.core else len(pairs) * len(sheets) + solids[layup.outer]
                   for layup in layups])
    ends = [evaluate(ground, few, end) for end in (SIZED, SOFT, STIFF)]
    deflection, worst, mass = (_ends([values[at] for values in found]) for found in (
        [end.shares["deflection"] for end in ends], [end.worst for end in ends], [end.part_mass.magnitude for end in ends]))
    return Scatter(np.array(rows), deflection, worst, Q_(mass, "kg"))


def _numbered(values):
    return {value: n for n, value in enumerate(dict.fromkeys(values))}


def _ends(found):
    return np.array([np.min(found, axis=0), np.max(found, axis=0)])
