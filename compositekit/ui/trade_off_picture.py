"""Page 03's trade-off: every layup tried, mass against sag, those nothing beats, today's layup and its neighbours."""

from __future__ import annotations

import numpy as np
from matplotlib.collections import LineCollection

from ..studies.skin_search_figures import HEAT
from ..studies.skin_search_words import layup_words, open_words, summary
from ..units import say
from . import style
from .picture import Picture
from .steps import next_step

MOST = 1500       # candidates shown, evenly picked: more would only be a smear
NAMED = 8         # neighbours, at most
LOW, HIGH = 8.0, 1000.0   # % of the sag allowed


class TradeOffPicture(Picture):
    """Part mass to the right, sag upwards: the front is where less of one costs more of the other."""

    label = "What else would do"
    figsize = (8.4, 4.2)

    def build(self, fig):
        self.axes = fig.subplots()
        self.axes.set(xlim=(20, 40), ylim=(LOW, HIGH), yscale="log", xlabel="mass of the whole part, kg", ylabel="sag, % of what is allowed",
                      yticks=[10, 20, 50, 100, 200, 500, 1000], yticklabels=["10", "20", "50", "100", "200", "500", "1000"])
        self.axes.minorticks_off()
        self.title = self.axes.set_title(" ")
        self.axes.axhline(100, **style.LIMIT)
        self.target = self.axes.axvline(0, **style.LIMIT)
        dot = {"linestyle": "none", "zorder": 2}
        (self.fails,) = self.axes.plot([], [], marker=".", markersize=3, color="#c4c4c4", label="fails a check", **dot)
        (self.holds,) = self.axes.plot([], [], marker=".", markersize=4, color=style.GREEN, label="holds every check", **dot)
        self.bands = LineCollection([], colors=style.BLUE, linewidths=1.2, alpha=0.6, zorder=3)
        self.axes.add_collection(self.bands, autolim=False)
        (self.front,) = self.axes.plot([], [], marker="o", markersize=5, color=style.BLUE, linestyle="-", linewidth=1.2, zorder=4, label="nothing beats these; bar: range of the materials")
        (self.near,) = self.axes.plot([], [], marker="D", markersize=6, markerfacecolor=style.PAPER, markeredgecolor=style.RUST, linestyle="none", zorder=5, label="one step from today")
        (self.now,) = self.axes.plot([], [], marker="o", markersize=13, markerfacecolor="none", markeredgecolor=style.INK, markeredgewidth=2.5, linestyle="none", zorder=6, label="today")
        self.names = [self.axes.text(0, 0, "", fontsize=8.5, color=style.RUST, zorder=6, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8})
                      for _ in range(NAMED)]
        fig.legend(handles=[self.now, self.near, self.front, self.holds, self.fails], loc="outside lower left", ncols=3, fontsize=9, frameon=False)
        return [self.title, self.target, self.fails, self.holds, self.bands, self.front, self.near, self.now, *self.names]

    def draw(self, result):
        search, steps = result.search, result.steps
        mass, sag = search.columns.part_mass.m_as("kg"), 100 * search.columns.shares["deflection"]
        every = np.arange(0, len(search), max(1, len(search) // MOST))
        holds = search.columns.holds
        for dots, rows in ((self.fails, every[~holds[every]]), (self.holds, every[holds[every]])):
            dots.set_data(mass[rows], np.clip(sag[rows], LOW, HIGH))
        front, spread = search.front(), result.front_range
        self.front.set_data(mass[front], np.clip(sag[front], LOW, HIGH))
        self.bands.set_segments([] if spread is None else [[(x, low), (x, high)] for x, low, high in zip(mass[front], *(100 * spread.deflection), strict=True)])
        today = result.here
        here = np.array([today.part_mass.m_as("kg")[0], 100 * today.shares["deflection"][0]])
        self.now.set_data([here[0]], [np.clip(here[1], LOW, HIGH)])
        shown = steps[:NAMED]
        x, y = np.array([here[0] + step.part_mass for step in shown]), np.clip([100 * step.deflection for step in shown], LOW, HIGH)
        self.near.set_data(x, y)
        self._frame(mass[front], here[0], x, result.part.brief.mass_target)
        self._name(shown, x, y)
        hot = f"skin at {search.ground.heat:.3g} °C"
        self.title.set_text(f"{result.zone}: {len(search):,} layups tried, {int(holds.sum()):,} hold, {hot}")

    def _frame(self, front, now, near, target):
        ends = np.concatenate([front, near, [now], [] if target is None else [target.m_as("kg")]])
        step = next_step(max(np.ptp(ends) / 4, 0.2))
        self.axes.set_xlim(np.floor(ends.min() / step - 0.3) * step, np.ceil(ends.max() / step + 0.3) * step)
        self.target.set_xdata([np.nan if target is None else target.m_as("kg")] * 2)

    def _name(self, steps, x, y):
        """Each step's words beside its mark, lifted clear of the one below."""
        left, right = self.axes.get_xlim()
        order, floor = np.argsort(y), 0.0
        for text in self.names:
            text.set_text("")
        for text, n in zip(self.names, order, strict=False):
            height = max(y[n], floor)
            floor = height * 1.24     # a line of text, on this scale
            on_right = x[n] < left + 0.72 * (right - left)
            text.set_position((x[n] + (0.012 if on_right else -0.012) * (right - left), min(height, 0.85 * HIGH)))
            text.set_ha("left" if on_right else "right")
            text.set_va("center")
            verdict = " (fails)" if not steps[n].holds else " (not all known)" if {*steps[n].unknown} - {HEAT} else ""
            text.set_text(steps[n].what.split(",")[0] + verdict)     # the whole of it stands in the list

    def alt(self, result):
        front = result.search.front()
        ends = ""
        if len(front):
            catalogue, columns = result.search.ground.catalogue, result.search.columns
            light = front[0]
            ends = f" Lightest that holds: {layup_words(catalogue, result.search.layup(light))}, part {say(columns.part_mass[light], 'kg')}."
        core = None if result.build.core is None else result.build.core.key
        here = (f" Today: part {say(result.here.part_mass[0], 'kg')}, sag {result.here.shares['deflection'][0]:.0%} of what is allowed"
                f"{open_words(result.here, core)}.")
        return f"Part mass against sag for every layup tried. {summary(result.search)}{ends}{here} {len(result.steps)} layups are one step from today's."
