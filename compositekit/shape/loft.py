"""Geometry of a straight-line loft: points on lines at stations, joined by ruled patches.

Everything here is SI floats. ``x`` has shape (stations,), ``offsets`` (stations, lines, 2) holding
half-breadth y and height z. Between stations each line runs straight, so each patch is bilinear.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

_NODES, _WEIGHTS = (part / 2 for part in np.polynomial.legendre.leggauss(6))
_NODES = _NODES + 0.5  # Gauss-Legendre on 0..1


def points_3d(x, offsets):
    """Points (stations, lines, 3) of the starboard side."""
    return np.concatenate([np.broadcast_to(x[:, None, None], (*offsets.shape[:2], 1)), offsets], axis=2)


def patch_areas(points):
    """Area and first moments of each ruled patch, shapes (stations-1, lines-1) and (..., 3).

    Gauss points in both directions: exact where the patch is flat, to about 1e-6 where it is twisted.
    """
    p00, p10, p01, p11 = points[:-1, :-1], points[1:, :-1], points[:-1, 1:], points[1:, 1:]
    u = _NODES[:, None, None, None, None]
    v = _NODES[None, :, None, None, None]
    along = (1 - v) * (p10 - p00) + v * (p11 - p01) + 0 * u
    across = (1 - u) * (p01 - p00) + u * (p11 - p10) + 0 * v
    weight = np.linalg.norm(np.cross(along, across), axis=-1) * _WEIGHTS[:, None, None, None] * _WEIGHTS[:, None, None]
    place = (1 - u) * ((1 - v) * p00 + v * p01) + u * ((1 - v) * p10 + v * p11)
    return weight.sum((0, 1)), (weight[..., None] * place).sum((0, 1))


def section_at(x, offsets, where):
    """Offsets (len(where), lines, 2) interpolated straight between stations."""
    where = np.atleast_1d(where)
    left = np.clip(np.searchsorted(x, where, side="right") - 1, 0, len(x) - 2)
    share = ((where - x[left]) / (x[left + 1] - x[left]))[:, None, None]
    return (1 - share) * offsets[left] + share * offsets[left + 1]


def section_moments(offsets):
    """Area and height moment of the whole section up to the last line, Green's rule: A = 2 sum of y dz."""
    y0, z0, y1, z1 = offsets[:, :-1, 0], offsets[:, :-1, 1], offsets[:, 1:, 0], offsets[:, 1:, 1]
    area = ((y0 + y1) * (z1 - z0)).sum(1)
    moment = ((z1 - z0) * (2 * y0 * z0 + y0 * z1 + y1 * z0 + 2 * y1 * z1) / 3).sum(1)
    return area, moment


def enclosed_volume(x, offsets):
    """Volume to the last line; section area is quadratic between stations, so Simpson's rule is exact."""
    middle = section_moments((offsets[:-1] + offsets[1:]) / 2)[0]
    ends = section_moments(offsets)[0]
    return float(np.diff(x) @ (ends[:-1] + 4 * middle + ends[1:]) / 6)


def polyline_length(points, axis):
    """Length of the polylines running along ``axis``."""
    return np.linalg.norm(np.diff(points, axis=axis), axis=-1).sum(axis)


def flatness(points):
    """Greatest distance of points (n, 3) from their best plane."""
    centred = points - points.mean(0)
    normal = np.linalg.svd(centred, full_matrices=False)[2][-1]
    return float(np.abs(centred @ normal).max())


def mirrored(points):
    """The port side of starboard points."""
    return points * np.array([1.0, -1.0, 1.0])


def longest_flat_run(strip, tolerance):
    """First and last station of the longest run over which a strip (stations, edge points, 3) stays in one plane.

    A single station interval always counts: nothing is known of the shape inside it.
    """
    length_to = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(strip.mean(1), axis=0), axis=1))])
    best, first = (0, 1), 0
    for last in range(1, len(strip)):
        while last - first > 1 and flatness(strip[first:last + 1].reshape(-1, 3)) > tolerance:
            first += 1
        if length_to[last] - length_to[first] > length_to[best[1]] - length_to[best[0]]:
            best = (first, last)
    return best


def _finer_across(points, parts):
    """Each strip of points (stations, lines, 3) cut into equal parts across."""
    at = np.linspace(0, points.shape[1] - 1, (points.shape[1] - 1) * parts + 1)
    low = np.minimum(at.astype(int), points.shape[1] - 2)
    share = (at - low)[:, None]
    return (1 - share) * points[:, low] + share * points[:, low + 1]


def triangulate(x, offsets, per_interval, with_ends):
    """Vertices (n, 3), faces (m, 3) and the strip number of each face, -1 at the ends; normals outward."""
    fine = np.unique(np.concatenate([np.linspace(a, b, per_interval + 1) for a, b in pairwise(x)]))
    strips = offsets.shape[1] - 1
    side = _finer_across(points_3d(fine, section_at(x, offsets, fine)), per_interval)
    rows, lines = side.shape[:2]
    vertices = np.concatenate([side.reshape(-1, 3), mirrored(side).reshape(-1, 3)])
    index = np.arange(rows * lines).reshape(rows, lines)
    a, b, c, d = (part.ravel() for part in (index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]))
    strip = np.tile(np.repeat(np.arange(strips), per_interval), rows - 1)
    starboard = np.concatenate([np.column_stack([a, c, b]), np.column_stack([a, d, c])])
    port = starboard[:, ::-1] + rows * lines
    faces, labels = [starboard, port], [strip, strip, strip, strip]
    for row, outward in ((0, slice(None, None, -1)), (rows - 1, slice(None))) if with_ends else ():
        lower, upper = index[row, :-1], index[row, 1:]
        cap = np.concatenate([np.column_stack([lower, upper, upper + rows * lines]),
                              np.column_stack([lower, upper + rows * lines, lower + rows * lines])])
        faces.append(cap[:, outward])
        labels.append(np.full(len(cap), -1))
    faces, labels = np.concatenate(faces), np.concatenate(labels)
    corner = vertices[faces]
    real = np.linalg.norm(np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]), axis=1) > 1e-14
    return vertices, faces[real], labels[real]
