"""Head counts from loads: arithmetic of two published rules, never an approval.

Capacity is set by law where you build, sell and use the boat: defer to local codes and licensed practice.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked
from .swamped import PERSON_MASS

POUND = 0.45359237  # kg, exact by definition
HEEL_SHARE = 0.6  # 33 CFR 183.41: the weight that heels the boat to the gunwale is taken as 0.6 of the capacity


@checked(gross_load="kg >= 0", engine_mass="kg >= 0", equipment_mass="kg >= 0", person_mass="kg > 0", returns="1")
def persons_capacity(gross_load, engine_mass=0.0, equipment_mass=0.0, person_mass=PERSON_MASS):
    """Whole persons left in a gross load after engine and gear.

    gross_load      [kg]  all the boat may carry
    engine_mass     [kg]  with battery and fuel
    equipment_mass  [kg]  gear
    person_mass     [kg]  each person; 75 kg unless given
    Returns [1].
    Raises RangeError when engine and gear alone are too much; UnitError.
    Relation: floor((gross_load - engine_mass - equipment_mass)/person_mass).
    Source: Canadian compliance-notice example (read). Not an approval: defer to local codes and licensed practice.
    """
    left = gross_load - engine_mass - equipment_mass
    if np.any(np.asarray(left) < 0):
        raise RangeError(f"engine and gear come to {engine_mass + equipment_mass} kg, "
                         f"more than the gross load {gross_load} kg.")
    return np.floor(left / person_mass * (1 + 1e-12))


@checked(persons_load="kg >= 0", returns="1")
def persons_from_persons_load(persons_load):
    """Whole persons for a persons load, by the rule for boats rowed, paddled or with at most 2 hp.

    persons_load  [kg]  weight of people the boat may carry
    Returns [1].
    Raises UnitError, RangeError.
    Relation: (pounds + 32)/141 to the nearest whole, halves up.
    Source: 33 CFR 183.43 (read); canoes and kayaks are exempt. Not an approval: defer to local codes and licensed
    practice.
    """
    return np.floor((persons_load / POUND + 32) / 141 + 0.5 + 1e-9)


@checked(heeling_mass="kg >= 0", returns="kg")
def persons_load_from_heeling(heeling_mass):
    """Persons load from the mass at the side that brings the gunwale to the water.

    heeling_mass  [kg]  mass found by test
    Returns [kg].
    Raises UnitError, RangeError.
    Relation: heeling_mass/0.6.
    Source: 33 CFR 183.41 (read). Not an approval: defer to local codes and licensed practice.
    """
    return heeling_mass / HEEL_SHARE
