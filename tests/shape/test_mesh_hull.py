"""Hulls as triangles: both sides and the ends joined, sizes as the hull's own, and what converges how fast."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.shape import HullShape, TriangleMesh, surface_mesh
from compositekit.shape.laid_flat import laid_flat
from compositekit.units import Q_

LINES, ZONES = ["keel", "chine", "gunwale"], {"bottom": ("keel", "chine"), "side": ("chine", "gunwale")}


def hull(stations, **more):
    return HullShape([(x, dict(zip(LINES, row, strict=True))) for x, *row in stations], LINES, **({"zones": ZONES} | more))


PUNT = open_part(DEMO / "fen_punt" / "part.json").part.geometry
BOX = hull([(0, (0, 0), (0.3, 0), (0.3, 0.4)), (1, (0, 0), (0.3, 0), (0.3, 0.4))])
POINTED = hull([(0, (0, 0.3), (0, 0.3), (0, 0.5)), (0.5, (0, 0.05), (0.25, 0.1), (0.3, 0.45)),
                (1.5, (0, 0), (0.4, 0.05), (0.5, 0.4)), (3, (0, 0.1), (0.3, 0.12), (0.4, 0.45))])
CANOE = HullShape([(0, {"keel": (0, 0.3), "gunwale": (0, 0.3)}), (1, {"keel": (0, 0), "gunwale": (0.4, 0.3)}),
                   (2, {"keel": (0, 0.3), "gunwale": (0, 0.3)})], ["keel", "gunwale"])
VEE = hull([(0, (0, 0), (0.3, 0.2), (0.4, 0.5)), (2, (0, 0.05), (0.1, 0.2), (0.15, 0.5))])
TWISTED = hull([(0, (0, 0), (0.5, 0.0), (0.5, 0.4)), (1.5, (0, 0), (0.2, 0.3), (0.6, 0.5))])
STEM = HullShape([(0, {"keel": (0, 0.1), "gunwale": (0, 0.5)}), (1.5, {"keel": (0, 0), "gunwale": (0.4, 0.4)}),
                  (3, {"keel": (0, 0.1), "gunwale": (0, 0.5)})], ["keel", "gunwale"])
OPEN = hull([(0, (0, 0), (0.3, 0), (0.3, 0.4)), (1, (0, 0), (0.4, 0), (0.4, 0.4))], ends=False)
OWN = {"punt": PUNT, "box": BOX, "pointed": POINTED, "canoe": CANOE, "vee": VEE, "twisted": TWISTED, "stem": STEM, "open": OPEN}
hulls = pytest.mark.parametrize("name", OWN)


@pytest.fixture(scope="module")
def meshes():
    return {name: surface_mesh(shape, Q_(0.05, "m")) for name, shape in OWN.items()}


@hulls
def test_zones_have_the_hulls_own_areas(name, meshes):
    shape, mesh = OWN[name], meshes[name]
    assert {zone: area.m for zone, area in mesh.zone_areas.items()} == pytest.approx(
        {zone: size.area.m for zone, size in shape.zones.items()}, rel=1e-3)   # twisted patches are cut into flat triangles
    assert mesh.centre.m == pytest.approx(shape.centre.m, abs=1e-3)


def test_a_hull_of_flat_faces_is_exact(meshes):
    assert meshes["box"].area.m == pytest.approx(2 * 0.3 + 2 * 0.4 + 2 * 0.6 * 0.4 - 0.0, rel=1e-12)
    assert meshes["box"].centre.m == pytest.approx(BOX.centre.m, abs=1e-12)


@hulls
def test_one_sound_surface_whose_only_opening_is_the_rim(name, meshes):
    mesh = meshes[name]
    assert mesh.faults(cut_outs=0) == []
    assert len(mesh.si.loops) == 1
    assert len(np.unique(mesh.si.pieces)) == 1


@hulls
def test_faces_look_outward(name, meshes):
    """With the rim closed by a lid of triangles to its middle, the divergence theorem gives a positive volume."""
    assert lidded(meshes[name]).volume.m > 0


@pytest.mark.parametrize("name", ["box", "vee", "canoe"])
def test_enclosed_volume_up_to_a_level_gunwale(name, meshes):
    """These gunwales are level or straight, so that a flat lid closes just what the hull counts."""
    assert lidded(meshes[name]).volume.m == pytest.approx(OWN[name].volume.m, rel=1e-3)


def lidded(mesh):
    loop = mesh.si.loops[0]
    nodes = np.concatenate([mesh.si.nodes, [mesh.si.nodes[loop].mean(0)]])
    rim = mesh.si.rim
    lid = np.column_stack([rim[:, ::-1], np.full(len(rim), len(mesh.si.nodes))])
    return TriangleMesh(nodes, np.concatenate([mesh.si.triangles, lid]))


@hulls
def test_angles_are_good_but_for_pointed_corners(name, meshes):
    angles = np.degrees(meshes[name].si.smallest_angles)
    assert np.mean(angles < 20) < 0.02
    assert meshes[name].si.edge_lengths.max() < 2.5 * 0.05   # a raked stem stretches them


@hulls
def test_both_sides_mirror_each_other(name, meshes):
    nodes = meshes[name].si.nodes
    sort = [tuple(row) for row in np.round(nodes, 9) + 0.0]
    assert sorted(sort) == sorted(map(tuple, np.round(nodes * [1, -1, 1], 9) + 0.0))


@hulls
def test_flat_places_fill_the_part_laid_flat(name, meshes):
    mesh, outline = meshes[name], laid_flat(OWN[name])
    middles = mesh.flat.mean(1)
    u, v = mesh.flat[:, 1] - mesh.flat[:, 0], mesh.flat[:, 2] - mesh.flat[:, 0]
    areas = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
    for zone, polygon in outline.items():
        mask = mesh.zone_mask(zone)
        assert shapely.contains_xy(polygon, *middles[mask].T).all()
        assert areas[mask].sum() == pytest.approx(polygon.area, rel=1e-9)


def test_a_side_of_a_vee_laid_flat_keeps_its_girth(meshes):
    mesh = meshes["vee"]
    at_end = np.isclose(mesh.si.nodes[mesh.si.triangles][..., 0], 0.0) & ~mesh.zone_mask("ends")[:, None]
    assert np.abs(mesh.flat[at_end][:, 1]).max() == pytest.approx(VEE.girth(Q_(0, "m")).m / 2)


@hulls
def test_a_girth_along_the_mesh_is_the_hulls_own(name, meshes):
    """Between the two nodes at the gunwales amidships, through the keel, along the edges of the mesh."""
    shape, mesh = OWN[name], meshes[name]
    x = shape.x[len(shape.x) // 2] if len(shape.x) > 2 else shape.x[0]
    section = shape.section(Q_(x, "m")).m
    chain = mesh.path_nodes(Q_(np.column_stack([np.full(len(section), x), section]), "m"))
    girth = np.linalg.norm(np.diff(mesh.si.nodes[chain], axis=0), axis=1).sum()
    assert girth == pytest.approx(shape.girth(Q_(x, "m")).m, rel=1e-9)    # that station is a line of nodes


def test_area_of_a_twisted_side_converges_with_the_second_power_of_the_size():
    area = TWISTED.area.m
    off = [abs(surface_mesh(TWISTED, Q_(size, "m")).area.m / area - 1) for size in (0.2, 0.1, 0.05)]
    orders = np.log2(np.array(off[:-1]) / off[1:])
    assert np.all(orders > 1.5)


def test_the_demo_hull_has_a_few_thousand_nodes_for_filling():
    assert 2000 < len(surface_mesh(PUNT, Q_(50, "mm")).si.nodes) < 5000 < len(surface_mesh(PUNT, Q_(35, "mm")).si.nodes) < 7000


def test_a_feed_line_along_the_keel_becomes_a_chain_of_keel_nodes(meshes):
    mesh = meshes["punt"]
    chain = mesh.path_nodes(Q_(np.array([[0.2, 0.0], [3.4, 0.0]]), "m"))       # drawn on the part laid flat
    assert np.all(mesh.si.nodes[chain, 1] == 0.0) and np.ptp(mesh.si.nodes[chain, 0]) > 3.0


def test_an_unnamed_strip_is_left_out_and_its_edges_are_open():
    bare = hull([(0, (0, 0), (0.3, 0), (0.3, 0.4)), (1, (0, 0), (0.3, 0), (0.3, 0.4))], zones={"bottom": ("keel", "chine")}, ends=False)
    mesh = surface_mesh(bare, Q_(0.05, "m"))
    assert mesh.zone_names == ("bottom",) and mesh.area.m == pytest.approx(0.6)


@st.composite
def any_hull(draw):
    share = st.integers(0, 100).map(lambda part: part / 100)    # offsets are measured to some millimetres
    stations = []
    for number in range(draw(st.integers(2, 4))):
        half, drop, rise = draw(share), 0.3 * draw(share), 0.05 + 0.4 * draw(share)
        chine = draw(share) * half + (number == 1) * 0.1
        stations.append((1.2 * number, (0, 0.3 - drop), (chine, 0.3 - drop + rise * draw(share)), (half + (number == 1) * 0.2, 0.35 + rise)))
    return hull(stations)


@given(any_hull(), st.floats(0.08, 0.3))
@settings(max_examples=40, deadline=None)
def test_any_hull_becomes_one_sound_surface(shape, size):
    mesh = surface_mesh(shape, Q_(size, "m"))
    assert not [fault for fault in mesh.faults(cut_outs=99) if "on the same spot" not in fault]
    assert mesh.area.m == pytest.approx(shape.area.m, rel=0.02)
    middles = mesh.si.centres
    assert (mesh.si.areas @ middles)[1] == pytest.approx(0.0, abs=1e-9)
