"""Pictures beside the flow page: layouts by fill time, and where a dry spot is likely on the part laid flat."""

from __future__ import annotations

import numpy as np
from matplotlib import colormaps
from matplotlib.cm import ScalarMappable
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.colors import Normalize
from matplotlib.patches import PathPatch

from ..shape.laid_flat import laid_flat
from ..studies.feed_layouts import area_words, minutes
from ..studies.surface_lines import flat_net
from . import style
from .flow_outline import bounds, outline
from .picture import Picture

HOLDS, FAILS = {"color": style.GREEN}, {"facecolor": style.PAPER, "edgecolor": style.RUST, "hatch": "///"}
CHANCE = colormaps[style.FIELD].reversed()
DRY = "✗"
BEHIND = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.8}


class LayoutBars(Picture):
    """One bar a layout, as long as its fill, up to the gel; hatched where it does not hold, marked where cloth stays dry."""

    label = "Layouts"
    figsize = (9.2, 5.0)
    redraw = True

    def build(self, fig):
        self.axes = fig.subplots()
        self.axes.set_yticks([0], ["herring-bone, 10 ribs (today)"])     # room for the names to come
        self.axes.set(xlabel=" ", title=" ")
        return []

    def draw(self, result):
        axes = self.axes
        axes.clear()
        rows = [row for row in result.rows if row.fill is not None]
        gel, allowed = rows[0].fill.gel_time.m_as("min"), rows[0].time_allowed.m_as("min")
        for n, row in enumerate(rows):
            long = min(row.fill_time.m_as("min"), gel)
            axes.barh(n, long, height=0.62, **(HOLDS if row.holds else FAILS))
            axes.text(long + 0.012 * gel, n, self._words(row), va="center", fontsize=9.5, bbox=BEHIND, zorder=4)
        axes.set(yticks=range(len(rows)), ylim=(len(rows) - 0.4, -1.1), xlim=(0, 1.45 * gel), xlabel="minutes till the part is full")
        axes.set_yticklabels([f"{row.name}{' (today)' if row.today else ''}" for row in rows])
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
        axes.axvline(allowed, **style.LIMIT)
        axes.axvline(gel, color=style.INK, linewidth=2.2)
        for at, said in ((allowed, f"allowed, {allowed:.0f} min "), (gel, f"gels, {gel:.0f} min ")):
            axes.text(at, -0.75, said, ha="right", va="center", fontsize=9.5)
        axes.set_title("solid: holds;  hatched: does not;  ✗: cloth stays dry", fontsize=10.5, loc="left")

    def _words(self, row):
        dry = f"{DRY} {area_words(row.dry_area)} dry" if row.dry_area.magnitude else ""
        time = minutes(row.fill_time) if np.isfinite(row.fill_time.magnitude) else ""
        return ", ".join(word for word in (time, dry, f"{row.inlets} inlet{'' if row.inlets == 1 else 's'}") if word)

    def alt(self, result):
        rows = "; ".join(f"{row.name} {row.verdict}" for row in result.rows)
        return f"Bars of fill time, best first: {rows}."


class ChanceMap(Picture):
    """The part laid flat, coloured by how often each place was closed off from every vent, with lines and the edges that may race."""

    label = "Chance of a dry spot"
    figsize = (9.2, 4.4)
    redraw = True

    def __init__(self, geometry):
        self.geometry = geometry

    def build(self, fig):
        flat = laid_flat(self.geometry)
        x0, y0, x1, y1 = bounds(flat)
        pad = 0.06 * max(x1 - x0, y1 - y0)
        self.axes, bar = fig.subplots(1, 2, width_ratios=[1, 0.025])
        axes = self.axes
        axes.set(aspect="equal", xlim=(x0 - pad, x1 + pad), ylim=(y0 - pad, y1 + pad), xlabel="along the part, m", ylabel="across, laid flat, m")
        axes.grid(False)
        self.title = axes.set_title(" ")
        axes.add_patch(PathPatch(outline(flat), facecolor="none", edgecolor=style.QUIET, linewidth=0.8, zorder=2))
        self.fields = axes.add_collection(PolyCollection([], edgecolor="face", linewidth=0.4, zorder=1), autolim=False)
        self.edges = axes.add_collection(LineCollection([], colors=style.INK, linewidths=1.4, linestyles="dotted", zorder=3), autolim=False)
        self.blamed = axes.add_collection(LineCollection([], colors=style.INK, linewidths=5, zorder=3), autolim=False)
        self.vents = axes.add_collection(LineCollection([], colors=style.RUST, linewidths=2.2, linestyles=[(0, (4, 2.2))], zorder=4), autolim=False)
        self.feeds = axes.add_collection(LineCollection([], colors=style.BLUE, linewidths=3.2, zorder=4), autolim=False)
        (self.worst,) = axes.plot([], [], marker="o", markersize=16, markerfacecolor="none", markeredgecolor=style.INK, markeredgewidth=2, linestyle="none", zorder=5)
        (feed,) = axes.plot([], [], color=style.BLUE, linestyle="-", linewidth=3.2, label="feed line")
        (vent,) = axes.plot([], [], color=style.RUST, linestyle=(0, (4, 2.2)), linewidth=2.2, label="vent line")
        (edge,) = axes.plot([], [], color=style.INK, linestyle=":", linewidth=1.4, label="edge that may race")
        (blamed,) = axes.plot([], [], color=style.INK, linestyle="-", linewidth=5, label="edge that goes with dry spots")
        (ring,) = axes.plot([], [], marker="o", markersize=10, markerfacecolor="none", markeredgecolor=style.INK, markeredgewidth=2, linestyle="none", label="most often closed off")
        fig.legend(handles=[feed, vent, edge, blamed, ring], loc="outside lower left", ncols=5, fontsize=9, frameon=False)
        self.norm = Normalize(0, 10)
        self.bar = fig.colorbar(ScalarMappable(self.norm, CHANCE), cax=bar, label="fills in which it was closed off, %")
        return []

    def draw(self, result):
        net = flat_net(result.mesh)
        percent = 100 * result.node_chance[net.node]
        self.norm.vmax = max(1.0, float(percent.max()))
        mean = percent[net.triangles].mean(1)
        spots = mean > 0
        self.fields.set_verts(net.places[net.triangles[spots]])
        self.fields.set_facecolor(CHANCE(self.norm(mean[spots])))
        blamed = [edge for edge, _ in result.blamed]
        self.edges.set_segments([piece for edge in result.edges for piece in self._on_flat(net, edge)])
        self.blamed.set_segments([piece for edge in blamed for piece in self._on_flat(net, edge)])
        self.feeds.set_segments([line.points for line in result.lines if line.kind == "feed"])
        self.vents.set_segments([line.points for line in result.lines if line.kind == "vent"])
        place = [] if result.worst_place is None else result.worst_place.m_as("m")
        self.worst.set_data(*([[place[0]], [place[1]]] if len(place) else ([], [])))
        self.title.set_text(f"a dry spot in {result.dry} of {result.runs} fills")

    def _on_flat(self, net, edge):
        """Mesh edges along a piece of core edge, wherever they lie on the part laid flat."""
        wanted = {tuple(sorted(pair)) for pair in zip(edge.channel.nodes[:-1].tolist(), edge.channel.nodes[1:].tolist(), strict=True)}
        on = np.isin(net.node, edge.channel.nodes)
        corners = net.triangles[on[net.triangles].sum(1) >= 2]
        sides = np.concatenate([corners[:, pair] for pair in ((0, 1), (1, 2), (2, 0))])
        return [net.places[side] for side in sides if tuple(sorted(net.node[side].tolist())) in wanted]

    def alt(self, result):
        return f"The part laid flat, coloured by how often each place was closed off from every vent. {' '.join(result.said)}"
