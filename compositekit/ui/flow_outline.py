"""The edges of the zones of a part laid flat, and where their names go."""

from __future__ import annotations

import numpy as np
from matplotlib.path import Path


def bounds(flat):
    """Smallest and largest x and y over all zones [m]."""
    boxes = np.array([polygon.bounds for polygon in flat.values()])
    return (*boxes[:, :2].min(0), *boxes[:, 2:].max(0))


def outline(flat):
    """Every edge of every zone as one path."""
    rings = [np.array(ring.coords) for polygon in flat.values() for part in getattr(polygon, "geoms", [polygon]) for ring in (part.exterior, *part.interiors)]
    return Path.make_compound_path(*(Path(ring, closed=True) for ring in rings))


def spot(polygon):
    """Where a zone's name goes: in its largest piece, off the centre line."""
    largest = max(getattr(polygon, "geoms", [polygon]), key=lambda part: part.area)
    x0, y0, x1, y1 = largest.bounds
    return x0 + 0.25 * (x1 - x0), y0 + 0.68 * (y1 - y0)
