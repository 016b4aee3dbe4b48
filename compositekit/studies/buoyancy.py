"""Does it float, how deep, and does it carry its people when swamped?"""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import RangeError
from ..flotation import (
    CLINGING_SHARE,
    SITTING_SHARE,
    Hydrostatics,
    Item,
    SwampedFlotation,
    draught_for,
    hydrostatics,
    list_from_shift,
    metacentric_height,
    net_lift,
    swamped_flotation,
    water_density,
)
from ..flotation.stability import STANDING_HEIGHT, UPRIGHT_HEIGHT
from ..shape import HullShape
from ..units import Q_, Spec
from . import buoyancy_words as words
from .build import ZoneBuild, part_build, part_mass
from .findings import Finding

CREW = {"holding on": CLINGING_SHARE, "sitting in it": SITTING_SHARE}  # share of their weight on the swamped boat
KIT = ("sinks", "floats")
SHIFT = 0.1  # m; one person moving so far sideways shows how lively the boat is (own judgement)


@dataclass(frozen=True)
class PanelFloat:
    """A zone's panel in water.

    zone          its name
    bulk_density  its density as one solid
    share_under   part of a free offcut that lies under water; above 1 it sinks
    net_lift      what a square metre carries beyond itself, pushed right under
    counted       whether the swamped sum counts the volume of its core (only closed cells keep water out)
    """

    zone: str
    bulk_density: Q_
    share_under: float
    net_lift: Q_
    counted: bool

    @property
    def floats(self) -> bool:
        return self.share_under < 1


@dataclass(frozen=True)
class Standing:
    """The loaded hull with its people on their feet, kit where it lay.

    height              of the people's weight centre above the lowest point
    centre_of_gravity   KG of boat and load
    metacentric_height  GM
    heel                angle when one person steps 100 mm sideways; None with GM below nought
    upright             GM with people who stand straight, their weight centre 1 m above the floor
    """

    height: Q_
    centre_of_gravity: Q_
    metacentric_height: Q_
    heel: Q_ | None
    upright: Q_


@dataclass(frozen=True)
class Afloat:
    """The loaded hull, upright and level.

    water               what the water does to it
    centre_of_gravity   KG of boat and load, above the lowest point
    metacentric_height  GM
    heel                angle when one person moves 100 mm sideways; None without people or with GM below nought
    standing            the same with the people on their feet; None without people
    """

    water: Hydrostatics
    centre_of_gravity: Q_
    metacentric_height: Q_
    heel: Q_ | None
    standing: Standing | None = None


@dataclass(frozen=True, kw_only=True)
class Buoyancy(Finding):
    """What the water does to the part.

    needed                        whether the brief asks for flotation
    note                          why, or why not
    panels                        each zone's panel in water
    mass, load, total_mass        the finished part; people and kit; both together
    masses                        the finished part with core faces that drink little, as usual, and much resin
    carried                       mass at which water comes over the gunwale; None without stations
    afloat                        the loaded hull; None without stations, or when it is loaded beyond ``carried``
    swamped, lift, must_carry     the flooded part; what its materials lift, and what they have to
    thirsty                       the flooded part with core faces at the thirsty end; None where the catalogue gives no range
    lifts, weighs                 the same two sums split by what lifts and what hangs on it
    """

    needed: bool
    note: str
    water: str
    water_density: Q_
    panels: tuple[PanelFloat, ...]
    mass: Q_
    masses: tuple[Q_, Q_, Q_]
    persons: int = 0
    person_mass: Q_ = None
    kit_mass: Q_ = None
    load: Q_ = None
    total_mass: Q_ = None
    crew: str = ""
    kit: str = ""
    carried: Q_ | None = None
    afloat: Afloat | None = None
    swamped: SwampedFlotation | None = None
    thirsty: SwampedFlotation | None = None
    lifts: dict[str, Q_] | None = None
    weighs: dict[str, Q_] | None = None

    @property
    def draught(self):
        return self.afloat and self.afloat.water.draught

    @property
    def freeboard(self):
        return self.afloat and self.afloat.water.freeboard

    @property
    def displacement(self):
        return self.afloat and self.afloat.water.mass

    @property
    def gm(self):
        return self.afloat and self.afloat.metacentric_height

    @property
    def standing(self):
        return self.afloat and self.afloat.standing

    @property
    def lift(self):
        return self.swamped and self.water_density * self.swamped.displaced_volume

    @property
    def must_carry(self):
        return self.swamped and self.swamped.total_mass + self.swamped.persons_load


def buoyancy(part, catalogue, persons=None, kit_mass=None, crew="holding on", kit="sinks") -> Buoyancy:
    """Draught, freeboard and stability of the loaded part, and its flotation when swamped.

    persons, kit_mass  instead of those of the brief
    crew               what people do when it is swamped: "holding on" or "sitting in it"
    kit                "sinks": all its weight hangs on the boat; "floats": it carries itself or drifts off
    Raises RangeError, UnitError. Not an approval: defer to local codes and licensed practice.
    """
    _known(crew, CREW, "crew")
    _known(kit, KIT, "kit")
    brief = part.brief
    persons = _whole(brief.persons if persons is None else persons)
    kit_mass = Q_(Spec.of("kg >= 0").read(brief.kit_mass if kit_mass is None else kit_mass, "kit_mass"), "kg")
    density, builds = water_density(brief.water), part_build(part, catalogue)
    mass, extra = part_mass(part, builds), {name: face_resin_spread(build) for name, build in builds.items()}
    masses = tuple(mass + Q_(sum(spread[case] for spread in extra.values()), "kg") for case in range(3))
    found = dict(needed=brief.floats, note=brief.floats_note, water=brief.water, water_density=density, mass=mass, masses=masses,
                 panels=tuple(_panel(build, density) for build in builds.values()),
                 guesses=words.guesses(part, catalogue), rests_on=words.rests_on(part))
    if not brief.floats:
        return Buoyancy(**found, working=words.panel_working(builds, Buoyancy(**found)))
    load = persons * brief.person_mass + kit_mass
    found |= dict(persons=persons, person_mass=brief.person_mass, kit_mass=kit_mass, load=load,
                  total_mass=(mass + load).to("kg"), crew=crew, kit=kit)
    if isinstance(part.geometry, HullShape):
        found["carried"] = carried_at_gunwale(part.geometry, density)
        if found["total_mass"] <= found["carried"]:
            found["afloat"] = _afloat(part, builds, found["total_mass"], load, persons, density)
    items = swamped_items(part, builds, kit_mass, kit)
    found["swamped"] = swamped_flotation(items, persons, density, CREW[crew] * brief.person_mass)
    if masses[2] > mass:
        heavy = [Item(item.name, item.mass + Q_(extra[item.name][2] if item.name in extra else 0.0, "kg"), item.volume) for item in items]
        found["thirsty"] = swamped_flotation(heavy, persons, density, CREW[crew] * brief.person_mass)
    found["lifts"], found["weighs"] = _split(items, builds, density, mass, found["swamped"])
    result = Buoyancy(**found)
    said = dict(checks=words.checks(part, result), working=words.working(part, builds, result),
                cautions=words.cautions(part, result))
    return Buoyancy(**found, **said)


def carried_at_gunwale(hull, density):
    """Mass [kg] of boat and load that brings the water to the lowest point of the gunwale, level."""
    return hydrostatics(hull, Q_(float(hull.offsets[:, -1, 1].min()) - hull.lowest, "m"), density).mass


def face_resin_spread(build: ZoneBuild) -> tuple[float, float, float]:
    """Mass [kg] that core faces at the sparing end, the usual figure and the thirsty end of the catalogue add to a zone."""
    if build.core is None or build.core.uptake is None:
        return 0.0, 0.0, 0.0
    low, typical, high = (uptake.m_as("kg/m^2") for uptake in build.core.range("uptake"))
    faces = 2 * build.zone.si.area
    return faces * (low - typical), 0.0, faces * (high - typical)


def centre_of_gravity(part, builds, load):
    """KG [m] above the lowest point: zones where they lie, fittings and load at their heights."""
    lowest = part.geometry.lowest
    weights = [(build.mass.m_as("kg"), build.zone.si.centre[2] - lowest) for build in builds.values()]
    weights += [(fitting.mass.m_as("kg"), fitting.height.m_as("m")) for fitting in part.fittings]
    weights.append((load.m_as("kg"), part.brief.load_height.m_as("m")))
    return Q_(sum(mass * height for mass, height in weights) / sum(mass for mass, _ in weights), "m")


def swamped_items(part, builds, kit_mass, kit) -> list[Item]:
    """Everything that goes under, with its mass and the volume of the material itself."""
    items = [Item(name, build.mass, build.zone.area * _watertight(build)) for name, build in builds.items()]
    items += [Item(fitting.name, fitting.mass, fitting.volume) for fitting in part.fittings]
    return items + ([Item("kit", kit_mass, Q_(0, "m^3"))] if kit == "sinks" else [])


def _split(items, builds, density, mass, swamped):
    panels = sum(item.si.volume for item in items if item.name in builds)
    others = swamped.si.displaced_volume - panels
    lifts = {"panels": density * Q_(panels, "m^3"), "fittings": density * Q_(others, "m^3")}
    weighs = {"part": mass, "kit": swamped.total_mass - mass, "people": swamped.persons_load}
    return {name: lift.to("kg") for name, lift in lifts.items()}, weighs


def _watertight(build: ZoneBuild):
    """Thickness [m] whose volume may be counted: an open-celled core fills, so it lifts nothing (own judgement)."""
    return build.thickness - Q_(0.0 if _closed(build) else build.core_thickness, "m")


def _closed(build):
    return build.core is None or build.core.closed_cell


def _panel(build, density):
    lift = (net_lift(build.bulk_density, density) * build.thickness).to("kg/m^2")
    return PanelFloat(build.name, build.bulk_density, float((build.bulk_density / density).m_as("")), lift, _closed(build))


def _afloat(part, builds, total, load, persons, density):
    water = hydrostatics(part.geometry, draught_for(part.geometry, total, density), density)
    kg = centre_of_gravity(part, builds, load)
    gm = metacentric_height(water.centre_of_buoyancy, water.metacentric_radius, kg)
    heel = _heel(part, total, gm) if persons else None
    return Afloat(water, kg, gm, heel, _standing(part, total, persons, water, kg) if persons else None)


def _heel(part, total, gm):
    return list_from_shift(part.brief.person_mass, Q_(SHIFT, "m"), total, gm) if gm.magnitude > 0 else None


def _standing(part, total, persons, water, kg):
    """The people lifted from the load's height to standing; they never stand lower than the brief has them."""
    people, at = persons * part.brief.person_mass, part.brief.load_height

    def raised(height):
        up = max(Q_(height, "m"), at)
        centre = kg + people * (up - at) / total
        return up, centre, metacentric_height(water.centre_of_buoyancy, water.metacentric_radius, centre)

    height, centre, gm = raised(STANDING_HEIGHT)
    return Standing(height.to("m"), centre.to("m"), gm, _heel(part, total, gm), raised(UPRIGHT_HEIGHT)[2])


def _whole(persons):
    count = Spec.of("1 in 0..1000").read(persons, "persons")
    if count != round(count):
        raise RangeError(f"persons is {count:g}; count whole people.")
    return int(count)


def _known(value, choices, name):
    if value not in choices:
        raise RangeError(f'{name} is "{value}"; it must be {" or ".join(choices)}.')
