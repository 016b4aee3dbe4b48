"""Small-angle stability: metacentric height, righting lever, list and trim from moved weight.

Not an approval. Stability limits are set by law where you build, sell and use the boat: defer to local codes and
licensed practice. An open boat is lost once its gunwale goes under, whatever these levers say.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

STANDING_HEIGHT = 0.76   # m, weight centre of people above the deck, at least: 46 CFR 178.330 (read)
UPRIGHT_HEIGHT = 1.0     # m, weight centre of a grown person standing straight, above the floor (own judgement)


@checked(centre_of_buoyancy="m >= 0", metacentric_radius="m >= 0", centre_of_gravity="m", returns="m")
def metacentric_height(centre_of_buoyancy, metacentric_radius, centre_of_gravity):
    """Height of the metacentre above the centre of gravity; below nought the boat will not stay upright.

    centre_of_buoyancy  [m]  KB, above the lowest point
    metacentric_radius  [m]  BM, across for heel, along for trim
    centre_of_gravity   [m]  KG, of boat and load above the lowest point
    Returns [m].
    Raises UnitError, RangeError.
    Relation: GM = KB + BM - KG.
    Valid: small angles. Source: textbook of ship stability (read second-hand).
    """
    return centre_of_buoyancy + metacentric_radius - centre_of_gravity


@checked(metacentric_height="m", metacentric_radius="m >= 0", heel="rad in 0..1.5", returns="m")
def righting_lever_wall_sided(metacentric_height, metacentric_radius, heel):
    """Righting lever of a boat with upright sides.

    metacentric_height  [m]  GM upright
    metacentric_radius  [m]  BM upright
    heel                [rad]  angle of heel
    Returns [m].
    Raises UnitError, RangeError.
    Relation: GZ = sin(heel) (GM + BM tan(heel)^2 / 2).
    Valid: until the bilge leaves the water or the gunwale goes under; see wall_sided_limit.
    Source: wall-sided formula, Derrett & Barrass, Ship Stability for Masters and Mates (read second-hand).
    """
    return np.sin(heel) * (metacentric_height + 0.5 * metacentric_radius * np.tan(heel) ** 2)


@checked(draught="m > 0", freeboard="m >= 0", beam="m > 0", returns="rad")
def wall_sided_limit(draught, freeboard, beam):
    """Heel at which the bilge of a box lifts or its gunwale goes under, whichever comes first.

    draught    [m]  of the box
    freeboard  [m]  of the box
    beam       [m]  of the box
    Returns [rad].
    Raises UnitError, RangeError.
    Relation: tan(heel) = 2 min(draught, freeboard)/beam. Source: geometry.
    """
    return np.arctan(2 * np.minimum(draught, freeboard) / beam)


@checked(mass="kg > 0", distance="m", total_mass="kg > 0", metacentric_height="m > 0", returns="rad")
def list_from_shift(mass, distance, total_mass, metacentric_height):
    """Angle the boat takes when a mass moves; sideways with GM, or along with the longitudinal GM for trim.

    mass                [kg]  what moves
    distance            [m]  how far
    total_mass          [kg]  boat and all in it, the moving mass included
    metacentric_height  [m]  GM for the direction of the move
    Returns [rad].
    Raises UnitError, RangeError.
    Relation: tan(angle) = mass distance / (total_mass GM).
    Valid: small angles. Source: Derrett & Barrass, Ship Stability for Masters and Mates (read second-hand).
    """
    if np.any(np.asarray(mass) > total_mass):
        raise RangeError(f"mass is {mass} kg, but total_mass is only {total_mass} kg; the total includes what moves.")
    return np.arctan(mass * distance / (total_mass * metacentric_height))


@checked(righting_lever="m", centre_of_gravity="m", new_centre_of_gravity="m", heel="rad in 0..1.6", returns="m")
def righting_lever_for_new_centre(righting_lever, centre_of_gravity, new_centre_of_gravity, heel):
    """Righting lever after the centre of gravity moves up or down.

    righting_lever         [m]  GZ drawn for the first KG
    centre_of_gravity      [m]  KG it was drawn for
    new_centre_of_gravity  [m]  KG now
    heel                   [rad]  angle of heel
    Returns [m].
    Raises UnitError, RangeError.
    Relation: GZ' = GZ + (KG - KG') sin(heel).
    Source: Derrett & Barrass, Ship Stability for Masters and Mates (read second-hand).
    """
    return righting_lever + (centre_of_gravity - new_centre_of_gravity) * np.sin(heel)
