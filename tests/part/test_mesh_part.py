"""A part file whose shape is a mesh file beside it."""

from __future__ import annotations

import json

import meshio
import numpy as np
import pytest

from compositekit.errors import PartFileError, ShapeError
from compositekit.part import open_part
from compositekit.part.file import PartFile
from compositekit.part.folders import DEMO
from compositekit.shape import MeshShape, surface_mesh
from compositekit.studies.brief_and_shape import brief_and_shape, size_words
from compositekit.studies.flow_distance import flow_distance
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.units import Q_

DEMO_PUNT = DEMO / "fen_punt" / "part.json"
PUNT = open_part(DEMO_PUNT).part


@pytest.fixture
def part_file(tmp_path):
    """The demo hull with a mesh of itself, in millimetres, in place of its stations."""
    mesh = surface_mesh(PUNT.geometry, Q_(80, "mm"))
    write_mesh(tmp_path / "hull.vtu", mesh)
    for table in DEMO_PUNT.parent.glob("*.csv"):
        (tmp_path / table.name).write_bytes(table.read_bytes())
    names = mesh.zone_names
    return write_part(tmp_path, zones={name: {"groups": [f"zone {number}"]} for number, name in enumerate(names)})


def write_mesh(path, mesh):
    numbers = np.array([mesh.zone_names.index(name) for name in mesh.zones], dtype=np.int32)
    meshio.write(path, meshio.Mesh(mesh.si.nodes * 1000, [("triangle", mesh.si.triangles)], cell_data={"zone": [numbers]}))


def write_part(folder, **shape):
    plain = json.loads(DEMO_PUNT.read_text("utf-8")) | {"shape": {"kind": "mesh", "file": "hull.vtu", "unit": "mm"} | shape}
    (folder / "part.json").write_text(json.dumps(plain), "utf-8")
    return folder / "part.json"


def test_the_mesh_is_found_beside_the_part_file(part_file):
    shape = open_part(part_file).part.geometry
    assert isinstance(shape, MeshShape)
    assert shape.area.m == pytest.approx(PUNT.geometry.area.m, rel=1e-5)
    assert set(shape.zones) == set(PUNT.geometry.zones)


def test_it_weighs_and_stands_as_by_stations(part_file):
    file = open_part(part_file)
    by_mesh, by_stations = brief_and_shape(file.part, file.catalogue), brief_and_shape(PUNT, file.catalogue)
    assert by_mesh.part_mass.m_as("kg") == pytest.approx(by_stations.part_mass.m_as("kg"), rel=1e-4)
    assert skin_sizing(file.part, file.catalogue).checks
    assert "triangles read from a file" in " ".join(size_words(file.part.geometry))


def test_what_needs_an_outline_says_so(part_file):
    file = open_part(part_file)
    with pytest.raises(ShapeError, match="no outline to lay flat"):
        flow_distance(file.part, file.catalogue)


def test_a_change_and_a_save_keep_the_mesh(part_file, tmp_path):
    file = open_part(part_file)
    assert file.part.changed({"title": "another"}).geometry is file.part.geometry
    copy = PartFile.read(part_file, save_to=tmp_path / "own" / "part.json")
    copy.save(copy.part.changed({"title": "mine"}))
    assert (tmp_path / "own" / "hull.vtu").exists()
    assert open_part(tmp_path / "own" / "part.json").part.geometry.area.m == pytest.approx(file.part.geometry.area.m)


def test_a_mesh_drawn_anew_is_read_anew(part_file):
    before = open_part(part_file).part.geometry.area.m
    write_mesh(part_file.parent / "hull.vtu", surface_mesh(PUNT.geometry, Q_(80, "mm")).scaled(1.1))
    assert open_part(part_file).part.geometry.area.m == pytest.approx(1.21 * before)


def test_half_a_hull_is_mirrored(part_file):
    whole = surface_mesh(PUNT.geometry, Q_(80, "mm"))
    half = whole.si.centres[:, 1] > 0
    numbers = np.array([whole.zone_names.index(name) for name in whole.zones[half]], dtype=np.int32)
    meshio.write(part_file.parent / "half.vtu",
                 meshio.Mesh(whole.si.nodes * 1000, [("triangle", whole.si.triangles[half])], cell_data={"zone": [numbers]}))
    zones = json.loads(part_file.read_text("utf-8"))["shape"]["zones"]
    shape = open_part(write_part(part_file.parent, file="half.vtu", mirror="y", zones=zones)).part.geometry
    assert shape.area.m == pytest.approx(whole.area.m) and shape.centre.m == pytest.approx(whole.centre.m, abs=1e-9)
    assert shape.mesh.faults() == []


def test_zones_by_box_are_given_in_the_files_unit(part_file):
    high, low = [[-100, -900, 100], [3700, 900, 600]], [[-100, -900, -10], [3700, 900, 100]]
    zones = {"bottom": {"boxes": [low]}, "side": {"boxes": [high]}, "ends": {"groups": ["zone 2"]}}
    with pytest.raises(PartFileError, match="lie in two zones"):
        open_part(write_part(part_file.parent, zones=zones))


BAD = [
    ("no such file", {"file": "boat.stl"}, "boat.stl: there is no such file"),
    ("a wrong unit", {"unit": "m"}, "millimetres read as metres"),
    ("a file elsewhere", {"file": "../hull.vtu"}, "shape.file"),
    ("no unit", {"unit": None}, "shape.unit"),
    ("a zone of nothing", {"zones": {"bottom": {}}}, "needs groups of the file, or boxes"),
    ("a group that is not there", {"zones": {"bottom": {"groups": ["keel"]}}}, 'no group "keel"; it has zone 0, zone 1, zone 2'),
    ("a mirror plane through the mesh", {"mirror": "z"}, "shared by three or more faces"),
    ("an unknown field", {"scale": 2}, "shape.scale: there is no such field"),
]


@pytest.mark.parametrize("shape, words", [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_own_bad_input(part_file, shape, words):
    with pytest.raises(PartFileError, match=words):
        open_part(write_part(part_file.parent, **({"zones": None} | shape)))


def test_a_part_that_was_not_read_from_a_file_says_where_the_mesh_is_looked_for(part_file):
    with pytest.raises(ShapeError, match=r'"hull.vtu" is looked for beside the part file'):
        type(PUNT).from_plain(json.loads(part_file.read_text("utf-8"))).geometry  # noqa: B018
