"""Core selection: every core of the catalogue as thick as it must be, as a picture and a table, and why each one is out."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np

from ..errors import PartFileError
from ..studies.core_selection import CUTS, core_selection
from ..studies.core_selection_words import CORE_WAYS, SKIN_WAYS, asks
from ..studies.core_table import FAMILIES, core_table
from ..units import Q_, say
from . import style, tables
from .core_selection_pictures import CutsAndEdge, SideBySide, WithAndWithout
from .layup_controls import ZoneRecord, answered, core_changes, too_thick_to_buy, zone_control
from .panel import Panel

LINE = 0.05      # height of a name in the picture, of the whole height
NAMED = 4        # so many of the lightest that fit get their name in the picture
MARKERS = ("o", "s", "^", "D", "v", "p", "h", "<", ">")
CUT_WORDS = dict(zip(CUTS, ("plain sheet", "grooved on one face", "perforated", "slit into squares"), strict=True))


class CoreSelectionPanel(Panel):
    """Cores for one zone: how thick, how heavy, and what speaks against them."""

    figsize = (8.4, 4.4)
    label = "Thickness and mass"

    def views(self):
        return [WithAndWithout(), SideBySide(), CutsAndEdge()]

    def __init__(self, file):
        self.file = file
        super().__init__(file.part)

    # --- controls ---

    def make_controls(self):
        part, catalogue = self.file.part, self.file.catalogue
        self._cores = cores = core_table(catalogue, catalogue.resin(part.resin).contains_styrene).cores
        families = dict.fromkeys(core.family for core in cores)
        zone = zone_control(part)
        controls = {
            "zone": zone,
            "core": w.Dropdown(options=[("lightest that fits", ""), *((core.title, core.key) for core in cores)], description="core to check and record"),
            "cut": w.Dropdown(options=[(words, name) for name, words in CUT_WORDS.items()], description="how the sheet is cut"),
            "longest": w.IntSlider(value=40, min=5, max=60, step=1, description="thickest core allowed, mm"),
            "family": w.Dropdown(options=[("all families", ""), *((FAMILIES.get(name, name), name) for name in families)], description="compare"),
            "skin_temperature": w.IntSlider(value=60, min=20, max=80, step=1, description="hottest the skin gets, °C (dark in full sun: 80)"),
        }
        self._take(controls, zone.value)
        zone.observe(lambda change: self._take(self.controls, change["new"]), "value")
        return controls

    def _take(self, controls, zone):
        """Set core and cut to those of this zone as saved, without a refresh of their own."""
        core, self._held = self.file.part.layup[zone].core, True
        try:
            known = [key for _, key in controls["core"].options]
            controls["core"].value = core.core if core and core.core in known else ""
            controls["cut"].value = core.cut if core else "plain"
        finally:
            self._held = False
        if hasattr(self, "record"):
            self.record.show(zone)

    # --- what is computed ---

    def compute(self, zone, core, cut, longest, family, skin_temperature):
        return core_selection(self.file.part, self.file.catalogue, zone, core or None, cut, Q_(longest, "mm"), family or None,
                              Q_(skin_temperature, "degC"), lightest=not core)

    # --- the picture ---

    def build(self, fig):
        chart = fig.subplots()
        chart.set(xlim=(0, 60), ylim=(0, 60), xlabel="core thickness needed, mm, before rounding up to a sheet", ylabel="part with that sheet, kg",
                  title="filled: fits; hollow: out")
        families = [*dict.fromkeys(core.family for core in self._cores)]
        self.marks = {(family, fits): chart.plot([], [], linestyle="none", marker=MARKERS[n % len(MARKERS)], markersize=8,
                                                 color=style.COLOURS[n % len(style.COLOURS)], markerfacecolor=None if fits else "none",
                                                 label=FAMILIES.get(family, family) if fits else None)[0]
                      for n, family in enumerate(families) for fits in (True, False)}
        rings = {"markerfacecolor": "none", "linestyle": "none", "markeredgewidth": 2}
        (self.chosen,) = chart.plot([], [], marker="o", markeredgecolor=style.INK, markersize=17, label="checked below", **rings)
        self.target, self.thickest = chart.axhline(0, **style.LIMIT), chart.axvline(0, **style.LIMIT)
        self.saved = chart.axhline(0, color=style.QUIET, linestyle=":", linewidth=1.5)
        self.heights = [chart.text(0, 0, "", fontsize=9, va="bottom") for _ in range(2)]
        self.names = [chart.text(0, 0, "", fontsize=9, va="center", bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1}) for _ in range(NAMED + 1)]
        self.leaders = [chart.plot([], [], color=style.QUIET, linestyle="-", linewidth=0.8, marker="", zorder=1.5)[0] for _ in self.names]
        fig.legend(*chart.get_legend_handles_labels(), loc="outside right upper", fontsize=9)
        self.chart = chart
        return [*self.leaders, *self.marks.values(), self.chosen, self.saved, self.target, self.thickest, *self.heights, *self.names]

    def draw(self, result):
        shown = [row for row in result.rows if row.thickness is not None]
        for (family, fits), mark in self.marks.items():
            mark.set_data(*_points(row for row in shown if row.core.family == family and fits is (not row.reasons)))
        self.chosen.set_data(*_points(row for row in shown if row is result.choice))
        self._frame(result, shown, self.file.part.brief.mass_target)
        self._name([result.choice, *(row for row in result.fit if row is not result.choice)][:NAMED + 1])

    def _frame(self, result, shown, target):
        longest, now, target = result.longest.m_as("mm"), result.part_mass_now.m_as("kg"), np.nan if target is None else target.m_as("kg")
        masses = np.array([*(row.part_mass.magnitude for row in shown), now, target])
        low, high = np.nanmin(masses), np.nanmax(masses)
        needs = [row.exact.magnitude for row in shown] or [longest]
        left = min(needs)
        right = max(left + 4, min(max(needs), 2 * longest))
        room = max(right - left, 4)
        self.chart.set_xlim(left - 0.4 * room, right + 0.5 * room)     # room for the words on both sides
        self.chart.set_ylim(low - 0.08 * (high - low) - 0.1, high + 0.08 * (high - low) + 0.1)
        self.thickest.set_xdata([longest, longest])
        today = self.file.part.layup[result.zone].core
        saved = f"as in the part file, {say(today.thickness, 'mm', 2) if today else 'no core'}"
        for line, text, height, words in zip((self.target, self.saved), self.heights, (target, now), (f"mass target {target:.3g} kg", saved), strict=True):
            line.set_ydata([height, height])
            text.set_text("" if np.isnan(height) else words)
            text.set_va("top" if height == np.nanmin([now, target]) else "bottom")     # apart, should the two lines lie close
            clear = 0.008 * (high - low) * (-1 if text.get_va() == "top" else 1)
            text.set_position((left - 0.39 * room, 0 if np.isnan(height) else height + clear))

    def _name(self, rows):
        """Names in a column beside the marks, each at least a line above the last, with a thin line to its mark."""
        (low, high), (left, right), floor = self.chart.get_ylim(), self.chart.get_xlim(), -np.inf
        rows = sorted((row for row in rows if row.thickness is not None), key=lambda row: row.part_mass.magnitude)
        for text, leader in zip(self.names, self.leaders, strict=True):
            text.set_text("")
            leader.set_data([], [])
        column = right - 0.22 * (right - left)
        for text, leader, row in zip(self.names, self.leaders, rows, strict=False):
            floor = max(floor + LINE * (high - low), row.part_mass.magnitude)
            text.set_position((column + 0.01 * (right - left), floor))
            text.set_text(row.core.key)
            leader.set_data([min(row.exact.magnitude, right), column], [row.part_mass.magnitude, floor])

    # --- what is said ---

    def headline(self, result):
        row, family = result.choice, self.values["family"]
        compared = [one for one in result.rows if not family or one.core.family == family]     # the core checked may be of another
        fit = [one for one in compared if not one.reasons]
        if row.thickness is None:
            return f"{result.zone}: {row.core.title} is {row.reasons[0]}; {len(fit)} of {len(compared)} cores fit"
        state = f"out: {'; '.join(row.reasons)}" if row.reasons else "nothing speaks against it"
        thick = too_thick_to_buy(row.core, row.thickness)
        sheet = f"{say(row.thickness, digits=2)} ({thick}: glue two together)" if thick else f"a {say(row.thickness, digits=2)} sheet"
        lightest = f"; lightest that fits: {fit[0].core.title}" if fit and fit[0] is not row else ""
        return (f"{result.zone}: {row.core.title} needs {asks(row)}, so {sheet}; part "
                f"{say(row.part_mass, 'kg')}; {state}. {len(fit)} of {len(compared)} cores fit{lightest}")

    def extra_html(self, result):
        return self.why_html(result) + tables.table(self.caption(result), HEADS, [_line(row, row is result.choice) for row in result.rows]) \
            + tables.rows([{"family": name, "grades": count, "why none is compared": why} for name, count, why in result.ruled_out],
                          "Out before any sum") \
            + tables.bullets([f"{count} {why}" for count, why in result.left_out], "Catalogue rows passed over")

    @staticmethod
    def caption(result) -> str:
        return (f"Every core as thick as sag, skins and core ask with today's plies, {CUT_WORDS[result.cut]}, lightest first (▶ the one checked above). "
                "Percentages are shares of what is allowed")

    @staticmethod
    def why_html(result) -> str:
        why, row = result.why, result.choice
        with_core = "" if row.thickness is None else (f" On {say(row.thickness, digits=2)} of {row.core.title} the zone weighs {say(row.zone_mass, 'kg')} "
                                                      f"and sags {say(row.sag)} of {say(row.sag_limit)}.")
        text = (f"Why a core: laid together without one, these skins would sag {why.bare_use:,.0f} times too far. Solid laminate of the outer "
                f"cloth would have to be {say(why.solid_thickness)} thick, {why.solid_plies} plies, and this zone alone would weigh "
                f"{say(why.solid_mass, 'kg')}.{with_core}")
        return f"<p>{html.escape(text)}</p>"

    # --- the record ---

    def make_record(self):
        self.record = ZoneRecord(self.file, "core of zone", self.offer, self.controls["zone"].value)
        return self.record

    def offer(self) -> dict:
        """What is recorded when the button is pressed."""
        result, values = answered(self.result), self.values
        row = result.choice
        if row.thickness is None:
            raise PartFileError(f"Nothing was recorded: {row.core.title} is {row.reasons[0]}. Choose another core, or thicker skins on page 03.")
        thickness = row.thickness.m_as("mm")
        others = [other for other in result.rows if other is not row][:5]
        return dict(choice=f"{thickness:.3g} mm {row.core.key}, {values['cut']}",
                    changes=core_changes(self.file.part, values["zone"], row.core.key, thickness, values["cut"]),
                    alternatives=[f"{other.core.key}, part {say(other.part_mass, 'kg')}: {'; '.join(other.reasons) or 'fits'}" for other in others],
                    numbers=[check.sentence() for check in result.checks], rests_on=result.rests_on)


def _points(rows):
    points = [(row.exact.magnitude, row.part_mass.magnitude) for row in rows]
    return ([x for x, _ in points], [y for _, y in points])


HEADS = ("core, its key, grade of its figures", "sheet, mm", "part, kg", "resin, kg/m²", "panel, kg/m³", "good to, °C", "verdict")


def _line(row, chosen):
    """One row of the table, ready made, so that the verdict gets the room it needs."""
    core = {name: row.use[name] for name in CORE_WAYS if name in row.use}
    tightest, skins = max(core, key=core.get), max(row.use[name] for name in SKIN_WAYS if name in row.use)
    mark, look = (tables.FAILS, "ck-fails") if row.reasons else (tables.HOLDS, "ck-holds")
    said = "; ".join(row.reasons) or f"fits; {tightest} {core[tightest]:.0%}; skins {skins:.0%}"
    if row.least != row.needed:
        said += f"; needs {asks(row)}"
    sheet = "–" if row.thickness is None else f"{row.thickness.magnitude:.3g} (needs {row.least.magnitude:.0f})"
    numbers = (sheet, *(tables.show(value) for value in (row.part_mass.magnitude, row.resin.magnitude, row.bulk_density.magnitude,
                                                         None if row.good_to is None else round(row.good_to))))
    name = html.escape(("▶ " if chosen else "") + row.core.title)
    return [f'<div style="min-width: 170px">{name}</div><span class="ck-source">{html.escape(row.core.key)}, {html.escape(row.core.grade)}</span>',
            *(f'<td class="ck-number">{number}</td>' for number in numbers),
            f'<td class="{look}" style="min-width: 150px">{mark} {html.escape(said)}</td>']
