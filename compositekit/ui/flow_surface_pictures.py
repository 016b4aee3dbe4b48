"""Further pictures of page 04: the real surface filled, laid flat and in space."""

from __future__ import annotations

import matplotlib as mpl
import numpy as np
import shapely
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path
from matplotlib.tri import Triangulation

from ..shape.laid_flat import laid_flat
from ..studies.surface_lines import front_segments, line_in_space
from . import style
from .flow_outline import bounds, outline
from .flow_words import minutes_said
from .in_space import LIGHT, turned
from .picture import Picture
from .steps import next_step

BANDS = 8
SHADES = mpl.colormaps[style.FIELD].reversed()(np.linspace(0.04, 0.96, BANDS))    # early is light, late is dark
DRY = (0.93, 0.93, 0.93, 1.0)
CASED = 2.2      # points of white on both sides of a line that lies on colour
PATCH = {"facecolor": style.PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 1.0}
LEVELS_NAMED = 2
SPOTS = 12
VENT = (0, (4, 2.2))
NOTHING = Path(np.zeros((0, 2)))


def arrival_bands(fill):
    """Ends of the colour bands [min], evenly spaced in round numbers up to the last arrival or the gel."""
    last = float(np.max(fill.arrival.m_as("min"), where=np.isfinite(fill.arrival.magnitude), initial=1.0))
    return np.arange(BANDS + 1) * next_step(last / BANDS)


def colours(minutes, levels):
    """Colour of each triangle from the mean arrival of its corners; pale grey where one of them stays dry."""
    mean = minutes.mean(1)
    known = np.isfinite(mean)
    found = np.tile(DRY, (len(mean), 1))
    found[known] = SHADES[np.clip(np.searchsorted(levels, mean[known]) - 1, 0, BANDS - 1)]
    return found


def _region(triangles):
    """Triangles (m, 3, 2) as one path: a hatch over each by itself takes seconds."""
    if not len(triangles):
        return NOTHING
    return outline({"": shapely.coverage_union_all(shapely.polygons(triangles))})


class ColourBar:
    """The bands as a row of boxes with the minutes at their ends."""

    def build(self, axes):
        for n, colour in enumerate(SHADES):
            axes.add_patch(Rectangle((0, n), 1, 1, facecolor=colour, edgecolor="none"))
        axes.set(xlim=(0, 1), ylim=(0, BANDS), xticks=[], yticks=range(BANDS + 1), ylabel="minutes till the resin is there")
        axes.yaxis.set_label_position("right")
        axes.yaxis.tick_right()
        axes.set_yticklabels(["000"] * (BANDS + 1))    # room for the figures to come
        axes.grid(False)
        self.axes = axes

    def draw(self, levels):
        self.axes.set_yticklabels([f"{level:g}" for level in levels])


class _Surface(Picture):
    """What the two pictures of the surface share: colours that stay while only the time moves."""

    figsize = (9.6, 4.6)

    def __init__(self, panel):
        self.panel, self._shown = panel, None

    def _lines(self, axes, zorder):
        self.cases = axes.add_collection(LineCollection([], colors=style.PAPER, linewidths=3.2 + CASED, zorder=zorder), autolim=False)
        self.vents = axes.add_collection(LineCollection([], colors=style.RUST, linewidths=2.6, linestyles=[VENT], zorder=zorder + 0.1), autolim=False)
        self.feeds = axes.add_collection(LineCollection([], colors=style.BLUE, linewidths=3.2, zorder=zorder + 0.2), autolim=False)
        self.edge = LineCollection([], colors=style.PAPER, linewidths=2.4 + CASED, zorder=zorder + 0.3)
        self.front = LineCollection([], colors=style.INK, linewidths=2.4, zorder=zorder + 0.4)
        for lines in (self.edge, self.front):
            axes.add_collection(lines, autolim=False)

    def _legend(self, fig, *more):
        axes = fig.axes[0]
        (feed,) = axes.plot([], [], color=style.BLUE, linestyle="-", linewidth=3.2, label="feed line")
        (vent,) = axes.plot([], [], color=style.RUST, linestyle=VENT, linewidth=2.6, label="vent line")
        (front,) = axes.plot([], [], color=style.INK, linestyle="-", linewidth=2.4, label="front at the time chosen")
        fig.legend(handles=[feed, vent, front, *more], loc="outside lower left", ncols=5, fontsize=9, frameon=False)

    def _words(self, fill):
        time = self.panel.moment
        share, gelled = fill.wet_share(time), time >= fill.gel_time and not fill.arrives
        full = f"{fill.wet_words} after {minutes_said(fill.fill_time)} ({minutes_said(fill.time_allowed)} allowed)" if fill.arrives else "it gels before the part is full"
        return f"{'wet when it gels' if gelled else f'wet after {time.magnitude:.0f} min'}: {share:.0%}, slower skin; {full}"

    def alt(self, result):
        fill = self.panel.fill()
        spots = "; ".join(f"{spot.name} at ({spot.place.m[0]:.2f}, {spot.place.m[1]:.2f}) m in {spot.zone}" for spot in fill.pockets) or "no dry spot is closed off"
        stalled = "" if fill.arrives else f" {fill.stalled_area.m_as('m^2'):.2g} m² is still dry when the resin gels."
        return f"{self.seen} {self._words(fill)}. {spots[0].upper()}{spots[1:]}.{stalled} {self.panel.fill_words(fill)}"


class FilledSurface(_Surface):
    """The part laid flat in bands of arrival, with contour lines, feed and vent lines, dry spots, and the front at the time chosen."""

    label = "Filled surface"
    seen = "The part laid flat, coloured by the minutes till the resin is there, with feed and vent lines."

    def build(self, fig):
        fig.get_layout_engine().set(rect=(0, 0, 1, 0.95))     # the title's height, which a map as wide as this leaves out
        flat = laid_flat(self.panel.file.part.geometry)
        x0, y0, x1, y1 = bounds(flat)
        self.map, bar = fig.subplots(1, 2, width_ratios=[30, 1])
        pad = 0.05 * max(x1 - x0, y1 - y0)
        self.map.set(aspect="equal", xlim=(x0 - pad, x1 + pad), ylim=(y0 - pad, y1 + pad), xlabel="along the part, m", ylabel="across, laid flat, m")
        self.map.grid(False)
        self.bar = ColourBar()
        self.bar.build(bar)
        self.surface = None
        self.steps = self.map.add_collection(LineCollection([], colors=style.PAPER, linewidths=0.9, zorder=2), autolim=False)
        self.stalled, self.spots = (self.map.add_patch(PathPatch(NOTHING, facecolor=face, edgecolor=colour, linewidth=0, hatch=hatch, zorder=1.5))
                                    for face, colour, hatch in ((DRY, style.QUIET, "...."), ("none", style.INK, "////")))
        self.map.add_patch(PathPatch(outline(flat), facecolor="none", edgecolor=style.INK, linewidth=1, zorder=2.5))
        self._lines(self.map, 3)
        self.levels = [self.map.text(0, 0, "", fontsize=8, ha="center", va="center", zorder=3.6, bbox=PATCH) for _ in range(BANDS * LEVELS_NAMED)]
        self.names = [self.map.text(0, 0, "", fontsize=9.5, ha="center", va="center", zorder=6, bbox=PATCH, fontweight="bold") for _ in range(SPOTS)]
        self.called = [self.map.text(0, 0, "", fontsize=8.5, ha="center", va="center", zorder=6, bbox=PATCH) for _ in range(2 * SPOTS)]
        self.title = self.map.set_title("wet")
        dry, spot = Rectangle((0, 0), 1, 1, facecolor=DRY, edgecolor=style.QUIET, hatch="....", label="dry at gel"), Rectangle(
            (0, 0), 1, 1, facecolor=style.PAPER, edgecolor=style.INK, hatch="////", label="dry spot, closed off")
        self._legend(fig, dry, spot)
        return [self.edge, self.front, self.title]

    def draw(self, result):
        fill = self.panel.fill()
        if fill is not self._shown:
            self._paint(fill)
            self._shown = fill
            self.repaint()
        pieces = fill.front(self.panel.moment).m_as("m")
        self.edge.set_segments(pieces)
        self.front.set_segments(pieces)
        self.title.set_text(self._words(fill))

    def _paint(self, fill):
        net, levels = fill.net, arrival_bands(fill)
        minutes = fill.arrival.m_as("min")[net.node]
        self.bar.draw(levels)
        at = minutes[net.triangles]
        if self.surface is not None:
            self.surface.remove()
        dry = ~np.isfinite(at).all(1)
        self.surface = None if dry.all() else self.map.tricontourf(
            Triangulation(*net.places.T, net.triangles, dry), np.where(np.isfinite(minutes), minutes, 0), levels=levels, colors=SHADES, zorder=1)
        self.stalled.set_path(_region(net.places[net.triangles[dry]]))
        steps = [front_segments(net.places, net.triangles, minutes, level) for level in levels[1:-1]]
        self.steps.set_segments(np.concatenate(steps))
        spots = np.zeros(len(fill.mesh.si.nodes), bool)
        for text in (*self.names, *self.called):
            text.set_text("")
        for text, spot in zip(self.names, fill.pockets, strict=False):
            spots[spot.nodes] = True
            text.set_position(spot.place.m_as("m"))
            text.set_text(spot.name.removeprefix("dry spot "))
        self.spots.set_path(_region(net.places[net.triangles[spots[fill.mesh.si.triangles].sum(1) >= 2]]))
        self.feeds.set_segments([line.points for line in fill.lines if line.kind == "feed"])
        self.vents.set_segments([line.points for line in fill.lines if line.kind == "vent"])
        self.cases.set_segments([line.points for line in fill.lines])
        for text, line in zip(self.called, fill.lines, strict=False):
            text.set_position(_along(line.points, 0.3 if line.kind == "feed" else 0.6))
            text.set_text(line.name)
            text.set_color(style.BLUE if line.kind == "feed" else style.RUST)
        self._name_levels(steps, levels[1:-1])

    def _name_levels(self, steps, levels):
        """Figures on the contour lines, clear of one another and of the names."""
        for text in self.levels:
            text.set_text("")
        texts, apart = iter(self.levels), 0.06 * np.ptp(self.map.get_xlim())
        taken = [np.array(text.get_position()) for text in (*self.names, *self.called) if text.get_text()]
        for pieces, level in zip(steps, levels, strict=True):
            middles, named = pieces.mean(1), []
            for place in middles[np.argsort(np.abs(middles - middles.mean(0)).sum(1))] if len(middles) else ():
                if len(named) < LEVELS_NAMED and all(np.hypot(*(place - other)) > apart for other in taken) and all(np.hypot(*(place - other)) > 6 * apart for other in named):
                    text = next(texts)
                    text.set_position(place)
                    text.set_text(f"{level:g}")
                    named.append(place)
                    taken.append(place)


class FilledInSpace(_Surface):
    """The same in space, as the part lies: hull upright, turned by the slider."""

    label = "In space"
    seen = "The part in space, coloured by the minutes till the resin is there, with feed and vent lines."

    def build(self, fig):
        self.axes, bar = fig.subplots(1, 2, width_ratios=[30, 1])
        self.bar = ColourBar()
        self.bar.build(bar)
        self.axes.set(aspect="equal", xlim=(-1, 1), ylim=(-1, 1))
        self.axes.axis("off")
        self.surface = self.axes.add_collection(PolyCollection([], linewidths=0.3, zorder=1), autolim=False)
        self._lines(self.axes, 3)
        self.title = self.axes.set_title("wet")
        self._legend(fig, Rectangle((0, 0), 1, 1, facecolor=DRY, edgecolor=style.QUIET, label="dry at gel"))
        return [self.edge, self.front, self.title]

    def draw(self, result):
        fill, turn = self.panel.fill(), self.panel.controls["turn"].value
        if self._shown is None or self._shown[0] is not fill or self._shown[1] != turn:
            self._paint(fill, turn)
            self._shown = fill, turn
            self.repaint()
        pieces = self._seen(fill.front(self.panel.moment, in_space=True).m_as("m"), fill, turn)[..., [0, 2]]
        self.edge.set_segments(pieces)
        self.front.set_segments(pieces)
        self.title.set_text(self._words(fill))

    def _seen(self, points, fill, turn):
        nodes = fill.mesh.si.nodes
        return turned(points - (nodes.min(0) + nodes.max(0)) / 2, turn, 35)

    def _paint(self, fill, turn):
        levels, si = arrival_bands(fill), fill.mesh.si
        self.bar.draw(levels)
        seen = self._seen(si.nodes, fill, turn)
        low, high = seen[:, [0, 2]].min(0), seen[:, [0, 2]].max(0)
        pad = 0.04 * (high - low).max()
        self.axes.set(xlim=(low[0] - pad, high[0] + pad), ylim=(low[1] - pad, high[1] + pad))
        corners = seen[si.triangles]
        order = np.argsort(-corners[..., 1].mean(1))
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        bright = 0.8 + 0.2 * abs(across @ LIGHT) / np.linalg.norm(across, axis=1).clip(1e-12)
        paint = colours(fill.arrival.m_as("min")[si.triangles], levels)
        paint[:, :3] *= bright[:, None]
        self.surface.set_verts(corners[order][..., [0, 2]])
        self.surface.set_facecolor(paint[order])
        self.surface.set_edgecolor(paint[order])
        drawn = {line.name: self._seen(line_in_space(fill.mesh, line), fill, turn)[:, [0, 2]] for line in fill.lines}
        self.feeds.set_segments([drawn[line.name] for line in fill.lines if line.kind == "feed"])
        self.vents.set_segments([drawn[line.name] for line in fill.lines if line.kind == "vent"])
        self.cases.set_segments(list(drawn.values()))


def _along(points, share):
    """The place a share of the way along a line."""
    steps = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    return tuple(np.interp(share * steps[-1], steps, points[:, k]) for k in (0, 1))
