"""TriangleMesh: sizes against exact values, chains of nodes, and every fault told with its place."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from plain_meshes import CORNERS, CUBE, cube, grid, plate

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.shape import TriangleMesh
from compositekit.units import Q_


def at(*points):
    return Q_(np.array(points, dtype=float), "m")


# --- sizes ----------------------------------------------------------------------------------

def test_a_plate_of_eight_by_four_squares():
    mesh = plate()
    assert mesh.area.m_as("m^2") == pytest.approx(2.0, rel=1e-14)
    assert mesh.centre.m_as("m") == pytest.approx([1.0, 0.5, 0.0])
    assert mesh.si.normals == pytest.approx(np.tile([0.0, 0.0, 1.0], (64, 1)))
    assert len(mesh.si.edges) == 45 + 64 - 1            # Euler: nodes - edges + faces = 1 for a disc
    assert len(mesh.si.rim) == len(mesh.rim_nodes()) == 24
    assert mesh.si.loop_length(mesh.si.loops[0]) == pytest.approx(6.0)


def test_a_cube_encloses_its_volume_wherever_it_stands():
    mesh = TriangleMesh(CORNERS * 0.5 + [7.0, -3.0, 2.0], CUBE)
    assert mesh.volume.m_as("m^3") == pytest.approx(0.125, rel=1e-13)
    assert mesh.area.m_as("m^2") == pytest.approx(1.5)
    assert mesh.si.loops == [] and len(mesh.rim_nodes()) == 0


def test_neighbours_know_each_other_and_share_the_side_named():
    si = plate().si
    for t, row in enumerate(si.neighbours):
        for k, other in enumerate(row):
            ends = {si.triangles[t, k], si.triangles[t, (k + 1) % 3]}
            if other < 0:
                assert ends in [set(edge) for edge in si.rim.tolist()]
            else:
                assert t in si.neighbours[other] and ends <= set(si.triangles[other])


def test_smallest_angle_of_half_a_square_and_of_an_even_triangle():
    assert np.degrees(plate().si.smallest_angles) == pytest.approx(45.0)
    even = TriangleMesh([[0, 0, 0], [1, 0, 0], [0.5, np.sqrt(0.75), 0]], [[0, 1, 2]])
    assert np.degrees(even.si.smallest_angles) == pytest.approx(60.0)


def test_zones_keep_their_order_and_add_up():
    nodes, triangles = grid()
    left = nodes[triangles].mean(1)[:, 0] < 0.5
    mesh = TriangleMesh(nodes, triangles, np.where(left, "side", "bottom"))
    assert mesh.zone_names == ("side", "bottom")
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx({"side": 0.5, "bottom": 1.5})
    assert mesh.zone_mask("side").sum() == left.sum()
    with pytest.raises(ShapeError, match=r'"keel".*side, bottom'):
        mesh.zone_mask("keel")


def test_quantities_and_metres_give_the_same_mesh():
    nodes, triangles = grid()
    assert TriangleMesh(Q_(nodes * 1000, "mm"), triangles).area.m == pytest.approx(plate().area.m)


# --- nodes and lines --------------------------------------------------------------------------

def test_the_nearest_node_is_the_nearest():
    mesh = plate()
    node = mesh.nearest_node(at([0.77, 0.24, 0.05])[0])
    assert mesh.si.nodes[node] == pytest.approx([0.75, 0.25, 0.0])


def test_a_drawn_line_becomes_a_chain_of_neighbouring_nodes_along_it():
    mesh = plate(rows=40, columns=20)
    chain = mesh.path_nodes(at([0.0, 0.5, 0], [1.5, 0.5, 0], [1.5, 1.0, 0]))
    edges = set(map(tuple, mesh.si.edges.tolist()))
    assert all((min(a, b), max(a, b)) in edges for a, b in pairwise(chain))
    places = mesh.si.nodes[chain]
    assert np.linalg.norm(np.diff(places, axis=0), axis=1).sum() == pytest.approx(2.0)   # neither short-cut nor zig-zag
    assert len(chain) == len(set(chain.tolist())) == 41


def test_a_line_drawn_on_the_part_laid_flat_finds_the_same_nodes():
    mesh = plate(rows=40, columns=20)
    line = np.array([[0.1, 0.2], [1.9, 0.8]])
    space = np.column_stack([line, np.zeros(2)])
    assert mesh.path_nodes(Q_(line, "m")).tolist() == mesh.path_nodes(Q_(space, "m")).tolist()


def test_a_closed_line_comes_round_without_repeating_its_start():
    mesh = plate(rows=20, columns=10)
    chain = mesh.path_nodes(at([0.5, 0.2, 0], [1.5, 0.2, 0], [1.5, 0.8, 0], [0.5, 0.8, 0]), closed=True)
    assert len(chain) == len(set(chain.tolist())) == 32


def test_a_slanted_line_stays_within_an_edge_of_what_was_drawn():
    mesh = plate(rows=80, columns=40)
    places = mesh.si.nodes[mesh.path_nodes(at([0.0, 0.1, 0], [2.0, 0.9, 0]))]
    off = np.abs((places[:, 1] - 0.1) - 0.4 * places[:, 0]) / np.hypot(1, 0.4)
    assert off.max() < mesh.si.edge_lengths.max()


def test_a_point_makes_a_chain_of_one_node():
    assert len(plate().path_nodes(at([1.0, 0.5, 0.0]))) == 1


# --- faults -----------------------------------------------------------------------------------

NODES, TRIANGLES = grid()


def with_value(value):
    nodes = NODES.copy()
    nodes[7, 1] = value
    return nodes


UNREADABLE = [
    ("a node that is not a number", with_value(np.nan), TRIANGLES, None, "first node 7"),
    ("a node at infinity", with_value(np.inf), TRIANGLES, None, "first node 7"),
    ("a face past the last node", NODES, TRIANGLES + 1, None, "numbered 0 to 44.*from 1"),
    ("a face before the first node", NODES, TRIANGLES - 1, None, "numbered 0 to 44"),
    ("no faces", NODES, np.zeros((0, 3), int), None, "three node numbers"),
    ("faces with four corners", NODES, np.zeros((2, 4), int), None, "three node numbers"),
    ("faces that are no whole numbers", NODES, TRIANGLES * 1.0, None, "three node numbers"),
    ("nodes in the plane", NODES[:, :2], TRIANGLES, None, r"shape \(n, 3\)"),
    ("nodes in kilograms", Q_(NODES, "kg"), TRIANGLES, None, "lengths in metres"),
    ("nodes as words", [["a", "b", "c"]], TRIANGLES, None, "lengths in metres"),
    ("one zone name too few", NODES, TRIANGLES, ["part"] * 63, "64 triangles, but 63 names"),
    ("an empty zone name", NODES, TRIANGLES, ["part"] * 63 + [""], "1 of them empty"),
    ("millimetres read as metres", NODES * 1000, TRIANGLES, None, '2000 m long.*millimetres read as metres; give unit="mm"'),
    ("metres read as millimetres", NODES / 1000, TRIANGLES, None, "2 mm long.*metres read as millimetres"),
]


@pytest.mark.parametrize("nodes, triangles, zones, words", [row[1:] for row in UNREADABLE], ids=[row[0] for row in UNREADABLE])
def test_what_is_no_mesh_is_refused(nodes, triangles, zones, words):
    with pytest.raises(ShapeError, match=words):
        TriangleMesh(nodes, triangles, zones)


def without(*rows):
    return np.delete(TRIANGLES, rows, axis=0)


def upside_down(*rows):
    triangles = TRIANGLES.copy()
    triangles[list(rows)] = triangles[list(rows), ::-1]
    return triangles


FIN = np.concatenate([NODES, [[0.25, 0.0, 0.5]]])
DOUBLED = np.concatenate([NODES, NODES[:5] + 1e-7])       # the nodes at x = 0 once more, used by the first column
SPLIT = np.where((TRIANGLES < 5) & (np.arange(64) % 8 < 4)[:, None], TRIANGLES + 45, TRIANGLES)
MIDDLE = np.flatnonzero((np.abs(NODES[TRIANGLES].mean(1)[:, :2] - [1.125, 0.625]) < 0.125).all(1))
FAULTS = [
    ("a face given twice", NODES, np.concatenate([TRIANGLES, TRIANGLES[5:6, [1, 2, 0]]]), r"1 face\(s\) given twice, first at \(0.417, 0.333, 0\) m"),
    ("a face on two nodes only", NODES, np.concatenate([TRIANGLES, [[0, 1, 1]]]), r"1 face\(s\) without area, first at \(0, 0.167, 0\) m"),
    ("a face on one line", NODES, np.concatenate([TRIANGLES, [[0, 1, 2]]]), r"1 face\(s\) without area"),
    ("faces upside down", NODES, upside_down(10, 40), "neighbouring faces of which one lies upside down.*wound_alike"),
    ("an edge of three faces", FIN, np.concatenate([TRIANGLES, [[5, 6, 45]]]), r"1 edge\(s\) shared by three or more faces, first at"),
    ("nodes on one spot", DOUBLED, SPLIT, r"pair\(s\) of nodes on the same spot, first at \(0, "),
    ("a hole", NODES, without(*MIDDLE), r"1 hole\(s\) beside the rim and 0 cut-out\(s\): 1 m round \(1.12, 0.625, 0\) m"),
    ("two pieces", NODES, without(*np.flatnonzero(np.abs(NODES[TRIANGLES].mean(1)[:, 0] - 0.625) < 0.13)),
     r"in 2 separate pieces, 1 expected; the smallest, 0.5 m\^2, lies at \(0.25, 0.5, 0\) m"),
]


@pytest.mark.parametrize("nodes, triangles, words", [row[1:] for row in FAULTS], ids=[row[0] for row in FAULTS])
def test_a_fault_is_told_with_its_number_and_place(nodes, triangles, words):
    mesh = TriangleMesh(nodes, triangles)
    with pytest.raises(ShapeError, match=words):
        mesh.check()


@pytest.mark.parametrize("rows", [(10,), (10, 40), (3, 9, 11, 20, 21, 44)])
def test_turned_faces_are_not_taken_for_holes(rows):
    fault, = TriangleMesh(NODES, upside_down(*rows)).faults()
    assert "upside down" in fault


def test_a_mesh_tells_its_size():
    width, length = np.ptp(NODES[:, :2], axis=0)
    assert f"{width:.3g} x {length:.3g} x 0 m" in repr(plate())


def test_a_sound_mesh_has_no_faults_and_openings_may_be_declared():
    assert plate().faults() == [] and cube().faults() == []
    holed = TriangleMesh(NODES, without(*MIDDLE))
    assert holed.faults(cut_outs=1) == []
    two = TriangleMesh(NODES, without(*np.flatnonzero(np.abs(NODES[TRIANGLES].mean(1)[:, 0] - 0.625) < 0.13)))
    assert two.faults(pieces=2) == []


def test_an_open_mesh_has_no_volume_and_says_where_it_is_open():
    with pytest.raises(ShapeError, match=r"open: 1 loop\(s\).*4 m round \(0.5, 0.5, 1\) m"):
        TriangleMesh(CORNERS, np.delete(CUBE, [2, 3], axis=0)).volume  # noqa: B018
    turned = CUBE.copy()
    turned[4] = turned[4, ::-1]
    with pytest.raises(ShapeError, match=r"upside down.*wound_alike"):
        TriangleMesh(CORNERS, turned).volume  # noqa: B018


# --- changed copies -----------------------------------------------------------------------------

def test_wound_alike_turns_back_what_was_turned():
    rng = np.random.default_rng(4)
    for wrong in ([3], [0, 1, 2, 9, 11], rng.permutation(64)[:20].tolist()):
        nodes, triangles = NODES, upside_down(*wrong)
        mended = TriangleMesh(nodes, triangles, flat=nodes[triangles][..., :2]).wound_alike()
        assert mended.faults() == [] and mended.si.normals[:, 2] == pytest.approx(1.0)
        assert mended.flat == pytest.approx(mended.si.corners[..., :2])


def test_a_closed_mesh_turned_inside_out_comes_back_facing_outward():
    turned = CUBE[:, ::-1].copy()
    turned[2] = turned[2, ::-1]
    assert TriangleMesh(CORNERS, turned).wound_alike().volume.m == pytest.approx(1.0)


def test_a_twisted_band_has_no_right_side():
    n, turn = 24, np.linspace(0, 2 * np.pi, 25)[:-1]
    edge = np.array([[(2 + s * np.cos(a / 2)) * np.cos(a), (2 + s * np.cos(a / 2)) * np.sin(a), s * np.sin(a / 2)]
                     for s in (-0.5, 0.5) for a in turn])
    i = np.arange(n)
    after, low, high = (i + 1) % n, i + n * (i == n), i + n
    low_after, high_after = np.where(i == n - 1, n, after), np.where(i == n - 1, 0, after + n)
    band = np.concatenate([np.column_stack([low, low_after, high_after]), np.column_stack([low, high_after, high])])
    with pytest.raises(ShapeError, match="only one side"):
        TriangleMesh(edge, band).wound_alike()


def test_scaled_and_mirrored():
    mesh = plate()
    assert mesh.scaled(3.0).area.m == pytest.approx(18.0)
    image = mesh.mirrored("x")
    assert image.centre.m == pytest.approx([-1.0, 0.5, 0.0]) and image.si.normals[:, 2] == pytest.approx(1.0)
    whole = mesh.with_mirror("y")
    assert whole.faults() == [] and whole.area.m == pytest.approx(4.0) and len(whole.si.nodes) == 9 * 9
    assert whole.centre.m == pytest.approx([1.0, 0.0, 0.0])


def test_the_arrays_of_a_mesh_cannot_be_changed_behind_its_back():
    with pytest.raises(ValueError, match="read-only"):
        plate().si.nodes[0] = 1.0


OWN = [
    ("a point off the part", lambda mesh: mesh.nearest_node(at([5.0, 5.0, 0.0])[0]), RangeError, "off the mesh"),
    ("a line that leaves the part", lambda mesh: mesh.path_nodes(at([0, 0, 0], [9, 0, 0])), RangeError, "point 2.*off the mesh"),
    ("a point without its unit", lambda mesh: mesh.nearest_node([0.0, 0.0, 0.0]), UnitError, "without a unit"),
    ("points of four numbers", lambda mesh: mesh.path_nodes(at([0, 0, 0, 0])), RangeError, "three numbers each"),
    ("a mirror on an axis that is none", lambda mesh: mesh.mirrored("w"), ShapeError, "give x, y or z"),
    ("a half off its mirror plane", lambda mesh: TriangleMesh(NODES + 1.0, TRIANGLES).with_mirror("y"), ShapeError, "would not meet"),
    ("a flat line on a mesh without flat places", lambda mesh: TriangleMesh(NODES, TRIANGLES).path_nodes(at([0, 0], [1, 0])), ShapeError,
     "does not know how it lies flat"),
    ("a line from piece to piece", lambda mesh: TriangleMesh(*two_plates()).path_nodes(at([0, 0, 0], [0, 3, 0])), ShapeError, "separate pieces"),
    ("a size of nought", lambda mesh: mesh.scaled(0.0), RangeError, "factor"),
]


def two_plates():
    return np.concatenate([NODES, NODES + np.array([0, 3, 0])]), np.concatenate([TRIANGLES, TRIANGLES + len(NODES)])


@pytest.mark.parametrize("call, error, words", [row[1:] for row in OWN], ids=[row[0] for row in OWN])
def test_own_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call(plate())
