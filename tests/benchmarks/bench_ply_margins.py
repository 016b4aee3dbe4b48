"""Margins of every ply of the punt's bottom, beside one first_ply_failure after another: OMP_NUM_THREADS=1 .venv/bin/python tests/benchmarks/bench_ply_margins.py"""

from __future__ import annotations

import time

import numpy as np

from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.strength import first_ply_failure, strength_ratios
from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build
from compositekit.studies.panel_loads import zone_loads
from compositekit.studies.ply_margins import design_strengths, ply_margins, whole_section
from compositekit.units import Q_

NAMES = ("xt", "xc", "yt", "yc", "s12")
NOTHING = Q_(np.zeros(3), "N/m")


def median_ms(call, times=50):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        answer = call()
        taken.append(time.perf_counter() - start)
    return 1e3 * float(np.median(taken)), answer


def with_strengths(catalogue, build):
    section, core, fabrics = whole_section(build)
    plies = [Ply.from_si(name=ply.name, **{**vars(ply.si), **dict(zip(
        NAMES, [1e12] * 5 if index == core else design_strengths(catalogue, fabrics[index], ply), strict=True))})
        for index, ply in enumerate(section.plies)]
    return Laminate(plies, section.angles)


def main():
    file = open_part(DEMO / "fen_punt" / "part.json")
    build = part_build(file.part, file.catalogue)["bottom"]
    moments = np.array([load.moments(build.panel) for load in zone_loads(file.part, "bottom")])
    laminate = with_strengths(file.catalogue, build)
    signed = np.concatenate([moments, -moments])
    loads = Q_(np.column_stack([signed, np.zeros(len(signed))]), "N")

    def one_by_one():
        return min(first_ply_failure(laminate, NOTHING, load, "max strain").multiplier for load in loads)

    ours, found = median_ms(lambda: ply_margins(file.catalogue, build, moments))
    loop, least = median_ms(one_by_one)
    print(f"punt bottom, {len(signed)} cases   ply_margins {ours:6.2f} ms (laminate made anew, all arrays)   one by one {loop:6.2f} ms   "
          f"apart {abs(found.least.ratio / least - 1):.1e}")

    many = Q_(np.random.default_rng(1).normal(size=(2000, 3)) * 100, "N")
    table, ratios = median_ms(lambda: strength_ratios(laminate, NOTHING, many, "Tsai-Wu").multipliers, 3)
    loop, each = median_ms(lambda: [first_ply_failure(laminate, NOTHING, load, "Tsai-Wu").multiplier for load in many], 1)
    print(f"{len(many)} loads, Tsai-Wu     strength_ratios {table:6.1f} ms   one by one {loop:7.0f} ms   {loop / table:.0f}x   "
          f"apart {np.max(np.abs(ratios.min(axis=(1, 2)) / each - 1)):.1e}")


if __name__ == "__main__":
    main()
