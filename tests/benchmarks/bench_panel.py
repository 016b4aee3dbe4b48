"""Panel redraw beside a plain new figure in the same run; prints, asserts nothing: python tests/benchmarks/bench_panel.py"""

from __future__ import annotations

import io
import statistics
import sys
import time
from pathlib import Path

import matplotlib

matplotlib.use("Agg")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import matplotlib.pyplot as plt
import numpy as np
from demo_panel import SagPanel, find_sag

from compositekit.units import Q_

REPEATS = 25


class Whole(SagPanel):
    redraw = True


class Replaced(SagPanel):
    """The artist-list way: a filled area made anew at every step, blitted."""

    def draw(self, result):
        super().draw(result)
        x = np.linspace(0, result.span.m_as("m"), 60)
        area = self.figure.axes[0].fill_between(x, -result.sag.m_as("m") * np.sin(np.pi * x / x[-1]), alpha=0.3)
        return [self.curve, self.note, area]


def plain_figure(thickness):
    result = find_sag(Q_(1000, "mm"), Q_(thickness, "mm"))
    figure, axes = plt.subplots(figsize=SagPanel.figsize)
    x = np.linspace(0, 1, 60)
    axes.plot(x, -result.sag.m_as("m") * np.sin(np.pi * x))
    axes.set(xlim=(0, 3), ylim=(-0.2, 0.02), xlabel="along the span, m", ylabel="sag, m")
    figure.savefig(io.BytesIO(), bbox_inches="tight")
    plt.close(figure)


def median_ms(step):
    times = []
    for number in range(REPEATS + 3):
        start = time.perf_counter()
        step(10 + number)
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times[3:])      # the first few warm the caches


def mover(panel, opened=False):
    panel.working.selected_index = 0 if opened else None

    def move(value):
        panel.controls["thickness"].value = value
    return move


def main():
    start = time.perf_counter()
    panel = SagPanel()
    print(f"building a panel               {1000 * (time.perf_counter() - start):7.1f} ms")
    for name, step in [
        ("panel, blitted", mover(panel)), ("panel, blitted, working open", mover(SagPanel(), opened=True)),
        ("panel, artists replaced", mover(Replaced())), ("panel, redraw = True", mover(Whole())),
        ("plain new figure (reference)", plain_figure),
    ]:
        print(f"{name:30s} {median_ms(step):7.1f} ms a step, median of {REPEATS}")


if __name__ == "__main__":
    main()
