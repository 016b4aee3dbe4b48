"""The fill of a plate beside a general-purpose PDE library (finite volumes, implicit in time)."""

import warnings
from itertools import pairwise

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator
from surfaces import at, grid

from compositekit.infusion.filling import FeedLine, fill
from compositekit.units import Q_

K, PHI, MU, P, H = 3e-10, 0.5, 0.25, 9e4, 5e-3
LENGTH, WIDTH = 2.0, 1.0
SHARP = 0.01    # share of the feed's pressure over which a cell goes from dry to full


def library_fill(columns, rows, end, steps):
    """Centres of cells (x, y) and when each is half full [s]: phi ds/dt = div(K/mu grad p), s = clip(p/(SHARP P), 0, 1)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import fipy
        from fipy.solvers.scipy import LinearLUSolver

        mesh = fipy.Grid2D(nx=columns, ny=rows, dx=LENGTH / columns, dy=WIDTH / rows)
        face_y = np.array(mesh.faceCenters[1])
        p = fipy.CellVariable(mesh=mesh, value=0.0, hasOld=True)
        x = np.array(mesh.faceCenters[0])
        p.constrain(P, where=mesh.facesBottom & (x > 0.2) & (x < 1.8))
        mobility = fipy.FaceVariable(mesh=mesh, value=np.where(face_y < 0.1999, 4 * K, K) / MU)
        slope, rest = fipy.CellVariable(mesh=mesh), fipy.CellVariable(mesh=mesh)
        equation = fipy.DiffusionTerm(coeff=mobility) - fipy.ImplicitSourceTerm(coeff=slope) + rest == 0
        solver = LinearLUSolver(tolerance=1e-15)

        def saturation(value):
            return np.clip(value / (SHARP * P), 0.0, 1.0)

        times = end * (np.arange(steps + 1) / steps)**2    # the front slows down as it runs
        before, half = np.zeros(columns * rows), np.full(columns * rows, np.inf)
        for start, stop in pairwise(times):
            for _ in range(30):    # modified Picard: s is linear about the last guess
                guess = np.array(p.value)
                steep = np.where(guess < SHARP * P, 1 / (SHARP * P), 0.0)
                slope.value = PHI * steep / (stop - start)
                rest.value = PHI * (steep * guess - saturation(guess) + before) / (stop - start)
                equation.solve(var=p, solver=solver)
                if np.abs(p.value - guess).max() < 1e-4 * P:
                    break
            now = saturation(np.array(p.value))
            crossed = (before < 0.5) & (now >= 0.5)
            half[crossed] = start + (stop - start) * (0.5 - before[crossed]) / (now - before)[crossed]
            before = now
        return np.array(mesh.cellCenters.value), half


def test_arrival_and_end_within_three_per_cent():
    mesh = grid(np.linspace(0, LENGTH, 61), np.linspace(0, WIDTH, 31))
    zones = np.where(mesh.si.centres[:, 1] < 0.2, 4 * K, K)
    keel = at(mesh, lambda x, y: (y == 0) & (x > 0.19) & (x < 1.81))
    ours = fill(mesh, Q_(H, "m"), PHI, Q_(zones, "m^2"), Q_(MU, "Pa*s"), [FeedLine("keel", keel, Q_(P, "Pa"))])
    end = ours.si.fill_time
    centres, half = library_fill(60, 30, 1.1 * end, 60)
    told = LinearNDInterpolator(mesh.si.nodes[:, :2], ours.si.arrival)(centres.T)
    assert np.isfinite(half).all()
    assert np.sqrt(np.mean((told - half)**2)) < 0.03 * end
    assert half.max() == pytest.approx(end, rel=0.03)    # the last cell fills at the very end
