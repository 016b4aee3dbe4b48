"""What else there is to say of a core beside its stiffness: lift, carbon, its cuts, its edge."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..flotation.density import net_lift, water_density
from ..infusion.cuts import core_cut
from ..units import Q_
from .flow_stack import JOINING, TYPICAL, flow_mesh

BEVEL = 3.0      # mm along for each mm of core: common practice, no source; a cloth follows 1 in 3 without bridging
FRAGILE, TOUGH = 0.15, 0.35   # shear strain at break: above 0.35 a class rule counts a foam ductile (KRGC06 Table 4.9, read); 0.15 own judgement


@dataclass(frozen=True)
class CutFact:
    """One way to cut a sheet of one thickness.

    name, words   key and what it is
    resin         that the cuts hold, per area of panel
    joins         whether resin gets through it to the other skin
    carries       how well it carries resin along, times a flow mesh
    fits          False where the sheet is too thin for it; resin and carries are then None
    """

    name: str
    words: str
    resin: Q_ | None
    joins: bool
    carries: float | None
    fits: bool = True


def cut_facts(catalogue, names, thickness, resin_density) -> tuple[CutFact, ...]:
    """What each cut of ``names`` does to a sheet [m], for a resin of that density [kg/m^3]."""
    mesh, found = flow_mesh(catalogue).carry[TYPICAL], []
    for name in names:
        try:
            cut = core_cut.si(name, thickness)
        except RangeError:
            found.append(CutFact(name, f"the sheet is too thin to be {name}", None, name in JOINING, None, fits=False))
            continue
        found.append(CutFact(name, cut.words, Q_(cut.storage * resin_density, "kg/m^2"), name in JOINING, cut.conductance / mesh))
    return tuple(found)


def bevel_length(thickness):
    """Length of the slope that brings a core of this thickness down to nothing at its edge."""
    return BEVEL * thickness


def lift(bulk_density, thickness, water):
    """What a square metre of panel carries when it is held under, beyond itself [kg/m^2]; negative: it sinks. SI numbers or arrays."""
    return net_lift.si(bulk_density, water_density.si(water)) * thickness


def toughness(core) -> str:
    """How a core takes a knock, in words, from its shear strain at break."""
    strain = core.si.shear_strain
    if strain is None:
        return "not read: ask"
    if strain >= TOUGH:
        return "tough: dents"
    return "fair" if strain >= FRAGILE else "brittle: cracks"


@functools.lru_cache(maxsize=8)
def carbon_shares(catalogue, keys):
    """CO2 equivalent per mass of each core; NaN where no row is named."""
    cores = [catalogue.core(key) for key in keys]
    return np.array([catalogue.footprint_of(core).si.carbon if core.footprint else np.nan for core in cores], dtype=float)
