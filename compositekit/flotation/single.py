"""Guard for arguments that must be one number where others in the package may be arrays."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError


def need_single(**values):
    """RangeError naming the first value that is a list instead of one number."""
    for name, value in values.items():
        if np.ndim(value):
            raise RangeError(f"{name} came as a list of {np.size(value)}; give one number at a time.")
