"""The plain look of our pictures: dark-to-mid colours that also differ in lightness, line style and marker."""

from __future__ import annotations

import matplotlib as mpl
from cycler import cycler

INK = "#1c1c1c"       # text, axes, limit lines
PAPER = "#ffffff"
QUIET = "#6b6b6b"     # grid labels, notes, things that are not the point

# Ordered dark to light (L* from 21 to 59), so that they stay apart in grey print and for a colour-blind eye.
BLUE, RUST, GREEN, VIOLET, OCHRE = "#12306b", "#8c2510", "#156b55", "#9a5fc0", "#b8860b"
COLOURS = (BLUE, RUST, GREEN, VIOLET, OCHRE)
LINES = ("-", "--", "-.", ":", (0, (6, 1.5, 1.5, 1.5, 1.5, 1.5)))
MARKERS = ("o", "s", "^", "D", "v")

FIELD = "cividis"     # colour map for fields: even in lightness, made for colour-blind readers
LIMIT = {"color": INK, "linestyle": (0, (4, 2)), "linewidth": 1.4}
SHADE = {"alpha": 0.25, "linewidth": 0}

RC = {
    "figure.facecolor": PAPER, "axes.facecolor": PAPER, "savefig.facecolor": PAPER,
    "font.family": "DejaVu Sans", "font.size": 11, "axes.titlesize": 12, "axes.titleweight": "normal",
    "text.color": INK, "axes.labelcolor": INK, "axes.edgecolor": INK, "xtick.color": INK, "ytick.color": INK,
    "axes.spines.top": False, "axes.spines.right": False, "axes.linewidth": 0.9,
    "axes.grid": True, "grid.color": "#d8d8d8", "grid.linewidth": 0.7, "axes.axisbelow": True,
    "lines.linewidth": 2.0, "lines.markersize": 6, "legend.frameon": True, "legend.framealpha": 0.9,
    "image.cmap": FIELD, "hatch.linewidth": 0.6,
    "axes.prop_cycle": cycler(color=COLOURS, linestyle=LINES),
}


def line(number: int, marker: bool = False) -> dict:
    """Colour and line style (and marker) of the n-th thing in a picture; the same n everywhere is the same thing."""
    n = number % len(COLOURS)
    look = {"color": COLOURS[n], "linestyle": LINES[n]}
    return look | {"marker": MARKERS[n]} if marker else look


def plain():
    """Context in which figures get our look, whatever the notebook's own settings are."""
    return mpl.rc_context(RC)


def use() -> None:
    """Give a page's own static figures our look."""
    mpl.rcParams.update(RC)
