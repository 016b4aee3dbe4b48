"""A part given as a mesh: zone sizes beside those of the same part by stations, zones by group and box, finer meshes."""

from __future__ import annotations

import numpy as np
import pytest
from plain_meshes import cube, grid, plate

from compositekit.errors import RangeError, ShapeError
from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.shape import FlatShape, MeshShape, TriangleMesh, surface_mesh
from compositekit.shape.faces import faces
from compositekit.shape.mesh_shape import in_zones
from compositekit.units import Q_

PUNT = open_part(DEMO / "fen_punt" / "part.json").part.geometry


@pytest.mark.parametrize("zone", list(PUNT.zones))
def test_zones_of_the_demo_hull_as_a_mesh_are_those_by_stations(zone):
    mesh = MeshShape(surface_mesh(PUNT, Q_(50, "mm")))
    ours, stations = mesh.zones[zone], PUNT.zones[zone]
    assert ours.area.m == pytest.approx(stations.area.m, rel=1e-5) and ours.pieces == stations.pieces
    assert ours.perimeter.m == pytest.approx(stations.perimeter.m, rel=1e-9)
    assert ours.centre.m == pytest.approx(stations.centre.m, abs=1e-4)
    assert ours.length.m == pytest.approx(stations.length.m, rel=0.01)      # straight here, along the rocker there
    assert ours.width.m == pytest.approx(stations.width.m, rel=0.01)
    assert ours.widest.m == pytest.approx(stations.widest.m, rel=0.01)


def test_a_rectangle_and_a_wedge_have_their_own_widths():
    lid = MeshShape(plate())
    assert (lid.zones["part"].length.m, lid.zones["part"].width.m, lid.zones["part"].widest.m) == pytest.approx((2.0, 1.0, 1.0))
    wedge = MeshShape(surface_mesh(FlatShape({"wedge": [[0, 0], [2, -0.3], [2, 0.3]]}), Q_(0.05, "m"))).zones["wedge"]
    assert wedge.length.m == pytest.approx(2.0, rel=0.01) and wedge.width.m == pytest.approx(0.3, rel=0.01)
    assert wedge.widest.m == pytest.approx(0.6, rel=0.03)      # the last of 41 cuts


def test_size_area_and_centre_are_those_of_the_mesh():
    shape = MeshShape(cube(0.5))
    assert shape.extent.m == pytest.approx([0.5, 0.5, 0.5]) and shape.area.m == pytest.approx(1.5)
    assert shape.centre.m == pytest.approx([0.25, 0.25, 0.25])


def test_the_picture_is_drawn_from_the_mesh():
    corners, names = faces(MeshShape(plate()))
    assert corners.shape == (64, 3, 3) and set(names) == {"part"}


def test_zones_by_box_and_by_group():
    nodes, triangles = grid()
    mesh = TriangleMesh(nodes, triangles, np.where(nodes[triangles].mean(1)[:, 0] < 0.5, "a", "b"))
    named = in_zones(mesh, {"edge": {"groups": ["a"]}, "left": {"boxes": [((0.5, 0.5, -1), (2, 0, 1))]},
                            "right": {"boxes": [((0.5, 0.5, -1), (2, 1, 1))]}})
    assert {name: area.m for name, area in named.zone_areas.items()} == pytest.approx({"edge": 0.5, "left": 0.75, "right": 0.75})


BAD = [
    ("a face in no zone", {"left": {"boxes": [((0, 0, -1), (1, 1, 1))]}}, r"32 face\(s\), 1 m\^2, first at .* lie in no zone"),
    ("a face in two", {"all": {"groups": ["part"]}, "left": {"boxes": [((0, 0, -1), (1, 1, 1))]}}, "lie in two zones"),
    ("a group the mesh has not", {"all": {"groups": ["hull"]}}, 'no group "hull"; it has part'),
    ("a box beside the part", {"all": {"groups": ["part"]}, "far": {"boxes": [((9, 9, 9), (10, 10, 10))]}}, 'no face lies in zone "far"'),
    ("no zones", {}, "names no zone"),
]


@pytest.mark.parametrize("zones, words", [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_own_bad_zones(zones, words):
    with pytest.raises(ShapeError, match=words):
        in_zones(plate(), zones)


def test_only_a_mesh_makes_a_mesh_shape():
    with pytest.raises(ShapeError, match="read_mesh"):
        MeshShape("hull.stl")


def test_a_coarse_mesh_is_cut_finer_without_a_change_of_surface():
    mesh = plate(rows=2, columns=1)
    fine = surface_mesh(MeshShape(mesh), Q_(0.1, "m"))
    assert fine.si.edge_lengths.max() <= 0.16 and fine.faults() == []
    assert fine.area.m == pytest.approx(2.0, rel=1e-12) and fine.flat == pytest.approx(fine.si.corners[..., :2])
    assert np.degrees(fine.si.smallest_angles.min()) == pytest.approx(45.0)


def test_zones_of_a_mesh_cut_finer_keep_their_areas():
    coarse = MeshShape(surface_mesh(PUNT, Q_(200, "mm")))
    fine = surface_mesh(coarse, Q_(60, "mm"))
    assert {name: area.m for name, area in fine.zone_areas.items()} == pytest.approx({name: area.m for name, area in coarse.mesh.zone_areas.items()})
    assert fine.faults() == [] and np.degrees(fine.si.smallest_angles.min()) > 10
    with pytest.raises(RangeError, match="at least"):
        surface_mesh(coarse, Q_(0.1, "mm"))
