"""A search of 200,000 candidates beside a loop over the scalar functions in the same run; prints, asserts nothing.

python tests/benchmarks/bench_search.py
"""

from __future__ import annotations

import random
import time

import numpy as np

from compositekit.mechanics.panel_peaks import peak_table
from compositekit.mechanics.panel_supported import supported_table
from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.studies import build, panel_loads
from compositekit.studies.build import part_mass, zone_build
from compositekit.studies.panel_limits import panel_limits, panel_use, worst_use
from compositekit.studies.skin_search import skin_search
from compositekit.studies.skin_search_figures import columns
from compositekit.studies.skin_search_neighbours import neighbours
from compositekit.studies.skin_search_scatter import scatter

SAMPLE, RUN = 400, 20   # candidates the loop is timed on, so many in a row: the whole would take minutes


def fresh():
    """Forget what was worked out before, so that a first search is timed."""
    for cached in (columns, build._skin, build._ply, panel_loads.unit_load, peak_table, supported_table):
        cached.cache_clear()


def timed(call):
    start = time.perf_counter()
    result = call()
    return result, time.perf_counter() - start


def one_by_one(catalogue, parts, zone, loads):
    """Worst share and part mass of each candidate through the scalar path: its build, then what each load uses up."""
    out = []
    for part in parts:
        build = zone_build(part, catalogue, zone)
        limits = panel_limits(part, catalogue, build)
        use = worst_use([panel_use(build.panel, load, limits) for load in loads])
        out.append((max(map(float, use.values())), part_mass(part, {zone: build}).m_as("kg")))
    return np.array(out)


def small_searches(name, changes):
    file = open_part(DEMO / name / "part.json")
    part = file.part.changed(changes)
    fresh()
    small, first = timed(lambda: skin_search(part, file.catalogue))
    _, again = timed(lambda: skin_search(part, file.catalogue))
    steps, near = timed(lambda: neighbours(small))
    _, band = timed(lambda: scatter(small, small.front()))
    print(f"{name:12s}{', clamped' if changes else '':9s} {len(small):6,} candidates {1e3 * first:6.1f} ms, found again {1e3 * again:4.1f} ms, "
          f"{len(steps)} neighbours {1e3 * near:4.1f} ms, ranges of the front {1e3 * band:5.1f} ms")


def main():
    file = open_part(DEMO / "locker_lid" / "part.json")
    wide = {"fabrics": "all", "plies": (1, 2, 3, 4), "patterns": ("all 0", "alternating")}
    skin_search(file.part, file.catalogue)      # tables read, compiled code loaded
    fresh()
    found, whole = timed(lambda: skin_search(file.part, file.catalogue, **wide))
    front, drawing = timed(found.front)
    starts = random.Random(1).sample(range(len(found) - RUN), SAMPLE // RUN)
    rows = [start + step for start in starts for step in range(RUN)]
    zone, loads = found.ground.zone, found.ground.loads
    parts = [file.part.changed(found.layup(row).changes(zone, found.ground.cut)) for row in rows]
    one_by_one(file.catalogue, parts, zone, loads)      # plies and unit loads cached, as they soon are in a long loop
    scalar, loop = timed(lambda: one_by_one(file.catalogue, parts, zone, loads))
    strength = [share for name, share in found.columns.shares.items() if name != "mass of the part"]
    ours = np.column_stack([np.nanmax(np.array(strength)[:, rows], axis=0), found.figure("part_mass")[rows]])
    print(f"{len(found):,} candidates, every check          {whole:8.2f} s")
    print(f"Pareto front of it, {len(front)} points           {drawing:8.4f} s")
    print(f"loop over the scalar functions        {loop / SAMPLE * len(found):8.0f} s, from {SAMPLE} of them ({1e3 * loop / SAMPLE:.2f} ms each)")
    print(f"times faster                          {loop / SAMPLE * len(found) / (whole + drawing):8.0f}")
    print(f"largest difference on the sample      {np.max(np.abs(ours / scalar - 1)):8.1e}")
    for name in ("locker_lid", "fen_punt", "shelter_roof"):
        small_searches(name, {})
    small_searches("locker_lid", {f"brief.loads.{number}.edges": "clamped" for number in range(2)})


if __name__ == "__main__":
    main()
