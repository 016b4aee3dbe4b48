"""200 scattered fills of some 5,000 nodes beside a plain loop over the same fills in the same run; prints, asserts nothing.

python tests/benchmarks/bench_fill_scatter.py [runs]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
from surfaces import at, plate  # noqa: E402

from compositekit.infusion.fill_scatter import _Job, scatter_fills  # noqa: E402
from compositekit.infusion.filling import EdgeChannel, FeedLine, FillModel, VentLine  # noqa: E402
from compositekit.units import Q_  # noqa: E402

K, MU, PATCH = Q_(3e-10, "m^2"), Q_(0.25, "Pa*s"), Q_(0.2, "m")
SPREAD, CHANCE = 0.5, 0.3


def case():
    mesh = plate(101, 51)
    feed, vent = at(mesh, lambda x, y: x == 0), at(mesh, lambda x, y: x == 2)
    races = [EdgeChannel(f"edge at {y:g} m", at(mesh, lambda a, b, y=y: b == y), Q_(60, "mm^2"), Q_(7e-7, "m^2")) for y in (0.0, 1.0)]
    return FillModel(mesh, Q_(5, "mm"), 0.5), [FeedLine("end", feed, Q_(9e4, "Pa"))], [VentLine("far end", vent)], races


def plain_loop(model, feeds, vents, races, runs):
    """The same fills one after the other, nothing shared but what is drawn."""
    job = _Job(model, None, None, (), (), tuple(races), (), SPREAD, PATCH.m_as("m"), CHANCE, 0, 0.5, 1e-3, {})
    times = []
    for number in range(runs):
        raced, factor = job.drawn(number)
        fill = model.fill(K * factor, MU, feeds, vents, channels=[race for race, is_open in zip(races, raced, strict=True) if is_open])
        fill.trapped  # noqa: B018
        times.append(fill.si.fill_time)
    return np.array(times)


def main():
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    model, feeds, vents, races = case()
    plain_loop(model, feeds, vents, races, 1)      # compiled before the clock runs
    start = time.perf_counter()
    reference = plain_loop(model, feeds, vents, races, runs)
    loop = time.perf_counter() - start
    print(f"{runs} fills of {len(model.nodes):,} nodes, aim under 40 s on 2 cores")
    print(f"{'way':28} {'wall':>8} {'processor':>10} {'beside the loop':>16} {'same times':>11}")
    print(f"{'plain loop':28} {loop:>6.1f} s {'':>10} {'':>16} {'':>11}")
    options = dict(spread=SPREAD, patch=PATCH, races=races, race_chance=CHANCE, runs=runs)

    def told(words, **extra):
        start, used = time.perf_counter(), time.process_time()
        found = scatter_fills(model, K, MU, feeds, vents, **options, **extra)
        wall = time.perf_counter() - start
        same = "yes" if np.array_equal(found.fill_time.m_as("s"), reference) else "NO"
        print(f"{words:28} {wall:>6.1f} s {time.process_time() - used:>8.1f} s {loop / wall:>15.2f}x {same:>11}", flush=True)
        return found

    told("one thread", workers=1)
    found = told("two threads", workers=2)
    try:
        from distributed import Client
    except ImportError:
        print("dask is not installed: left out")
    else:
        with Client(processes=False, n_workers=1, threads_per_worker=2, dashboard_address=None) as client:
            told("dask, two threads", client=client)
    low, high = found.dry_chance_range
    print(f"a dry spot in {found.dry_spot.sum()} of {found.runs} ({low:.0%} to {high:.0%}), fill time {found.fill_time_within(0.5).m_as('min'):.0f} min "
          f"(nine in ten within {found.fill_time_within(0.9).m_as('min'):.0f} min)")


if __name__ == "__main__":
    main()
