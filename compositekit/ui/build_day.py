"""Page 07: the traveller for the day. Buckets, front and cure on one sheet; what happened goes into the build log."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np
from matplotlib.collections import PolyCollection

from ..errors import PartFileError
from ..part.tables import front_from_text
from ..studies.build_day import build_day
from ..studies.day_cure import DEMOULD, HARDENED
from ..studies.day_front import LEAST
from ..studies.day_log import entry_bucket, entry_drop, entry_front, entry_room, entry_weight
from ..studies.resin_budget import resin_budget
from ..units import Q_, say
from . import style, tables
from .build_log import BuildLog
from .panel import Panel
from .steps import next_step


def _grams(mass):
    return f"{mass.m_as('g'):.5g} g"


def _bars(left, right, rows):
    """Boxes 0.6 high in these rows."""
    return [[(a, row + 0.2), (b, row + 0.2), (b, row + 0.8), (a, row + 0.8)] for a, b, row in zip(left, right, rows, strict=True)]


def _smooth(curve, gel):
    """A front in minutes and metres until it is at the vent or gels; finer than its points, since it starts steeply."""
    distances, clock = curve
    runs = np.isfinite(clock)
    fine = np.linspace(0, min(clock[runs][-1], 60 * gel) ** 0.5, 60)
    return fine**2 / 60, np.interp(fine, np.sqrt(clock[runs]), distances[runs])


class BuildDayPanel(Panel):
    """The day of the open part: timeline above, front and cure clock below."""

    figsize = (9.2, 6.6)

    def make_controls(self):
        shop = self.part.part.workshop
        typed = {"continuous_update": False}
        return {
            "temperature": w.FloatSlider(value=shop.temperature.m_as("degC"), min=5, max=40, step=0.5, description="room, °C", **typed),
            "humidity": w.FloatSlider(value=shop.relative_humidity.m_as("percent"), min=10, max=95, step=1, description="humidity of the air, %", **typed),
            "drop_start": w.BoundedFloatText(value=round(shop.bag_pressure.m_as("mbar"), 1), min=0, max=1100, step=1, description="drop test: absolute pressure at the start, mbar"),
            "drop_end": w.BoundedFloatText(value=round(shop.bag_pressure.m_as("mbar"), 1), min=0, max=1100, step=1, description="drop test: at the end, mbar"),
            "drop_minutes": w.BoundedFloatText(value=0, min=0, max=600, step=1, description="drop test: minutes between (0 = not done yet)"),
            "readings": w.Textarea(value="", placeholder="5 120, 10 180", rows=2, description="front on the slowest way: minutes millimetres, …", **typed),
            "gel_hours": w.BoundedFloatText(value=0, min=0, max=200, step=0.5, description="a thin film of this resin gelled after, h (0 = not seen)"),
            "warmer": w.FloatSlider(value=0, min=0, max=40, step=1, description="cure warmer than the room by, °C", **typed),
            "cure_hours": w.FloatSlider(value=48, min=6, max=336, step=6, description="hours until you want to demould", **typed),
            "weight": w.BoundedFloatText(value=0, min=0, max=5000, step=0.1, description="finished part on the scale, kg (0 = not yet)"),
        }

    def build(self, fig):
        grid = fig.add_gridspec(2, 2, height_ratios=(1, 1.15))
        self.day, self.front, self.cure = fig.add_subplot(grid[0, :]), fig.add_subplot(grid[1, 0]), fig.add_subplot(grid[1, 1])
        self.day.set(xlabel="minutes since the clamp was opened", xlim=(-20, 200), ylim=(0, 5), yticks=[], title="the infusion")
        self.front.set(xlabel="minutes since the clamp was opened", ylabel="front from the feed line, m", xlim=(0, 200), ylim=(0, 0.35), title="front on the slowest way")
        self.cure.set(xlabel="hours after the fill", ylabel="estimated Tg of the resin, °C", xlim=(0, 150), ylim=(-40, 60), title="cure clock")
        return [*self._build_day(), *self._build_front(), *self._build_cure()]

    def _build_day(self):
        axes = self.day
        self.mixing, self.using, self.filling = (PolyCollection([], **look) for look in (
            {"facecolor": style.PAPER, "edgecolor": style.RUST, "hatch": "////"}, {"facecolor": style.RUST, "alpha": 0.55}, {"facecolor": style.BLUE, "alpha": 0.8}))
        for bars in (self.mixing, self.using, self.filling):
            axes.add_collection(bars, autolim=False)
        self.full = axes.text(0, 0.5, "", va="center", fontsize=9)
        self.limits = [(axes.axvline(0, **style.LIMIT), axes.text(0, 0.985, words, transform=axes.get_xaxis_transform(), va="top", fontsize=9))
                       for words in (" time allowed", " gel")]
        self.names = []      # one a bucket, made when first wanted
        return [self.mixing, self.using, self.filling, self.full, *(artist for pair in self.limits for artist in pair)]

    def _build_front(self):
        axes = self.front
        self.runs = [axes.plot([], [], label=label, **style.line(number))[0]
                     for number, label in enumerate(("under the bag, calculated", "at the speed seen", "skin nobody sees"))]
        (self.seen,) = axes.plot([], [], "o", color=style.INK, label="reading")
        self.vent = axes.axhline(0, color=style.QUIET, linewidth=1), axes.text(0, 0, " vent", fontsize=9, color=style.QUIET)
        self.allowed = (axes.axvline(0, **style.LIMIT),
                        axes.text(0, 0.02, " time allowed ", transform=axes.get_xaxis_transform(), fontsize=9))
        self._key = None
        return [*self.runs, self.seen, *self.vent, *self.allowed]

    def _build_cure(self):
        axes = self.cure
        self.cures = [axes.plot([], [], label=words, **style.line(number))[0] for number, words in enumerate(("typical pot life", "slow, decides"))]
        (self.asked,) = axes.plot([], [], "D", color=style.INK)
        self.after = axes.annotate("", (0, 0), (6, -4), textcoords="offset points", va="top", fontsize=9)
        self.wanted = axes.axhline(0, **style.LIMIT, label="demould: room + 10 °C")
        self.no_clock = axes.text(0.5, 0.5, "", transform=axes.transAxes, ha="center", color=style.QUIET)
        self._cure_legend = axes.legend(loc="lower right", fontsize=9)
        return [*self.cures, self.asked, self.after, self.wanted, self.no_clock]

    def compute(self, temperature, humidity, drop_start, drop_end, drop_minutes, readings, gel_hours, warmer, cure_hours, weight):
        part = self._changed_part(temperature, humidity)
        drop = (Q_(drop_start, "mbar"), Q_(drop_end, "mbar"), Q_(drop_minutes, "min")) if drop_minutes else None
        return build_day(part, self.part.catalogue, drop=drop, readings=front_from_text(readings, LEAST) if readings.strip() else None,
                         weighed=Q_(weight, "kg") if weight else None, cure_temperature=Q_(temperature + warmer, "degC"),
                         cure_time=Q_(cure_hours, "hour"), gel_seen=Q_(gel_hours, "hour") if gel_hours else None,
                         budget=self._budget(part, temperature))

    def _changed_part(self, temperature, humidity):
        shop, changes = self.part.part.workshop, {}
        if abs(shop.temperature.m_as("degC") - temperature) > 1e-6:
            changes["workshop.temperature"] = f"{temperature:g} degC"
        if abs(shop.relative_humidity.m_as("percent") - humidity) > 1e-6:
            changes["workshop.relative_humidity"] = f"{humidity:g} %"
        return self.part.part.changed(changes) if changes else self.part.part

    def _budget(self, part, temperature):
        """The resin budget, worked out again only when part or temperature changed; damp air takes no resin."""
        asked = (id(self.part.part), temperature)
        if getattr(self, "_kept", (None, None))[0] != asked:
            self._kept = (asked, resin_budget(part, self.part.catalogue))
        return self._kept[1]

    # --- the picture ---

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
        fresh = [axes.text(0, 0, "", va="center", fontsize=9) for _ in range(len(cards) - len(self.names))]
        self.names += fresh
        gap = 0.006 * (end - start)
        for number, text in enumerate(self.names):
            text.set_visible(number < len(cards))
            if number < len(cards):
                card = cards[number]
                room = empty[number] < start + 0.72 * (end - start)      # for the words behind the bar, else before it
                text.set(position=(empty[number] + gap if room else mix[number] - gap, rows[number] + 0.5), ha="left" if room else "right",
                         text=f"bucket {card.number}: {_grams(card.resin)} + {_grams(card.hardener)}")
        full = fill if np.isfinite(fill) else gel
        self.filling.set_verts(_bars([0], [full], [0]))
        inside = full > 0.6 * end
        self.full.set(text=f"part full at {fill:.0f} min" if np.isfinite(fill) else "NOT full: the resin gels first",
                      x=0.01 * end if inside else full + gap, color=style.PAPER if inside else style.INK)
        for (line, word), time in zip(self.limits, (allowed, gel), strict=True):
            line.set_xdata([time, time])
            word.set_x(time)
        return fresh

    def _draw_front(self, result):
        axes, front = self.front, result.front
        allowed, gel = (time.m_as("min") for time in (result.budget.flow.time_allowed, result.budget.flow.gel_time))
        wide = next_step(1.1 * min(gel, max(allowed, 1.2 * front.finish / 60)))
        axes.set(xlim=(0, wide), ylim=(0, 1.15 * front.run))
        shown = (front.curve, front.bent if front.seen else None, front.last if front.hidden else None)
        for line, curve in zip(self.runs, shown, strict=True):
            line.set_data(*(([], []) if curve is None else _smooth(curve, gel)))
        self.seen.set_data(*((front.times / 60, front.distances) if front.seen else ([], [])))
        line, word = self.vent
        line.set_ydata([front.run] * 2)
        word.set_y(1.02 * front.run)
        line, word = self.allowed
        line.set_xdata([allowed] * 2)
        word.set(x=allowed, ha="right" if allowed > 0.6 * wide else "left")
        handles = [line for line in (*self.runs, self.seen) if len(line.get_xdata())]
        low = max(line.get_ydata()[-1] for line in handles) < 0.3 * front.run     # the legend goes where no curve is
        self._name_curves(handles, "center right" if low else "lower right")

    def _name_curves(self, handles, place):
        """A legend of what is there; the still picture is only drawn anew when that changes."""
        key = [line.get_label() for line in handles], place
        if key != self._key:
            self._key = key
            legend = self.front.legend(handles=handles, loc=place, fontsize=9, bbox_to_anchor=(0, 0.06, 1, 0.94))    # above "time allowed"
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
        above = clock.tg_at - 273.15 > wanted            # off the line on either side
        self.after.set(text=f"after {clock.at:g} h", position=(0, 14) if above else (6, -4), va="bottom" if above else "top", ha="center" if above else "left")
        self.wanted.set_ydata([wanted] * 2)

    # --- the words ---

    def headline(self, result):
        full = f"full after {result.fill.m_as('min'):.0f} min" if np.isfinite(result.fill.magnitude) else "NOT full before the resin gels"
        seen = "as seen" if result.front.seen else "as calculated"
        mixed = sum((card.resin + card.hardener for card in result.cards), Q_(0.0, "g"))
        buckets = f"{len(result.cards)} bucket{'' if len(result.cards) == 1 else 's'}, {say(mixed, 'kg')} mixed" if result.cards else "no mixing plan holds"
        if result.leak is None:
            bag = "bag not tested yet"
        else:
            bag = f"bag {'holds' if result.leak.test.holds else 'LEAKS'} ({say(result.leak.test.rise, 'mbar/min')})"
        return f"{bag}; {buckets}; part {full} ({seen}); {self._demould(result)}"

    def _demould(self, result):
        if result.cure is None:
            return "demould by the data sheet"
        slow = result.cure.when[1]
        return f"demould not before {slow:.0f} h, an estimate" if np.isfinite(slow) else "too cold to demould within two weeks"

    def extra_html(self, result):
        said = [result.front.words]
        if result.leak is None:
            said.append("Drop test: pump off, vent clamped, read the absolute pressure now and after ten minutes, and put the figures in on the left.")
        else:
            said.append(f"With the vent clamped and that leak, the bag stands at {say(result.leak.pressure_at_end, 'mbar')} after {say(result.leak.until, 'min')}.")
        said += [self._damp(result), self._cure(result)]
        words = "".join(f"<p>{html.escape(text)}</p>" for text in said)
        return words + self._cards(result) + self._log(result) + self._tasks(result)

    def _damp(self, result):
        wet = result.damp
        if wet.boils_at is None:
            return "In this room water is ice: nothing is said of how it boils under the bag. Warm the room before anything is mixed."
        said = (f"Free water boils under the bag below {say(wet.boils_at, 'mbar')}; the bag stands at {wet.free_margin:.2f} times that"
                f"{', so a drip or a damp core bubbles' if wet.free_margin < 1 else ''}.")
        if wet.moisture is not None:
            said += (f" Cloth in balance with this air holds {wet.moisture:.1%} of water, {say(wet.water, 'g')} in all of it, which boils off below 1/{wet.margin:.2f} of "
                     f"the bag's pressure. Under the bag it would settle at {wet.held_at:.0%} humidity: {'vacuum alone does not dry it' if wet.held_at > 0.9 else 'vacuum helps to dry it'}.")
        return said

    def _cure(self, result):
        if result.cure is None:
            return ""
        clock = result.cure
        times = " to ".join(f"{time:.0f} h" if np.isfinite(time) else "more than two weeks" for time in clock.when)
        return (f"Cure clock, an estimate: at {clock.oven - 273.15:.0f} °C the resin's Tg stands {DEMOULD:g} °C above the room after {times}. {HARDENED}.")

    def _cards(self, result):
        if not result.cards:
            return f"<p>{html.escape(result.budget.no_plan)}</p>"
        rows = [{"bucket": card.number, "start mixing, min": f"{card.mix_at.m_as('min'):+.0f}", "ready, min": f"{card.ready_at.m_as('min'):+.0f}",
                 "resin, g": f"{card.resin.m_as('g'):.5g}", "hardener, g": f"{card.hardener.m_as('g'):.5g}", "empty by, min": f"{card.used_up_by.m_as('min'):.0f}",
                 "kicks off after, min": f"{card.life.m_as('min'):.0f}", "done": "☐"} for card in result.cards]
        spare = result.budget.spare
        return tables.rows(rows, "Mixing cards, minutes from opening the clamp; the first bucket stands ready when it opens") + (
            f"<p>Reserve, weighed out and left unmixed: {say(spare[0], 'g')} resin and {say(spare[1], 'g')} hardener.</p>")

    def _log(self, result):
        if not result.built:
            return "<p>The build log is empty: the buttons below write into it.</p>"
        rows = [{"what": line.what, "built": line.built, "planned": line.planned or None, "when": line.when, "remark": line.note or None} for line in result.built]
        return tables.rows(rows, "Planned beside built, from the build log")

    def _tasks(self, result):
        rows = [{"what": task.what, "where": task.group, "how much": task.much or None, "done": "☐"} for task in result.tasks]
        return tables.rows(rows, "Check list")

    # --- the log ---

    def make_record(self):
        entries = {"Drop test": self._log_drop, "Room": self._log_room, "Front readings": self._log_front, "Finished weight": self._log_weight}
        entries |= {f"Bucket {card.number} mixed": (lambda number=card.number: self._log_bucket(number)) for card in (self.result.cards if self.result else ())}
        return BuildLog(self.part, entries, self.refresh)

    def _answer(self):
        if self.result is None:
            raise PartFileError("There is no answer to write down; mend what the page complains of first.")
        return self.result

    def _log_drop(self):
        if self._answer().leak is None:
            raise PartFileError("Put in the drop test first: start, end and the minutes between.")
        return *entry_drop(self.result.leak), ""

    def _log_room(self):
        self._answer()
        return *entry_room(Q_(self.controls["temperature"].value, "degC"), Q_(self.controls["humidity"].value, "percent")), ""

    def _log_front(self):
        if not self._answer().front.seen:
            raise PartFileError("Put in readings of the front first.")
        return *entry_front(self.result.front), f"readings {' '.join(self.controls['readings'].value.split())} (min mm)"

    def _log_weight(self):
        if self._answer().weighed is None:
            raise PartFileError("Put in the finished weight first.")
        return *entry_weight(self.result.weighed), ""

    def _log_bucket(self, number):
        card = next((card for card in self._answer().cards if card.number == number), None)
        if card is None:
            raise PartFileError(f"There is no bucket {number} in the plan as it stands now.")
        return *entry_bucket(card), ""
