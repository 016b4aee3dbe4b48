"""Fill of a plate beside the textbook scheme in the same run; prints, asserts nothing: python tests/benchmarks/bench_filling.py

``--quick`` leaves out the textbook scheme at 5,000 nodes, which takes about half a minute.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
from surfaces import at, plate, textbook_fill  # noqa: E402

from compositekit.infusion.compiled import one_blas_thread  # noqa: E402
from compositekit.infusion.filling import FeedLine, FillModel  # noqa: E402
from compositekit.units import Q_  # noqa: E402

P, MU = 9e4, 0.25
SIZES = [(47, 23), (101, 51), (201, 101), (401, 201)]


def case(columns, rows):
    mesh = plate(columns, rows)
    keel = at(mesh, lambda x, y: (y == 0) & (x >= 0.2) & (x <= 1.8))
    permeability = Q_(np.where(mesh.si.centres[:, 1] < 0.18, 1.2e-9, 3e-10), "m^2")
    return mesh, permeability, [FeedLine("keel", keel, Q_(P, "Pa"))]


def ours(mesh, permeability, feeds, repeats):
    best = np.inf
    for _ in range(repeats):
        start = time.perf_counter()
        result = FillModel(mesh, Q_(5, "mm"), 0.5).fill(permeability, Q_(MU, "Pa*s"), feeds)
        result.si  # noqa: B018
        best = min(best, time.perf_counter() - start)
    return result, best


def peak_mb():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def first_use(cache):
    """Seconds of import and first fill in a fresh process, the compiled loops kept in ``cache``."""
    words = ("import time; start = time.perf_counter()\n"
             f"import sys; sys.path[:0] = [{str(ROOT)!r}, {str(ROOT / 'tests')!r}]\n"
             "import numpy, scipy.sparse.linalg, pint\n"
             "ground = time.perf_counter()\n"
             "sys.argv = ['']; from benchmarks.bench_filling import case, ours\n"
             "read = time.perf_counter(); ours(*case(11, 6), 1)\n"
             "print(ground - start, read - ground, time.perf_counter() - read)\n")
    told = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True,
                          env=os.environ | {"NUMBA_CACHE_DIR": cache})
    return [float(word) for word in told.stdout.split()]


def many(number=200):
    from joblib import Parallel, delayed

    mesh, permeability, feeds = case(101, 51)
    model = FillModel(mesh, Q_(5, "mm"), 0.5)

    def one(seed):
        scatter = np.exp(np.random.default_rng(seed).normal(0, 0.5, len(mesh.si.triangles)))
        return model.fill(permeability * scatter, Q_(MU, "Pa*s"), feeds).si.fill_time

    start = time.perf_counter()
    with one_blas_thread():    # round all of them, so that the limit is not set and lifted between fills
        Parallel(n_jobs=2, backend="threading")(delayed(one)(seed) for seed in range(number))
    return time.perf_counter() - start


def main():
    with tempfile.TemporaryDirectory() as cache:
        for what in ("cold (compiles)", "warm (from disk)"):
            ground, read, first = first_use(cache)
            print(f"first use, {what:17s} libraries {ground:5.2f} s, import {read:5.2f} s, first fill {first:6.2f} s")
    print(f"\n{'nodes':>7} {'textbook':>10} {'ours':>9} {'gain':>7} {'farthest off':>13} {'mass':>9} {'peak memory':>12}")
    for columns, rows in SIZES:
        mesh, permeability, feeds = case(columns, rows)
        result, seconds = ours(mesh, permeability, feeds, 5 if columns < 300 else 2)
        told = {"textbook": "", "gain": "", "off": ""}
        if columns < (60 if "--quick" in sys.argv else 150):
            graph, start = result.graph, time.perf_counter()
            exact = textbook_fill(graph.matrix, graph.storage, np.flatnonzero(graph.line_of == 0), P)
            reference = time.perf_counter() - start
            told = {"textbook": f"{reference:.1f} s", "gain": f"{reference / seconds:.0f}x",
                    "off": f"{np.abs(exact - result.run.full).max() / exact.max():.0e}"}
        print(f"{len(mesh.si.nodes):>7} {told['textbook']:>10} {seconds:>7.3f} s {told['gain']:>7} {told['off']:>13} "
              f"{abs(result.mass_error):>9.0e} {peak_mb():>9.0f} MB", flush=True)
    print(f"\n200 fills of 5,151 nodes with scatter, 2 threads: {many():.1f} s")


if __name__ == "__main__":
    main()
