"""What a change of layup does further down the line: mass, resin that stays in the part, reserve when swamped."""

from __future__ import annotations

from dataclasses import dataclass

from ..flotation import swamped_flotation, water_density
from ..units import Q_, say
from .build import part_build, part_mass
from .buoyancy import CREW, swamped_items


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
    return PartFigures(part_mass(part, builds), Q_(resin, "kg"), _reserve(part, builds) if part.brief.floats else None)


def _reserve(part, builds):
    """As studies.buoyancy has it for people holding on, without the hydrostatics that a slider need not wait for."""
    items = swamped_items(part, builds, part.brief.kit_mass, "sinks")
    return swamped_flotation(items, part.brief.persons, water_density(part.brief.water),
                             CREW["holding on"] * part.brief.person_mass).reserve


def _difference(now, old):
    change = (now - old).m_as("kg")
    return "as saved" if abs(change) < 0.005 else f"{change:+.2f} kg"
