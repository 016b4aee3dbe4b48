"""A part seen in space: turned, tilted and drawn from far to near, without perspective."""

from __future__ import annotations

from collections import Counter

import numpy as np
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgb
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from ..shape.faces import faces
from . import style

PALE = 0.55      # share of white in a face, so that ink on it stays readable
LIGHT = np.array([-0.35, -0.75, 0.56])   # from the viewer's left shoulder, in the turned frame


def zone_colours(zones) -> dict:
    """One pale colour per zone, the same in every picture of the part."""
    return {zone: PALE + (1 - PALE) * np.array(to_rgb(style.line(number)["color"])) for number, zone in enumerate(zones)}


def turned(points, turn, tilt):
    """Points (..., 3) as the viewer has them: right, away, up; angles in degrees."""
    a, b = np.radians(turn), np.radians(tilt)
    right = points[..., 0] * np.cos(a) - points[..., 1] * np.sin(a)
    back = points[..., 0] * np.sin(a) + points[..., 1] * np.cos(a)
    up = points[..., 2]
    return np.stack([right, back * np.cos(b) - up * np.sin(b), up * np.cos(b) + back * np.sin(b)], axis=-1)


def rims(corners, names):
    """Edges (k, 2, 3) that only one triangle of a zone has: its outline."""
    keys = [[(name, *sorted((tuple(a), tuple(b)))) for a, b in zip(face, np.roll(face, -1, axis=0), strict=True)]
            for name, face in zip(names, np.round(corners, 6).tolist(), strict=True)]
    count = Counter(key for face in keys for key in face)
    return np.array([key[1:] for key, times in count.items() if times == 1])


def pieces(corners, names):
    """Number of the piece each triangle belongs to: a zone's triangles that share corners are one piece."""
    keys = [(name, *corner) for name, face in zip(names, np.round(corners, 6).tolist(), strict=True) for corner in face]
    number = {key: n for n, key in enumerate(dict.fromkeys(keys))}
    ends = np.array([number[key] for key in keys]).reshape(-1, 3)
    pairs = ends[:, [0, 1, 1, 2]].reshape(-1, 2)
    joined = connected_components(coo_array((np.ones(len(pairs)), pairs.T), shape=(len(number),) * 2), directed=False)[1]
    return joined[ends[:, 0]]


class InSpace:
    """Triangles by zone with their outlines, names and a length to measure by."""

    def __init__(self, shape):
        corners, self.names = faces(shape)
        low, high = corners.reshape(-1, 3).min(0), corners.reshape(-1, 3).max(0)
        middle = (low + high) / 2
        edges = rims(corners, self.names) - middle
        self.corners = corners - middle
        self.outlines = np.concatenate([edges, edges[:, 1:]], axis=1)    # a line is a triangle with two corners in one
        self.reach = np.linalg.norm(high - low) / 2
        self.zones = list(shape.zones)
        self.places = self._middles(self.corners, pieces(corners, self.names))
        colours = zone_colours(self.zones)
        self.colours = np.array([colours.get(name, np.array([0.9, 0.9, 0.9])) for name in self.names])

    def build(self, axes):
        reach = 1.04 * self.reach
        axes.set(xlim=(-reach, reach), ylim=(-reach, reach), aspect="equal")
        axes.axis("off")
        bar = max(b for b in (0.1, 0.2, 0.5, 1, 2, 5, 10) if b < 0.7 * self.reach or b == 0.1)
        axes.plot([-0.95 * reach, -0.95 * reach + bar], [-0.97 * reach] * 2, color=style.INK, linestyle="-", linewidth=3)
        axes.text(-0.95 * reach, -0.93 * reach, f"{bar:g} m", fontsize=9, va="bottom")
        self.patches = PolyCollection([], linewidths=0.8)
        axes.add_collection(self.patches, autolim=False)
        self.labels = {zone: axes.text(0, 0, zone, ha="center", va="center", zorder=5) for zone in self.zones}
        return [self.patches, *self.labels.values()]

    def look(self, turn, tilt):
        """Draw as seen from this side."""
        seen, lines = turned(self.corners, turn, tilt), turned(self.outlines, turn, tilt)
        across = np.cross(seen[:, 1] - seen[:, 0], seen[:, 2] - seen[:, 0])
        bright = abs(across @ LIGHT) / np.linalg.norm(across, axis=1).clip(1e-12)
        shade = self.colours * (0.72 + 0.28 * bright[:, None])
        away = np.concatenate([seen[..., 1].mean(1), lines[:, :2, 1].mean(1) - 0.06 * self.reach])
        order = np.argsort(-away)
        ink = np.broadcast_to(to_rgb(style.INK), (len(lines), 3))
        self.patches.set_verts(np.concatenate([seen, lines])[order][..., [0, 2]])
        self.patches.set_facecolor(np.concatenate([shade, ink])[order])
        self.patches.set_edgecolor(np.concatenate([shade, ink])[order])
        placed = []
        for zone in sorted(self.labels, key=lambda zone: len(self.places[zone])):
            spots = turned(self.places[zone], turn, tilt)
            clear = [min((np.hypot(*(spot - other)[[0, 2]]) for other in placed), default=-spot[1]) for spot in spots]
            best = spots[int(np.argmax(clear))]          # the piece whose name runs least into the others, else the nearest
            placed.append(best)
            self.labels[zone].set_position((best[0], best[2]))

    def _middles(self, corners, piece):
        weight = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
        return {zone: np.array([np.average(corners[piece == n].mean(1), axis=0, weights=weight[piece == n])
                                for n in np.unique(piece[self.names == zone])]) for zone in self.zones}
