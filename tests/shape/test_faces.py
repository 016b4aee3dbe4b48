"""Triangles of any shape cover exactly the area of each zone (own cases)."""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import ShapeError
from compositekit.shape import CurvedShape, FlatShape, HullShape
from compositekit.shape.faces import faces

ROW = {"keel": (0, 0), "chine": (0.4, 0), "gunwale": (0.5, 0.3)}
OWN = [
    ("hull", HullShape([(0, ROW), (2, ROW)], list(ROW), {"floor": ("keel", "chine"), "wall": ("chine", "gunwale")})),
    ("flat with a hole, not convex", FlatShape({"a": [[0, 0], [2, 0], [2, 1], [1, 0.4], [0, 1]], "b": [[0, 1], [1, 2], [0, 2]]},
                                               {"a": [[[0.2, 0.1], [0.4, 0.1], [0.4, 0.3]]]})),
    ("curved in two zones", CurvedShape([[0, 0], [0.5, 0.3], [1, 0.4], [1.6, 0.2]], 3.0, {"left": (0, 0.8), "right": (0.8, 1.5)})),
]


@pytest.mark.parametrize("shape", [row[1] for row in OWN], ids=[row[0] for row in OWN])
def test_triangles_cover_each_zone(shape):
    corners, names = faces(shape)
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    assert set(names) == set(shape.zones)
    for name, zone in shape.zones.items():
        assert area[names == name].sum() == pytest.approx(zone.si.area, rel=1e-9)


def test_anything_else_is_refused():
    with pytest.raises(ShapeError, match="str"):
        faces("a boat")
