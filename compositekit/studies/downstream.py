"""What a change of layup does further down the line: mass, resin that stays in the part, reserve when swamped."""

from __future__ import annotations

from dataclasses import dataclass

from ..flotation import CAUTION, swamped_flotation, water_density
from ..units import Q_, say
from .build import core_mass, part_build, part_mass
from .buoyancy import CREW, swamped_items
from .findings import Check
from .skin_search_figures import SWAMPED


@dataclass(frozen=True)
class PartFigures:
    """What a part comes to.

    mass     of the finished part
    resin    that stays in it
    reserve  what it carries beyond its people when swamped; None where flotation does not matter
    """

    mass: Q_
    resin: Q_
    reserve: Q_ | None

    def beside(self, saved: PartFigures) -> str:
        """All figures in one line, each with its difference from those of the part as saved."""
        pairs = (("part mass", self.mass, saved.mass), ("resin that stays in the part", self.resin, saved.resin),
                 ("reserve when swamped, not an approval", self.reserve, saved.reserve))
        return "; ".join(f"{name} {say(now, 'kg')} ({_difference(now, old)})" for name, now, old in pairs if now is not None)


def part_figures(part, catalogue, builds=None) -> PartFigures:
    """Mass, resin and swamped reserve of a part as it is laid up; ``builds`` where they are at hand already."""
    builds = part_build(part, catalogue) if builds is None else builds
    resin = sum(build.resin_per_area.magnitude * build.zone.si.area for build in builds.values())
    return PartFigures(part_mass(part, builds), Q_(resin, "kg"), _swamped(part, builds).reserve if part.brief.floats else None)


def swamped_check(part, builds) -> Check | None:
    """All that hangs on the swamped part against what its own materials lift; None where flotation does not matter."""
    if not part.brief.floats:
        return None
    weight, lift = _weight_and_lift(part, builds)
    return Check(f"{SWAMPED}: weight of part, kit and people holding on, against what the materials lift", Q_(weight, "kg"), Q_(lift, "kg"), "at most",
                 f"Archimedes; people hang on with 2/15 of their weight, 33 CFR 183.105 (read). {CAUTION}", "more of a closed-cell core, or foam (page 06)")


def swamped_share(part, catalogue, builds, build, core_thicknesses):
    """Share of that lift used up with the core of one zone so thick, SI array; None where flotation does not matter."""
    if not part.brief.floats:
        return None
    weight, lift = _weight_and_lift(part, builds)
    area, water = build.zone.si.area, water_density(part.brief.water).m_as("kg/m^3")
    heavier = core_mass(part, catalogue, build, core_thicknesses) - core_mass(part, catalogue, build, build.core_thickness)
    thicker = core_thicknesses - build.core_thickness if build.core.closed_cell else 0.0
    return (weight + area * heavier) / (lift + water * area * thicker)


def _weight_and_lift(part, builds):
    swamped = _swamped(part, builds).si
    return swamped.total_mass + swamped.persons_load, water_density(part.brief.water).m_as("kg/m^3") * swamped.displaced_volume


def _swamped(part, builds):
    """As studies.buoyancy has it for people holding on, without the hydrostatics that a slider need not wait for."""
    items = swamped_items(part, builds, part.brief.kit_mass, "sinks")
    return swamped_flotation(items, part.brief.persons, water_density(part.brief.water), CREW["holding on"] * part.brief.person_mass)


def _difference(now, old):
    change = (now - old).m_as("kg")
    return "as saved" if abs(change) < 0.005 else f"{change:+.2f} kg"
