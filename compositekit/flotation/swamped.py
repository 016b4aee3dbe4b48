"""What keeps a swamped boat up: the lift of its own materials, and the people holding on to it."""

from __future__ import annotations

import math

from ..errors import RangeError, UnitError
from ..units import checked, checked_fields
from .density import net_lift
from .single import need_single

CAUTION = ("This is arithmetic, not an approval. Capacity, flotation and stability limits are set by law where you "
           "build, sell and use the boat: defer to local codes and licensed practice.")
PERSON_MASS = 75.0  # kg; UK small commercial vessel code s. 11.4 (read)
CLINGING_SHARE = 2 / 15  # of a person's weight, held on in the water: 33 CFR 183.105, basic flotation (read)
SITTING_SHARE = 1 / 2  # of a person's weight, sitting in the swamped boat: US level-flotation guidance (read)
CLINGING_LOAD = PERSON_MASS * CLINGING_SHARE  # kg per person
FOAM_DENSITY = 32.04  # kg/m^3, 2 lb/ft^3; common practice for closed-cell block foam (read as worked figure)
FOAM_LIFT_LIMIT = 881.0  # kg/m^3; most that may be counted on inspected craft: 46 CFR 170.245, 55 lb/ft^3 (read)


@checked_fields(mass="kg >= 0", volume="m^3 >= 0")
class Item:
    """A part of the boat or its gear that goes under when the boat is swamped.

    name    what it is
    mass    [kg]  dry, with any water it drinks
    volume  [m^3]  of the material itself, sealed voids included, anything that floods left out
    """

    name: str
    mass: object
    volume: object


@checked_fields(total_mass="kg", displaced_volume="m^3", net_buoyancy="kg", persons_load="kg", reserve="kg",
                foam_volume="m^3 >= 0", fraction_submerged="1 >= 0")
class SwampedFlotation:
    """A swamped boat with people holding on.

    total_mass          [kg]  of the boat and gear
    displaced_volume    [m^3]  of all their materials, pushed right under
    net_buoyancy        [kg]  what those materials carry beyond themselves; negative when the boat sinks
    persons_load        [kg]  what the people weigh in the water
    reserve             [kg]  net_buoyancy less persons_load; negative when short
    foam_volume         [m^3]  foam to add so that the reserve is nought; nought when there is none short
    fraction_submerged  [1]  of the material volume, people held; above 1 the boat sinks
    persons_supported   whole persons it can hold up; None when they weigh nothing in the water
    floats              True when the reserve is not negative
    caution             the sentence to print beside these numbers
    """

    total_mass: object
    displaced_volume: object
    net_buoyancy: object
    persons_load: object
    reserve: object
    foam_volume: object
    fraction_submerged: object
    persons_supported: int | None
    floats: bool
    caution: str = CAUTION


@checked(persons="1 in 0..1000", water_density="kg/m^3 > 0", person_load_in_water="kg >= 0", foam_density="kg/m^3 > 0")
def swamped_flotation(items, persons, water_density, person_load_in_water=CLINGING_LOAD, foam_density=FOAM_DENSITY):
    """Whether a swamped boat floats with people holding on, and the foam wanting if not.

    items                 list of Item, or of (name, mass, volume)
    persons               [1]  people holding on, whole
    water_density         [kg/m^3]  of the water; fresh is the harder case
    person_load_in_water  [kg]  weight each hangs on the boat; 10 kg clinging (2/15 of 75 kg) unless given,
                          37.5 kg (half) to sit in it
    foam_density          [kg/m^3]  of foam to be added
    Returns SwampedFlotation.
    Raises RangeError for no items, no volume, part persons and foam that does not float; UnitError.
    Relation: net_buoyancy = water_density sum(volume) - sum(mass); foam_volume = shortfall / lift of foam.
    Valid: all items under water, nothing trapped but their own volume. Foam lift is capped at 881 kg/m^3.
    Source: Archimedes; shares of a person's weight 33 CFR 183.105 and US level-flotation guidance (read).
    Not an approval: flotation limits are set by law where you build, sell and use the boat: defer to local codes
    and licensed practice.
    """
    need_single(persons=persons, water_density=water_density, person_load_in_water=person_load_in_water,
                foam_density=foam_density)
    items = _items(items)
    if persons != round(persons):
        raise RangeError(f"persons is {persons:g}; count whole people.")
    mass = sum(item.si.mass for item in items)
    volume = sum(item.si.volume for item in items)
    if volume <= 0:
        raise RangeError("no item has any volume; give each its material volume, for that is what lifts.")
    net = water_density * volume - mass
    load = persons * person_load_in_water
    reserve = net - load
    held = None if person_load_in_water == 0 else max(0, math.floor(net / person_load_in_water * (1 + 1e-12)))
    lift = _foam_lift(foam_density, water_density)
    return SwampedFlotation.from_si(
        total_mass=mass, displaced_volume=volume, net_buoyancy=net, persons_load=load, reserve=reserve,
        foam_volume=max(0.0, -reserve) / lift, fraction_submerged=(mass + load) / (water_density * volume),
        persons_supported=held, floats=bool(reserve >= 0))


@checked(submerged_mass="kg >= 0", factor="1", dry_mass="kg >= 0", lift="kg/m^3 > 0", returns="m^3")
def buoyancy_volume(submerged_mass, factor, dry_mass, lift):
    """Volume of air or foam that holds a swamped hull up; negative when the hull floats by itself.

    submerged_mass  [kg]  dry weight of what lies under the swamped waterline
    factor          [1]  its weight-in-water factor, with its sign
    dry_mass        [kg]  what stays above the water
    lift            [kg/m^3]  net lift of the air or foam
    Returns [m^3].
    Raises UnitError, RangeError.
    Relation: F = (K W_h + W_d)/B.
    Source: US Coast Guard flotation guidelines, part 2 (read). Not an approval: defer to local codes and licensed
    practice.
    """
    return (submerged_mass * factor + dry_mass) / lift


@checked(mass="kg >= 0", factor="1", returns="kg")
def weight_in_water(mass, factor):
    """What a set of materials weighs under water; those that float count against those that sink.

    mass    [kg]  dry, shape (n,) or one
    factor  [1]  weight-in-water factors with their signs, same shape
    Returns [kg].
    Raises RangeError when the shapes differ; UnitError.
    Relation: sum of K W. Source: Archimedes.
    """
    if getattr(mass, "shape", ()) != getattr(factor, "shape", ()):
        raise RangeError("mass and factor must come in the same number, one factor for each mass.")
    return float((mass * factor).sum()) if getattr(mass, "shape", ()) else mass * factor


def _items(items):
    if not isinstance(items, (list, tuple)):
        raise UnitError(f"items came as {str(items)[:60]}; give a list of (name, mass, volume).")
    read = []
    for number, item in enumerate(items, start=1):
        if not isinstance(item, Item):
            try:
                item = Item(*item)
            except TypeError:
                raise UnitError(f"item {number} must be (name, mass, volume), but is {str(item)[:60]}.") from None
        need_single(**{f"mass of item {number}": item.si.mass, f"volume of item {number}": item.si.volume})
        read.append(item)
    if not read:
        raise RangeError("no items came; list the materials of the boat with mass and volume.")
    return read


def _foam_lift(foam_density, water_density):
    lift = min(net_lift.si(foam_density, water_density), FOAM_LIFT_LIMIT)
    if lift <= 0:
        raise RangeError(f"foam_density is {foam_density:g} kg/m^3, but must be below that of the water, "
                         f"{water_density:g} kg/m^3, to lift anything.")
    return lift
