"""Page 03's look inside: strain and stress through the thickness, and what each ply uses up of what it may bear."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from matplotlib.collections import PolyCollection

from . import style
from .picture import Picture
from .steps import next_step

CORE_HEIGHT = 2.0     # of a ply's: the picture is stretched, or nobody would see the plies
MOST = 12             # layers named in full size; more are named smaller


class ThroughPicture(Picture):
    """Every layer as one band of equal height (the core twice that), outside face at the bottom."""

    label = "Through the thickness"
    figsize = (8.4, 4.2)

    def build(self, fig):
        self.strain, self.stress, self.share = fig.subplots(1, 3, width_ratios=(1, 1, 0.9), sharey=True)
        self.strain.set(xlabel="strain, %", xlim=(-1, 1), title="strain", ylabel="outside face below, stretched")
        self.stress.set(xlabel="stress, MPa", xlim=(-100, 100), title="stress")
        self.share.set(xlabel="of its allowance, %", xlim=(0, 150), title="used up")
        marks = [self.share.axvline(100, **style.LIMIT)]      # drawn again over the bands
        for axes in (self.strain, self.stress, self.share):
            axes.set(yticks=[], ylim=(0, MOST))
            axes.grid(False)
        for axes in (self.strain, self.stress):
            marks.append(axes.axvline(0, color=style.INK, linewidth=0.8))
        self.bands = [axes.add_collection(PolyCollection([], edgecolor="#d8d8d8", linewidth=0.6, zorder=0), autolim=False) for axes in (self.strain, self.stress, self.share)]
        self.lines = [[axes.plot([], [], label=name, **style.line(n))[0] for n, name in enumerate(("lengthwise", "crosswise"))] for axes in (self.strain, self.stress)]
        fig.legend(handles=self.lines[0], loc="outside lower left", ncols=2, fontsize=9, frameon=False)
        self.bars = self.share.add_collection(PolyCollection([], zorder=2), autolim=False)
        self.words = [self.share.text(0, 0, "", va="center") for _ in range(4 * MOST)]
        self.strain.set_yticks([1], ["basalt-twill-300  90°"], fontsize=8.5)      # about the longest name, for the room it needs
        self.named = None
        return [*self.bands, *marks, *self.lines[0], *self.lines[1], self.bars, *self.words]

    def draw(self, result):
        margins = result.margins
        through, layers = margins.through(), len(margins.fabrics)
        heights = np.array([CORE_HEIGHT if n == margins.core else 1.0 for n in range(layers)])
        edges = np.concatenate([[0.0], np.cumsum(heights)])
        places = np.stack([edges[:-1], edges[1:]], axis=1)
        for lines, values, scale in ((self.lines[0], (through.strain_x, through.strain_y), 100.0), (self.lines[1], (through.stress_x, through.stress_y), 1e-6)):
            for line, value in zip(lines, values, strict=True):
                line.set_data((scale * value).ravel(), places.ravel())
        self._frame(edges[-1], through)
        self._shares(margins, edges)
        self._bands(margins, edges)

    def _frame(self, top, through):
        for axes, values, scale in ((self.strain, (through.strain_x, through.strain_y), 100.0), (self.stress, (through.stress_x, through.stress_y), 1e-6)):
            end = next_step(1.05 * scale * max(np.abs(value).max() for value in values))
            axes.set_xlim(-end, end)
        self.strain.set_ylim(0, next_whole(top))

    def _bands(self, margins, edges):
        looks = ["#e9dfc3" if n == margins.core else ("#ffffff", "#eef1f7")[n % 2] for n in range(len(margins.fabrics))]
        for axes, band in zip((self.strain, self.stress, self.share), self.bands, strict=True):
            left, right = axes.get_xlim()
            band.set_verts([[(left, low), (right, low), (right, high), (left, high)] for low, high in pairwise(edges)])
            band.set_facecolor(looks)
        names = [f"{name}" if n == margins.core else f"{name}  {margins.laminate.angles[n].m_as('deg'):.0f}°" for n, name in enumerate(margins.fabrics)]
        if names != self.named:
            self.named = names
            self.strain.set_yticks((edges[:-1] + edges[1:]) / 2, names, fontsize=letters(edges[-1]))
            self.repaint()

    def _shares(self, margins, edges):
        for text in self.words:
            text.set_text("")
        plies = [n for n in range(len(margins.fabrics)) if n != margins.core]
        end = next_step(130 * max(row.share for row in margins.rows))
        self.share.set_xlim(0, max(end, 150))
        bars = []
        for place, row in enumerate(margins.rows):
            low = edges[plies[place // 2]] + 0.5 * (place % 2) + 0.04
            bars.append([(0, low), (100 * row.share, low), (100 * row.share, low + 0.42), (0, low + 0.42)])
        self.bars.set_verts(bars)
        self.bars.set_facecolor([style.RUST if row.share > 1 else style.BLUE for row in margins.rows])
        for text, ply in zip(self.words, range(0, len(margins.rows), 2), strict=False):
            row = max(margins.rows[ply:ply + 2], key=lambda one: one.share)
            text.set_position((100 * row.share, edges[plies[ply // 2]] + 0.5))
            text.set_text(f" {row.share:.0%}")
            text.set_fontsize(letters(edges[-1]))

    def alt(self, result):
        least = result.margins.least
        rows = "; ".join(f"{row.fabric} at {row.angle:.0f}°, {row.face} {row.share:.0%} ({row.mode})" for row in result.margins.rows)
        return f"Strain and stress through the thickness under the worst load, and what each ply uses up of what it may bear. Nearest its limit: {least.words}. {rows}."


def letters(layers):
    """Size of the names, so that they do not run into each other."""
    return 8.5 * min(1.0, (MOST + 2) / layers)


def next_whole(value):
    """The next even number, so that the frame seldom changes."""
    return 2 * np.ceil(value / 2)
