"""What is the part for, how big is it, and what may it weigh?"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from ..shape import CurvedShape, HullShape, MeshShape
from ..units import Q_, say
from .build import ZoneBuild, fittings_mass, part_build, part_mass
from .findings import Check, Finding, Step
from .material_rows import MaterialRow, guesses, material_rows, paths_behind_mass


@dataclass(frozen=True)
class ZoneRow:
    """One zone: its size, what it is laid up of, and its mass."""

    zone: str
    area: Q_
    pieces: int
    layup: str
    areal_mass: Q_
    mass: Q_


@dataclass(frozen=True, kw_only=True)
class BriefAndShape(Finding):
    """The brief and the shape in words and numbers.

    title, purpose   what the part is
    size             how big it is, in words
    loads            the loads of the brief, in words
    rows             one per zone
    fittings         name and mass of everything bolted or bonded on
    fittings_mass    those together
    part_mass        zones and fittings
    mass_target      of the brief; None when it sets none
    materials        what it is made of
    """

    title: str
    purpose: str
    size: tuple[str, ...]
    loads: tuple[str, ...]
    rows: tuple[ZoneRow, ...]
    fittings: tuple[tuple[str, Q_], ...]
    fittings_mass: Q_
    part_mass: Q_
    mass_target: Q_ | None
    materials: tuple[MaterialRow, ...]


def brief_and_shape(part, catalogue) -> BriefAndShape:
    """Sizes, layups and masses of a part against the mass it may have."""
    builds = part_build(part, catalogue)
    mass, target = part_mass(part, builds), part.brief.mass_target
    rows = tuple(_row(build, part.layup[name]) for name, build in builds.items())
    materials = material_rows(part, catalogue)
    check = target is not None and Check(
        "mass of the finished part", mass, target.to("kg"), "at most", "brief",
        "a thinner or lighter core, fewer plies, or lighter fittings; if nothing gives, a heavier target with its reason")
    return BriefAndShape(
        title=part.title, purpose=part.brief.purpose, size=size_words(part.geometry), loads=tuple(map(load_words, part.brief.loads)),
        rows=rows, fittings=tuple((fitting.name, fitting.mass) for fitting in part.fittings), fittings_mass=fittings_mass(part),
        part_mass=mass, mass_target=target, materials=materials, checks=(check,) if check else (),
        working=_working(part, builds, mass), guesses=guesses(materials),
        rests_on=("brief.mass_target", *paths_behind_mass(part)))


def size_words(shape) -> tuple[str, ...]:
    """How big a shape is, one phrase per figure."""
    if isinstance(shape, HullShape):
        return (f"{say(shape.length)} long", f"{say(shape.beam)} beam", f"{say(shape.depth)} deep",
                f"holds {say(shape.volume, 'L')} to the gunwale", f"skin {say(shape.area)}")
    if isinstance(shape, CurvedShape):
        return (f"{say(shape.length)} long", f"{say(shape.girth)} round the curve", f"{say(shape.chord)} straight across",
                f"rises {say(shape.rise)}", f"skin {say(shape.area)}")
    if isinstance(shape, MeshShape):
        return (" by ".join(say(Q_(side, "m")) for side in sorted(shape.extent.m_as("m"), reverse=True)),
                f"skin {say(shape.area)}", f"{len(shape.mesh.si.triangles)} triangles read from a file")
    long, short = sorted(shape.bounds.m_as("m"), reverse=True)
    return (f"{say(Q_(long, 'm'))} by {say(Q_(short, 'm'))}", f"edge {say(shape.perimeter)}", f"skin {say(shape.area)}")


def load_words(load) -> str:
    """One load of the brief as a sentence."""
    how = (f"{say(load.pressure)} all over" if load.pressure is not None
           else f"{say(load.force)} on a square patch, side {say(load.patch)}, at the middle of")
    times = f", with a factor of {load.factor.m_as(''):g}" if load.factor.m_as("") != 1 else ""
    return f"{load.name}: {how} a {say(load.panel_length)} by {say(load.panel_width)} panel of {load.zone}{times} ({load.source})"


def layup_words(build: ZoneBuild, layup) -> str:
    """A layup as an apprentice would call it out, from the outside face inwards."""
    skins = [_skin_words(face) for face in (layup.outside, layup.inside) if face]
    if build.core is None:
        return "solid: " + " + ".join(skins)
    cut = "" if layup.core.cut == "plain" else f", {layup.core.cut}"
    return f"{skins[0]} / {say(layup.core.thickness, 'mm')} {layup.core.core}{cut} / {skins[1]}"


def _row(build, layup):
    return ZoneRow(build.name, build.zone.area, build.zone.pieces, layup_words(build, layup), build.areal_mass, build.mass)


def _skin_words(plies):
    said = []
    for (fabric, angle), run in groupby((ply.fabric, ply.angle.m_as("deg")) for ply in plies):
        count = len(list(run))
        said.append(f"{count} × {fabric}" + (f" at {angle:g}°" if angle else ""))
    return " + ".join(said)


def _working(part, builds, mass):
    steps = [Step(f"mass of {name}", "area × (fibre + resin + core, per area)", {
        "area": build.zone.area, **{item: Q_(value, "kg/m^2") for item, value in build.per_area.items()}}, build.mass.to("kg"),
        "layup and catalogue") for name, build in builds.items()]
    fittings = {fitting.name: fitting.mass for fitting in part.fittings}
    sums = {name: build.mass.to("kg") for name, build in builds.items()}
    return (*steps, Step("mass of the fittings", "Σ fittings", fittings, fittings_mass(part), "part file"),
            Step("mass of the finished part", "Σ zones + fittings", sums | {"fittings": fittings_mass(part)}, mass, "sum"))
