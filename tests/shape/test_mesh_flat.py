"""Flat outlines and curved shells as triangles: the outline kept exactly, good angles, zones that share their nodes."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.shape import CurvedShape, FlatShape, surface_mesh
from compositekit.shape.laid_flat import laid_flat
from compositekit.units import Q_


def ring(radius, count=48, x=0.0, y=0.0, wobble=0.0):
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    reach = radius * (1 + wobble * np.cos(5 * turn))
    return np.column_stack([x + reach * np.cos(turn), y + reach * np.sin(turn)]).tolist()


def box(x0, y0, x1, y1):
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


L_SHAPE = [[0, 0], [1, 0], [1, 0.3], [0.3, 0.3], [0.3, 1], [0, 1]]
OWN = {    # shape, size in metres
    "a rectangle": (FlatShape({"lid": box(0, 0, 2, 1)}), 0.05),
    "a rectangle coarser than its size": (FlatShape({"lid": box(0, 0, 2, 1)}), 10.0),
    "a disc": (FlatShape({"lid": ring(0.5)}), 0.05),
    "a wavy disc": (FlatShape({"lid": ring(0.5, 120, wobble=0.2)}), 0.05),
    "an L": (FlatShape({"lid": L_SHAPE}), 0.05),
    "a narrow strip": (FlatShape({"lid": box(0, 0, 2, 0.01)}), 0.05),
    "a hair-thin strip": (FlatShape({"lid": box(0, 0, 1, 0.001)}), 0.05),
    "two cut-outs": (FlatShape({"lid": box(0, 0, 1, 1)}, {"lid": [ring(0.1, 24, 0.3, 0.4), box(0.6, 0.5, 0.95, 0.9)]}), 0.04),
    "a cut-out near the edge": (FlatShape({"lid": box(0, 0, 1, 1)}, {"lid": [box(0.3, 0.004, 0.7, 0.5)]}), 0.05),
    "two zones side by side": (FlatShape({"left": box(0, 0, 1, 1), "right": box(1, 0, 2, 1)}), 0.06),
    "a zone round another": (FlatShape({"rim": box(0, 0, 2, 1), "panel": ring(0.3, 30, 1, 0.5)}, {"rim": [ring(0.3, 30, 1, 0.5)]}), 0.05),
    "zones whose corners meet sides": (FlatShape({"a": box(0, 0, 2, 1), "b": box(0.3, 1, 0.9, 1.5), "c": box(0.9, 1, 2, 1.4)}), 0.06),
    "far from nought": (FlatShape({"lid": box(1000, 2000, 1001, 2000.5)}), 0.05),
    "turned": (FlatShape({"lid": [[0, 0], [1, 1], [0.5, 1.5], [-0.5, 0.5]]}), 0.05),
}
shapes = pytest.mark.parametrize("name", OWN)


@pytest.fixture(scope="module")
def meshes():
    return {name: surface_mesh(shape, Q_(size, "m")) for name, (shape, size) in OWN.items()}


@shapes
def test_area_centre_and_edge_are_those_of_the_outline(name, meshes):
    shape, mesh = OWN[name][0], meshes[name]
    assert mesh.area.m == pytest.approx(shape.area.m, rel=1e-9)
    assert mesh.centre.m == pytest.approx(shape.centre.m, abs=1e-9)
    for zone, size in shape.zones.items():
        assert mesh.zone_areas[zone].m == pytest.approx(size.area.m, rel=1e-9)
    rim = np.linalg.norm(np.diff(mesh.si.nodes[mesh.si.rim], axis=1), axis=2).sum()
    assert rim == pytest.approx(shape.perimeter.m, rel=1e-9)


@shapes
def test_the_mesh_has_no_fault_and_lies_face_up(name, meshes):
    mesh, shape = meshes[name], OWN[name][0]
    openings = sum(len(part.interiors) for part in [shapely.union_all(list(shape.polygons.values()))])
    assert mesh.faults(cut_outs=openings) == []
    assert len(mesh.si.loops) == 1 + openings
    assert mesh.si.normals[:, 2] == pytest.approx(1.0)


@shapes
def test_angles_are_good_and_sides_not_long(name, meshes):
    mesh, size = meshes[name], OWN[name][1]
    assert np.degrees(mesh.si.smallest_angles.min()) > 20
    assert mesh.si.edge_lengths.max() <= 1.6 * size


@shapes
def test_flat_places_are_those_of_the_part_laid_flat(name, meshes):
    mesh, outline = meshes[name], laid_flat(OWN[name][0])
    middles = mesh.flat.mean(1)
    for zone, polygon in outline.items():
        assert shapely.contains_xy(polygon, *middles[mesh.zone_mask(zone)].T).all()
    u, v = mesh.flat[:, 1] - mesh.flat[:, 0], mesh.flat[:, 2] - mesh.flat[:, 0]
    assert (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2 == pytest.approx(mesh.si.areas, rel=1e-6)


def test_zones_share_the_nodes_on_their_border(meshes):
    mesh = meshes["zones whose corners meet sides"]
    nodes = {zone: set(mesh.si.triangles[mesh.zone_mask(zone)].ravel()) for zone in "abc"}
    assert all(mesh.si.nodes[node, 1] == pytest.approx(1.0) for node in (nodes["a"] & nodes["b"]) | (nodes["a"] & nodes["c"]))
    along = np.sort(mesh.si.nodes[list(nodes["a"] & nodes["b"]), 0])
    assert along[[0, -1]] == pytest.approx([0.3, 0.9]) and np.diff(along).max() <= 0.06 + 1e-9


def test_borders_that_miss_each_other_by_rounding_are_joined():
    mesh = surface_mesh(FlatShape({"a": box(0, 0, 1, 1), "b": box(1 + 3e-8, 0, 2, 1), "c": box(0, 1 - 2e-8, 1.4, 2)}), Q_(0.1, "m"))
    assert mesh.faults() == [] and mesh.area.m == pytest.approx(1 + 1 + 1.4, rel=1e-6)


def test_separate_zones_stay_separate():
    mesh = surface_mesh(FlatShape({"a": box(0, 0, 1, 1), "b": box(1.01, 0, 2, 1)}), Q_(0.1, "m"))
    assert mesh.faults(pieces=2) == []


def test_a_sharp_corner_keeps_its_own_angle_and_no_more():
    mesh = surface_mesh(FlatShape({"wedge": [[0, 0], [1, 0], [1, 0.05]]}), Q_(0.025, "m"))
    assert mesh.area.m == pytest.approx(0.025, rel=1e-9)
    assert np.mean(np.degrees(mesh.si.smallest_angles) < 20) < 0.1
    assert len(mesh.si.triangles) < 1000


def test_half_the_size_makes_four_times_the_triangles():
    lid = FlatShape({"lid": ring(0.5, 16)})
    counts = [len(surface_mesh(lid, Q_(size, "m")).si.triangles) for size in (0.08, 0.04, 0.02)]
    assert counts[1] / counts[0] == pytest.approx(4, rel=0.2) and counts[2] / counts[1] == pytest.approx(4, rel=0.1)


@st.composite
def outlines(draw):
    """Stars round a middle: any reach at rising angles makes one clean loop."""
    count = draw(st.integers(3, 14))
    reach = draw(st.lists(st.floats(0.05, 1.0), min_size=count, max_size=count))
    shift = draw(st.lists(st.floats(-0.35, 0.35), min_size=count, max_size=count))
    turn = 2 * np.pi * (np.arange(count) + shift) / count
    return np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])


@given(outlines(), st.floats(0.05, 0.4))
@settings(max_examples=60, deadline=None)
def test_any_outline_is_filled_to_its_edge(outline, size):
    polygon = shapely.Polygon(outline)
    mesh = surface_mesh(FlatShape({"lid": outline.tolist()}), Q_(size, "m"))
    assert mesh.area.m == pytest.approx(polygon.area, rel=1e-9)
    assert mesh.faults() == []
    rim = np.linalg.norm(np.diff(mesh.si.nodes[mesh.si.rim], axis=1), axis=2).sum()
    assert rim == pytest.approx(polygon.length, rel=1e-9)
    assert mesh.si.edge_lengths.max() <= 1.6 * size


# --- curved shells ------------------------------------------------------------------------------

ARC = [[0.8 * np.sin(a), 0.8 * np.cos(a)] for a in np.linspace(-1.1, 1.1, 12)]
KINKED = [[-0.5, 0], [-0.5, 0.3], [0.5, 0.3], [0.5, 0]]


@pytest.mark.parametrize("section, zones", [(ARC, None), (KINKED, {"wall": (0, 0.3), "top": (0.3, 1.3), "other wall": (1.3, 1.6)})])
def test_a_shell_whose_folds_are_lines_of_nodes_keeps_its_area(section, zones):
    shape = CurvedShape(section, 1.5, zones)
    mesh = surface_mesh(shape, Q_(0.05, "m"))
    assert mesh.area.m == pytest.approx(shape.area.m, rel=1e-9) and mesh.centre.m == pytest.approx(shape.centre.m, abs=1e-9)
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx(
        {name: zone.area.m_as("m^2") for name, zone in shape.zones.items()}, rel=1e-9)
    assert mesh.faults() == []
    assert np.degrees(mesh.si.smallest_angles.min()) > 20


def test_a_finely_drawn_arc_is_followed_with_the_second_power_of_the_size():
    """Chords of length h on a circle of radius R are short by (h/R)^2/24 (series of the sine)."""
    fine = np.linspace(-1.1, 1.1, 2001)
    shape = CurvedShape(np.column_stack([0.8 * np.sin(fine), 0.8 * np.cos(fine)]).tolist(), 1.5)
    short = [1 - surface_mesh(shape, Q_(size, "m")).area.m / shape.area.m for size in (0.2, 0.1, 0.05)]
    orders = np.log2(np.array(short[:-1]) / short[1:])
    assert np.all(orders > 1.6) and np.all(np.array(short) < (np.array([0.2, 0.1, 0.05]) * 1.6 / 0.8)**2 / 24)
    assert np.all(np.array(short) > 0)


def test_a_shell_laid_flat_keeps_every_length_of_its_sides():
    shape = CurvedShape(KINKED, 0.4)
    mesh = surface_mesh(shape, Q_(0.05, "m"))
    sides = np.linalg.norm(mesh.si.corners - np.roll(mesh.si.corners, 1, axis=1), axis=2)
    assert np.linalg.norm(mesh.flat - np.roll(mesh.flat, 1, axis=1), axis=2) == pytest.approx(sides, abs=1e-12)
    assert np.ptp(mesh.flat.reshape(-1, 2), axis=0) == pytest.approx([1.6, 0.4])     # the long way lies along x


# --- bad input ----------------------------------------------------------------------------------

LID = FlatShape({"lid": box(0, 0, 1, 1)})
BAD = [
    ("a size of nought", LID, Q_(0, "m"), RangeError, "size"),
    ("a size without unit", LID, 0.05, UnitError, "without a unit"),
    ("two sizes", LID, Q_(np.array([0.1, 0.2]), "m"), RangeError, "one length"),
    ("a size a thousand times too fine", LID, Q_(0.05, "mm"), RangeError, "about 9.2e.08 triangles.*at least 0.0023 m"),
    ("no shape", "lid", Q_(0.1, "m"), ShapeError, "shape is str"),
]


@pytest.mark.parametrize("shape, size, error, words", [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_own_bad_input(shape, size, error, words):
    with pytest.raises(error, match=words):
        surface_mesh(shape, size)


def test_the_same_shape_and_size_give_the_same_mesh():
    assert surface_mesh(LID, Q_(50, "mm")) is surface_mesh(LID, Q_(0.05, "m"))
