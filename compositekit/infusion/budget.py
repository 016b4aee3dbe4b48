"""How much resin a part takes, where it goes, and what of it is thrown away: low, typical and high."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..units import Q_, checked, checked_fields
from .counts import single
from .feed import line_content

OWN = "own judgement"


@checked_fields(low="kg >= 0", typical="kg >= 0", high="kg >= 0")
class ResinItem:
    """One place resin goes to: what, mass low, typical and high, whether it stays in the part, source and grade."""

    what: str
    low: object
    typical: object
    high: object
    stays_in_part: bool
    source: str
    grade: str

    def validate(self):
        if max(map(np.ndim, (self.si.low, self.si.typical, self.si.high))):
            raise RangeError(f"{self.what}: low, typical and high are one mass each, not lists.")
        if not self.si.low <= self.si.typical <= self.si.high:
            raise RangeError(f"{self.what}: low, typical and high must rise, but are {self.si.low:g}, {self.si.typical:g}, {self.si.high:g} kg.")


def _item(what, masses, stays, source, grade):
    low, typical, high = sorted(float(mass) for mass in masses)
    return ResinItem.from_si(what=what, low=low, typical=typical, high=high, stays_in_part=stays, source=source, grade=grade)


@checked(areal_weight="kg/m^2 > 0", fibre_fraction="1 in 0.02..0.95", fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0",
         area="m^2 >= 0", fibre_fraction_spread="1 in 0..0.2")
@single()
def in_plies(areal_weight, fibre_fraction, fibre_density, resin_density, area, fibre_fraction_spread=0.02, what="fibre plies"):
    """Resin between the fibres of the plies.

    areal_weight  [kg/m^2]  of all dry plies together
    fibre_fraction  [1]  fibre share by volume under the bag
    fibre_density  [kg/m^3]  of the fibre
    resin_density  [kg/m^3]  of the resin
    area  [m^2]  area of the plies
    fibre_fraction_spread  [1]  how far the fibre share may be off either way; 0.02 if left out, own judgement
    what  name of the row
    Returns ResinItem, stays in the part.
    Raises UnitError; RangeError also where the spread leaves no fibre or no resin.
    Relation: m = rho_r (w/rho_f) (1 - Vf)/Vf A
    Source: volume balance.
    """
    spread = np.array([fibre_fraction + fibre_fraction_spread, fibre_fraction, fibre_fraction - fibre_fraction_spread])
    if spread[2] <= 0 or spread[0] >= 1:
        raise RangeError(f"{what}: fibre fraction {fibre_fraction:g} with a spread of {fibre_fraction_spread:g} leaves nought to one; narrow it.")
    return _item(what, resin_density * areal_weight / fibre_density * (1 - spread) / spread * area, True,
                 "volume balance, fibre fraction as given", OWN)


UPTAKE = dict(area="m^2 >= 0", low="kg/m^2 >= 0", typical="kg/m^2 >= 0", high="kg/m^2 >= 0")


@checked(**UPTAKE)
@single()
def on_area(what, area, low, typical, high, stays_in_part, source, grade):
    """Resin taken by a surface or a cloth, from its uptake per area: core face, peel ply, flow mesh.

    what  name of the row
    area  [m^2]  of the surface or cloth
    low  [kg/m^2]  least uptake
    typical  [kg/m^2]  usual uptake
    high  [kg/m^2]  greatest uptake
    stays_in_part  True for a core face, False for what is peeled off
    source  where the uptake comes from
    grade  how well it is known
    Returns ResinItem.
    Raises UnitError; RangeError also where the three do not rise.
    Relation: m = q A
    Source: as given in the row.
    """
    return ResinItem.from_si(what=what, low=low * area, typical=typical * area, high=high * area, stays_in_part=stays_in_part,
                             source=source, grade=grade)


@checked(volume="m^3 >= 0", resin_density="kg/m^3 > 0", least_share="1 in 0..1")
@single()
def in_cuts(volume, resin_density, least_share=0.9, what="grooves, slits and holes"):
    """Resin in grooves, slits or holes cut in the core.

    volume  [m^3]  open volume of the cuts
    resin_density  [kg/m^3]  of the resin
    least_share  [1]  share filled in the low case; slits closed on a flat panel hold less than open ones on a curve
    what  name of the row
    Returns ResinItem, stays in the part.
    Raises UnitError, RangeError.
    Relation: m = rho_r V
    Source: geometry.
    """
    return _item(what, resin_density * volume * np.array([least_share, 1, 1]), True, "volume of the cuts", OWN)


@checked(bore="m > 0", length="m >= 0", resin_density="kg/m^3 > 0")
@single()
def in_lines(bore, length, resin_density, what="feed lines"):
    """Resin left in feed lines and hoses.

    bore  [m]  inside diameter
    length  [m]  length of line
    resin_density  [kg/m^3]  of the resin
    what  name of the row
    Returns ResinItem, thrown away.
    Raises UnitError, RangeError.
    Relation: m = rho_r pi d^2 L / 4
    Source: geometry.
    """
    return _item(what, resin_density * line_content.si(bore, length) * np.ones(3), False, "bore and length", "own reference")


@checked(low="kg >= 0", typical="kg >= 0", high="kg >= 0")
@single()
def left_over(low, typical, high, what="bucket heel"):
    """Resin that stays in the bucket so that the line never draws air; thrown away.

    low  [kg]  least heel
    typical  [kg]  usual heel
    high  [kg]  greatest heel
    what  name of the row
    Returns ResinItem.
    Raises UnitError; RangeError also where the three do not rise.
    Relation: as given
    Source: materials table (from memory).
    """
    return ResinItem.from_si(what=what, low=low, typical=typical, high=high, stays_in_part=False, source="habit", grade="from memory")


@dataclass(frozen=True)
class ResinDemand:
    """Resin of a part: the rows, and in_part, thrown_away and total each as (low, typical, high) masses."""

    items: tuple
    in_part: tuple
    thrown_away: tuple
    total: tuple


@checked(contingency="1 in 0..1")
@single("items")
def resin_demand(items, contingency=0.1):
    """Add up where the resin goes, with a reserve on top.

    items  ResinItem records, at least one
    contingency  [1]  reserve as a share of all rows, 0.1 if left out; counted as thrown away
    Returns ResinDemand.
    Raises UnitError; RangeError also for an empty list or rows that are not ResinItem.
    Relation: sums of rows; low, typical and high are added each for itself, so low and high are the outer bounds
    Source: balance; the reserve of 10 % is own judgement.
    """
    rows = tuple(items)
    if not rows or not all(isinstance(row, ResinItem) for row in rows):
        raise RangeError("resin_demand needs a list of ResinItem rows, at least one; build them with in_plies, on_area, in_lines and so on.")
    masses = np.array([[row.si.low, row.si.typical, row.si.high] for row in rows])
    rows = (*rows, _item("reserve", contingency * masses.sum(axis=0), False, "reserve on all rows", OWN))
    masses = np.array([[row.si.low, row.si.typical, row.si.high] for row in rows])
    stays = np.array([row.stays_in_part for row in rows])

    def three(chosen):
        return tuple(Q_(float(mass), "kg") for mass in masses[chosen].sum(axis=0))

    return ResinDemand(rows, three(stays), three(~stays), three(np.ones(len(rows), bool)))
