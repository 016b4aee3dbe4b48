"""Navier's series of a supported panel under a patch anywhere, at any core softness: what the Ritz of panel_edges adds to.

The 200 waves each way are good to 1 in 10 000 for sag and to 1 in 200 for the moment under a patch a fiftieth of the panel.
"""

from __future__ import annotations

import numpy as np

from .panel import wave_response

_WAVES = np.arange(1, 201)


def supported_series(length, width, plate, patch, flexibility, x, y):
    """Navier's series for a patch anywhere on a supported panel: w, Mx, My, Qx, Qy for D11 = 1, (5, flexibility, x, y).

    flexibility is D11/Sx. Bending and shear are summed apart, exact for a panel alike every way; what ties them in
    another is smooth, and a few waves give it. Shear forces converge slowly, so the strip's own, a closed form, is taken
    out of their sums and put back.
    """
    x0, y0, u, v = patch
    (k, load_x), (h, load_y) = (_amplitudes(*way) for way in ((length, x0, u), (width, y0, v)))
    waves = _Waves(k[:, None], h, load_x[:, None] * load_y, x, y)
    k, h, load, twist = waves.k, waves.h, waves.load, plate.d12 + 2 * plate.d66
    bent = load / (k**4 + 2 * twist * k**2 * h**2 + plate.d22 * h**4)
    sheared = load / (k**2 + plate.shear_ratio * h**2)
    bend = waves.sums(bent, bent * (k**2 + plate.d12 * h**2), bent * (plate.d12 * k**2 + plate.d22 * h**2),
                      bent * k * (k**2 + twist * h**2) - load / k, bent * h * (plate.d22 * h**2 + twist * k**2) - load / h)
    bend[3] += np.outer(_strip_shear(length, x0, u, x), waves.sin_y @ load_y)
    bend[4] += np.outer(waves.sin_x @ load_x, _strip_shear(width, y0, v, y))
    found = bend[:, None] + np.zeros((1, len(flexibility), 1, 1))
    found[0] += flexibility[:, None, None] * (waves.sin_x @ sheared @ waves.sin_y.T)
    if max(abs(plate.d22 - 1), abs(twist - 1), abs(plate.shear_ratio - 1)) > 1e-9:
        sharpness = max(length / u, width / v)              # the smaller the patch, the more waves it takes
        found += _tied(plate, waves.first(min(16 + int(2 * sharpness), 48)), flexibility[:, None, None])
    return found


def _tied(plate, waves, flexibility):
    """What first-order theory adds to bending and shear taken apart."""
    k, h, load, d12, d22, d66 = waves.k, waves.h, waves.load, plate.d12, plate.d22, plate.d66
    whole, thin = (np.array(np.broadcast_arrays(*wave_response(1.0, d12, d22, d66, stiff, plate.shear_ratio * stiff, k, h)))
                   for stiff in (1 / flexibility, 1e30))

    def forces(found):
        w, turn_x, turn_y, force_x, force_y = found
        return load * w * np.stack([np.ones_like(w), k * turn_x + d12 * h * turn_y, d12 * k * turn_x + d22 * h * turn_y, force_x, force_y])
    change = forces(whole) - forces(thin)[:, None]
    change[0] -= flexibility * load / (k**2 + plate.shear_ratio * h**2)
    return waves.sums(*change)


class _Waves:
    """Wave numbers along x (down) and y, the load's amplitude in each, and their sines and cosines at the points."""

    def __init__(self, k, h, load, x, y):
        self.k, self.h, self.load, self.x, self.y = k, h, load, x, y
        (self.sin_x, self.cos_x), (self.sin_y, self.cos_y) = ([f(np.outer(at, np.ravel(wave))) for f in (np.sin, np.cos)] for at, wave in ((x, k), (y, h)))

    def first(self, count):
        return _Waves(self.k[:count], self.h[:count], self.load[:count, :count], self.x, self.y)

    def sums(self, w, moment_x, moment_y, shear_x, shear_y):
        return np.stack([*(self.sin_x @ part @ self.sin_y.T for part in (w, moment_x, moment_y)),
                         self.cos_x @ shear_x @ self.sin_y.T, self.sin_x @ shear_y @ self.cos_y.T])


def _amplitudes(span, middle, size):
    """Wave numbers and the amplitudes of 1 Pa on a part of the span, without those that a symmetric load leaves out."""
    wave = np.pi * _WAVES / span
    load = 4 / (np.pi * _WAVES) * np.sin(wave * middle) * np.sin(wave * size / 2)
    heard = np.abs(load) > 1e-14
    return wave[heard], load[heard]


def _strip_shear(span, middle, size, at):
    """Shear force of a supported strip under 1 Pa over a length of it."""
    return size * (1 - middle / span) - np.clip(at - (middle - size / 2), 0.0, size)
