"""Good triangles inside lines in the plane: Delaunay refinement with the lines kept as edges.

Relation: a triangle whose smallest angle is too small, or whose side is too long, gets a point at its circumcentre; where that
point would fall inside the circle over a border, the border is halved instead.
Source: Ruppert 1995, "A Delaunay refinement algorithm for quality 2-dimensional mesh generation", J. Algorithms 18(3) (from memory)
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import Delaunay, cKDTree

from ..errors import ShapeError

ANGLE = np.radians(23.0)  # smallest angle aimed at; corners of the outline sharper than this keep their own
LONG = 1.6                # longest side over the asked size
CLEAR = 0.75              # how far, over the asked size, the first inner points keep off a border
ROUNDS, RECOVERY, CROWDED = 14, 60, 3
TOUCH = 1e-7              # of the part's size: outlines nearer than this touch
SHORTEST = 0.02           # a border is not halved below this share of the asked size, lest sharp corners go on for ever


def zoned_mesh(polygons, size, folds=()):
    """Points (n, 2), triangles (m, 3) and zone names (m,) of touching outlines; zones share the nodes of their border.

    polygons  zone name -> shapely polygon [m]; folds: further lines to keep as edges
    """
    reach = TOUCH * np.ptp(np.reshape(shapely.total_bounds(list(polygons.values())), (2, 2)), axis=0).max()
    kept = {}
    for name, polygon in polygons.items():
        for other in (*kept.values(), *polygons.values()):
            if other is not polygon and shapely.dwithin(polygon, other, reach):
                polygon = shapely.snap(polygon, other, reach)
        kept[name] = polygon
    for polygon in kept.values():
        shapely.prepare(polygon)

    def inside(places):
        return np.any([shapely.contains_xy(polygon, *places.T) for polygon in kept.values()], axis=0)

    points, triangles = plane_mesh([polygon.boundary for polygon in kept.values()] + list(folds), inside, size)
    middle, names = points[triangles].mean(1), list(kept)
    owner = np.argmax([shapely.contains_xy(polygon, *middle.T) for polygon in kept.values()], axis=0)
    return points, triangles, np.array(names)[owner]


def plane_mesh(lines, inside, size):
    """Triangles that fill an area of the plane and keep its borders as edges.

    lines   shapely lines: outlines, cut-outs and borders between zones; points where they touch become nodes
    inside  function of places (k, 2) saying which lie in the area
    size    side length aimed at [m]
    Returns points (n, 2), triangles (m, 3) anticlockwise, all SI.
    """
    points, borders = _borders(lines, size)
    points = np.concatenate([points, _inner_points(points, borders, inside, size)])
    floor = SHORTEST * min(size, _span(points))
    for _ in range(ROUNDS):
        points, borders, triangles = _recovered(points, borders)
        triangles = triangles[inside(points[triangles].mean(1))]
        bad = _bad(points, triangles, size, floor)
        if not bad.any():
            break
        points, borders, changed = _refined(points, borders, triangles[bad], inside, floor)
        if not changed:
            break
    points, borders, triangles = _recovered(points, borders)
    return _tidy(points, triangles[inside(points[triangles].mean(1))])


def _borders(lines, size):
    """Border points and the pairs that join them, no longer than ``size``; where lines cross, they share a point."""
    noded = shapely.segmentize(shapely.union_all(lines), size)
    points, starts = shapely.get_coordinates(shapely.get_parts(noded), return_index=True)
    points, number = np.unique(points, axis=0, return_inverse=True)
    number = number.ravel()
    joined = np.flatnonzero(starts[1:] == starts[:-1])
    borders = np.unique(np.sort(np.column_stack([number[joined], number[joined + 1]]), axis=1), axis=0)
    return points, borders[borders[:, 0] != borders[:, 1]]


def _inner_points(points, borders, inside, size):
    """Points on a triangular grid inside the area, clear of every border."""
    low, high = points.min(0), points.max(0)
    step = np.array([size, size * np.sqrt(0.75)])
    count = np.ceil((high - low) / step).astype(int) + 1
    grid = np.stack(np.meshgrid(*(np.arange(k) for k in count), indexing="ij"), axis=-1).astype(float)
    grid[..., 0] += 0.5 * (grid[..., 1] % 2) - 0.25
    grid = (low + high) / 2 + (grid - (count - 1) / 2).reshape(-1, 2) * step
    along = points[borders]
    marks = np.concatenate([points, along.mean(1), (3 * along[:, 0] + along[:, 1]) / 4, (along[:, 0] + 3 * along[:, 1]) / 4])
    far = cKDTree(marks).query(grid, distance_upper_bound=CLEAR * size)[0]
    grid = grid[np.isinf(far)]
    return grid[inside(grid)] if len(grid) else grid


def _recovered(points, borders):
    """Delaunay triangles after halving every border that is not one of their edges."""
    most = CROWDED * len(points) + 20_000
    for _ in range(RECOVERY):
        triangles = _delaunay(points)
        n = len(points)
        sides = np.sort(np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]), axis=1)
        missing = ~np.isin(borders[:, 0] * n + borders[:, 1], sides[:, 0] * n + sides[:, 1])
        if not missing.any():
            return points, borders, triangles
        if len(points) > most:
            break
        points, borders = _halved(points, borders, missing)
    place = points[borders[missing][0]].mean(0)
    raise ShapeError(f"the outline near ({place[0]:.4g}, {place[1]:.4g}) m cannot be filled with triangles: its lines all but touch "
                     "there; move them apart or on to each other.")


def _delaunay(points):
    """Delaunay triangles; a ring of points far outside keeps borders off the hull, where rounding loses points."""
    middle, reach = (points.min(0) + points.max(0)) / 2, _span(points)
    turn = np.arange(12) * np.pi / 6 + 0.1
    ring = middle + 2 * reach * np.column_stack([np.cos(turn), np.sin(turn)])
    triangles = Delaunay(np.concatenate([points, ring]) - middle).simplices.astype(np.int64)
    triangles = triangles[(triangles < len(points)).all(1)]
    a, b, c = points[triangles].transpose(1, 0, 2)
    turned = _cross(b - a, c - a) < 0
    triangles[turned] = triangles[turned][:, ::-1]
    return triangles


def _halved(points, borders, which):
    new = len(points) + np.arange(which.sum())
    halves = np.concatenate([np.column_stack([borders[which, 0], new]), np.column_stack([borders[which, 1], new])])
    return np.concatenate([points, points[borders[which]].mean(1)]), np.concatenate([borders[~which], halves])


def _bad(points, triangles, size, floor):
    """Triangles with too small an angle or too long a side, unless they are as small as a border may get."""
    sides = _sides(points, triangles)
    a, b, c = points[triangles].transpose(1, 0, 2)
    radius = sides.prod(1) / np.maximum(2 * np.abs(_cross(b - a, c - a)), 1e-300)
    thin = sides.min(1) < 2 * radius * np.sin(ANGLE)
    return (thin & (sides.max(1) > 2 * floor)) | (sides.max(1) > LONG * size)


def _refined(points, borders, bad, inside, floor):
    """Points after adding circumcentres of bad triangles, or halving the borders that they come too near."""
    centre, radius = _circumcircle(points, bad)
    order = np.argsort(-radius)
    centre, radius, bad = centre[order], radius[order], bad[order]
    ends = points[borders]
    middle, half = ends.mean(1), np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) / 2
    sharp = half <= floor
    near, reach = cKDTree(middle), half.max()
    hit, blocked = np.zeros(len(borders), bool), np.zeros(len(bad), bool)
    lists = near.query_ball_point(centre, reach)
    for row, found in enumerate(lists):
        found = [k for k in found if np.hypot(*(centre[row] - middle[k])) < half[k] * (1 - 1e-9)]
        blocked[row] = bool(found)
        hit[found] = True
    outside = ~blocked & ~inside(centre)
    if outside.any():  # its circle reaches past a border: halve the longest border side of the triangle
        hit |= _own_borders(borders, bad[outside], len(points))
    hit &= ~sharp
    chosen = _apart(centre, radius, ~blocked & ~outside)
    points, borders = _halved(points, borders, hit)
    return np.concatenate([points, centre[chosen]]), borders, bool(hit.any() or len(chosen))


def _own_borders(borders, triangles, n):
    sides = np.sort(np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]), axis=1)
    return np.isin(borders[:, 0] * n + borders[:, 1], sides[:, 0] * n + sides[:, 1])


def _apart(centre, radius, allowed):
    """Numbers of the allowed points, widest circles first, that keep off each other's circles."""
    rows = np.flatnonzero(allowed)
    if not len(rows):
        return rows
    near, free, chosen = cKDTree(centre[rows]), np.ones(len(rows), bool), []
    for i, row in enumerate(rows):
        if free[i]:
            chosen.append(row)
            free[near.query_ball_point(centre[row], radius[row])] = False
    return np.array(chosen)


def _circumcircle(points, triangles):
    a, b, c = points[triangles].transpose(1, 0, 2)
    u, v = b - a, c - a
    twice = np.maximum(2 * _cross(u, v), 1e-300)
    uu, vv = (u * u).sum(1), (v * v).sum(1)
    off = np.column_stack([v[:, 1] * uu - u[:, 1] * vv, u[:, 0] * vv - v[:, 0] * uu]) / twice[:, None]
    return a + off, np.linalg.norm(off, axis=1)


def _tidy(points, triangles):
    """Only the points that are used."""
    used, number = np.unique(triangles, return_inverse=True)
    return points[used], number.reshape(-1, 3)


def _sides(points, triangles):
    corners = points[triangles]
    return np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)


def _cross(u, v):
    return u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]


def _span(points):
    return float(np.ptp(points, axis=0).max())
