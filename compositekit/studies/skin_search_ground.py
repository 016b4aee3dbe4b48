"""Everything a search on one zone rests on beside the candidates: loads, limits, the rest of the part. SI floats."""

from __future__ import annotations

from dataclasses import dataclass

from ..catalogue import Catalogue
from ..errors import PartFileError, RangeError, UnitError
from ..flotation import swamped_flotation, water_density
from ..units import Spec
from .build import fittings_mass, part_build
from .buoyancy import CREW, swamped_items
from .panel_loads import ZoneLoad, zone_loads

DIGITS = 12  # kg and m^3 are rounded to this, so that another layup of today leaves the rest as it was, last digit included


@dataclass(frozen=True)
class Ground:
    """What the same candidates give the same figures on, so that a search is found again by it.

    catalogue, resin, zone, cut   records, resin key, name of the zone, how the core is cut
    loads, factor    the loads of the brief on the zone, and its strength factor
    area             m^2 of the zone
    rest_mass        kg, of the finished part without this zone
    target           kg, the most the part may weigh; None without a target
    water            kg/m^3
    rest_weight      kg, all that hangs on the swamped part beside this zone: other zones, fittings, kit, people holding on;
                     None where flotation does not matter
    rest_volume      m^3, of what of that is under water; None as above
    prices           the shop's own, ((key, price per kg), ...); None for the published ones
    heat             degC, hottest the skin gets
    """

    catalogue: Catalogue
    resin: str
    zone: str
    cut: str
    loads: tuple[ZoneLoad, ...]
    factor: float
    area: float
    rest_mass: float
    target: float | None
    water: float
    rest_weight: float | None
    rest_volume: float | None
    prices: tuple | None
    heat: float


def search_ground(part, catalogue, zone, cut, prices, heat) -> Ground:
    """The ground of one zone; ``heat`` of the skin in degC.

    Raises PartFileError for a zone without load or layup; UnitError, RangeError for prices.
    """
    loads, builds = zone_loads(part, zone), part_build(part, catalogue)
    if zone not in builds:
        raise PartFileError(f'there is no layup for zone "{zone}"; zones with one are {", ".join(builds)}.')
    rest = sum(build.mass.m_as("kg") for name, build in builds.items() if name != zone) + fittings_mass(part).m_as("kg")
    target = part.brief.mass_target
    weight, volume = _afloat(part, builds, zone) if part.brief.floats else (None, None)
    return Ground(catalogue, part.resin, zone, cut, loads, part.brief.strength_factor.m_as(""), builds[zone].zone.si.area,
                  round(rest, DIGITS), None if target is None else target.m_as("kg"), water_density(part.brief.water).m_as("kg/m^3"),
                  weight, volume, _prices(catalogue, prices), heat)


def _afloat(part, builds, zone):
    """As studies.downstream has it: people holding on, kit that sinks."""
    water = water_density(part.brief.water)
    items = swamped_items(part, builds, part.brief.kit_mass, "sinks")
    swamped = swamped_flotation(items, part.brief.persons, water, CREW["holding on"] * part.brief.person_mass).si
    own = next(item.si for item in items if item.name == zone)
    return round(swamped.total_mass + swamped.persons_load - own.mass, DIGITS), round(swamped.displaced_volume - own.volume, DIGITS)


def _prices(catalogue, prices):
    if prices is None:
        return None
    if not hasattr(prices, "items"):
        raise UnitError('prices came as something else than {key: price per kg}; write {"glass-biax-450": 9.5}, all in one currency.')
    known = {*catalogue.fabrics().index, *catalogue.cores().index, *catalogue.resins().index}
    for key, value in prices.items():
        if key not in known:
            raise RangeError(f'prices: "{key}" is no fabric, core or resin of the catalogue; use its key.')
        Spec.of("1 >= 0").read(value, f"the price of {key}")
    return tuple(sorted((key, float(value)) for key, value in prices.items()))
