"""Page 03's map: which check governs, over core thickness and skins, with today's panel on it."""

from __future__ import annotations

import numpy as np
from contourpy import contour_generator
from matplotlib.artist import Artist
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgba_array

from ..studies.failure_map import areal_mass_allowed
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
        self.target = LineCollection([], colors=style.RUST, linewidths=2.0, linestyles="dashed", zorder=2)
        self.beyond = self.axes.text(0, 0, "", fontsize=9, color=style.RUST, ha="right", va="bottom", zorder=4,
                                     bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1, "alpha": 0.85})
        (self.sold,) = self.axes.plot([], [], linestyle="none", marker="^", markersize=6, color=style.INK, clip_on=False, zorder=5)
        self.equal = LineCollection([], colors=style.QUIET, linewidths=0.8, linestyles="dotted", zorder=1)
        self.holds = LineCollection([], colors=style.INK, linewidths=2.6, zorder=2)
        for lines in (self.equal, self.holds, self.target):
            self.axes.add_collection(lines, autolim=False)
        (self.now,) = self.axes.plot([], [], marker="o", markersize=12, markerfacecolor=style.PAPER, markeredgecolor=style.INK, markeredgewidth=2.5, linestyle="none", zorder=6, clip_on=False)
        (self.best,) = self.axes.plot([], [], marker="*", markersize=14, markerfacecolor=style.PAPER, markeredgecolor=style.INK, linestyle="none", zorder=5, clip_on=False)
        self.names = [self.axes.text(0, 0, "", ha="center", va="center", fontsize=9.5, zorder=4, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.5, "alpha": 0.85}) for _ in TINTS]
        self.masses = [self.axes.text(0, 0, "", fontsize=8, color=style.QUIET, ha="right", va="bottom", zorder=3) for _ in range(MASSES)]
        (bold,) = self.axes.plot([], [], color=style.INK, linewidth=2.6, linestyle="-", label="skins and core just hold; above and right of it they hold")
        (thin,) = self.axes.plot([], [], color=style.QUIET, linewidth=0.8, linestyle=":", label="equal mass, kg/m²")
        self.now.set_label("today")
        (dashed,) = self.axes.plot([], [], color=style.RUST, linewidth=2.0, linestyle="--", label="mass target; above and right of it the part is too heavy")
        for line in (self.now, self.best, self.sold):
            line.set_in_layout(False)      # without data yet they would throw the layout
        self.best.set_label("lightest of whole plies and sheets sold")
        self.sold.set_label("sheets sold")
        fig.legend(handles=[self.now, self.best, self.sold, bold, dashed, thin], loc="outside lower left", ncols=2, fontsize=9, frameon=False)
        return [self.tiles, self.title, self.equal, self.holds, self.target, self.beyond, self.sold, self.now, self.best, *self.names, *self.masses]

    def draw(self, result):
        found = result.failure_map
        if found is None:
            self._clear("no core: there is nothing to map over its thickness")
            return
        self.title.set_text(f"which limit is nearest, zone {found.zone}")
        if found.governing is not self._drawn:      # the same map, with today's core moved on it
            self._drawn, x, y = found.governing, found.core_thickness.m_as("mm"), found.multiplier
            self.tiles.colours = PAINTS[found.governing]
            self.holds.set_segments(contour_generator(x, y, found.worst).lines(1.0))
            self._mass_lines(found, x, y)
            self._names(found, x, y)
        self._target(result, found)
        sold = result.build.core.thicknesses
        sold = np.array([]) if sold is None else sold.m_as("mm")
        sold = sold[(sold >= 3) & (sold <= 40)]
        self.sold.set_data(sold, np.full(len(sold), 0.25))
        self.now.set_data([found.point.core_thickness.m_as("mm")], [1.0])
        best = found.lightest
        self.best.set_data(*(([best.core_thickness.m_as("mm")], [best.multiplier]) if best else ([], [])))

    def _target(self, result, found):
        """Where the whole part just meets its mass target, the other zones as they are."""
        allowed = areal_mass_allowed(result.part, result.build, result.part_mass)
        x, y, mass = found.core_thickness.m_as("mm"), found.multiplier, found.areal_mass.m_as("kg/m^2")
        pieces = [] if allowed is None else contour_generator(x, y, mass).lines(allowed.m_as("kg/m^2"))
        self.target.set_segments(pieces)
        words = ""
        if pieces:
            middle = pieces[0][np.argmin(np.abs(pieces[0][:, 0] - pieces[0][:, 0].mean()))]
            words = "mass target"
            self.beyond.set_position((max(middle[0], 11), min(middle[1] + 0.05, 3.6)))
        elif allowed is not None and allowed.m_as("kg/m^2") < mass.min():
            words = "all of this map is over the mass target"
            self.beyond.set_position((39.5, 3.7))
        self.beyond.set_text(words)

    def _clear(self, words):
        self._drawn = None
        self.title.set_text(words)
        self.tiles.colours = np.full((1, 1, 4), 255, dtype=np.uint8)
        for lines in (self.equal, self.holds, self.target):
            lines.set_segments([])
        for line in (self.now, self.best, self.sold):
            line.set_data([], [])
        for text in (*self.names, *self.masses, self.beyond):
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
            clear = there & (np.abs(found.worst - 1) > 0.2)      # of the bold line
            there = clear if clear.any() else there
            middle = np.argmin((rows[there] - rows[there].mean()) ** 2 + (columns[there] - columns[there].mean()) ** 2)   # a place inside it
            text.set_position((x[columns[there][middle]], y[rows[there][middle]]))
            text.set_text(sag_word(name))

    def alt(self, result):
        found = result.failure_map
        if found is None:
            return "No map: this zone has no core."
        return (f"A map of core thickness from {x_span(found)} against skins from {found.multiplier[0]:.2g} to {found.multiplier[-1]:.2g} times today's. Today, "
                f"{say(found.point.core_thickness, 'mm', 2)}, {governs(found.point)} at {max(found.point.use.values()):.0%} of what is allowed. {star_words(found)}"
                + "".join(f" Left out: {words}." for words in found.left_out))


def sag_word(text):
    """The check's long name as this page calls it."""
    return text.replace("deflection", "sag")


def governs(point):
    """The limit nearest at today's panel, or those about equally near."""
    if len(point.alike) == 1:
        return f"{sag_word(point.governing)} governs"
    return f"{sag_word(' and '.join(point.alike))} are about equal and govern"


def star_words(found):
    """What the star of the map stands for."""
    best = found.lightest
    if best is None:
        return "No whole plies of today's skins on a core of this map, as sold, hold every limit of skins and core."
    return (f"Lightest on the map of whole plies and sheets sold whose skins and core hold (the star): {best.outside} + {best.inside} plies on "
            f"{say(best.core_thickness, 'mm', 2)} of core, {say(best.areal_mass)}. Part mass and flotation are checked apart.")


def x_span(found):
    """First and last core thickness in words."""
    return f"{say(found.core_thickness[0], 'mm', 2)} to {say(found.core_thickness[-1], 'mm', 2)}"
