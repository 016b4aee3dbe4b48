"""What a part file says, field by field."""

from __future__ import annotations

import functools
import json
from typing import Literal

from pydantic import Field, ValidationError, field_validator, model_validator

from ..catalogue import Catalogue
from ..errors import PartFileError, ShapeError, UnknownMaterial
from ..mechanics.panel_peaks import EDGES
from .decision import Decision
from .feeding import FeedPlan
from .quantities import (
    Altitude,
    Angle,
    Factor,
    Force,
    Length,
    Mass,
    MassOrNought,
    Permeability,
    Position,
    Pressure,
    PressureOrNought,
    SagShare,
    Share,
    Temperature,
    Time,
    Volume,
)
from .shapes import ShapeDescription, Strict, build_shape, folder_of, placed


class Load(Strict):
    """One load on the unsupported panel of a zone: a pressure all over it, or a weight on a patch at its middle."""

    name: str
    zone: str
    panel_length: Length
    panel_width: Length
    pressure: Pressure | None = None
    force: Force | None = None
    patch: Length | None = Field(default=None, description="side of the square patch that carries the force")
    factor: Factor = Field(default="1", validate_default=True, description="allowance for movement, times the load")
    edges: str | None = Field(default=None, description=f"how the panel's edges are held: {', '.join(EDGES)}; left out: supported")
    source: str

    @field_validator("edges")
    @classmethod
    def _known_edges(cls, edges):
        if edges is not None and edges not in EDGES:
            raise ValueError(f'"{edges}" is not known; write one of {", ".join(EDGES)}, or leave it out for supported')
        return edges

    @model_validator(mode="after")
    def _one_kind(self):
        if (self.pressure is None) == (self.force is None):
            raise ValueError(f'load "{self.name}" needs either a pressure or a force, and not both')
        if self.force is not None and self.patch is None:
            raise ValueError(f'load "{self.name}" has a force but no patch; give the side of the square it stands on')
        return self


class Brief(Strict):
    """What the part is for and what it must meet."""

    purpose: str
    mass_target: Mass | None = None
    deflection_share: SagShare = Field(description="largest deflection as a share of the panel's short side, e.g. 1/100; at most 1/20")
    deflection_source: str
    strength_factor: Factor = Field(default="2", validate_default=True, description="stress must stay below strength over this")
    loads: list[Load] = Field(min_length=1)
    floats: bool = Field(description="whether the part is a boat or float whose flotation matters")
    floats_note: str = Field(description="why flotation matters, or why it does not")
    water: Literal["fresh", "salt"] = "fresh"
    persons: int = Field(default=0, ge=0)
    person_mass: Mass = Field(default="75 kg", validate_default=True)
    kit_mass: MassOrNought = Field(default="0 kg", validate_default=True)
    load_height: Position = Field(default="0 m", validate_default=True, description="height of the load's centre over the lowest point of the hull")
    freeboard: Length | None = Field(default=None, description="least freeboard wanted when loaded")


class PlyChoice(Strict):
    """One ply of a skin."""

    fabric: str
    angle: Angle = Field(default="0 deg", validate_default=True)
    role: Literal["structural", "cosmetic"] = "structural"


class CoreChoice(Strict):
    """The core of a zone and how it is cut."""

    core: str
    thickness: Length
    cut: Literal["plain", "grooved", "perforated", "slit"] = "plain"


class ZoneLayup(Strict):
    """Layup of one zone, from the outside face inwards."""

    outside: list[PlyChoice] = Field(min_length=1)
    core: CoreChoice | None = None
    inside: list[PlyChoice] = Field(default_factory=list)

    @model_validator(mode="after")
    def _both_faces(self):
        if self.core is not None and not self.inside:
            raise ValueError("a layup with a core needs plies on the inside too; list them under inside")
        return self


class Workshop(Strict):
    """The room and its tools."""

    temperature: Temperature
    relative_humidity: Share = Field(default="50 %", validate_default=True)
    bag_pressure: PressureOrNought = Field(description="absolute pressure left under the bag")
    altitude: Altitude = Field(default="0 m", validate_default=True)
    scale_step: Mass = Field(default="1 g", validate_default=True, description="smallest step of the scale")
    largest_batch: Mass = Field(default="2 kg", validate_default=True)
    mixing_time: Time = Field(default="5 min", validate_default=True)


class Fitting(Strict):
    """Something bolted or bonded on: weighs, may float."""

    name: str
    mass: MassOrNought
    volume: Volume = Field(default="0 m^3", validate_default=True, description="water it displaces when under")
    height: Position = Field(default="0 m", validate_default=True)


class Trial(Strict):
    """A trial panel as weighed and measured; tables lie in CSV files beside the part file."""

    name: str
    zone: str
    layup: ZoneLayup | None = Field(default=None, description="layup of the panel as it was made; left out: that of the zone")
    resin: str | None = Field(default=None, description="resin the panel was made with; left out: that of the part")
    width: Length
    length: Length
    mass: Mass
    dry_fabric_mass: Mass
    core_mass: MassOrNought = Field(default="0 kg", validate_default=True)
    resin_mixed: Mass
    resin_left: MassOrNought
    temperature: Temperature
    bag_pressure: PressureOrNought
    drop_start: PressureOrNought
    drop_end: PressureOrNought
    drop_time: Time
    front_log: str | None = None
    strips: str | None = None
    note: str = ""


class LogEntry(Strict):
    """One line of the build day: when, what, and any figures with their units."""

    when: str
    what: str
    values: dict[str, str] = Field(default_factory=dict)
    note: str = ""


class Part(Strict):
    """One part: what the part file holds."""

    format: Literal[1] = 1
    name: str = Field(pattern=r"^[a-z0-9_]+$")
    title: str
    invented: bool = False
    revision: int = Field(default=0, ge=0)
    brief: Brief
    shape: ShapeDescription
    layup: dict[str, ZoneLayup]
    resin: str
    feed: FeedPlan
    workshop: Workshop
    fittings: list[Fitting] = Field(default_factory=list)
    own_materials: list[str] = Field(default_factory=list, description="CSV files of the shop's own materials, beside the part file")
    trials: list[Trial] = Field(default_factory=list)
    measured_permeability: dict[str, Permeability] = Field(default_factory=dict, description="fabric key -> what the shop's own trial panel showed")
    decisions: list[Decision] = Field(default_factory=list)
    build_log: list[LogEntry] = Field(default_factory=list)

    @property
    def geometry(self):
        """The shape object of this part."""
        return build_shape(self.shape)

    @property
    def structural_zones(self) -> tuple[str, ...]:
        """Zones that a load of the brief stands on, in the order of the brief."""
        return tuple(dict.fromkeys(load.zone for load in self.brief.loads))

    def check_names(self, catalogue: Catalogue) -> None:
        """Every zone named must exist in the shape, every material in the catalogue. Raises PartFileError."""
        try:
            zones = set(self.geometry.zones)
        except ShapeError as err:
            raise PartFileError(f"shape: {err}") from err
        faults = [f'layup.{zone}: the shape has no zone "{zone}"; it has {", ".join(sorted(zones))}.' for zone in self.layup if zone not in zones]
        faults += [f'layup: zone "{zone}" of the shape has no layup.' for zone in sorted(zones - set(self.layup))]
        faults += [f'brief.loads[{i}] ("{load.name}"): there is no zone "{load.zone}".' for i, load in enumerate(self.brief.loads) if load.zone not in zones]
        faults += [f'trials[{i}] ("{trial.name}"): there is no zone "{trial.zone}".' for i, trial in enumerate(self.trials) if trial.zone not in zones]
        for where, kind, key in self.materials():
            try:
                getattr(catalogue, kind)(key)
            except UnknownMaterial as err:
                faults.append(f"{where}: {err}")
        if faults:
            raise PartFileError("\n".join(faults))

    def materials(self):
        """Every material named, as (place in the file, kind, key)."""
        yield "resin", "resin", self.resin
        for key in self.measured_permeability:
            yield "measured_permeability", "fabric", key
        for number, trial in enumerate(self.trials):
            if trial.resin is not None:
                yield f"trials[{number}].resin", "resin", trial.resin
        layups = {f"layup.{zone}": layup for zone, layup in self.layup.items()}
        layups |= {f"trials[{number}].layup": trial.layup for number, trial in enumerate(self.trials) if trial.layup is not None}
        for where, layup in layups.items():
            for face in ("outside", "inside"):
                for i, ply in enumerate(getattr(layup, face)):
                    yield f"{where}.{face}[{i}].fabric", "fabric", ply.fabric
            if layup.core is not None:
                yield f"{where}.core.core", "core", layup.core.core

    def to_json(self) -> str:
        """The part file's text."""
        return json.dumps(self._plain(), indent=2, ensure_ascii=False) + "\n"

    def _plain(self):
        return self.model_dump(mode="json", exclude_none=True)

    @classmethod
    def from_plain(cls, data, where: str = "the part", folder=None) -> Part:
        """A part from parsed JSON, its mesh looked for in ``folder``. Raises PartFileError with one line per fault, each naming its field."""
        try:
            part = cls.model_validate(data)
            placed(part.shape, folder)
            return part
        except ValidationError as err:
            raise PartFileError(f"{where} does not describe a part:\n" + "\n".join(map(_fault, err.errors()))) from err

    def changed(self, changes: dict[str, object]) -> Part:
        """A copy with the fields at these dotted paths replaced, e.g. {"layup.bottom.core.thickness": "20 mm"}.

        Raises PartFileError if a path does not exist or a value cannot be used; this part stays as it was.
        """
        data = self._plain()
        for path, value in changes.items():
            *parents, last = path.split(".")
            try:
                target = functools.reduce(_child, parents, data)
                target[int(last) if isinstance(target, list) else last] = value
            except (KeyError, IndexError, ValueError, TypeError) as err:
                raise PartFileError(f'there is no field "{path}" in this part.') from err
        return Part.from_plain(data, f'part "{self.name}"', folder_of(self.shape))

    def value_at(self, path: str) -> str:
        """The text at a dotted path, for showing and comparing. A field left out reads as "none"."""
        try:
            value = functools.reduce(_child, path.split("."), self._plain())
        except (KeyError, IndexError, ValueError, TypeError):
            return "none"
        return value if isinstance(value, str) else json.dumps(value, sort_keys=True, ensure_ascii=False)


def _child(node, name):
    return node[int(name)] if isinstance(node, list) else node[name]


def _fault(error):
    tags = {"flat", "curved", "stations", "mesh"}
    place = ".".join(str(p) for i, p in enumerate(error["loc"]) if not (i == 1 and error["loc"][0] == "shape" and p in tags))
    message = error["msg"].removeprefix("Value error, ")
    if error["type"] == "extra_forbidden":
        message = "there is no such field; look for a slip of the pen, or take the line out."
    elif error["type"] == "missing":
        message = "this field is missing."
    return f"  {place or 'whole file'}: {message}"
