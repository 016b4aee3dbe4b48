"""Ply angles as they come in: in radians inside, and refused where the unit is plainly the wrong one."""

from __future__ import annotations

import numpy as np
import pint

from ..errors import RangeError, UnitError
from ..units import Spec

FULL_TURN = 2 * np.pi * (1 + 1e-9)   # no ply needs more: a larger figure is degrees taken for radians


def radians_in_disguise(degrees):
    """True where a figure in degrees is a multiple of 15 degrees written in radians, to its own last digit: 0.7854, 1.57.

    It must have two decimals at least, since 2.1 or 0.5 degrees may be meant.
    """
    degrees = np.abs(np.asarray(degrees, dtype=float))
    steps = np.rint(degrees / (np.pi / 12))
    off = np.abs(degrees - steps * np.pi / 12)
    near = np.array((steps >= 1) & (steps <= 24) & (off <= 0.51e-2))
    for place in np.argwhere(near):
        digits = np.format_float_positional(float(f"{degrees[tuple(place)]:.10g}"), trim="-")   # as typed, before radians and back
        decimals = len(digits.partition(".")[2])
        near[tuple(place)] = decimals > 1 and off[tuple(place)] <= max(0.51 * 10.0**-decimals, 5e-5)
    return near


def read_angles(angles):
    """Angles in radians, from one quantity array or a list of quantities; refuses the wrong unit where it shows."""
    theta = _in_radians(angles)
    if np.any(np.abs(theta) > FULL_TURN):
        worst = theta[np.argmax(np.abs(theta))]
        raise RangeError(f"angles go to {worst:.5g} rad, beyond a full turn (6.283 rad, 360 degrees); if {worst:.5g} was "
                         f'meant in degrees, write Q_({worst:.5g}, "deg").')
    disguised = radians_in_disguise(np.degrees(theta))
    if np.any(disguised):
        first = np.degrees(theta[np.argmax(disguised)])
        raise UnitError(f"angles hold {first:.5g} degrees, which looks like radians: {first:.5g} rad is "
                        f'{np.degrees(first):.4g} degrees; write Q_({np.degrees(first):.4g}, "deg").')
    return theta


def _in_radians(angles):
    spec = Spec.of("rad")
    if isinstance(angles, pint.Quantity):
        return np.atleast_1d(np.asarray(spec.read(angles, "angles"), dtype=float)).ravel()
    if not isinstance(angles, (list, tuple, np.ndarray)):
        angles = [angles]
    return np.array([spec.read(angle, f"angles[{index}]") for index, angle in enumerate(angles)], dtype=float)
