"""Area, volume and centre of closed meshes against exact solids, with the order of convergence, and against trimesh."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from compositekit.shape import TriangleMesh

# Exact solids (own calculation): the unit sphere, and the half-axes 1, 0.5, 0.25 of an ellipsoid, V = 4 pi a b c/3.
SPHERE_AREA, SPHERE_VOLUME = 4 * np.pi, 4 * np.pi / 3
HALF_AXES = np.array([1.0, 0.5, 0.25])


def ball(level, half_axes=(1.0, 1.0, 1.0), place=(0.0, 0.0, 0.0)):
    ico = trimesh.creation.icosphere(level)
    return TriangleMesh(ico.vertices * half_axes + place, ico.faces)


@pytest.mark.parametrize("measure, exact", [(lambda mesh: mesh.area.m, SPHERE_AREA), (lambda mesh: mesh.volume.m, SPHERE_VOLUME)])
def test_a_sphere_converges_with_the_second_power_of_the_side(measure, exact):
    off = np.array([1 - measure(ball(level)) / exact for level in (2, 3, 4)])      # each level halves the sides
    assert np.log2(off[:-1] / off[1:]) == pytest.approx([2.0, 2.0], abs=0.05)
    assert 0 < off[-1] < 5e-3


def test_an_ellipsoid_holds_its_volume_wherever_it_stands():
    off = [1 - ball(level, HALF_AXES, (5.0, 0.0, -3.0)).volume.m / (SPHERE_VOLUME * HALF_AXES.prod()) for level in (3, 4)]
    assert np.log2(off[0] / off[1]) == pytest.approx(2.0, abs=0.05)
    assert ball(3, HALF_AXES, (5.0, 0.0, -3.0)).centre.m == pytest.approx([5.0, 0.0, -3.0], abs=1e-12)


def test_the_same_figures_as_trimesh():
    rng = np.random.default_rng(11)
    lump = trimesh.creation.icosphere(3)
    lump = trimesh.Trimesh(lump.vertices * (1 + 0.2 * rng.random((len(lump.vertices), 1))), lump.faces, process=False)
    mesh = TriangleMesh(lump.vertices, lump.faces)
    assert mesh.volume.m == pytest.approx(lump.volume, rel=1e-12) and mesh.area.m == pytest.approx(lump.area, rel=1e-12)
    assert mesh.si.normals == pytest.approx(lump.face_normals, abs=1e-12)
    assert len(mesh.si.edges) == len(lump.edges_unique)
    assert sorted(map(tuple, np.sort(lump.face_adjacency, axis=1))) == sorted(
        {tuple(sorted((t, int(other)))) for t, row in enumerate(mesh.si.neighbours) for other in row})
