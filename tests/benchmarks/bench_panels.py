"""Clamped panels: tabled over core softness beside one direct solve each, in the same run; prints, asserts nothing.

python tests/benchmarks/bench_panels.py
"""

from __future__ import annotations

import time

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from compositekit.mechanics import panel_edges, panel_peaks
from compositekit.mechanics.panel_edges import Plate
from compositekit.mechanics.panel_peaks import PeakTable

PLATE, LENGTH, WIDTH = Plate(0.1, 0.6, 0.12), 1.2, 0.8
LOADS = {"even pressure": (0.6, 0.4, 1.2, 0.8), "foot in the middle": (0.6, 0.4, 0.2, 0.2), "foot by an edge": (0.2, 0.4, 0.2, 0.2)}


def best(call, repeats=5, fresh=False):
    """Shortest of some runs [ms]; fresh forgets what was kept."""
    times = []
    for _ in range(repeats):
        if fresh:
            for kept in (panel_edges._modes, panel_edges._integrals, panel_peaks.peak_table):
                kept.cache_clear()
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return 1e3 * min(times)


def one_by_one(softness, patch):
    """The plain way: assemble, factor and solve a clamped panel anew for every core; sag in the middle only."""
    found = []
    for block in panel_edges.blocks(LENGTH, WIDTH, (True,) * 4):
        if panel_edges._idle(block, patch):
            continue
        push, middle = block.push(patch), block.operator(0, np.array([LENGTH / 2]), np.array([WIDTH / 2]))[0]
        for one in softness:
            panel_edges._integrals.cache_clear()
            bending, shear = panel_edges.stiffness(block, PLATE)
            found.append(middle @ cho_solve(cho_factor(bending + shear / (one * LENGTH * WIDTH)), push))
    return found


def main():
    sweep, field = np.geomspace(1e-3, 1.0, 75), np.geomspace(1e-3, 1.0, 60 * 40).reshape(60, 40)
    print(f"{'clamped panel under':22}{'table, first [ms]':>18}{'new skins [ms]':>16}{'75 cores [ms]':>15}{'60 x 40 map [ms]':>18}{'75 solved anew [ms]':>21}")
    for name, patch in LOADS.items():
        first = best(lambda p=patch: PeakTable(LENGTH, WIDTH, (True,) * 4, PLATE, p).at(sweep), fresh=True)
        skins = iter(np.linspace(0.5, 0.9, 50))
        again = best(lambda p=patch, s=skins: PeakTable(LENGTH, WIDTH, (True,) * 4, PLATE._replace(d22=next(s)), p).at(sweep))
        table = PeakTable(LENGTH, WIDTH, (True,) * 4, PLATE, patch)
        print(f"{name:22}{first:18.2f}{again:16.2f}{best(lambda t=table: t.at(sweep)):15.3f}{best(lambda t=table: t.at(field)):18.3f}"
              f"{best(lambda p=patch: one_by_one(sweep, p), repeats=2):21.1f}")


if __name__ == "__main__":
    main()
