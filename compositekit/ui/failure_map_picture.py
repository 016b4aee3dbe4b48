"""Page 03's map: which check governs, over core thickness and skins, with today's panel on it."""

from __future__ import annotations

import numpy as np
from contourpy import contour_generator
from matplotlib.artist import Artist
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgba_array

from ..units import say
from . import style
from .picture import Picture

TINTS = ("#cfd8ea", "#f0d3cb", "#cfe6dd", "#e8d9f0", "#f1e4bd", "#d9d9d9", "#dcebc4", "#f6dde6", "#cde8f2", "#e6d6c4", "#c9c9e3")
PAINTS = (255 * to_rgba_array(TINTS)).astype(np.uint8)
LARGE = 0.03     # of the map: smaller regions get no name in them
MASSES = 7


class Tiles(Artist):
    """A grid of colours over the whole of its axes, nearest cell to each pixel: a tenth of the time of an image that is resampled."""

    colours = PAINTS[:1, None]

    def draw(self, renderer):
        box = self.axes.get_window_extent()
        wide, high = round(box.width), round(box.height)
        rows, columns = (np.arange(size) * count // size for size, count in zip((high, wide), self.colours.shape, strict=False))
        renderer.draw_image(renderer.new_gc(), round(box.x0), round(box.y0), self.colours[rows[:, None], columns])


class FailureMapPicture(Picture):
    """Regions by the check that governs, a bold line where everything just holds, thin lines of equal mass, today's point."""

    label = "What fails first"
    figsize = (8.4, 4.2)

    def build(self, fig):
        self._drawn = None
        self.axes = fig.subplots()
        self.axes.set(xlim=(3, 40), ylim=(0.25, 4), xlabel="core thickness, mm", ylabel="skins, times today's plies")
        self.axes.grid(False)
        self.title = self.axes.set_title(" ")
        self.tiles = self.axes.add_artist(Tiles())
        self.equal = LineCollection([], colors=style.QUIET, linewidths=0.8, linestyles="dotted", zorder=1)
        self.holds = LineCollection([], colors=style.INK, linewidths=2.6, zorder=2)
        for lines in (self.equal, self.holds):
            self.axes.add_collection(lines, autolim=False)
        (self.now,) = self.axes.plot([], [], marker="o", markersize=12, markerfacecolor=style.PAPER, markeredgecolor=style.INK, markeredgewidth=2.5, linestyle="none", zorder=4)
        (self.best,) = self.axes.plot([], [], marker="*", markersize=14, markerfacecolor=style.PAPER, markeredgecolor=style.INK, linestyle="none", zorder=4)
        self.names = [self.axes.text(0, 0, "", ha="center", va="center", fontsize=9.5, zorder=3) for _ in TINTS]
        self.masses = [self.axes.text(0, 0, "", fontsize=8, color=style.QUIET, ha="right", va="bottom", zorder=3) for _ in range(MASSES)]
        (bold,) = self.axes.plot([], [], color=style.INK, linewidth=2.6, linestyle="-", label="everything just holds; above and right of it all is well")
        (thin,) = self.axes.plot([], [], color=style.QUIET, linewidth=0.8, linestyle=":", label="equal mass, kg/m²")
        self.now.set_label("today")
        self.best.set_label("lightest here that holds")
        fig.legend(handles=[self.now, self.best, bold, thin], loc="outside lower left", ncols=2, fontsize=9, frameon=False)
        return [self.tiles, self.title, self.equal, self.holds, self.now, self.best, *self.names, *self.masses]

    def draw(self, result):
        found = result.failure_map
        if found is None:
            self._clear("no core: there is nothing to map over its thickness")
            return
        self.title.set_text(f"what {found.zone} fails by first")
        if found.governing is not self._drawn:      # the same map, with today's core moved on it
            self._drawn, x, y = found.governing, found.core_thickness.m_as("mm"), found.multiplier
            self.tiles.colours = PAINTS[found.governing]
            self.holds.set_segments(contour_generator(x, y, found.worst).lines(1.0))
            self._mass_lines(found, x, y)
            self._names(found, x, y)
        self.now.set_data([found.point.core_thickness.m_as("mm")], [1.0])
        best = found.lightest
        self.best.set_data(*(([best[0].m_as("mm")], [best[1]]) if best else ([], [])))

    def _clear(self, words):
        self._drawn = None
        self.title.set_text(words)
        self.tiles.colours = np.full((1, 1, 4), 255, dtype=np.uint8)
        for lines in (self.equal, self.holds):
            lines.set_segments([])
        for line in (self.now, self.best):
            line.set_data([], [])
        for text in (*self.names, *self.masses):
            text.set_text("")

    def _mass_lines(self, found, x, y):
        mass = found.areal_mass.magnitude
        levels = np.linspace(mass.min(), mass.max(), MASSES + 2)[1:-1]
        levels = np.unique([float(f"{level:.2g}") for level in levels])
        generator, segments = contour_generator(x, y, mass), []
        for text in self.masses:
            text.set_text("")
        for text, level in zip(self.masses, levels, strict=False):
            pieces = generator.lines(level)
            segments += pieces
            if pieces:
                end = max(pieces[0], key=lambda point: point[0])
                text.set_position((min(end[0], 39.6), min(end[1] + 0.02, 3.85)))
                text.set_text(f"{level:g}")
        self.equal.set_segments(segments)

    def _names(self, found, x, y):
        for text in self.names:
            text.set_text("")
        rows, columns = np.indices(found.governing.shape)
        for number, (text, name) in enumerate(zip(self.names, found.names, strict=False)):
            there = found.governing == number
            if there.mean() < LARGE:
                continue
            middle = np.argmin((rows[there] - rows[there].mean()) ** 2 + (columns[there] - columns[there].mean()) ** 2)   # a place inside it
            text.set_position((x[columns[there][middle]], y[rows[there][middle]]))
            text.set_text(name)

    def alt(self, result):
        found = result.failure_map
        if found is None:
            return "No map: this zone has no core."
        best = found.lightest
        light = (f"Lightest panel on the map that holds: {say(best[0], 'mm', 2)} of core with {best[1]:.2g} times today's skins, {say(best[2])}." if best
                 else "No panel on this map holds everything.")
        return (f"A map of core thickness from {x_span(found)} against skins from {found.multiplier[0]:.2g} to {found.multiplier[-1]:.2g} times today's. Today, "
                f"{say(found.point.core_thickness, 'mm', 2)}, {found.point.governing} governs at {max(found.point.use.values()):.0%} of what is allowed. {light}"
                + "".join(f" Left out: {words}." for words in found.left_out))


def x_span(found):
    """First and last core thickness in words."""
    return f"{say(found.core_thickness[0], 'mm', 2)} to {say(found.core_thickness[-1], 'mm', 2)}"
