"""How a part file describes a shape, and the shape object that comes of it."""

from __future__ import annotations

import functools
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, PrivateAttr, model_validator

from ..errors import ShapeError
from ..shape.curved import CurvedShape
from ..shape.flat import FlatShape
from ..shape.mesh_files import read_mesh
from ..shape.mesh_shape import MeshShape, in_zones
from ..shape.stations import HullShape
from ..units import ureg
from .quantities import Length, Position

Pair = Annotated[list[float], Field(min_length=2, max_length=2)]
Corner = Annotated[list[float], Field(min_length=3, max_length=3)]


class Strict(BaseModel):
    """Base of every record in the part file: unknown fields are refused, since they are mostly slips of the pen."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, validate_assignment=True)


class FlatDescription(Strict):
    """Outlines drawn flat: one closed outline per zone, corner by corner, in ``unit``; cut-outs under holes."""

    kind: Literal["flat"]
    unit: Literal["m", "cm", "mm"]
    zones: dict[str, list[Pair]]
    holes: dict[str, list[list[Pair]]] = Field(default_factory=dict)


class CurvedDescription(Strict):
    """A singly curved shell: one cross-section of [y, z] points in ``unit``, carried straight along ``length``."""

    kind: Literal["curved"]
    unit: Literal["m", "cm", "mm"]
    section: list[Pair]
    length: Length
    zones: dict[str, Pair] | None = Field(default=None, description="girth from and to of each zone, in unit; one zone shell if left out")


class Station(Strict):
    """Half offsets at one place along the length: a [half breadth, height] pair per named line, in the shape's unit."""

    x: Position
    offsets: dict[str, Pair]


class StationsDescription(Strict):
    """A hull or tray by stations: lines run from the keel outwards, zones lie between two lines."""

    kind: Literal["stations"]
    unit: Literal["m", "cm", "mm"]
    lines: list[str]
    zones: dict[str, tuple[str, str]]
    ends: bool = Field(default=True, description="whether the flat ends are skinned too, as the zone called ends")
    stations: list[Station]


class MeshZone(Strict):
    """Which faces belong to a zone: those of named groups of the file, and those whose middle lies in a box."""

    groups: list[str] = Field(default_factory=list)
    boxes: list[tuple[Corner, Corner]] = Field(default_factory=list, description="two opposite corners [x, y, z] of each box, in unit")

    @model_validator(mode="after")
    def _some(self):
        if not self.groups and not self.boxes:
            raise ValueError("a zone of a mesh needs groups of the file, or boxes")
        return self


class MeshDescription(Strict):
    """A surface drawn elsewhere: an STL, OBJ, PLY, VTK or VTU file beside the part file."""

    kind: Literal["mesh"]
    file: str = Field(pattern=r"^[^/\\:]+$", description="name of the file in the folder of the part file")
    unit: Literal["m", "cm", "mm", "in"]
    mirror: Literal["x", "y", "z"] | None = Field(default=None, description="the file holds one half; the other lies beyond the plane where this is 0")
    zones: dict[str, MeshZone] | None = Field(default=None, description="left out: the groups of the file")
    cut_outs: int = Field(default=0, ge=0, description="openings that belong to the part, beside the rim of each piece")
    pieces: int = Field(default=1, ge=1, description="separate pieces in the file")
    mend: bool = Field(default=False, description="drop faces given twice or without area, turn upside-down ones")
    _folder: Path | None = PrivateAttr(default=None)


ShapeDescription = Annotated[FlatDescription | CurvedDescription | StationsDescription | MeshDescription, Field(discriminator="kind")]


def build_shape(description):
    """The shape object of a description. Raises ShapeError with the zone, station or file at fault."""
    if description.kind == "mesh":
        path, changed = _mesh_file(description)
        return _read_mesh(path, changed, description.model_dump_json())
    return _built(type(description), description.model_dump_json())


def folder_of(description) -> Path | None:
    """Where the files that a description names are looked for; None for one that names none."""
    return getattr(description, "_folder", None)


def placed(description, folder):
    """The description, its files looked for in a folder."""
    if description.kind == "mesh":
        description._folder = folder
    return description


def _mesh_file(description):
    """The mesh file and what tells that it was changed."""
    if description._folder is None:
        raise ShapeError(f'the mesh file "{description.file}" is looked for beside the part file, but this part was not read from one.')
    path = Path(description._folder) / description.file
    told = path.stat() if path.exists() else None
    return path, told and (told.st_mtime_ns, told.st_size)


@functools.lru_cache(maxsize=8)
def _read_mesh(path, changed, text):
    description = MeshDescription.model_validate_json(text)
    scale = ureg(description.unit).to("m").magnitude
    mesh = read_mesh(path, description.unit, description.cut_outs, description.pieces, description.mend)
    if description.mirror is not None:  # openings on the mirror plane close, so only the join itself is looked at again
        mesh = mesh.with_mirror(description.mirror).check(2 * description.cut_outs + description.pieces, 2 * description.pieces)
    if description.zones is None:
        return MeshShape(mesh)
    zones = {name: {"groups": zone.groups, "boxes": [[[scale * v for v in corner] for corner in box] for box in zone.boxes]}
             for name, zone in description.zones.items()}
    return MeshShape(in_zones(mesh, zones))


@functools.lru_cache(maxsize=64)
def _built(kind, text):
    description = kind.model_validate_json(text)
    scale = ureg(description.unit).to("m").magnitude
    if description.kind == "flat":
        return FlatShape({name: _scaled(outline, scale) for name, outline in description.zones.items()},
                         {name: [_scaled(hole, scale) for hole in holes] for name, holes in description.holes.items()})
    if description.kind == "curved":
        zones = None if description.zones is None else {name: (scale * a, scale * b) for name, (a, b) in description.zones.items()}
        return CurvedShape(_scaled(description.section, scale), description.length, zones)
    _every_strip_named(description)
    stations = [(s.x.m_as("m"), {line: tuple(scale * v for v in pair) for line, pair in s.offsets.items()})
                for s in description.stations]
    return HullShape(stations, description.lines, description.zones, ends=description.ends)


def _scaled(points, scale):
    return [[scale * a, scale * b] for a, b in points]


def _every_strip_named(description):
    """A strip of hull without a zone would weigh nothing and need no resin; refuse it."""
    known = {line: i for i, line in enumerate(description.lines)}
    spans = [sorted((known.get(a, -1), known.get(b, -1))) for a, b in description.zones.values()]
    for i, (lower, upper) in enumerate(pairwise(description.lines)):
        if not any(a <= i and i + 1 <= b for a, b in spans):
            raise ShapeError(f'the strip from line "{lower}" to line "{upper}" belongs to no zone; add one, or take the line out.')
