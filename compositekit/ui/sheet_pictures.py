"""Pictures for the build sheet: every zone's section to scale, and the part laid flat with its feed and vent lines."""

from __future__ import annotations

import io
from itertools import pairwise

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path
from shapely.geometry.polygon import orient

from ..studies.sheet import BuildSheet, Picture
from ..units import Q_, say
from . import style

CORE_LOOK = {"facecolor": "#e9dfc3", "edgecolor": style.QUIET, "hatch": "..", "linewidth": 0.4}
PLY_COLOURS = (style.BLUE, "#5b79b5")     # neighbours differ, so that plies can be counted
ABREAST = 3


def pictures(sheet: BuildSheet) -> dict[str, tuple[Picture, ...]]:
    """Pictures by the key of the section they belong to; none where the figures could not be computed."""
    found = {}
    if sheet.builds:
        found["layup"] = tuple(_sections(dict(list(sheet.builds.items())[at:at + ABREAST])) for at in range(0, len(sheet.builds), ABREAST))
    if flow := sheet.study("flow distance"):
        found["feed"] = (_feed_plan(flow.plan, flow.layout),)
    return found


def _png(figure):
    raw = io.BytesIO()
    FigureCanvasAgg(figure).print_png(raw, metadata={"Software": None})
    return raw.getvalue()


# --- sections to scale -------------------------------------------------------------------------

def _sections(builds):
    thickest = max(build.thickness.m_as("mm") for build in builds.values())
    with style.plain():
        figure = Figure(figsize=(2.8 * max(len(builds), 2), 2.7), dpi=150, layout="constrained")
        for axes, build in zip(figure.subplots(1, len(builds), squeeze=False)[0], builds.values(), strict=True):
            _one_section(axes, build, thickest)
        png = _png(figure)
    return Picture(png, "Sections to scale, outside face at the top. " + " ".join(map(_section_words, builds.values())), min(1.0, 0.34 * max(len(builds), 2)))


def _one_section(axes, build, thickest):
    wide = 0.62 * thickest
    y, named = 0.0, []
    for number, (words, thickness, core) in enumerate(_layers(build)):
        look = CORE_LOOK if core else {"facecolor": PLY_COLOURS[number % 2], "edgecolor": "none"}
        axes.add_patch(Rectangle((0, y), wide, thickness, **look))
        named.append((y + thickness / 2, words))
        y += thickness
    gap = 0.085 * thickest
    places = _spread([place for place, _ in named], gap)
    for (at, words), place in zip(named, places, strict=True):
        axes.plot([wide, 1.12 * wide, 1.22 * wide], [at, at, place], color=style.QUIET, linewidth=0.7)
        axes.text(1.25 * wide, place, words, va="center", fontsize=8)
    axes.set(xlim=(-0.02 * wide, 2.2 * wide), ylim=(max(thickest, places[-1]) + gap, min(0.0, places[0]) - gap), aspect="equal", title=build.name)
    axes.set_yticks([0, round(y, 2)], ["0", f"{y:.1f} mm"], fontsize=8)
    axes.set_xticks([])
    axes.grid(False)
    axes.spines["bottom"].set_visible(False)


def _layers(build):
    outer = [(f"outside {n}", ply.thickness.m_as("mm"), False) for n, ply in enumerate(build.outer.plies, 1)]
    core = [(f"core {say(Q_(build.core_thickness, 'm'), 'mm')}", 1e3 * build.core_thickness, True)] if build.core else []
    inner = [(f"inside {n}", ply.thickness.m_as("mm"), False) for n, ply in enumerate(build.inner.plies, 1)] if build.inner else []
    return outer + core + inner


def _spread(places, gap):
    """Places of labels as near to their layers as a least gap allows: pushed down from the top, then back up."""
    found = list(places)
    for n, (above, below) in enumerate(pairwise(range(len(found)))):
        found[n + 1] = max(found[below], found[above] + gap)
    shift = (sum(found) - sum(places)) / len(found)
    return [place - shift for place in found]


def _section_words(build):
    core = f"{say(Q_(build.core_thickness, 'm'), 'mm')} of core" if build.core else "no core"
    return (f"{build.name}: {len(build.outer_keys)} plies outside, {core}, {len(build.inner_keys)} inside, "
            f"{say(build.thickness, 'mm')} in all.")


# --- feed plan ---------------------------------------------------------------------------------

def _feed_plan(plan, layout):
    with style.plain():
        figure = Figure(figsize=(8.4, 3.6), dpi=150, layout="constrained")
        axes = figure.subplots()
        for n, (name, polygon) in enumerate(plan.polygons.items()):
            axes.add_patch(PathPatch(_outline(polygon), facecolor=("#eeeeee", "#dddddd", "#f6f6f6")[n % 3], edgecolor=style.QUIET, linewidth=0.8))
            for piece in getattr(polygon, "geoms", [polygon]):
                spot = piece.representative_point()
                axes.annotate(name, (spot.x, spot.y), ha="center", va="center", fontsize=9, bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.5})
        for lines, look, name in ((plan.feeds, {"color": style.BLUE, "linewidth": 3, "linestyle": "-"}, "feed line"),
                                  (plan.vents, {"color": style.RUST, "linewidth": 2.5, "linestyle": (0, (3, 1.5))}, "vent line")):
            for n, points in enumerate(lines):
                axes.plot(*np.asarray(points).T, label=name if n == 0 else None, solid_capstyle="round", **look)
        axes.set(aspect="equal", xlabel="along the long way, m", ylabel="across, m")
        axes.autoscale_view()
        axes.margins(0.04)
        axes.legend(loc="upper center", bbox_to_anchor=(0.5, 1.16), ncols=2, fontsize=9, frameon=False)
        png = _png(figure)
    alt = (f"The part laid flat, feed layout {layout}: {len(plan.feeds)} feed line{'s' if len(plan.feeds) > 1 else ''}, {plan.feed_length:.2f} m in all, "
           f"and {len(plan.vents)} vent line{'s' if len(plan.vents) > 1 else ''}, {plan.vent_length:.2f} m.")
    return Picture(png, alt)


def _outline(polygon):
    """A polygon, holes and all, as one path."""
    rings = [ring for piece in getattr(polygon, "geoms", [polygon]) for whole in [orient(piece)] for ring in (whole.exterior, *whole.interiors)]
    return Path.make_compound_path(*(Path(np.asarray(ring.coords)[:, :2], closed=True) for ring in rings))
