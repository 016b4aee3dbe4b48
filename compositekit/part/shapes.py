"""How a part file describes a shape, and the shape object that comes of it."""

from __future__ import annotations

import functools
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from ..errors import ShapeError
from ..shape.curved import CurvedShape
from ..shape.flat import FlatShape
from ..shape.stations import HullShape
from ..units import ureg
from .quantities import Length, Position

Pair = Annotated[list[float], Field(min_length=2, max_length=2)]


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


ShapeDescription = Annotated[FlatDescription | CurvedDescription | StationsDescription, Field(discriminator="kind")]


def build_shape(description):
    """The shape object of a description. Raises ShapeError with the zone or station at fault."""
    return _built(type(description), description.model_dump_json())


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
