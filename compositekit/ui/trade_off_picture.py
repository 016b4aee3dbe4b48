"""Page 03's trade-off: every layup tried, mass against sag, those nothing beats, today's layup and its neighbours."""

from __future__ import annotations

import numpy as np
from matplotlib.collections import LineCollection

from ..studies.skin_search_words import layup_words, open_words, summary
from ..units import Q_, say
from . import style
from .picture import Picture
from .steps import next_step

MOST = 1500       # candidates shown, evenly picked: more would only be a smear
CLOSE = 11        # pixels: marks nearer than that share a label
NAMED = 8         # neighbours, at most
LOW, HIGH = 8.0, 1000.0   # % of the sag allowed; lower where the front is
LETTERS = "abcdef"        # for layups of the front, at most
TICKS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000]


class TradeOffPicture(Picture):
    """Part mass to the right, sag upwards: the front is where less of one costs more of the other."""

    label = "What else would do"
    figsize = (8.4, 4.2)

    def build(self, fig):
        self.axes = fig.subplots()
        self.axes.set(xlim=(20, 40), ylim=(LOW, HIGH), yscale="log", xlabel="mass of the whole part, kg", ylabel="sag, % of what is allowed",
                      yticks=TICKS, yticklabels=[f"{tick}" for tick in TICKS])
        self.axes.set_ylim(LOW, HIGH)
        self.axes.minorticks_off()
        self.title = self.axes.set_title(" ")
        self.axes.axhline(100, **style.LIMIT)
        self.target = self.axes.axvline(0, **style.LIMIT)
        dot = {"linestyle": "none", "zorder": 2}
        (self.fails,) = self.axes.plot([], [], marker=".", markersize=3, color="#c4c4c4", label="fails a check", **dot)
        (self.holds,) = self.axes.plot([], [], marker=".", markersize=4, color=style.GREEN, label="holds every check", **dot)
        self.bands = LineCollection([], colors=style.BLUE, linewidths=1.2, alpha=0.6, zorder=3)
        self.axes.add_collection(self.bands, autolim=False)
        (self.front,) = self.axes.plot([], [], marker="o", markersize=5, color=style.BLUE, linestyle="-", linewidth=1.2, zorder=4, label="nothing beats these; bar: materials' range")
        (self.near,) = self.axes.plot([], [], marker="D", markersize=7, markerfacecolor=style.PAPER, markeredgecolor=style.RUST, linestyle="none", zorder=5, clip_on=False,
                                      label="one step away, by its number in the list")
        (self.now,) = self.axes.plot([], [], marker="o", markersize=13, markerfacecolor="none", markeredgecolor=style.INK, markeredgewidth=2.5, linestyle="none", zorder=8, clip_on=False, label="today")
        self.names = [self.axes.text(0, 0, "", fontsize=8.5, color=style.RUST, zorder=9, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8})
                      for _ in range(NAMED)]
        for line in (self.near, self.now):
            line.set_in_layout(False)      # without data yet they would throw the layout
        self.letters = [self.axes.text(0, 0, "", fontsize=9, color=style.BLUE, va="top", ha="right", zorder=6) for _ in LETTERS]
        self.aim = self.axes.text(0, 0, "", fontsize=8.5, rotation=90, ha="right", va="top", zorder=6,
                                  bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8})
        fig.legend(handles=[self.now, self.near, self.front, self.holds, self.fails], loc="outside lower left", ncols=3, fontsize=9, frameon=False)
        return [self.title, self.target, self.fails, self.holds, self.bands, self.front, self.near, self.now, *self.names, *self.letters, self.aim]

    def draw(self, result):
        search, steps = result.search, result.steps
        mass, sag = search.columns.part_mass.m_as("kg"), 100 * search.columns.shares["deflection"]
        every = np.arange(0, len(search), max(1, len(search) // MOST))
        holds = search.columns.holds
        for dots, rows in ((self.fails, every[~holds[every]]), (self.holds, every[holds[every]])):
            dots.set_data(mass[rows], np.minimum(sag[rows], HIGH))
        front, spread = search.front(), result.front_range
        low = min([LOW, *(0.8 * (sag[front] if spread is None else 100 * spread.deflection.min(axis=0)))])
        self.axes.set_ylim(low, HIGH)
        self.front.set_data(mass[front], sag[front])
        for text, row in zip(self.letters, [*picked(front), *[None] * len(LETTERS)], strict=False):
            text.set_text("" if row is None else LETTERS[self.letters.index(text)] + " ")
            text.set_position((0, LOW) if row is None else (mass[row], 0.95 * sag[row]))
        self.bands.set_segments([] if spread is None else [[(x, low), (x, high)] for x, low, high in zip(mass[front], *(100 * spread.deflection), strict=True)])
        today = result.here
        here = np.array([today.part_mass.m_as("kg")[0], 100 * today.shares["deflection"][0]])
        self.now.set_data([here[0]], [np.clip(here[1], low, HIGH)])
        shown = steps[:NAMED]
        x, y = np.array([here[0] + step.part_mass for step in shown]), np.clip([100 * step.deflection for step in shown], low, HIGH)
        self.near.set_data(x, y)
        self._frame(mass[front], here[0], x, result.part.brief.mass_target)
        self._number(x, y)
        hot = f"skin at {search.ground.heat:.3g} °C"
        self.title.set_text(f"{result.zone}: {len(search):,} layups tried, {int(holds.sum()):,} hold, {hot}")

    def _frame(self, front, now, near, target):
        ends = np.concatenate([front, near, [now], [] if target is None else [target.m_as("kg")]])
        step = next_step(max(np.ptp(ends) / 4, 0.2))
        self.axes.set_xlim(np.floor(ends.min() / step - 0.3) * step, np.ceil(ends.max() / step + 0.3) * step)
        self.aim.set_position((0 if target is None else target.m_as("kg"), 0.95 * HIGH))
        self.aim.set_text("" if target is None else "mass target")
        self.target.set_xdata([np.nan if target is None else target.m_as("kg")] * 2)

    def _number(self, x, y):
        """The number of each step beside its mark; marks that lie on each other share one label."""
        spots, groups = self.axes.transData.transform(np.column_stack([x, y])) if len(x) else [], []
        for n, spot in enumerate(spots):
            near = next((group for group in groups if np.abs(spots[group[0]] - spot).max() < CLOSE), None)
            if near is None:
                groups.append([n])
            else:
                near.append(n)
        for text in self.names:
            text.set_text("")
        for text, group in zip(self.names, groups, strict=False):
            text.set_position(self.axes.transData.inverted().transform(spots[group].mean(axis=0) + np.array([8, 0])))
            text.set_va("center")
            text.set_text(", ".join(f"{n + 1}" for n in group))

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


def picked(front):
    """Rows of the front that are told by letter: its ends, and evenly between."""
    return front if len(front) <= len(LETTERS) else front[np.linspace(0, len(front) - 1, len(LETTERS)).round().astype(int)]


def front_rows(result):
    """The lettered layups of the front as rows of a table."""
    search, found = result.search, result.search.columns
    table = []
    for letter, row in zip(LETTERS, picked(search.front()), strict=False):
        layup, core = search.layup(row), "none"
        if layup.core is not None:
            core = f"{say(Q_(layup.core_thickness * 1e3, 'mm'))} {search.ground.catalogue.core(layup.core).name}"
        plies = layup_words(search.ground.catalogue, layup).split(" | ")
        table.append({"on the picture": letter, "plies outside": plies[0].removesuffix(", no core"), "core": core,
                      "plies inside": plies[-1] if layup.inner else None, "part mass": found.part_mass[row], "sag, of what is allowed": f"{found.shares['deflection'][row]:.0%}"})
    return table
