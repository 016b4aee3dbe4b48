"""Mesh files: every kind read back as written, groups as zones, the unit asked for, every fault told by file and place."""

from __future__ import annotations

import struct

import meshio
import numpy as np
import pytest
from plain_meshes import CORNERS, CUBE, grid

from compositekit.errors import ShapeError
from compositekit.shape import read_mesh

NODES, TRIANGLES = grid()
LEFT = NODES[TRIANGLES].mean(1)[:, 0] < 0.5
KINDS = ("stl", "obj", "ply", "vtk", "vtu")


def written(path, nodes=NODES, cells=TRIANGLES, groups=None, **options):
    """A file of one mesh, by an independent writer."""
    kind = {3: "triangle", 4: "quad"}[np.shape(cells)[1]]
    data = None if groups is None else {"zone": [np.asarray(groups, dtype=np.int32)]}
    meshio.write(path, meshio.Mesh(nodes, [(kind, np.asarray(cells, dtype=np.int32))], cell_data=data), **options)
    return path


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("unit, size", [("m", 1.0), ("cm", 100.0), ("mm", 1000.0), ("in", 1 / 0.0254)])
def test_every_kind_comes_back_in_metres_whatever_its_unit(tmp_path, kind, unit, size):
    mesh = read_mesh(written(tmp_path / f"plate.{kind}", NODES * size), unit)
    assert mesh.area.m_as("m^2") == pytest.approx(2.0, rel=1e-6)     # STL keeps single precision only
    assert len(mesh.si.nodes) == 45 and len(mesh.si.triangles) == 64   # STL repeats each node: merged again
    assert mesh.zone_names == ("part",)


@pytest.mark.parametrize("kind, binary", [("stl", True), ("stl", False), ("ply", True), ("ply", False), ("vtk", True), ("vtk", False)])
def test_binary_and_text_alike(tmp_path, kind, binary):
    mesh = read_mesh(written(tmp_path / f"cube.{kind}", CORNERS, CUBE, binary=binary), "m")
    assert mesh.volume.m == pytest.approx(1.0)


@pytest.mark.parametrize("kind", ["vtk", "vtu"])
def test_cell_numbers_become_zones(tmp_path, kind):
    mesh = read_mesh(written(tmp_path / f"plate.{kind}", groups=np.where(LEFT, 3, 7)), "m")
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx({"zone 3": 0.5, "zone 7": 1.5})


def test_groups_of_an_obj_keep_their_names(tmp_path):
    rows = [f"v {x} {y} {z}" for x, y, z in NODES.tolist()]
    for name, mask in (("bottom", ~LEFT), ("port side", LEFT)):
        rows += [f"g {name}", *(f"f {a}/1 {b}/1 {c}/1" for a, b, c in (TRIANGLES[mask] + 1).tolist())]
    (tmp_path / "plate.obj").write_text("\n".join(rows) + "\n")
    mesh = read_mesh(tmp_path / "plate.obj", "m")
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx({"bottom": 1.5, "port side": 0.5})
    assert mesh.faults() == []


def test_solids_of_an_stl_keep_their_names_and_join(tmp_path):
    solids = []
    for name, mask in (("bottom", ~LEFT), ("side", LEFT)):
        facets = [f"facet normal 0 0 1\nouter loop\n{vertices}\nendloop\nendfacet" for vertices in
                  ("\n".join(f"vertex {x} {y} {z}" for x, y, z in NODES[face].tolist()) for face in TRIANGLES[mask])]
        solids.append("\n".join([f"solid {name}", *facets, f"endsolid {name}"]))
    (tmp_path / "plate.stl").write_text("\n".join(solids) + "\n")
    mesh = read_mesh(tmp_path / "plate.stl", "m")
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx({"bottom": 1.5, "side": 0.5})


def test_faces_of_a_ply_with_three_and_four_corners_and_a_zone_number(tmp_path):
    (tmp_path / "mixed.ply").write_text("""ply
format ascii 1.0
element vertex 6
property double x
property double y
property double z
element face 3
property list uchar int vertex_indices
property int zone
end_header
0 0 0
1 0 0
1 1 0
0 1 0
2 0 0
2 1 0
4 0 1 2 3 5
3 1 4 5 7
3 1 5 2 7
""")
    mesh = read_mesh(tmp_path / "mixed.ply", "m")
    assert {name: area.m for name, area in mesh.zone_areas.items()} == pytest.approx({"zone 5": 1.0, "zone 7": 1.0})
    assert len(mesh.si.triangles) == 4


@pytest.mark.parametrize("kind", ["obj", "ply", "vtk", "vtu"])
def test_four_cornered_faces_are_split_along_the_shorter_diagonal(tmp_path, kind):
    nodes = np.array([[0, 0, 0], [2, 0, 0], [2.5, 1, 0], [0.5, 1, 0]])      # 1-3 is the shorter
    mesh = read_mesh(written(tmp_path / f"quad.{kind}", nodes, [[0, 1, 2, 3]]), "m")
    assert mesh.area.m == pytest.approx(2.0) and len(mesh.si.triangles) == 2
    lengths = mesh.si.edge_lengths[mesh.si.edge_uses == 2]
    assert lengths == pytest.approx([np.hypot(1.5, 1.0)])


# --- what is wrong with the mesh ------------------------------------------------------------------

TURNED = TRIANGLES.copy()
TURNED[[10, 40]] = TURNED[[10, 40], ::-1]
MIDDLE = np.flatnonzero((np.abs(NODES[TRIANGLES].mean(1)[:, :2] - [1.125, 0.625]) < 0.125).all(1))
FAULTY = [
    ("a hole", NODES, np.delete(TRIANGLES, MIDDLE, axis=0), r"plate.vtu: .*1 hole\(s\).*1 m round \(1.12, 0.625, 0\) m"),
    ("a face twice", NODES, np.concatenate([TRIANGLES, TRIANGLES[:1]]), r"1 face\(s\) given twice, first at"),
    ("faces upside down", NODES, TURNED, r"lies upside down, first at .*mend=True"),
    ("a face on one line", NODES, np.concatenate([TRIANGLES, [[0, 1, 2]]]), r"1 face\(s\) without area, first at"),
    ("millimetres as metres", NODES * 1000, TRIANGLES, 'millimetres read as metres; give unit="mm"'),
    ("metres as millimetres", NODES / 1000, TRIANGLES, 'metres read as millimetres.*give unit="m"'),
    ("not a number", np.where(np.arange(45)[:, None] == 4, np.nan, NODES), TRIANGLES, "first node 4"),
    ("a node too far", NODES, TRIANGLES + 1, "not among its 45"),
]


@pytest.mark.parametrize("nodes, cells, words", [row[1:] for row in FAULTY], ids=[row[0] for row in FAULTY])
def test_a_faulty_mesh_is_refused_with_place_and_remedy(tmp_path, nodes, cells, words):
    with pytest.raises(ShapeError, match=f"(?s){words}"):
        read_mesh(written(tmp_path / "plate.vtu", nodes, cells), "m")


def test_all_faults_are_told_at_once(tmp_path):
    cells = np.concatenate([np.delete(TURNED, MIDDLE, axis=0), TRIANGLES[:1]])
    with pytest.raises(ShapeError) as told:
        read_mesh(written(tmp_path / "plate.vtu", NODES, cells), "m")
    assert all(words in str(told.value) for words in ("given twice", "upside down", "hole(s)"))


def test_mending_drops_and_turns_but_closes_no_hole(tmp_path):
    cells = np.concatenate([TURNED, TRIANGLES[:1], [[0, 1, 2]]])
    mesh = read_mesh(written(tmp_path / "plate.vtu", NODES, cells), "m", mend=True)
    assert mesh.faults() == [] and mesh.area.m == pytest.approx(2.0)
    with pytest.raises(ShapeError, match="1 hole"):
        read_mesh(written(tmp_path / "holed.vtu", NODES, np.delete(TRIANGLES, MIDDLE, axis=0)), "m", mend=True)
    assert read_mesh(tmp_path / "holed.vtu", "m", cut_outs=1).area.m == pytest.approx(2.0 - 1 / 16)


# --- what is wrong with the file --------------------------------------------------------------------

def test_the_unit_must_be_said(tmp_path):
    for unit in (None, "", "ft", 1000):
        with pytest.raises(ShapeError, match="give one of m, cm, mm, in"):
            read_mesh(written(tmp_path / "plate.ply"), unit)
    with pytest.raises(TypeError):
        read_mesh(tmp_path / "plate.ply")     # no default: a guess would be wrong half the time


@pytest.mark.parametrize("kind, binary", [("stl", True), ("stl", False), ("ply", True), ("ply", False), ("vtk", True), ("vtk", False),
                                          ("vtu", None)])
@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.97])
def test_a_half_written_file_is_refused_in_plain_words(tmp_path, kind, binary, share):
    options = {} if binary is None else {"binary": binary}
    path = written(tmp_path / f"cube.{kind}", CORNERS, CUBE, **options)
    data = path.read_bytes()
    path.write_bytes(data[:int(share * len(data))])
    with pytest.raises(ShapeError, match=rf"cube\.{kind}: "):
        read_mesh(path, "m")


@pytest.mark.parametrize("end", ["v 1.0 0.", "f 1 2", "f 1", "f 1 2 300"])
def test_an_obj_that_stops_within_a_line_is_refused(tmp_path, end):
    """One that stops between two lines looks whole: the kind holds no count. What is missing then shows as a hole."""
    text = written(tmp_path / "cube.obj", CORNERS, CUBE).read_text()
    (tmp_path / "cube.obj").write_text(text + end)
    with pytest.raises(ShapeError, match=r"cube\.obj: (line \d+ is half written|a face names a node)"):
        read_mesh(tmp_path / "cube.obj", "m")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("content", [b"", b"hello, this is a shopping list\n", bytes(range(256)) * 8, b"solid\n", b"ply\n"],
                         ids=["nothing", "words", "bytes", "one word", "another"])
def test_what_is_no_mesh_is_refused_in_plain_words(tmp_path, kind, content):
    (tmp_path / f"part.{kind}").write_bytes(content)
    with pytest.raises(ShapeError, match=rf"part\.{kind}: "):
        read_mesh(tmp_path / f"part.{kind}", "m")


def test_missing_folder_unknown_ending_and_locked(tmp_path, monkeypatch):
    with pytest.raises(ShapeError, match=r"hull\.stl: there is no such file"):
        read_mesh(tmp_path / "hull.stl", "m")
    (tmp_path / "folder.stl").mkdir()
    with pytest.raises(ShapeError, match="cannot be opened"):
        read_mesh(tmp_path / "folder.stl", "m")
    with pytest.raises(ShapeError, match=r'"\.step" are not read; save the surface as one of \.stl'):
        read_mesh(tmp_path / "hull.step", "m")
    path = written(tmp_path / "locked.stl")
    monkeypatch.setattr("pathlib.Path.open", lambda *_, **__: (_ for _ in ()).throw(PermissionError(13, "Permission denied")))
    with pytest.raises(ShapeError, match=r"cannot be opened.*Permission denied"):
        read_mesh(path, "m")


def test_solid_cells_points_and_lines_are_no_surface(tmp_path):
    meshio.write(tmp_path / "solid.vtu", meshio.Mesh(CORNERS, [("tetra", np.array([[0, 1, 2, 5]]))]))
    with pytest.raises(ShapeError, match=r"solid cells.*outer surface"):
        read_mesh(tmp_path / "solid.vtu", "m")
    meshio.write(tmp_path / "lines.vtu", meshio.Mesh(CORNERS, [("line", np.array([[0, 1]]))]))
    with pytest.raises(ShapeError, match="holds no faces"):
        read_mesh(tmp_path / "lines.vtu", "m")


def test_a_binary_stl_whose_head_says_solid_is_still_binary(tmp_path):
    facets = b"".join(struct.pack("<12fH", 0, 0, 0, *CORNERS[face].ravel().astype(np.float32), 0) for face in CUBE)
    (tmp_path / "cube.stl").write_bytes(b"solid cube, but binary".ljust(80) + struct.pack("<I", len(CUBE)) + facets)
    assert read_mesh(tmp_path / "cube.stl", "m").volume.m == pytest.approx(1.0)
