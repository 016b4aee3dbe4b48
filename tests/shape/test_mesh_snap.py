"""Nodes drawn on to lines: where they land, what stays, and that the surface remains what it was (OWN cases)."""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.shape import FlatShape
from compositekit.shape.mesh_snap import drawn_onto
from compositekit.shape.meshing import surface_mesh
from compositekit.units import Q_

PLATE = FlatShape({"plate": [[0, 0], [2, 0], [2, 1], [0, 1]]})


def chained(mesh, points):
    points = np.array(points, dtype=float)
    return type(mesh).path_nodes(mesh, Q_(points, "m")), points


@pytest.mark.parametrize("points", [[(0.613, 0), (0.613, 1)], [(0, 0.437), (2, 0.437)], [(0.2, 0.1), (1.7, 0.8)]])
def test_a_straight_line_is_where_it_was_drawn(points):
    mesh = surface_mesh(PLATE, Q_(40, "mm"))
    nodes, line = chained(mesh, points)
    snapped = drawn_onto(mesh, [(nodes, line)])
    start, along = line[0], (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    off = lambda places: np.abs((places[:, :2] - start) @ np.array([-along[1], along[0]]))      # noqa: E731
    inner = np.setdiff1d(nodes, mesh.rim_nodes())
    assert off(mesh.si.nodes[inner]).max() > 3e-3, "before, they lay beside it"
    on_it = off(snapped.si.nodes[inner]) < 1e-12
    assert np.mean(on_it) > 0.8, "a slanting chain has a few nodes that would flatten a triangle"
    assert snapped.si.areas.sum() == pytest.approx(2.0, rel=1e-12) and snapped.si.areas.min() > 0.19 * mesh.si.areas.min()
    assert np.array_equal(snapped.si.nodes[mesh.rim_nodes()], mesh.si.nodes[mesh.rim_nodes()])


@pytest.mark.parametrize("name", demo_parts())
def test_a_part_keeps_its_surface(name):
    geometry = open_part(DEMO / name / "part.json").part.geometry
    mesh = surface_mesh(geometry, Q_(50, "mm"))
    low, high = mesh.flat.reshape(-1, 2).min(0), mesh.flat.reshape(-1, 2).max(0)
    x = low[0] + 0.37 * (high[0] - low[0])
    nodes, line = chained(mesh, [(x, low[1] + 0.1 * (high - low)[1]), (x, high[1] - 0.1 * (high - low)[1])])
    snapped = drawn_onto(mesh, [(nodes, line)])
    assert not np.array_equal(snapped.si.nodes, mesh.si.nodes)
    for zone, area in mesh.zone_areas.items():
        assert snapped.zone_areas[zone].m_as("m^2") == pytest.approx(area.m_as("m^2"), rel=1e-3)    # a moved node leaves a fold by a chord
    assert not snapped.faults(cut_outs=len(mesh.si.loops), pieces=mesh.si.pieces.max() + 1 if np.ndim(mesh.si.pieces) else mesh.si.pieces)


def test_nothing_to_move_gives_the_same_mesh():
    mesh = surface_mesh(PLATE, Q_(100, "mm"))
    rim = np.array([[0, 0], [2, 0]])
    nodes = [node for node in mesh.rim_nodes() if mesh.si.nodes[node, 1] == 0]
    assert drawn_onto(mesh, [(np.array(nodes), rim)]) is mesh
