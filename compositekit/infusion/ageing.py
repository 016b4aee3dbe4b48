"""A resin that thickens while it runs: the clock of any fill, whatever its path.

Fill times are worked out with the fresh viscosity ("fresh time") and carried to the clock on the wall afterwards.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked


@checked(time="s >= 0", doubling_time="s > 0", returns="s")
def fresh_time(time, doubling_time):
    """Time in which resin that stayed fresh would run as far as ageing resin runs in ``time``.

    time  [s]  on the clock since mixing, scalar or array
    doubling_time  [s]  time in which the viscosity doubles
    Returns time [s], never above doubling_time / ln 2 however long one waits.
    Raises UnitError, RangeError.
    Relation: tau = integral of mu0/mu dt = (td/ln 2)(1 - 2^(-t/td))
    Source: FL-R15b with FL-R16 (own reference).
    """
    return -doubling_time / np.log(2) * np.expm1(-np.log(2) * time / doubling_time)


@checked(time="s >= 0", doubling_time="s > 0", returns="s")
def clock_time(time, doubling_time):
    """Time on the clock until ageing resin has run as far as fresh resin runs in ``time``.

    time  [s]  fill time at the fresh viscosity, scalar or array
    doubling_time  [s]  time in which the viscosity doubles
    Returns time [s].
    Raises UnitError; RangeError where the resin never gets so far.
    Relation: t = -(td/ln 2) ln(1 - tau ln 2/td), the inverse of fresh_time
    Source: FL-R15b with FL-R16 (own reference).
    """
    answer = clock_or_never(time, doubling_time)
    if not np.all(np.isfinite(answer)):
        raise RangeError(f"a fill of {np.max(time):.3g} s of fresh resin is never reached: with the viscosity doubling every "
                         f"{np.min(doubling_time):.3g} s the front stops at {np.min(doubling_time) / np.log(2):.3g} s of it. "
                         "Shorten the run, use flow mesh or a slower hardener.")
    return answer


def clock_or_never(time, doubling_time):
    """As clock_time, SI floats, with infinity where the resin never gets so far."""
    spent = np.asarray(time) * np.log(2) / doubling_time
    left = np.maximum(1 - spent, 0)
    return np.where(left > 0, -doubling_time / np.log(2) * np.log(np.where(left > 0, left, 1.0)), np.inf)
