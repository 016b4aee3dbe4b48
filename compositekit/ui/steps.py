"""Round ends for axes, so that they seldom change while a slider moves."""

from __future__ import annotations

import numpy as np


def next_step(value: float) -> float:
    """The next of 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten at or above a positive value."""
    power = 10.0 ** np.floor(np.log10(value))
    return next(step * power for step in (1, 1.5, 2, 3, 4, 5, 6, 8, 10) if step * power >= value * (1 - 1e-9))
