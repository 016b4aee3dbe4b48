"""Further pictures of page 02: with and without a core, the cores side by side, how the sheet is cut and bevelled."""

from __future__ import annotations

import numpy as np
from matplotlib.patches import Polygon, Rectangle

from ..studies.core_facts import BEVEL, bevel_length, toughness
from ..units import say
from . import style
from .picture import Picture
from .steps import next_step

SIZE = (8.4, 4.4)
ROWS = 9            # cores side by side
CORE = {"facecolor": "#e9dfc3", "edgecolor": style.QUIET, "linewidth": 0.8}
SHOWN = 3000.0      # % of the sag allowed, at most: beyond that the bar says so in words


class WithAndWithout(Picture):
    """The same skins bare, a solid laminate as stiff as asked, and the chosen core: section, mass and sag."""

    label = "With and without a core"
    figsize = SIZE
    NAMES = ("the same skins,\nno core", "solid laminate,\njust stiff enough", "with the core\nchecked")

    def build(self, fig):
        section, mass, sag = fig.subplots(1, 3, width_ratios=(0.75, 1, 1), sharey=True)
        for axes in (section, mass, sag):
            axes.set(ylim=(-0.6, 2.6), yticks=range(3), yticklabels=self.NAMES)
            axes.invert_yaxis()
            axes.grid(False)
        section.set(xlim=(0, 60), xlabel="thickness, mm", title="how thick")
        mass.set(xlim=(0, 100), xlabel="mass of the zone, kg", title="how heavy")
        sag.set(xscale="log", xlim=(10, SHOWN), xlabel="sag, % of what is allowed", title="how floppy", xticks=[10, 100, 1000], xticklabels=["10", "100", "1000"])
        sag.axvline(100, **style.LIMIT)
        self.slabs = [section.add_patch(Rectangle((0, y - 0.25), 0, 0.5, facecolor=style.BLUE)) for y in range(3)]
        self.filling = section.add_patch(Rectangle((0, 1.75), 0, 0.5, **CORE))
        self.masses, self.sags = mass.barh(range(3), [0] * 3, height=0.5, color=style.COLOURS[:3]), sag.barh(range(3), [0] * 3, left=10, height=0.5, color=style.COLOURS[:3])
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1}
        self.words = [[axes.text(0, y, "", va="center", fontsize=9, bbox=dict(box)) for y in range(3)] for axes in (section, mass, sag)]
        self.axes = section, mass
        return [*self.slabs, self.filling, *self.masses, *self.sags, *(text for column in self.words for text in column)]

    def draw(self, result):
        why, row = result.why, result.choice
        known = row.thickness is not None
        thick = [why.bare_thickness.m_as("mm"), why.solid_thickness.m_as("mm"), row.panel_thickness.m_as("mm") if known else np.nan]
        mass = [why.bare_mass.m_as("kg"), why.solid_mass.m_as("kg"), row.zone_mass.m_as("kg") if known else np.nan]
        sag = [100 * why.bare_use, 100.0, 100 * row.use["deflection"] if known else np.nan]
        skin = (thick[2] - row.thickness.m_as("mm")) / 2 if known else 0.0
        for axes, values in zip(self.axes, (thick, mass), strict=True):
            axes.set_xlim(0, next_step(1.35 * np.nanmax(values)))
        for slab, width in zip(self.slabs, np.nan_to_num(thick), strict=True):
            slab.set_width(width)
        self.filling.set_x(skin)
        self.filling.set_width(row.thickness.m_as("mm") if known else 0)
        for bar, value in zip(self.masses, np.nan_to_num(mass), strict=True):
            bar.set_width(value)
        for bar, value in zip(self.sags, np.nan_to_num(sag), strict=True):
            bar.set_width(min(max(value - 10, 0.1), SHOWN))     # bars start at 10 %
        for column, values, unit in zip(self.words, (thick, mass, sag), ("mm", "kg", "%"), strict=True):
            for text, value in zip(column, values, strict=True):
                inside = unit == "%" and value > 0.25 * SHOWN
                text.set_text("no sheet holds" if np.isnan(value) else f"{value / 100:,.0f} times " if inside else f" {value:.3g} {unit}")
                text.set_x(min(np.nan_to_num(value), SHOWN) if unit != "%" else min(max(np.nan_to_num(value), 11), SHOWN))
                text.set_ha("right" if inside else "left")
                text.set_color(style.PAPER if inside else style.INK)
                text.get_bbox_patch().set_visible(not inside)

    def alt(self, result):
        why, row = result.why, result.choice
        core = f"on {say(row.thickness, digits=2)} of {row.core.title} {say(row.zone_mass)} and {row.use['deflection']:.0%}" if row.thickness is not None else "no sheet of the core checked holds"
        return (f"Bars of thickness, mass and sag. The same skins without a core: {say(why.bare_thickness)}, {say(why.bare_mass)}, {why.bare_use:,.0f} times the sag allowed. "
                f"Solid and just stiff enough: {say(why.solid_thickness)}, {say(why.solid_mass)}. {core}.")


class SideBySide(Picture):
    """The lightest cores, each figure as a bar with its number, all at the thickness the checks ask."""

    label = "Side by side"
    figsize = SIZE
    COLUMNS = ("part, kg", "sheet, mm", "resin, kg/m²", "lift, kg/m²", "CO₂e, kg/m²", "price, 1 to 5", "good to, °C", "breaks at, %")
    MORE_IS_BETTER = ("lift, kg/m²", "good to, °C", "breaks at, %")

    def build(self, fig):
        self.axes = fig.subplots(1, len(self.COLUMNS), sharey=True)
        for axes, title in zip(self.axes, self.COLUMNS, strict=True):
            axes.set(xlim=(0, 1.75), ylim=(-0.6, ROWS - 0.4), xticks=[], yticks=range(ROWS))
            axes.set_title(f"{title}\n{'more' if title in self.MORE_IS_BETTER else 'less'} is better", fontsize=8)
            axes.invert_yaxis()
            axes.grid(False)
            axes.tick_params(left=False)
            axes.spines[:].set_visible(False)
        self.axes[0].set_yticklabels(["▶ pet-recycled-100 (out) "] * ROWS, fontsize=9)    # the longest name, for the room it needs
        self.bars = [axes.barh(range(ROWS), [0] * ROWS, height=0.6, color=style.BLUE) for axes in self.axes]
        self.words = [[axes.text(0, y, "", va="center", fontsize=8.5) for y in range(ROWS)] for axes in self.axes]
        return [*(bar for column in self.bars for bar in column), *(text for column in self.words for text in column)]

    @staticmethod
    def shown(result):
        """The choice, then the lightest that fit, then the lightest of the rest; with a sheet each."""
        rows = sorted((row for row in result.rows if row.thickness is not None), key=lambda row: (row is not result.choice, bool(row.reasons)))
        return rows[:ROWS]

    @staticmethod
    def figures(row):
        """One number per column; None where nothing was read."""
        core, optional = row.core, lambda value, scale=1.0: None if value is None else scale * value
        return (row.part_mass.magnitude, row.thickness.magnitude, row.resin.magnitude, row.lift.magnitude, None if row.carbon is None else row.carbon.magnitude,
                optional(core.si.price_class), row.good_to, optional(core.si.shear_strain, 100.0))

    def draw(self, result):
        rows = self.shown(result)
        names = [("▶ " if row is result.choice else "") + row.core.key + (" (out)" if row.reasons else "") for row in rows] + [""] * (ROWS - len(rows))
        if names != [label.get_text() for label in self.axes[0].get_yticklabels()]:
            self.axes[0].set_yticklabels(names, fontsize=9)
            self.repaint()
        table = [self.figures(row) for row in rows]
        for column, (bars, words) in enumerate(zip(self.bars, self.words, strict=True)):
            values = [line[column] for line in table]
            top = max((abs(value) for value in values if value is not None), default=1.0) or 1.0
            for y, (bar, text) in enumerate(zip(bars, words, strict=True)):
                value = values[y] if y < len(values) else None
                bar.set_width(0 if value is None else max(value, 0) / top)
                bar.set_alpha(0.45 if y < len(rows) and rows[y].reasons else 1.0)
                text.set_text("" if y >= len(values) else "?" if value is None else f" {value:.3g}")
                text.set_x(0.02 if value is None else max(value, 0) / top)

    def alt(self, result):
        rows = self.shown(result)
        said = "; ".join(f"{row.core.key}: part {say(row.part_mass)}, sheet {say(row.thickness, digits=2)}, resin {say(row.resin)}, {toughness(row.core)}" for row in rows)
        return f"Bars for each of {len(rows)} cores at equal stiffness, the one checked, then the lightest, ? where nothing was read: {', '.join(self.COLUMNS)}. {said}."


class CutsAndEdge(Picture):
    """What each cut holds and carries, and the bevel at the edge, to scale."""

    label = "Cuts and edge"
    figsize = SIZE

    def build(self, fig):
        (holds, carries), (edge, section) = fig.subplots(2, 2, height_ratios=(1.15, 1))
        names = ("plain", "grooved", "perforated", "slit")
        for axes in (holds, carries):
            axes.set(ylim=(-0.6, 3.6), yticks=range(4), yticklabels=names)
            axes.invert_yaxis()
        holds.set(xlim=(0, 3), xlabel="resin in the cuts, kg/m²", title="what the cuts drink")
        carries.set(xlim=(0, 30), xlabel="carries resin along, times a flow mesh", title="how well they feed", yticklabels=[])
        self.held, self.carried = (axes.barh(range(4), [0] * 4, height=0.55, color=colour) for axes, colour in ((holds, style.RUST), (carries, style.BLUE)))
        self.words = [[axes.text(0, y, "", va="center", fontsize=8.5) for y in range(4)] for axes in (holds, carries)]
        for axes, title in ((edge, "edge of the core, to scale"), (section, "which way round")):
            axes.set(aspect="equal", xticks=[], yticks=[], title=title)
            axes.spines[:].set_visible(False)
        edge.set(xlim=(-5, 190), ylim=(-12, 52))
        self.slope = edge.add_patch(Polygon(np.zeros((4, 2)), **CORE))
        self.size = edge.text(0, -2, "", ha="left", va="top", fontsize=9)
        self.block = section.add_patch(Rectangle((5, 14), 80, 26, **CORE))
        section.set(xlim=(0, 150), ylim=(-6, 54))
        section.annotate("", (95, 43), (95, 11), arrowprops={"arrowstyle": "<->", "color": style.INK})
        self.grain = section.text(99, 27, "balsa: grain this way,\nthrough the thickness.\nFoam: any way round", fontsize=8.5, va="center")
        section.text(5, 9, "scrim outside the bend: the slits close, and drink less;\ninside it: they gape, drink more and feed more", fontsize=8.5, va="top")
        self.axes, self.cored = (holds, carries), [section.plot([x, x], [14, 40], color=style.QUIET, linewidth=0.8, linestyle="-", marker="")[0] for x in range(11, 85, 6)]
        return [*self.held, *self.carried, *(text for column in self.words for text in column), self.slope, self.size]

    def draw(self, result):
        cuts, row = result.cuts, result.choice
        for axes, bars, words, figure in zip(self.axes, (self.held, self.carried), self.words, (self._holds, self._carries), strict=True):
            values = [figure(cut) for cut in cuts] or [None] * 4
            axes.set_xlim(0, next_step(1.9 * max([value for value in values if value is not None] or [1.0]) or 1.0))
            for y, (bar, text, value) in enumerate(zip(bars, words, values, strict=True)):
                bar.set_width(value or 0.0)
                text.set_x(value or 0.0)
                text.set_text(" – no sheet" if not cuts else self._said(cuts[y], value, figure) + (" ◀ chosen" if cuts[y].name == result.cut else ""))
                bar.set_alpha(1.0 if cuts and cuts[y].name == result.cut else 0.45)
        thickness = 0.0 if row.thickness is None else row.thickness.m_as("mm")
        run = bevel_length(thickness)
        self.slope.set_xy([(0, 0), (60 + run, 0), (60, thickness), (0, thickness)])
        self.size.set_text(f"bevel 1 in {BEVEL:g}: {run:.0f} mm long on {thickness:.3g} mm" if thickness else "no sheet of this core holds")

    @staticmethod
    def _holds(cut):
        return None if cut.resin is None else cut.resin.magnitude

    @staticmethod
    def _carries(cut):
        return cut.carries

    def _said(self, cut, value, figure):
        if value is None:
            return " sheet too thin"
        if figure == self._holds:
            return f" {value:.2g}, {'joins the skins' if cut.joins else 'skins stay apart'}"
        return f" {value:.2g}" if value else " nothing along"

    def alt(self, result):
        said = "; ".join(f"{cut.name}: {cut.words}" + ("" if cut.resin is None else f", holds {say(cut.resin)}, {'joins' if cut.joins else 'does not join'} the skins, "
                                                       f"carries {cut.carries:.2g} times a flow mesh along") for cut in result.cuts)
        thickness = result.choice.thickness
        edge = "" if thickness is None else f" A bevel of 1 in {BEVEL:g} on {say(thickness, digits=2)} is {say(bevel_length(thickness), digits=2)} long."
        return f"Bars of resin in the cuts and of how well they carry. {said}.{edge} Balsa grain runs through the thickness."
