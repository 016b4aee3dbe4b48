"""Page 01: what did the small sample tell? Front and strips of the trial panel beside the catalogue's promise."""

from __future__ import annotations

import html
from contextlib import suppress

import ipywidgets as w
import numpy as np

from ..errors import CompositeKitError, PartFileError
from ..infusion.vacuum import READ_LIMITS
from ..studies.trial_compare import BENDING
from ..studies.trial_front import LEAST
from ..studies.trial_panel import trial_panel
from ..units import say
from . import style, tables
from .panel import Panel
from .record import RecordDecision
from .steps import next_step

ALL, NONE = "all strips", "no trial yet"


class TrialPanelPanel(Panel):
    """Trial panel of the open part: left the front, right the strips."""

    figsize = (9.2, 4.2)

    def make_controls(self):
        names = [trial.name for trial in self.part.part.trials] or [NONE]
        trial = w.Dropdown(options=names, description="trial panel")
        skip = w.IntSlider(value=0, min=0, max=0, description="early readings of the front to leave out")
        factor = w.FloatSlider(value=1, min=0.5, max=2, step=0.05, description="resin as mixed, times as thick as on its sheet")
        strip = w.Dropdown(options=[ALL], description="stiffness from")
        self._fit_controls(names[0], skip, strip)
        trial.observe(lambda change: self._other_trial(change["new"]), "value")   # before the panel's own
        return {"trial": trial, "skip_early": skip, "viscosity_factor": factor, "strip": strip}

    def _fit_controls(self, name, skip, strip):
        """Offer the readings and strips of this trial; where it cannot be read, the page says so, and nothing is offered."""
        readings, strips = LEAST, ()
        with suppress(CompositeKitError):
            found = self.compute(name, 0, 1.0, ALL)
            readings, strips = len(found.front.times) if found.front else LEAST, found.strips
        skip.max, strip.options = max(readings - LEAST, 0), [ALL, *(one.name for one in strips)]

    def _other_trial(self, name):
        held, self._held = self._held, True
        self._fit_controls(name, self.controls["skip_early"], self.controls["strip"])
        self._held = held

    def build(self, fig):
        self.front, self.strips = fig.subplots(1, 2)
        self.front.set(xlabel="time, min", ylabel="front distance squared, m²", xlim=(0, 60), ylim=(0, 0.4), title="flow front")
        self.strips.set(xlabel="load, N", ylabel="deflection in the middle, mm", xlim=(0, 300), ylim=(0, 7), title="test strips")
        self.through, self.expected = (self.front.plot([], [], label=label, **style.line(number))[0]
                                       for number, label in enumerate(("fit of the readings, resin thickening", "sum of the flow page, catalogue")))
        (self.used,) = self.front.plot([], [], "o", color=style.INK, label="reading")
        (self.left_out,) = self.front.plot([], [], "o", mfc="none", color=style.INK, label="left out")
        self.no_front, self.no_strips = (axes.text(0.5, 0.5, "", transform=axes.transAxes, ha="center", color=style.QUIET)
                                         for axes in (self.front, self.strips))
        self._front_named, self._strips_shown, self._strip_artists = None, None, []
        return [self.through, self.expected, self.used, self.left_out, self.no_front, self.no_strips]

    def compute(self, trial, skip_early, viscosity_factor, strip):
        return trial_panel(self.part.part, self.part.catalogue, None if trial == NONE else trial, self.part.folder, skip_early=skip_early,
                           viscosity_factor=viscosity_factor, strip=None if strip == ALL else strip)

    def draw(self, result):
        self._draw_front(result.front)
        shown = [(strip.name, strip in result.chosen, [(s.span, s.slope, *s.deflections) for s in strip.set_ups]) for strip in result.strips]
        if shown != self._strips_shown:      # no slider moves the strips: they stay in the still picture
            self._strips_shown = shown
            self._draw_strips(result)
            self.repaint()
        self.over = [legend for legend in (self.front.get_legend(), self.strips.get_legend()) if legend]

    def _draw_front(self, front):
        self.no_front.set_text("" if front else "no front log")
        if front is None:
            for line in (self.through, self.expected, self.used, self.left_out):
                line.set_data([], [])
            self._name_lines([])
            return
        minutes, squares = front.times / 60, front.distances**2
        end = 1.05 * minutes[-1]
        self.front.set(xlim=(0, end), ylim=(0, next_step(1.02 * max(squares.max(), front.fitted(60 * end)))))
        span = np.linspace(0, end, 40)
        self.through.set_data(span, front.fitted(60 * span))
        self.expected.set_data(span, front.planned(60 * span))
        self.used.set_data(minutes[front.used], squares[front.used])
        self.left_out.set_data(minutes[~front.used], squares[~front.used])
        self._name_lines([self.through, self.expected, self.used, *([] if front.used.all() else [self.left_out])])

    def _name_lines(self, handles):
        """A legend of what is there; the still picture is only drawn anew when that changes."""
        if handles == self._front_named:
            return
        self._front_named = handles
        if self.front.get_legend():
            self.front.get_legend().remove()
        if handles:
            self.front.legend(handles=handles, loc="upper left", fontsize=9)
        self.repaint()

    def _draw_strips(self, result):
        for old in self._strip_artists:
            old.remove()
        self._strip_artists = []
        set_ups = [(strip, set_up) for strip in result.strips for set_up in strip.set_ups]
        self.no_strips.set_text("" if set_ups else "no strips tested")
        if not set_ups:
            return
        self.strips.set(xlim=(0, 1.2 * max(s.loads.max() for _, s in set_ups)), ylim=(0, 1.1e3 * max(s.deflections.max() for _, s in set_ups)))
        spans = sorted({(s.span, s.load_span) for _, s in set_ups})
        artists, named = self._strip_artists, set()
        for strip, set_up in set_ups:
            number = spans.index((set_up.span, set_up.load_span))
            chosen = strip in result.chosen
            look = style.line(number) if chosen else style.line(number) | {"color": "#8a8a8a", "linewidth": 1}
            ends = np.array([0, set_up.loads.max()])
            label = f"span {1e3 * set_up.span:g} mm, {'two loads' if set_up.load_span else 'one load'}" if chosen and number not in named else None
            named |= {number} if chosen else set()
            artists += self.strips.plot(ends, 1e3 * (set_up.offset + set_up.slope * ends), **look, label=label)
            artists += self.strips.plot(set_up.loads, 1e3 * set_up.deflections, style.MARKERS[number % len(style.MARKERS)],
                                        color=look["color"], mfc=look["color"] if chosen else "none", markersize=5)
            beside = 1.02 * ends[1] + 0.03 * self.strips.get_xlim()[1] * result.strips.index(strip)
            artists.append(self.strips.text(beside, 1e3 * set_up.deflections.max(), strip.name, color=look["color"], fontsize=9,
                                            va="center"))
        artists.append(self.strips.legend(loc="center right", fontsize=9))

    def headline(self, result):
        if result.trial is None:
            plan = result.plan
            return (f"No trial panel of this part yet. Make one of the {plan.zone}: {say(plan.panel_length, 'mm')} by "
                    f"{say(plan.panel_width, 'mm')}, {plan.strips} strips")
        said = []
        beware = f"{result.other} " if result.other else ""
        permeability = result.row("permeability of the cloth")
        if permeability:
            said.append(f"permeability {say(permeability.measured, 'm^2')}, {permeability.ratio:.2f} times the catalogue's")
        bending = result.row("bending stiffness per width")
        if bending:
            said.append(f"bending stiffness {bending.ratio:.2f} times the one calculated for {'that panel' if result.other else 'it'}")
        mass = result.row("panel mass per area")
        said.append(f"{say(mass.measured, 'kg/m^2')} of panel, {mass.ratio:.2f} times the calculated mass")
        return f'{beware}Trial "{result.trial.name}": {"; ".join(said)}'

    def extra_html(self, result):
        plan = tables.rows(result.plan.rows(), f"A trial for the layup of the {result.plan.zone} as it is now: what to make", {"size": "mm"})
        more = (f"<p>About {say(result.plan.resin_in_panel, 'g')} of resin stays in such a panel; mix what hoses, peel ply and bucket take on top. "
                f"Cut {result.plan.strips} strips and bend each on both spans: the long one tells the skins, the short one the core. Write "
                "load and deflection at four loads or more each time, and mark the front every few minutes while the panel fills.</p>")
        if result.trial is None:
            return plan + more
        front = "" if result.front is None else f"<p>{html.escape(result.front.fit_words + self._flag_words(result.front))}</p>"
        few = f"<p>{html.escape(result.few)}</p>" if result.few else ""
        return front + few + self._compared(result) + self._drop(result) + self._reading(result) + plan + more

    def _flag_words(self, front):
        if not front.flagged:
            return " No early reading stands out."
        these = "first reading lies" if front.flagged == 1 else f"first {front.flagged} readings lie"
        return f" The {these} off the line of the later ones: leave them out and see whether the permeability moves."

    def _compared(self, result):
        rows = [{"what": row.what, "measured": say(row.measured, row.unit), "catalogue": say(row.expected, row.unit), "ratio": row.ratio,
                 "what it says": row.words} for row in result.compared]
        return tables.rows(rows, "Measured beside the catalogue's figure for the layup that was tried")

    def _drop(self, result):
        rise = result.drop.rise.to("mbar/min")
        rows = [{"limit for": limit.what, "limit": limit.rise.to("mbar/min"), "this trial": rise,
                 "verdict": "holds" if rise <= limit.rise else "FAILS", "from": f"{limit.source} ({limit.grade})"} for limit in READ_LIMITS]
        return tables.rows(rows, "The drop test against other limits in print")

    def _reading(self, result):
        """How to use a ratio, since later pages do not use it by themselves."""
        said = ["<b>The other pages still calculate with the catalogue.</b> A recorded trial is kept beside the part and not fed into them; only the "
                "flow page takes the front of a trial, where you ask it to."]
        permeability = result.row("permeability of the cloth")
        if BENDING in result.growth:
            said.append(f"The largest deflection on the sizing page becomes {result.growth[BENDING]:.2f} times as large with the bending stiffness as measured.")
        if permeability:
            said.append(f"A fill time becomes about {1 / permeability.ratio:.2f} times as long with the cloth as measured.")
        return f"<p>{' '.join(said)} To calculate with your own figures, enter them in the shop's own materials.</p>"

    def make_record(self):
        return RecordDecision(self.part, "what the trial panel showed", self._offer)

    def _offer(self):
        if self.result is None:
            raise PartFileError("There is no answer to record; mend what the page complains of first.")
        numbers = [check.sentence() for check in self.result.checks] + [said for said in (self.result.few, self.result.other) if said]
        return dict(choice=self.result.choice, changes={}, alternatives=[], numbers=numbers, rests_on=self.result.rests_on)
