"""A zone's failure map at once beside a loop over the scalar functions in the same run; prints, asserts nothing:
python tests/benchmarks/bench_failure_map.py
"""

from __future__ import annotations

import statistics
import time

import numpy as np

from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build
from compositekit.studies.failure_map import CORES, SKINS, failure_map
from compositekit.studies.panel_limits import panel_limits, panel_use, worst_use
from compositekit.studies.panel_loads import zone_loads


def loop(part, catalogue, zone, build):
    """Largest use, one panel at a time."""
    loads, limits, now = zone_loads(part, zone), panel_limits(part, catalogue, build), build.panel.along.si
    worst = np.empty((SKINS.size, CORES.size))
    for row, times in enumerate(SKINS):
        for column, core in enumerate(CORES):
            panel = build.panel.on(core_thickness=core, outer_skin_thickness=now.outer_skin_thickness * times,
                                   inner_skin_thickness=now.inner_skin_thickness * times)
            use = worst_use([panel_use(panel, load, limits) for load in loads])
            worst[row, column] = max(float(share) for share in use.values() if np.isfinite(share))
    return worst


def milliseconds(step, repeats):
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        answer = step()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times), answer


def main():
    print(f"{SKINS.size} x {CORES.size} panels, every check, every load of the zone; median of 25 runs; the loop once")
    print(f"{'zone':24s} {'loads':>5s} {'map, ms':>9s} {'part anew, ms':>15s} {'loop, ms':>9s} {'times':>6s} {'largest difference':>19s}")
    for name in demo_parts():
        file = open_part(DEMO / name / "part.json")
        for zone in file.part.structural_zones:
            build = part_build(file.part, file.catalogue)[zone]
            failure_map(file.part, file.catalogue, zone, build=build)
            ours, whole = milliseconds(lambda: failure_map(file.part, file.catalogue, zone, build=build), 25)   # noqa: B023
            anew, _ = milliseconds(lambda: failure_map(file.part, file.catalogue, zone), 25)                    # noqa: B023
            slow, worst = milliseconds(lambda: loop(file.part, file.catalogue, zone, build), 1)                 # noqa: B023
            apart = np.max(np.abs(whole.worst / worst - 1))
            print(f"{name + ' ' + zone:24s} {len(zone_loads(file.part, zone)):5d} {ours:9.1f} {anew:15.1f} {slow:9.0f} {slow / ours:6.0f} {apart:19.1e}")


if __name__ == "__main__":
    main()
