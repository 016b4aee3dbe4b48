"""A surface of triangles laid flat: exact where it can be, near where it nearly can, refused where it folds over; own cases, against the shapes' own closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import ShapeError
from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.shape import MeshShape, TriangleMesh, surface_mesh
from compositekit.shape.laid_flat import laid_flat
from compositekit.shape.unfolding import unfolded
from compositekit.units import Q_


def turned(angle, axis):
    """A turn about an axis by an angle."""
    c, s = np.cos(angle), np.sin(angle)
    turn = np.eye(3)
    i, j = [k for k in range(3) if k != axis]
    turn[i, i], turn[i, j], turn[j, i], turn[j, j] = c, -s, s, c
    return turn


def sheet(height, count=31, half=1.0):
    """A square sheet over [-half, half]^2 with the height that a function of x and y gives."""
    x = np.linspace(-half, half, count)
    places = np.array([(u, v, height(u, v)) for u in x for v in x])
    corner = np.arange(count * count).reshape(count, count)
    a, b, c, d = corner[:-1, :-1].ravel(), corner[1:, :-1].ravel(), corner[1:, 1:].ravel(), corner[:-1, 1:].ravel()
    return TriangleMesh(places, np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)]))


@pytest.mark.parametrize("angle,axis,flip", [(0.0, 0, False), (0.7, 0, False), (1.2, 1, True), (2.5, 0, False), (0.4, 2, True)])
def test_a_plane_keeps_every_length_however_it_lies(angle, axis, flip):
    mesh = sheet(lambda x, y: 0.0, 9)
    triangles = mesh.si.triangles[:, ::-1] if flip else mesh.si.triangles
    found = unfolded(TriangleMesh(mesh.si.nodes @ turned(angle, axis).T, triangles))
    assert found.greatest < 1e-9 and sum(polygon.area for polygon in found.polygons.values()) == pytest.approx(4.0)


def test_an_arch_unrolls_to_its_arc():
    """Arc of radius R over a chord 2 a: 2 R asin(a/R)."""
    found = unfolded(sheet(lambda x, y: np.sqrt(1.5**2 - y**2), 61))
    (polygon,) = found.polygons.values()
    assert polygon.area == pytest.approx(2 * 2 * 1.5 * np.arcsin(1 / 1.5), rel=1e-3) and found.greatest < 2e-3


@pytest.mark.parametrize("height", [0.1, 0.3, 0.6])
def test_a_shallow_dish_keeps_its_area_and_says_how_it_stretches(height):
    mesh = sheet(lambda x, y: height * (1 - (x * x + y * y) / 2))
    found = unfolded(mesh)
    (polygon,) = found.polygons.values()
    assert polygon.area == pytest.approx(mesh.area.m, rel=2e-3)
    assert 0 < found.stretch < found.greatest < 0.08


def test_the_roof_as_a_mesh_lies_as_the_roof_by_its_section():
    roof = open_part(DEMO / "shelter_roof" / "part.json").part.geometry
    by_mesh, by_section = (np.concatenate([polygon.bounds for polygon in laid_flat(shape).values()]) for shape in (MeshShape(surface_mesh(roof, Q_(0.1, "m"))), roof))
    assert by_mesh == pytest.approx(by_section, abs=2e-3)
    mesh = surface_mesh(MeshShape(surface_mesh(roof, Q_(0.1, "m"))), Q_(0.06, "m"))
    assert mesh.flat.shape == (len(mesh.si.triangles), 3, 2) and np.linalg.norm(np.ptp(mesh.flat.reshape(-1, 2), axis=0)) == pytest.approx(np.hypot(2.4, by_section[3]), rel=2e-3)


# What cannot lie flat, and the words that say so.
OWN = [
    (sheet(lambda x, y: 3.0 * np.exp(-6 * (x * x + y * y))), "too hollow|stands upright"),
    (TriangleMesh([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]], [[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]), "stands upright or faces away"),
    (TriangleMesh([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0.9, 1, 1]], [[0, 1, 2], [1, 0, 3]]), "stands upright or faces away"),
]


@pytest.mark.parametrize("mesh,words", OWN)
def test_what_folds_over_is_refused_and_can_still_be_meshed(mesh, words):
    with pytest.raises(ShapeError, match=words):
        laid_flat(MeshShape(mesh))
    assert surface_mesh(MeshShape(mesh), Q_(0.2, "m")).flat is None
