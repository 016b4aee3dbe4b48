"""Page 04's picture of what each feed line lets in."""

from __future__ import annotations

import numpy as np

from . import style
from .flow_surface_pictures import PATCH
from .picture import Picture
from .steps import next_step

SETTLED = 8      # steps of the inflow: the rush before them, into the hose and the first hand's breadth, runs off the scale


class InflowPerLine(Picture):
    """Litres a minute through each feed line, and the resin that is in by then."""

    label = "Inflow per line"
    figsize = (9.6, 4.2)
    MOST = 8

    def __init__(self, panel):
        self.panel = panel

    def build(self, fig):
        self.rate, self.mass = fig.subplots(1, 2)
        self.rate.set(xlabel="minutes since the resin was mixed", ylabel="inflow, L/min", xlim=(0, 100), ylim=(0, 0.03))
        self.rate.set_title("how fast each line draws")
        self.mass.set(xlabel="minutes since the resin was mixed", ylabel="resin drawn, kg", xlim=(0, 100), ylim=(0, 10))
        self.mass.set_title("resin drawn since the start")
        self.rates = [self.rate.plot([], [], **style.line(n))[0] for n in range(self.MOST)]
        self.masses = [self.mass.plot([], [], **style.line(n))[0] for n in range(self.MOST)]
        (self.whole,) = self.mass.plot([], [], color=style.INK, linestyle="-", linewidth=3)
        (self.now,) = self.mass.plot([], [], "o", color=style.INK, markersize=8)
        self.moments = [axes.axvline(0, **style.LIMIT) for axes in (self.rate, self.mass)]
        self.said = [self.rate.text(0, 0, "", fontsize=9, va="bottom", ha="left", bbox=PATCH) for _ in range(self.MOST)]
        self.total = self.mass.text(0, 0, "", fontsize=9.5, va="top", ha="left", bbox=PATCH)
        return [*self.rates, *self.masses, self.whole, *self.moments, self.now, *self.said, self.total]

    def draw(self, result):
        fill = self.panel.fill()
        alike = _alike(fill.inflow)
        density = fill.resin_density.m_as("kg/L")
        times = fill.inflow[0].times.m_as("min")
        whole = sum(line.volume.m_as("L") for line in fill.inflow) * density
        wide = next_step(times[-1])
        self.rate.set(xlim=(0, wide), ylim=(0, next_step(1.4 * max(line.rate[SETTLED:].max().m_as("L/min") for line in fill.inflow))))
        self.mass.set(xlim=(0, wide), ylim=(0, next_step(1.15 * whole[-1])))
        middle = np.concatenate([[0.0], (times[1:] + times[:-1]) / 2])
        for n, (rate, mass, said) in enumerate(zip(self.rates, self.masses, self.said, strict=True)):
            if n >= len(alike):
                for line in (rate, mass):
                    line.set_data([], [])
                said.set_text("")
                continue
            lines = alike[n]
            flow = lines[0].rate.m_as("L/min")
            rate.set_data(middle, np.concatenate([[flow[0]], flow]))
            mass.set_data(times, lines[0].volume.m_as("L") * density)
            said.set_position((0.30 * wide, (0.9 - 0.085 * n) * self.rate.get_ylim()[1]))
            said.set_color(style.line(n)["color"])
            said.set_text(f"{_names(lines)}: {lines[0].peak.m_as('L/min'):.2g} L/min at first")
        now = min(self.panel.moment.m_as("min"), times[-1])
        for line in self.moments:
            line.set_xdata([now, now])
        self.whole.set_data(times, whole)
        self.now.set_data([now], [np.interp(now, times, whole)])
        self.total.set_position((0.03 * wide, 0.97 * self.mass.get_ylim()[1]))
        self.total.set_text(f"all lines (thick): {np.interp(now, times, whole):.2f} kg after {now:.0f} min,\n{whole[-1]:.2f} kg in the end")

    def alt(self, result):
        fill = self.panel.fill()
        density = fill.resin_density.m_as("kg/L")
        said = "; ".join(f"{_names(lines)} {lines[0].peak.m_as('L/min'):.2g} L/min at first, {lines[0].volume.m_as('L')[-1] * density:.2g} kg by the end" for lines in _alike(fill.inflow))
        return f"Two diagrams over time: inflow of each feed line in litres a minute, and resin drawn in kilograms. {said}."


def _alike(inflow):
    """Lines that draw alike, within 3 %, as lists; at most eight lists."""
    found = []
    for line in inflow:
        same = next((lines for lines in found if np.allclose(lines[0].volume.magnitude, line.volume.magnitude, rtol=0.03)), None)
        if same is None and len(found) < InflowPerLine.MOST:
            found.append([line])
        elif same is not None:
            same.append(line)
    return found


def _names(lines):
    names = [line.name for line in lines]
    return names[0] if len(names) == 1 else f"{names[0]} and {', '.join(name.removeprefix('feed ') for name in names[1:])}, each"
