"""Triangle meshes from files: STL, OBJ, PLY, VTK and VTU, with the unit said by whoever made the file."""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np

from ..errors import ShapeError
from .mesh import TriangleMesh
from .mesh_checks import flat_faces, refuse_size, refuse_unreadable, repeated_faces
from .mesh_parts import merged_nodes, split_faces
from .mesh_text import group_names, refuse_half_written

UNITS = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254}
KINDS = (".stl", ".obj", ".ply", ".vtk", ".vtu")
GROUPS = ("zone", "zones", "group", "groups", "obj:group_ids", "region", "part", "material", "gmsh:physical")
MOST = 1_000_000  # faces


def read_mesh(path, unit, cut_outs=0, pieces=1, mend=False):
    """A surface from a file, nodes on the same spot merged, four-cornered faces split, groups taken as zones.

    path      an STL, OBJ, PLY, VTK or VTU file
    unit      what one unit of the file's numbers is: "m", "cm", "mm" or "in"; the files do not say
    cut_outs  openings that belong to the part, beside the rim of each piece
    pieces    separate pieces that the part has
    mend      True drops faces given twice or without area and turns upside-down faces, instead of refusing them
    Returns a TriangleMesh; printed it tells its size: look at it, since millimetres read as centimetres may pass. Raises ShapeError for a file that is missing, locked, half-written or no mesh, for a size
    that looks like a wrong unit, and for holes, separate pieces, repeated, flat and upside-down faces, with their places.
    """
    path = Path(path)
    if unit not in UNITS:
        raise ShapeError(f'{path.name}: the unit of its numbers came as {unit!r}; give one of {", ".join(UNITS)}. Mesh files do not '
                         "say their unit, and a wrong one makes the part a thousand times too large.")
    _refuse_missing(path)
    try:
        nodes, faces, groups = _read(path)
        nodes, triangles, zones = _triangles(nodes, faces, groups)
        nodes, triangles, zones, _ = refuse_unreadable(nodes * UNITS[unit], triangles, zones, None)
        refuse_size(nodes)
        nodes, triangles = merged_nodes(nodes, triangles)
        mesh = TriangleMesh(nodes, triangles, zones)
        return (mended(mesh) if mend else mesh).check(cut_outs, pieces)
    except ShapeError as err:
        raise ShapeError(f"{path.name}: {err}") from err


def mended(mesh):
    """A copy without repeated and flat faces, all running the same way round."""
    keep = np.ones(len(mesh.si.triangles), bool)
    keep[flat_faces(mesh.si)] = False
    keep[repeated_faces(mesh.si.triangles)] = False
    if not keep.any():
        raise ShapeError("no face of the mesh has an area.")
    flat = None if mesh.flat is None else mesh.flat[keep]
    nodes, triangles = merged_nodes(mesh.si.nodes, mesh.si.triangles[keep])
    return TriangleMesh(nodes, triangles, mesh.zones[keep], flat).wound_alike()


def _refuse_missing(path):
    if path.suffix.lower() not in KINDS:
        raise ShapeError(f'{path.name}: files ending in "{path.suffix}" are not read; save the surface as one of {", ".join(KINDS)}.')
    try:
        with path.open("rb") as file:
            empty = not file.read(1)
    except FileNotFoundError:
        raise ShapeError(f"{path.name}: there is no such file in folder {path.parent.name or '.'}; check the name.") from None
    except OSError as err:
        raise ShapeError(f"{path.name}: the file cannot be opened ({err.strerror}); close it elsewhere, or allow reading it.") from err
    if empty:
        raise ShapeError(f"{path.name}: the file is empty; save the mesh again.")


def _read(path):
    """Nodes (n, 3), lists of face arrays of equal length, and a group name for each face."""
    refuse_half_written(path)
    try:
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            nodes, faces, groups = {".stl": _read_stl, ".ply": _read_ply}.get(path.suffix.lower(), _read_cells)(path)
    except ShapeError:
        raise
    except Exception as err:  # readers fail in any way they like on a broken file
        raise ShapeError(f"the file cannot be read as a mesh ({type(err).__name__}: {str(err)[:80]}); it may be half written or of "
                         "another kind. Save it again from where it was drawn.") from err
    if not sum(map(len, faces)):
        raise ShapeError("the file holds no faces; save the surface, not only its points or lines.")
    if sum(map(len, faces)) > MOST:
        raise ShapeError(f"the file holds {sum(map(len, faces)):,} faces, above {MOST:,}; save it coarser.")
    return nodes, faces, groups


def _read_stl(path):
    import trimesh

    found = trimesh.load_scene(path, process=False).geometry
    nodes = np.concatenate([part.vertices for part in found.values()])
    starts = np.cumsum([0, *(len(part.vertices) for part in found.values())])
    faces = [np.asarray(part.faces) + start for part, start in zip(found.values(), starts, strict=False)]
    names = [name if len(found) > 1 else "part" for name in found]
    return nodes, faces, [np.full(len(part), name) for part, name in zip(faces, names, strict=True)]


def _read_ply(path):
    import trimesh

    raw = trimesh.load_mesh(path, process=False).metadata["_ply_raw"]
    table = raw["face"]["data"]
    columns = table.dtype.names if isinstance(table, np.ndarray) else tuple(table)
    rows = table[next(name for name in columns if name in ("vertex_indices", "vertex_index"))]
    rows = list(rows["f1"] if rows.dtype.names else rows)
    if len(rows) != raw["face"]["length"]:
        raise ShapeError(f"the file is half written: it promises {raw['face']['length']} faces and holds {len(rows)}. Save it again.")
    key = next((k for wanted in GROUPS for k in columns if k.lower() == wanted), None)
    names = np.full(len(rows), "part") if key is None else _named(np.asarray(table[key]), {})
    count = np.array([len(row) for row in rows])
    vertices = raw["vertex"]["data"]
    kinds = np.unique(count)
    return (np.column_stack([np.asarray(vertices[axis], dtype=float) for axis in "xyz"]),
            [np.array([rows[i] for i in np.flatnonzero(count == k)]) for k in kinds], [names[count == k] for k in kinds])


def _read_cells(path):
    import meshio

    kind = path.suffix.lower()[1:]
    mesh = getattr(meshio, kind).read(path)
    nodes = np.asarray(mesh.points, dtype=float)
    if nodes.ndim == 2 and nodes.shape[1] == 2:
        nodes = np.column_stack([nodes, np.zeros(len(nodes))])
    key = next((k for wanted in GROUPS for k in mesh.cell_data if k.lower() == wanted), None)
    names = group_names(path) if kind == "obj" else {}
    faces, groups = [], []
    for number, block in enumerate(mesh.cells):
        if block.dim == 3:
            raise ShapeError(f"the file holds solid cells ({block.type}); save the outer surface only.")
        if block.dim != 2:
            continue
        label = np.full(len(block.data), "part") if key is None else _named(np.asarray(mesh.cell_data[key][number]), names)
        corners = 3 if block.type.startswith("triangle") else 4 if block.type.startswith("quad") else None
        faces.append(np.asarray(block.data)[:, :corners])
        groups.append(label)
    return nodes, faces, groups


def _named(values, names):
    if values.dtype.kind == "f" and not np.isfinite(values).all():
        raise ShapeError("the groups of its faces hold a value that is not a number; write whole numbers.")
    return np.array([names.get(int(value), f"zone {int(value)}") for value in values.ravel()])


def _triangles(nodes, faces, groups):
    faces = [(part, group) for part, group in zip(faces, groups, strict=True) if len(part)]
    if any(part.min() < 0 or part.max() >= len(nodes) for part, _ in faces):
        raise ShapeError(f"a face names a node that is not among its {len(nodes)}; the file may be half written. Save it again.")
    split = [split_faces(nodes, part) for part, _ in faces]
    zones = [np.repeat(group, len(new) // len(part)) for new, (part, group) in zip(split, faces, strict=True)]
    return nodes, np.concatenate(split), np.concatenate(zones)
