"""Coordinates as they arrive: metres as floats or quantities, checked for what no part can have."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pint

from ..errors import CompositeKitError, ShapeError
from ..units import Spec

LARGEST = 50.0  # m; a moulded part wider than this is almost surely drawn in millimetres
_METRE = Spec.of("m")


def metres(value, where):
    """Floats in metres from numbers, quantities or nested lists of either; ``where`` names the place."""
    if isinstance(value, pint.Quantity):
        return np.asarray(_METRE.read(value, where), dtype=float)
    try:
        array = np.asarray(_plain(value, where), dtype=float)
    except (TypeError, ValueError) as err:
        if isinstance(err, CompositeKitError):
            raise
        raise ShapeError(f"{where} cannot be read as lengths in metres ({str(value)[:60]}).") from None
    if not np.all(np.isfinite(array)):
        raise ShapeError(f"{where} holds a value that is not a number; measure or delete that point.")
    return array


def _plain(item, where):
    if isinstance(item, pint.Quantity):
        return _METRE.read(item, where)
    if item is None or isinstance(item, (str, bool)):
        raise ShapeError(f"{where} cannot be read as lengths in metres ({item!r}).")
    if isinstance(item, (list, tuple)):
        return [_plain(part, where) for part in item]
    return item


def points(value, where, least):
    """An (n, 2) array of at least ``least`` points."""
    array = metres(value, where)
    if array.ndim != 2 or array.shape[1] != 2:
        raise ShapeError(f"{where} must be a list of points of two numbers each, like [[0, 0], [1, 0], ...].")
    if len(array) < least:
        raise ShapeError(f"{where} has {len(array)} points; it needs at least {least}.")
    return array


def refuse_millimetres(extent, where, largest=LARGEST):
    """ShapeError when a size can only be millimetres read as metres."""
    if extent > largest:
        raise ShapeError(f"{where} is {extent:g} m, above {largest:g} m; were millimetres read as metres? "
                         "Divide by 1000 or give the unit mm.")


def by_name(value, where):
    """A dict keyed by names, or ShapeError."""
    if not isinstance(value, Mapping) or not all(isinstance(name, str) and name for name in value):
        raise ShapeError(f"{where} must be given by name, like {{\"bottom\": ...}}, but came as {str(value)[:60]}.")
    return dict(value)


def listed(value, where):
    """A list, or ShapeError."""
    if not isinstance(value, (list, tuple)):
        raise ShapeError(f"{where} must be a list, but came as {str(value)[:60]}.")
    return list(value)
