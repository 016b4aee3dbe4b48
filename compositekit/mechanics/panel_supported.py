"""What a supported panel under a patch does at its peaks, first-order theory, tabled over the softness of its core.

Bending alone and shear alone are exact sums of panel.py. What ties them together in a panel that is not alike every way (up to
two thirds of a moment for unidirectional skins on a soft core) is smooth: a few waves of wave_response give it, nought for an even sheet.
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from .panel import edge_shear, patch_coefficients, wave_response
from .panel_edges import Plate
from .softness_table import NODES, SoftnessTable

CLEAR = 1 / 2             # of the patch's side, left between it and the edge: own judgement, nearer the support takes it
LINE = np.linspace(0.05, 0.5, 10)   # of a side, where the curvature along it is looked for: of a long panel it peaks near its ends
_ALL = np.arange(1, 200)


class Peaks(NamedTuple):
    """Largest of each for 1 Pa on a patch and D11 = 1, as sizes; curvatures times D11, moments in the middle of the panel."""

    deflection: np.ndarray
    moment_x: np.ndarray
    moment_y: np.ndarray
    shear_x: np.ndarray
    shear_y: np.ndarray
    twist: np.ndarray
    curve_x: np.ndarray
    curve_y: np.ndarray


class SupportedTable(SoftnessTable):
    """Peaks of a supported panel with a patch in its middle; shear forces and twist with the patch near an edge or corner if larger there."""

    def __init__(self, length, width, patch_length, patch_width, plate: Plate):
        self._sizes, self._plate = (length, width, patch_length, patch_width), plate
        d12, d22, d66, *_ = plate
        twist = d12 + 2 * d66
        unit = patch_coefficients(*self._sizes, d22, twist)
        self.bending, self.shear = float(unit.bending), float(unit.shear)
        x_starts, y_starts = starts(length, patch_length), starts(width, patch_width)
        shear_x = edge_shear(*self._sizes, d22, twist, x_starts)
        shear_y = edge_shear(width, length, patch_width, patch_length, 1 / d22, twist / d22, y_starts)
        self._count = min(16 + int(2 * max(length / patch_length, width / patch_width)), 48)
        wave = [np.pi * _ALL / size for size in (length, width)]
        middle = [_load(wave[way], size / 2, patch) for way, size, patch in ((0, length, patch_length), (1, width, patch_width))]
        near = [[_load(wave[0], start + patch_length / 2, patch_length) for start in x_starts],
                [_load(wave[1], start + patch_width / 2, patch_width) for start in y_starts]]
        centre = [np.sin(wave[way] * size / 2) for way, size in ((0, length), (1, width))]
        line = [np.sin(np.outer(size * LINE, wave[way])) for way, size in ((0, length), (1, width))]
        # per column: which of w, curve_x, curve_y, twist, shear_x, shear_y, and its weights along x and y
        columns = [(0, middle[0] * centre[0], middle[1] * centre[1])]
        columns += [(1, middle[0] * row, middle[1] * centre[1]) for row in line[0]]
        columns += [(2, middle[0] * centre[0], middle[1] * row) for row in line[1]]
        columns += [(3, one, other) for one in near[0] for other in near[1]]
        columns += [(4, one * np.cos(wave[0] * start), middle[1] * centre[1]) for one, start in zip(near[0], x_starts, strict=True)]
        columns += [(5, middle[0] * centre[0], one * np.cos(wave[1] * start)) for one, start in zip(near[1], y_starts, strict=True)]
        self._wave = wave
        kinds = np.array([column[0] for column in columns])
        along, across = (np.array([column[side] for column in columns]) for side in (1, 2))
        k, h = wave[0][:, None], wave[1]
        bent = 1 / (k**4 + 2 * twist * k**2 * h**2 + d22 * h**4)
        parts = (bent * k**2, bent * h**2, 2 * d66 * bent * k * h)
        base = np.concatenate([[self.bending], *(np.sum((along[kinds == n] @ part) * across[kinds == n], axis=1) for n, part in enumerate(parts, 1)),
                               shear_x, shear_y])
        self._kinds, self._along, self._across, self._base = kinds, along[:, :self._count], across[:, :self._count], base
        # of the spots along a line and the places of a patch keep those that peak at some softness
        look = base + self._tied(NODES[[0, 35, 50, 60, 70, 109]])
        keep = [0, *(n for kind in range(1, 6) for n in np.unique(np.flatnonzero(kinds == kind)[np.abs(look[:, kinds == kind]).argmax(axis=1)]))]
        middles = [len(LINE), 2 * len(LINE)]
        chosen = np.array([*middles, *keep])
        self._kinds, self._along, self._across, self._base = kinds[chosen], self._along[chosen], self._across[chosen], base[chosen]
        self._where = [2 + np.flatnonzero(kinds[keep] == kind) for kind in range(6)]
        self._start(len(chosen))

    def _fill(self, nodes):
        self._values[nodes] = self._tied(NODES[nodes])

    def _tied(self, softness):
        """What first-order theory adds to bending and shear taken apart, (softness, columns)."""
        d12, d22, d66, *_ = self._plate
        flexibility = softness[:, None, None] * self._sizes[0] * self._sizes[1]
        if max(abs(d22 - 1), abs(d12 + 2 * d66 - 1)) < 1e-9:
            return np.zeros((len(softness), len(self._kinds)))
        k, h = self._wave[0][:self._count, None], self._wave[1][:self._count]

        def parts(stiff):
            w, turn_x, turn_y, force_x, force_y = wave_response(1.0, d12, d22, d66, stiff, stiff, k, h)
            return w, w * k * turn_x, w * h * turn_y, w * d66 * (h * turn_x + k * turn_y), w * force_x, w * force_y
        change = [whole - thin for whole, thin in zip(parts(1 / flexibility), parts(1e30), strict=True)]
        change[0] = change[0] - flexibility / (k**2 + h**2)
        found = np.empty((len(softness), len(self._kinds)))
        for kind, change_of in enumerate(change):
            mine = self._kinds == kind
            found[:, mine] = np.sum((self._along[mine] @ change_of) * self._across[mine], axis=-1)
        return found

    def at(self, softness) -> Peaks:
        """Peaks shaped like softness."""
        softness = np.asarray(softness, dtype=float)
        found = self._base + self._read(softness)
        curve_x, curve_y = found[..., 0], found[..., 1]
        w, peak_x, peak_y, twist, shear_x, shear_y = (np.abs(found[..., columns]).max(axis=-1) for columns in self._where)
        w = w + softness * self._sizes[0] * self._sizes[1] * self.shear
        d12, d22, *_ = self._plate
        return Peaks(w, np.abs(curve_x + d12 * curve_y), np.abs(d12 * curve_x + d22 * curve_y), shear_x, shear_y, twist, peak_x, peak_y)


def _load(wave, middle, size):
    """Amplitudes of 1 Pa over a part of a side."""
    return 4 / (np.pi * _ALL) * np.sin(wave * middle) * np.sin(wave * size / 2)


def starts(size, patch):
    """Where a patch may begin: near the edge, or in the middle."""
    middle = (size - patch) / 2
    return np.unique([min(CLEAR * patch, middle), middle])


@functools.lru_cache(maxsize=2048)
def supported_table(length, width, patch_length, patch_width, plate: Plate) -> SupportedTable:
    """The SupportedTable of a panel, kept for the next call with the same sizes and stiffness ratios; SI."""
    return SupportedTable(length, width, patch_length, patch_width, plate)
