"""A small panel on an invented study, used to try the shared machinery without any page."""

from __future__ import annotations

from dataclasses import dataclass

import ipywidgets as w
import numpy as np

from compositekit.studies.findings import Check, Finding, Step
from compositekit.ui import style
from compositekit.ui.panel import Panel
from compositekit.units import Q_, checked


@checked(span="m", thickness="m > 0", returns="m")
def sag(span, thickness):
    """An invented relation, sag = span^2 / (1000 thickness), good for nothing but trying the panel."""
    return span**2 / (1000 * thickness)


@dataclass(frozen=True, kw_only=True)
class SagFinding(Finding):
    sag: Q_ = None
    span: Q_ = None


def find_sag(span, thickness):
    found = sag(span, thickness)
    check = Check("sag <at midspan>", found, Q_(50.0, "mm"), "at most", "brief", "use a thicker core")
    step = Step("sag", "w = L² / (1000 t)", {"L": span, "t": thickness}, found.to("mm"), "invented")
    return SagFinding(checks=(check,), working=(step,), cautions=("Stand clear & wear gloves.",),
                      guesses=("the 1000 is made up",), sag=found, span=span)


class SagPanel(Panel):
    figsize = (6, 3)

    def make_controls(self):
        return {
            "thickness": w.FloatSlider(value=20, min=0, max=60, step=1, description="core, mm"),
            "span": w.FloatSlider(value=1000, min=100, max=3000, step=50, description="span, mm"),
            "fixing": w.Dropdown(options=["free edges", "clamped edges"], description="how the edges are held"),
            "wet": w.Checkbox(value=False, description="soaked, as after a season afloat"),
        }

    def build(self, fig):
        axes = fig.subplots()
        axes.set(xlim=(0, 3), ylim=(-0.2, 0.02), xlabel="along the span, m", ylabel="sag, m")
        axes.axhline(0, **style.LIMIT)
        (self.curve,) = axes.plot([], [], **style.line(0))
        self.note = axes.text(0.02, 0.05, "", transform=axes.transAxes)
        return [self.curve, self.note]

    def compute(self, thickness, span, fixing, wet):
        return find_sag(Q_(span, "mm"), Q_(thickness, "mm"))

    def draw(self, result):
        x = np.linspace(0, result.span.m_as("m"), 60)
        self.curve.set_data(x, -result.sag.m_as("m") * np.sin(np.pi * x / x[-1]))
        self.note.set_text(self.headline(result))

    def headline(self, result):
        return f"sag {result.sag.m_as('mm'):.1f} mm"
