"""The pictures of page 07: buckets on the clock, the front on the slowest way, the cure clock."""

from __future__ import annotations

import numpy as np
from matplotlib.collections import PolyCollection

from ..studies.day_cure import DEMOULD
from . import style
from .panel import Panel
from .steps import next_step

BOX = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}      # under words, so that no line strikes them through


def grams(mass):
    """As a label in the picture says it."""
    return f"{mass.m_as('g'):.5g} g"


def _bars(left, right, rows):
    """Boxes 0.6 high in these rows."""
    return [[(a, row + 0.2), (b, row + 0.2), (b, row + 0.8), (a, row + 0.8)] for a, b, row in zip(left, right, rows, strict=True)]


def _smooth(curve):
    """A front in minutes and metres, finer than its points, since it starts steeply."""
    distances, clock = curve
    fine = np.linspace(0, clock[-1] ** 0.5, 60)
    return fine**2 / 60, np.interp(fine, np.sqrt(clock), distances)


class DayPictures(Panel):
    """A panel that draws a BuildDay: timeline above, front and cure clock below."""

    figsize = (9.2, 6.6)

    def build(self, fig):
        grid = fig.add_gridspec(2, 2, height_ratios=(1, 1.15))
        self.day, self.front, self.cure = fig.add_subplot(grid[0, :]), fig.add_subplot(grid[1, 0]), fig.add_subplot(grid[1, 1])
        self.day.set(xlabel="minutes since the clamp was opened", xlim=(-20, 200), ylim=(0, 5), yticks=[], title="the infusion")
        self.front.set(xlabel="minutes since the clamp was opened", ylabel="front from the feed line, m", xlim=(0, 200), ylim=(0, 0.35), title="front on the slowest way")
        self.cure.set(xlabel="hours after the fill", ylabel="glass transition (estimate), °C", xlim=(0, 150), ylim=(-40, 60), title="cure clock")
        return [*self._build_day(), *self._build_front(), *self._build_cure()]

    def _build_day(self):
        axes = self.day
        self.mixing, self.using, self.filling = (PolyCollection([], **look) for look in (
            {"facecolor": style.PAPER, "edgecolor": style.RUST, "hatch": "////"}, {"facecolor": style.RUST, "alpha": 0.55}, {"facecolor": style.BLUE, "alpha": 0.8}))
        for bars in (self.mixing, self.using, self.filling):
            axes.add_collection(bars, autolim=False)
        self.full = axes.text(0, 0.5, "", va="center", fontsize=9)
        self.limits = [(axes.axvline(0, **style.LIMIT), axes.text(0, 0.985, words, transform=axes.get_xaxis_transform(), va="top", fontsize=9, bbox=BOX))
                       for words in ("time allowed", "gel")]
        self.names = []      # one a bucket, made when first wanted
        return [self.mixing, self.using, self.filling, self.full, *(artist for pair in self.limits for artist in pair)]

    def _build_front(self):
        axes = self.front
        self.runs = [axes.plot([], [], label=label, **style.line(number))[0]
                     for number, label in enumerate(("under the bag, calculated", "at the speed seen", "skin nobody sees"))]
        (self.seen,) = axes.plot([], [], "o", color=style.INK, label="reading")
        self.vent = axes.axhline(0, color=style.QUIET, linewidth=1), axes.text(0, 0, "vent", fontsize=9, color=style.QUIET, bbox=BOX)
        self.allowed = (axes.axvline(0, **style.LIMIT),
                        axes.text(0, 0, "time allowed", fontsize=9, bbox=BOX))
        self.gels = (axes.axvline(0, color=style.INK, linewidth=2.5),
                     axes.text(0, 0.98, "gel", transform=axes.get_xaxis_transform(), fontsize=9, va="top", bbox=BOX))
        self._key = None
        return [*self.runs, self.seen, *self.vent, *self.allowed, *self.gels]

    def _build_cure(self):
        axes = self.cure
        self.cures = [axes.plot([], [], label=words, **style.line(number))[0] for number, words in enumerate(("typical pot life", "slow, decides"))]
        (self.asked,) = axes.plot([], [], "D", color=style.INK)
        self.after = axes.annotate("", (0, 0), (6, -4), textcoords="offset points", va="top", fontsize=9, bbox=BOX, zorder=4)
        self.wanted = axes.axhline(0, **style.LIMIT, label="demould: room + 10 °C")
        self.no_clock = axes.text(0.5, 0.5, "", transform=axes.transAxes, ha="center", color=style.QUIET)
        self._cure_legend = axes.legend(loc="lower right", fontsize=9)
        return [*self.cures, self.asked, self.after, self.wanted, self.no_clock]

    def draw(self, result):
        fresh = self._draw_day(result)
        self._draw_front(result)
        self._draw_cure(result.cure)
        return [*self._artists, *fresh] if fresh else None

    def _draw_day(self, result):
        axes, flow, cards = self.day, result.budget.flow, result.cards
        gel, allowed, fill = (time.m_as("min") for time in (flow.gel_time, flow.time_allowed, result.fill))
        mix, ready, empty = (np.array([getattr(card, name).m_as("min") for card in cards]) for name in ("mix_at", "ready_at", "used_up_by"))
        end = next_step(1.15 * max([gel, *empty]))
        start = -next_step(max([10.0, *(5 - mix)]))
        axes.set(xlim=(start, end), ylim=(0, len(cards) + 2.4))
        rows = np.arange(len(cards), 0, -1)
        self.mixing.set_verts(_bars(mix, ready, rows))
        self.using.set_verts(_bars(ready, empty, rows))
        fresh = [axes.text(0, 0, "", va="center", fontsize=9, bbox=BOX) for _ in range(len(cards) - len(self.names))]
        self.names += fresh
        gap = 0.006 * (end - start)
        for number, text in enumerate(self.names):
            text.set_visible(number < len(cards))
            if number < len(cards):
                card = cards[number]
                room = empty[number] < start + 0.72 * (end - start)      # for the words behind the bar, else before it
                text.set(position=(empty[number] + gap if room else mix[number] - gap, rows[number] + 0.5), ha="left" if room else "right",
                         text=f"bucket {card.number}: {grams(card.resin)} + {grams(card.hardener)}")
        full = fill if np.isfinite(fill) else gel
        self.filling.set_verts(_bars([0], [full], [0]))
        inside = full > 0.6 * end
        self.full.set(text=f"part full at {fill:.0f} min" if np.isfinite(fill) else "NOT full: the resin gels first",
                      x=0.01 * end if inside else full + gap, color=style.PAPER if inside else style.INK)
        for (line, word), time in zip(self.limits, (allowed, gel), strict=True):
            line.set_xdata([time, time])
            word.set_x(time + gap)
        return fresh

    def _draw_front(self, result):
        axes, front = self.front, result.front
        allowed, gel = (time.m_as("min") for time in (result.budget.flow.time_allowed, result.budget.flow.gel_time))
        wide = next_step(1.1 * min(gel, max(allowed, 1.2 * front.finish / 60)))
        axes.set_xlim(0, wide)
        shown = (front.curve, front.bent if front.seen else None, front.last if front.hidden else None)
        for line, curve in zip(self.runs, shown, strict=True):
            line.set_data(*(([], []) if curve is None else _smooth(curve)))
        self.seen.set_data(*((front.times / 60, front.distances) if front.seen else ([], [])))
        line, word = self.vent
        line.set_ydata([front.run] * 2)
        word.set(x=0.015 * wide, y=1.04 * front.run)      # above every curve
        line, word = self.allowed
        line.set_xdata([allowed] * 2)
        left = allowed > 0.6 * wide
        word.set(y=1.04 * front.run, x=allowed + (-0.015 if left else 0.015) * wide, ha="right" if left else "left")
        line, word = self.gels
        line.set_xdata([gel] * 2)
        word.set(x=gel + 0.02 * wide, visible=gel <= wide)
        handles = [line for line in (*self.runs, self.seen) if len(line.get_xdata())]
        axes.set_ylim(0, (1.16 + 0.14 * len(handles)) * front.run)        # room above the vent for the legend
        self._name_curves(handles)

    def _name_curves(self, handles):
        """A legend of what is there; the still picture is only drawn anew when that changes."""
        key = [line.get_label() for line in handles]
        if key != self._key:
            self._key = key
            legend = self.front.legend(handles=handles, loc="upper left", fontsize=9)
            self.over = [legend, self._cure_legend]
            self.repaint()

    def _draw_cure(self, clock):
        self.no_clock.set_text("" if clock else "no clock for this resin:\ngo by its data sheet")
        for artist in (*self.cures, self.asked, self.after, self.wanted, self._cure_legend):
            artist.set_visible(clock is not None)
        if clock is None:
            return
        last = clock.when[1] if np.isfinite(clock.when[1]) else 200.0
        warm = clock.oven - 273.15 + 25
        self.cure.set(xlim=(0, next_step(1.25 * max(last, clock.at, 24))), ylim=(-40, max(60, 20 * np.ceil(warm / 20))))
        for line, tg in zip(self.cures, clock.glass_transition, strict=True):
            line.set_data(clock.hours, tg - 273.15)
        self.asked.set_data([clock.at], [clock.tg_at - 273.15])
        self.after.xy = clock.at, clock.tg_at - 273.15
        wanted = clock.room + DEMOULD - 273.15
        above = clock.tg_at - 273.15 >= wanted            # clear of the curves and of the line, on either side
        self.after.set(text=f"{'not before' if clock.at == clock.not_before else 'after'} {clock.at:g} h", position=(0, 20) if above else (8, -6), va="bottom" if above else "top", ha="center" if above else "left")
        self.wanted.set_ydata([wanted] * 2)

