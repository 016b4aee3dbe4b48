"""Curves over the softness of a panel's core, worked out at nodes as they are asked for and read between them by polynomials."""

from __future__ import annotations

import functools

import numpy as np
from scipy.interpolate import PPoly

from .panel_edges import THIN

NODES = np.geomspace(THIN, 1e4, 110)                              # softness tabled; what runs between is good to 1 in 100 000
STENCIL = 6                                                       # nodes that a polynomial between two of them runs through


class SoftnessTable:
    """Columns over the softness D11/(Sx length width); a subclass gives their values at nodes, ``_fill``."""

    def _start(self, columns):
        self._values = np.full((len(NODES), columns), np.nan)
        self._curves = PPoly(np.full((STENCIL, len(NODES) - 1, columns), np.nan), np.arange(len(NODES)))

    def _read(self, softness):
        """Every column, on a last axis of its own."""
        place = (np.log(np.clip(softness, NODES[0], NODES[-1])) - np.log(NODES[0])) / (np.log(NODES[-1] / NODES[0]) / (len(NODES) - 1))
        soft = place > 0                                              # the others are rigid in shear: there the first node is the answer
        self._work_out(np.unique(np.minimum(place[soft].astype(int), len(NODES) - 2)))
        if np.isnan(self._values[0, 0]):
            self._fill(np.array([0]))
        return np.where(soft[..., None], self._curves(place), self._values[0])

    def _work_out(self, gaps):
        """The curves over these gaps between nodes, where nobody asked before; each is the same whatever else was asked."""
        gaps = gaps[np.isnan(self._curves.c[0, gaps, 0])]
        if not len(gaps):
            return
        first = np.clip(gaps - STENCIL // 2 + 1, 0, len(NODES) - STENCIL)
        nodes = np.unique(first[:, None] + np.arange(STENCIL))
        nodes = nodes[np.isnan(self._values[nodes, 0])]
        if len(nodes):
            self._fill(nodes)
        for gap, start in zip(gaps, first, strict=True):
            self._curves.c[:, gap] = _through(int(start - gap)) @ self._values[start:start + STENCIL]


@functools.cache
def _through(start):
    """From values at STENCIL nodes, the first of them so many behind a gap's own (a negative number), to the polynomial over the gap, highest power first."""
    return np.linalg.inv(np.vander(start + np.arange(STENCIL, dtype=float)))
