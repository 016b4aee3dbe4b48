"""Surfaces to fill, and two plain schemes to check the fill against: the textbook march and the obstacle problem."""

from __future__ import annotations

import numpy as np
from scipy.sparse.linalg import spsolve
from scipy.spatial import Delaunay

from compositekit.shape.mesh import TriangleMesh


def plate(nx, ny, length=2.0, width=1.0, jitter=0.25, seed=0, zone=None):
    """A flat plate of Delaunay triangles, its inner nodes moved about; ``zone(x, y)`` names the zone of a place."""
    x, y = np.meshgrid(np.linspace(0, length, nx), np.linspace(0, width, ny))
    points = np.column_stack([x.ravel(), y.ravel()])
    inner = (points[:, 0] > 0) & (points[:, 0] < length) & (points[:, 1] > 0) & (points[:, 1] < width)
    step = np.array([length / (nx - 1), width / (ny - 1)])
    points[inner] += np.random.default_rng(seed).uniform(-jitter, jitter, (inner.sum(), 2)) * step
    return delaunay(points, zone)


def delaunay(points, zone=None, keep=None):
    corners = Delaunay(points).simplices
    a, b, c = points[corners].transpose(1, 0, 2)
    twice = np.cross(np.column_stack([b - a, 0 * a[:, :1]]), np.column_stack([c - a, 0 * a[:, :1]]))[:, 2]
    corners = np.where(twice[:, None] > 0, corners, corners[:, ::-1])
    good = np.abs(twice) > 1e-9 * np.ptp(points, axis=0).max()**2
    middle = points[corners].mean(1)
    if keep is not None:
        good &= keep(*middle.T)
    zones = None if zone is None else zone(*middle[good].T)
    return TriangleMesh(np.column_stack([points, np.zeros(len(points))]), corners[good], zones)


def grid(xs, ys, keep=None, zone=None):
    """Right-angled triangles on a rectangular grid, all diagonals the same way; nodes row by row, x fastest."""
    columns, rows = len(xs), len(ys)
    points = np.column_stack([np.tile(xs, rows), np.repeat(ys, columns)])
    a = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)).ravel()
    b, c, d = a + 1, a + columns + 1, a + columns
    corners = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)])
    middle = points[corners].mean(1)
    if keep is not None:
        corners = corners[keep(*middle.T)]
        left, corners = np.unique(corners, return_inverse=True)
        points, corners = points[left], corners.reshape(-1, 3)
    zones = None if zone is None else zone(*points[corners].mean(1).T)
    return TriangleMesh(np.column_stack([points, np.zeros(len(points))]), corners, zones)


def ring(inner, outer, rays, rounds, box=None, stagger=0.0):
    """A ring, finer towards the middle; the first ``rays`` nodes are the inner rim. ``box``: corners of a plate round it.

    ``stagger``: turn of every second round, in parts of a ray's angle.
    """
    r = np.geomspace(inner, outer, rounds + 1)
    turn = np.linspace(0, 2 * np.pi, rays, endpoint=False)
    turn = turn + np.arange(rounds + 1)[:, None] % 2 * stagger * 2 * np.pi / rays
    points = np.stack([r[:, None] * np.cos(turn), r[:, None] * np.sin(turn)], axis=2).reshape(-1, 2)
    if box is not None:
        x, y = np.meshgrid(np.linspace(-box[0] / 2, box[0] / 2, 49), np.linspace(-box[1] / 2, box[1] / 2, 33))
        plate_points = np.column_stack([x.ravel(), y.ravel()])
        clear = np.hypot(*plate_points.T) > 1.03 * outer
        edge = np.abs(points[:, 1]) > box[1] / 2 * 0.99
        points = np.concatenate([points[~edge], plate_points[clear]])
    return delaunay(points, keep=lambda x, y: np.hypot(x, y) > inner * np.cos(np.pi / rays) * 0.9999)


def bent(mesh, rise=0.3):
    """The same triangles on a doubly curved shell."""
    x, y, _ = mesh.si.nodes.T
    return TriangleMesh(np.column_stack([x, y, rise * np.sin(1.3 * x) * np.cos(1.1 * y) + 0.2 * x * y]), mesh.si.triangles, mesh.zones)


def at(mesh, where):
    """Numbers of the nodes at which ``where(x, y)`` holds."""
    return np.flatnonzero(where(mesh.si.nodes[:, 0], mesh.si.nodes[:, 1]))


def textbook_fill(matrix, storage, feed, pressure):
    """Textbook scheme: solve the wet part, go on until the next node is full, repeat. Times at which nodes are full."""
    n = len(storage)
    fill, full, now = np.zeros(n), np.full(n, np.inf), 0.0
    fill[feed], full[feed] = 1.0, 0.0
    p = np.zeros(n)
    while np.isinf(full).any():
        wet = np.isfinite(full)
        p[:] = 0
        p[feed] = pressure
        free = np.flatnonzero(wet & (p == 0))
        if free.size:
            rows = matrix[free]
            p[free] = spsolve(rows[:, free].tocsc(), -(rows @ p))
        inflow = np.where(wet, 0.0, -(matrix @ p))
        running = inflow > 0
        wait = np.where(running, (1 - fill) * storage / np.where(running, inflow, 1.0), np.inf)
        first = np.argmin(wait)
        now += wait[first]
        fill += np.where(wet, 0.0, inflow * wait[first] / storage)
        fill[first], full[first] = 1.0, now
    return full


def obstacle_fill(matrix, storage, feed, pressure, time):
    """Fill factors at one time from one obstacle problem: u, w >= 0, u w = 0, w = L u + m, u = P t on the feed."""
    n = len(storage)
    u = np.zeros(n)
    fed = np.zeros(n, bool)
    fed[feed] = True
    wet = np.ones(n, bool)
    for _ in range(10 * int(np.sqrt(n)) + 100):
        u[:] = 0
        u[fed] = pressure * time
        free = np.flatnonzero(wet & ~fed)
        rows = matrix[free]
        u[free] = spsolve(rows[:, free].tocsc(), -storage[free] - rows @ u)
        w = matrix @ u + storage
        settled = np.where(wet, u > 0, w < -1e-12 * storage.mean()) | fed  # active set: u > 0 where wet, w >= 0 where dry
        if np.array_equal(settled, wet | fed):
            return np.where(settled, 1.0, 1 - w / storage)
        wet = settled
    raise AssertionError("the obstacle problem did not settle")
