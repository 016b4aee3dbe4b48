"""Skin sizing: choose plies and core of a zone, see the section to scale and how much of each limit is used up."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np
from matplotlib.patches import Rectangle

from ..errors import PartFileError
from ..studies.downstream import part_figures
from ..studies.sag import FOLDS, MANY
from ..studies.skin_search_words import BAND, CAUTION, LEFT_OUT, step_words
from ..studies.skin_sizing import skin_sizing
from ..studies.skin_sizing_words import BIAXIAL
from ..units import Q_, say
from . import style, tables
from .failure_map_picture import FailureMapPicture, sag_word, star_words
from .layup_controls import (
    ZoneRecord,
    among_options,
    answered,
    core_changes,
    core_options,
    edge_changes,
    edge_options,
    fabric_options,
    one_fabric,
    ply_changes,
    too_thick_to_buy,
    zone_control,
)
from .panel import Panel
from .skin_sizing_tables import (
    choice_words,
    margin_words,
    nearest_words,
    plies_words,
    ply_rows,
    sag_shown,
    sold_words,
    stress_words,
    sweep_lines,
)
from .through_picture import ThroughPicture
from .trade_off_picture import TradeOffPicture, front_rows

TOP = 3.0            # times the limit, the highest the picture shows
CURVES = ("sag", "skins", "core", "part mass", "swamped")


class SkinSizingPanel(Panel):
    """Plies and core of one zone against every load of the brief on it."""

    figsize = (8.4, 4.2)
    label = "Section and core"

    def views(self):
        return [ThroughPicture(), FailureMapPicture(), TradeOffPicture()]

    def __init__(self, file):
        self.file, self._saved, self._taking = file, (None, None), False
        super().__init__(file.part)

    # --- controls ---

    def make_controls(self):
        catalogue, part = self.file.catalogue, self.file.part
        zone = zone_control(part)
        used = {layup.core.core for layup in part.layup.values() if layup.core}
        plies = {"min": 0, "max": 8}
        controls = {
            "zone": zone,
            "fabric": w.Dropdown(options=fabric_options(catalogue), description="cloth of every ply", tooltip=BIAXIAL),
            "outside": w.IntSlider(min=1, max=8, description="plies outside"),
            "inside": w.IntSlider(**plies, description="plies inside"),
            "core": w.Dropdown(options=core_options(catalogue, used), description="core"),
            "thickness": w.FloatSlider(min=3, max=40, step=1, readout_format=".3g", description="core thickness, mm"),
            "solid": w.Checkbox(description="no core: skins laid together"),
            "edges": w.Dropdown(description="edges of the panel"),
            "among": w.Dropdown(options=among_options(catalogue), description="what else would do, among"),
        }
        self._take(controls, zone.value)
        zone.observe(lambda change: self._take(self.controls, change["new"]), "value")
        return controls

    def _take(self, controls, zone):
        """Set the controls to the layup of this zone as saved, without a refresh of their own."""
        part, self._held = self.file.part, True
        layup = part.layup[zone]
        try:
            controls["edges"].options = edge_options(part, zone)
            controls["edges"].index = 0
            cloth, cloths = one_fabric(layup), fabric_options(self.file.catalogue)
            controls["fabric"].options = cloths if cloth else [("as laid up, mixed", ""), *cloths]
            controls["fabric"].value = cloth or ""
            for face in ("outside", "inside"):
                count = len(getattr(layup, face))
                controls[face].max = max(8, count)
                controls[face].value = count
            controls["solid"].value = layup.core is None
            if layup.core is not None:
                slider, thickness = controls["thickness"], layup.core.thickness.m_as("mm")
                slider.min, slider.max = min(3, thickness), max(40, thickness)
                slider.value = thickness
                controls["core"].value = layup.core.core
        finally:
            self._held = False
        if hasattr(self, "record"):
            self.record.show(zone)

    # --- what is computed ---

    def changes(self, zone, fabric, outside, inside, core, thickness, solid, edges, **_) -> dict:
        """The part-file changes that these controls stand for; none when they stand as saved."""
        part = self.file.part
        return (ply_changes(part, zone, fabric or None, outside, inside)
                | core_changes(part, zone, None if solid else core, thickness) | edge_changes(part, zone, edges))

    def compute(self, zone, among, **values):
        if not values["inside"] and not values["solid"]:
            raise PartFileError('plies inside is 0, but a core needs plies on both sides: set plies inside to 1 or more, or tick "no core".')
        changes, part = self.changes(zone, **values), self.file.part
        if self._saved[0] is not part:
            self._saved = part, part_figures(part, self.file.catalogue)
        return skin_sizing(part.changed(changes) if changes else part, self.file.catalogue, zone, self._saved[1], among)

    # --- the picture ---

    def build(self, fig):
        section, chart = fig.subplots(1, 2, width_ratios=(1, 1.9))
        section.set(xlim=(0, 30), ylim=(-8, 46), aspect="equal", xticks=[], ylabel="height of the section, mm", title="section, to scale")
        section.set_yticks(range(0, 41, 10))
        section.grid(False)
        self.layers = [section.add_patch(Rectangle((2, 0), 26, 0, **look)) for look in
                       ({"facecolor": style.BLUE}, {"facecolor": "#e9dfc3", "edgecolor": style.QUIET, "hatch": "..", "linewidth": 0},
                        {"facecolor": style.BLUE})]
        self.labels = [section.text(15, 0, "", ha="center", va=va, fontsize=9, bbox=box) for va, box in
                       (("top", None), ("center", {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.5}), ("bottom", None))]
        chart.set(xlim=(0, 40), ylim=(0, 100 * TOP), xlabel="core thickness, mm", ylabel="share of what is allowed, %",
                  title="below the dashed line it holds")
        chart.axhline(100, **style.LIMIT)
        self.window = chart.add_patch(Rectangle((0, 0), 0, 100, facecolor=style.GREEN, alpha=0.15))
        self.curves = [chart.plot([], [], label=name, **style.line(n))[0] for n, name in enumerate(CURVES)]
        self.points = [chart.plot([], [], linestyle="none", marker=style.MARKERS[n], color=style.COLOURS[n], markersize=7, zorder=4)[0]
                       for n in range(len(CURVES))]
        self.off = [chart.text(0, 0, "", fontsize=8.5, va="center", zorder=5, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.5})
                    for _ in CURVES]
        self.now = chart.axvline(0, color=style.QUIET, linewidth=1)
        (self.sold,) = chart.plot([], [], linestyle="none", marker="^", markersize=6, color=style.INK, clip_on=False, label="sheets sold")
        self.sold.set_in_layout(False)      # without data yet it would throw the layout
        self.bare = chart.text(0.5, 0.5, "", transform=chart.transAxes, ha="center", va="center", color=style.QUIET)
        self.legend = fig.legend(handles=[*self.curves, self.sold], loc="outside lower right", ncols=6, fontsize=9, frameon=False, handlelength=1.6,
                                 columnspacing=1.0)
        self.section, self.chart = section, chart
        return [*self.layers, *self.labels, self.window, *self.curves, *self.points, *self.off, self.now, self.sold, self.bare]

    def draw(self, result):
        self._draw_section(result.build)
        self._draw_curves(result)

    def _draw_section(self, build):
        inner = build.inner.si.thickness if build.inner else 0.0
        heights = [1e3 * part for part in (build.outer.si.thickness, build.core_thickness, inner)]
        foot = np.concatenate([[0], np.cumsum(heights)])
        for layer, bottom, height in zip(self.layers, foot, heights, strict=False):
            layer.set_y(bottom)
            layer.set_height(height)
        words = (f"outside: {plies_words(build.outer_keys)}, {heights[0]:.2f} mm", f"core {heights[1]:.3g} mm" if build.core else "",
                 f"inside: {plies_words(build.inner_keys)}, {heights[2]:.2f} mm" if inner else "")
        for label, y, text in zip(self.labels, (-1.5, foot[1] + heights[1] / 2, foot[3] + 1.5), words, strict=True):
            label.set_y(y)
            label.set_text(text)
        self.section.set_ylim(-8, max(46, foot[3] + 8))

    def _draw_curves(self, result):
        sweep, low, high = result.sweep, 0, 0
        lines = [None] * len(CURVES) if sweep is None else sweep_lines(sweep)
        for curve, share in zip(self.curves, lines, strict=True):
            known = share is not None
            curve.set_data(sweep.core_thickness.m_as("mm") if known else [], 100 * share if known else [])
        here = 1e3 * result.build.core_thickness
        end = max(40, here)
        row = 0
        for name, point, text, share in zip(CURVES, self.points, self.off, result.shares, strict=True):
            text.set_text("")
            point.set_data([here] if share is not None else [], [100 * share] if share is not None else [])
            if share is not None and share > TOP:      # in rows below the top, or they would pile up
                height, on_right = 100 * TOP - 10 - 17 * row, here < 0.6 * end
                row += 1
                point.set_data([here], [height])
                text.set(position=(here + (0.02 if on_right else -0.02) * end, height), ha="left" if on_right else "right",
                         text=f"{name}, off the top: {f'{share:.0%}' if share < FOLDS else f'more than {FOLDS} times'}")
        sold = [] if result.build.core is None or result.build.core.thicknesses is None else result.build.core.thicknesses.m_as("mm")
        self.sold.set_data(sold, np.zeros(len(sold)))
        self.bare.set_text("" if sweep else "no core: no thickness to vary, so no curves")
        if self.legend.get_visible() != (sweep is not None):
            self.legend.set_visible(sweep is not None)
            self.repaint()
        self.now.set_xdata([here, here])
        if sweep is not None and sweep.fits:
            low, high = (end.m_as("mm") for end in sweep.fits)
        self.window.set_x(low)
        self.window.set_width(high - low)
        self.chart.set_xlim(0, end)

    # --- what is said ---

    def headline(self, result):
        case = result.worst
        state = (result.tally if result.failed else
                 "all checks hold, and the panel more than twice over: overbuilt" if result.overbuilt else f"all {len(result.checks)} checks hold")
        core = f"{result.build.core_thickness * 1e3:.3g} mm of core{self.sheet_words(result)}" if result.build.core else "no core"
        sag = MANY.removesuffix(" what is allowed") if case.use["deflection"] >= FOLDS else f"{sag_shown(case, result.build)} of"
        return (f"{result.zone}, {core}: sags {sag} the {say(case.deflection_limit, 'mm')} allowed under "
                f'"{case.name}"; part {say(result.part_mass, "kg")}; {state}')

    def extra_html(self, result):
        rows = [{"load": f"{case.name}: {case.words}", "sag": sag_shown(case, result.build), "allowed": case.deflection_limit,
                 "of it bending": f"{case.bending_share:.0%}", "skin stress": stress_words(case), "core shear": case.core_shear,
                 "nearest its limit": nearest_words(case)} for case in result.loads]
        warning = "".join(f"<p><strong>{html.escape(words[0].upper() + words[1:])}.</strong></p>" for words in (result.one_way, result.clamped) if words)
        return (f"{warning}<p><strong>Further down the line:</strong> {html.escape(result.knock_on)}.</p>"
                + tables.rows(rows, "Every load of the brief on this zone", {"skin stress": "MPa", "core shear": "MPa"})
                + tables.rows(ply_rows(result.margins), "Ply by ply, the load that is worst for each face; the whole section as one laminate")
                + margin_words(result.margins) + tables.rows(front_rows(result), "The blue line of what else would do, by its letters")
                + tables.bullets([CAUTION, BAND, LEFT_OUT], "What else would do: how far these figures go"))

    def first_html(self, result):
        star = "" if result.failure_map is None else f"<p>{html.escape(star_words(result.failure_map))}</p>"
        steps = "".join(f"<li>{html.escape(sag_word(step_words(step)))}</li>" for step in result.steps)
        return (f"<p>{html.escape(self.window_words(result))}</p>{star}<div class=\"ck-note\"><strong>One step from here, what it buys and what it "
                f"breaks</strong><ol>{steps}</ol></div>")

    @staticmethod
    def sheet_words(result) -> str:
        """What is sold, where the thickness dialled in is no sheet of the catalogue; empty where it is, or no sheets are listed."""
        core, thickness, sheet = result.build.core, Q_(1e3 * result.build.core_thickness, "mm"), result.next_sheet
        if sheet is None:
            words = too_thick_to_buy(core, thickness)
            return f" ({words})" if words else ""
        return "" if abs(sheet - thickness) < Q_(1e-6, "mm") else f" (next sheet sold: {say(sheet, digits=2)})"

    @staticmethod
    def window_words(result) -> str:
        """What the curves say, in words."""
        sweep = result.sweep
        if sweep is None:
            return "Without a core there is no curve: the marks at 0 mm stand for the skins laid together."
        if sweep.fits:
            low, high = (f"{end.m_as('mm'):.3g} mm" for end in sweep.fits)
            return f"With these skins and this core material, every limit holds from {low} to {high} of core (the shaded band). {sold_words(result)}".strip()
        names = [name for name, use in zip(CURVES, sweep_lines(sweep), strict=True)
                 if use is not None and use.min() > 1]
        reason = f"{' and '.join(names)} stay above the line however thick it is" if names else "where the panel is stiff and strong enough, the part is too heavy"
        return f"No core from 3 to 40 mm holds every limit with these skins: {reason}. Change plies, cloth or core material."

    # --- the record ---

    def make_record(self):
        self.record = ZoneRecord(self.file, "skins and core thickness of zone", self.offer, self.controls["zone"].value)
        return self.record

    def offer(self) -> dict:
        """What is recorded when the button is pressed."""
        result, saved = answered(self.result), skin_sizing(self.file.part, self.file.catalogue, self.values["zone"])
        return dict(choice=choice_words(result), changes=self.changes(**self.values),
                    alternatives=[f"as before: {choice_words(saved)}; {saved.verdict}"],
                    numbers=[check.sentence() for check in result.checks], rests_on=result.rests_on)
