"""How many values an argument holds: lists of one length, and arguments that take a single value."""

from __future__ import annotations

import functools
import inspect

import numpy as np

from ..errors import RangeError


def one_length(**lists):
    """Lists of floats of one common, non-zero length, or a RangeError that counts them."""
    rows = [np.atleast_1d(np.asarray(values, dtype=float)) for values in lists.values()]
    sizes = {name: row.size for name, row in zip(lists, rows, strict=True)}
    if len(set(sizes.values())) > 1 or any(row.ndim > 1 for row in rows) or 0 in sizes.values():
        counted = ", ".join(f"{name} {size}" for name, size in sizes.items())
        raise RangeError(f"the lists need one entry per zone, layer or reading, but hold: {counted}.")
    return rows


def single(*but):
    """Refuse a list in any argument of the kernel except those named."""
    def decorate(kernel):
        signature = inspect.signature(kernel)

        @functools.wraps(kernel)
        def guarded(*args, **kwargs):
            for name, value in signature.bind(*args, **kwargs).arguments.items():
                if name not in but and isinstance(value, (list, np.ndarray)) and np.ndim(value):
                    raise RangeError(f"{kernel.__name__} takes one {name} at a time, but got {np.size(value)}; call it once for each.")
            return kernel(*args, **kwargs)

        return guarded

    return decorate
