"""Three small pictures of flotation: the hull's section, the swamped balance, and offcuts against water."""

from __future__ import annotations

import numpy as np

from ..units import Q_, say
from . import style

PARTS = {"panels": (style.GREEN, "#cfe3dc"), "fittings": (style.OCHRE, "#f3e6c4"),    # each edge and its pale fill, named inside
         "part": (style.BLUE, "#ccd4e6"), "kit": (style.VIOLET, "#e9dcf2"), "people": (style.RUST, "#ecd2cc")}
WATER = "#cfe0ee"


class Section:
    """Cut through the hull where its gunwale is lowest, at its draught."""

    def __init__(self, hull):
        low = hull.offsets[:, -1, 1] - hull.offsets[:, -1, 1].min() < 1e-9
        middle = (hull.x[0] + hull.x[-1]) / 2
        self.place = min(hull.x[low], key=lambda x: abs(x - middle))
        self.outline = hull.section(Q_(self.place, "m")).magnitude - [0, hull.lowest]
        self.half, self.top = self.outline[:, 0].max(), self.outline[-1, 1]

    def build(self, axes):
        half, wide = self.half, 1.6 * self.half
        axes.locator_params(axis="x", nbins=5)
        axes.set(xlim=(-wide, wide), ylim=(-0.15 * half, self.top + 0.4 * half), aspect="equal", xlabel="across, m        × weight of boat and load",
                 ylabel="height, m", title="section at the lowest gunwale (skins not to scale)")
        (self.water,) = axes.fill([0, 0, 0, 0], [0, 0, 0, 0], color=WATER, zorder=1)
        (inside,) = axes.fill(*self.outline.T, color=style.PAPER, zorder=2)
        (hull,) = axes.plot(*self.outline.T, color=style.INK, linestyle="-", linewidth=3, zorder=3)
        (self.surface,) = axes.plot([], [], **style.line(0), zorder=1.5)
        (self.height,) = axes.plot([], [], color=style.RUST, linestyle="-", marker="_", markersize=10, linewidth=1.5, zorder=4)
        (self.depth,) = axes.plot([], [], color=style.BLUE, linestyle="-", marker="_", markersize=10, linewidth=1.5, zorder=4)
        (self.weight,) = axes.plot([], [], "x", color=style.INK, markersize=9, markeredgewidth=2.5, zorder=5)
        row = self.top + 0.2 * half
        self.words = [axes.text(-0.97 * wide, row, "", color=style.BLUE, va="center"),
                      axes.text(0.97 * wide, row, "", color=style.RUST, va="center", ha="right")]
        return [self.water, inside, hull, self.surface, self.height, self.depth, self.weight, *self.words]

    def draw(self, result):
        level = result.draught.m_as("m") if result.afloat else self.top
        edge, side = 1.6 * self.half, 1.25 * self.half
        self.water.set_xy([[-edge, -self.half], [edge, -self.half], [edge, level], [-edge, level]])
        self.surface.set_data([-edge, edge], [level, level])
        self.height.set_data([side, side], [level, self.top])
        self.depth.set_data([-side, -side], [0, level])
        middle = [result.afloat.centre_of_gravity.m_as("m")] if result.afloat else []
        self.weight.set_data([0.0] * len(middle), middle)
        said = (("draught " + say(result.draught, "mm"), "freeboard " + say(result.freeboard, "mm")) if result.afloat
                else ("", "water comes over the side"))
        for text, words in zip(self.words, said, strict=True):
            text.set_text(words)


class Balance:
    """What the materials of the swamped part lift, against what hangs on them."""

    def build(self, axes):
        self.axes = axes
        axes.set(xlim=(0, 100), ylim=(-0.6, 1.6), yticks=[1, 0], xlabel="kg", title="swamped")
        axes.set_yticklabels(["it lifts", "it must\ncarry"])
        self.bars, self.words = {}, {}
        for name, (colour, pale) in PARTS.items():
            (self.bars[name],) = axes.barh([1 if name in ("panels", "fittings") else 0], [1], height=0.5, facecolor=pale,
                                           edgecolor=colour, linewidth=1.5)
            self.words[name] = axes.text(0, 0, "", fontsize=9, ha="center", va="center")
        (self.end,) = axes.plot([], [], **style.LIMIT)
        self.verdict = axes.text(0, 0.5, "", fontsize=11, ha="left", va="center")
        return [*self.bars.values(), self.end, *self.words.values(), self.verdict]

    def draw(self, result):
        most = max(result.lift, result.must_carry).m_as("kg")
        far = 100.0 * 2 ** np.ceil(np.log2(max(1.02 * most, 25.0) / 100))    # doubles, so that the axis seldom has to be redrawn
        self.axes.set_xlim(0, far)
        for amounts, row in ((result.lifts, 1), (result.weighs, 0)):
            start = 0.0
            for name, amount in amounts.items():
                wide = amount.m_as("kg")
                self.bars[name].set(x=start, width=wide)
                self.words[name].set_position((start + wide / 2, row))
                self.words[name].set_text(f"{name} {wide:.0f}" if wide > 0.15 * far else "")
                start += wide
        load = result.must_carry.m_as("kg")
        self.end.set_data([load, load], [-0.45, 1.45])
        reserve = result.swamped.reserve
        self.verdict.set_position((0.02 * far, 0.5))
        self.verdict.set_text(f"{say(reserve)} to spare" if result.swamped.floats else f"{say(-reserve)} short")


class Offcuts:
    """Density of each zone's panel against that of the water."""

    def __init__(self, zones):
        self.zones = zones

    def build(self, axes):
        rows = np.arange(len(self.zones))[::-1]
        axes.set(xlim=(0, 1200), ylim=(-0.7, len(rows) - 0.3), yticks=rows, yticklabels=self.zones, xlabel="density as one solid, kg/m³",
                 title="left of the line an offcut floats, right of it it sinks")
        self.bars = list(axes.barh(rows, np.ones(len(rows)), height=0.5, facecolor=PARTS["panels"][1], edgecolor=style.GREEN))
        self.words = [axes.text(0, row, "", va="center", fontsize=10) for row in rows]
        (self.line,) = axes.plot([], [], **style.LIMIT)
        self.label = axes.text(0, len(rows) - 0.5, "", fontsize=10, ha="right", va="center")
        self.axes = axes
        return [*self.bars, self.line, self.label, *self.words]

    def draw(self, result):
        most = max(panel.bulk_density.m_as("kg/m^3") for panel in result.panels)
        self.axes.set_xlim(0, max(1200, 1.2 * most))
        for bar, text, panel in zip(self.bars, self.words, result.panels, strict=True):
            density = panel.bulk_density.m_as("kg/m^3")
            bar.set_width(density)
            text.set_x(density + 15)
            text.set_text(f"{density:.0f}")
        water = result.water_density.m_as("kg/m^3")
        self.line.set_data([water, water], self.axes.get_ylim())
        self.label.set_x(water - 15)
        self.label.set_text(f"{result.water} water {water:.0f}")
