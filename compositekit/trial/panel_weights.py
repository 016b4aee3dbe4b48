"""A weighed trial panel: how much resin it took, and what fibre fraction that makes."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..mechanics.mixture import fibre_fraction_from_weight
from ..units import checked

_PANEL = {"mass": "kg > 0", "area": "m^2 > 0", "areal_weight": "kg/m^2 > 0", "plies": "1 > 0",
          "core_areal_mass": "kg/m^2 >= 0"}


@checked(**_PANEL, returns="kg/m^2")
def resin_areal_mass(mass, area, areal_weight, plies, core_areal_mass=0.0):
    """Resin in a trimmed panel per area, from its weight.

    mass             [kg]      mass of the trimmed panel, peel ply and mesh off
    area             [m^2]     its area
    areal_weight     [kg/m^2]  areal weight of one dry ply
    plies            [1]       number of such plies in the whole panel, both skins together
    core_areal_mass  [kg/m^2]  mass of the dry core per area; nought for a solid laminate
    Returns the resin per area [kg/m^2], that in the core included.
    Raises RangeError when the panel weighs no more than its dry fabric and core.
    Relation: m_r = M/A - n w - m_c
    Source: mass balance (own reference)
    """
    dry = areal_weight * plies + core_areal_mass
    resin = mass / area - dry
    if np.any(resin <= 0):
        raise RangeError(f"resin_areal_mass: the panel weighs {np.min(mass / area):.4g} kg/m^2, no more than its dry fabric "
                         f"and core, {np.max(dry):.4g} kg/m^2; check mass, area, plies and areal weight and their units.")
    return resin


@checked(**_PANEL, fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0", core_uptake="kg/m^2 >= 0", returns="1")
def fibre_fraction_from_weights(mass, area, areal_weight, plies, fibre_density, resin_density, core_areal_mass=0.0,
                                core_uptake=0.0):
    """Fibre share by volume of the skins, from the weight of the panel.

    mass             [kg]      mass of the trimmed panel, peel ply and mesh off
    area             [m^2]     its area
    areal_weight     [kg/m^2]  areal weight of one dry ply
    plies            [1]       number of such plies in the whole panel, both skins together
    fibre_density    [kg/m^3]  density of the fibre itself
    resin_density    [kg/m^3]  density of the cured resin
    core_areal_mass  [kg/m^2]  mass of the dry core per area; nought for a solid laminate
    core_uptake      [kg/m^2]  resin taken by the core, both faces together
    Returns the fibre fraction [1], voids left out of account.
    Raises RangeError when no resin is left for the skins.
    Relation: Wf = n w/(n w + m_r), Vf = (Wf/rho_f)/(Wf/rho_f + (1 - Wf)/rho_r)
    Valid: by weighing; a microscope reads flax about a quarter higher, for resin enters the fibre
    Source: mass balance (own reference); flax remark J. Compos. Sci. 9(3):103 (read)
    """
    fibre = areal_weight * plies
    resin = resin_areal_mass.si(mass, area, areal_weight, plies, core_areal_mass) - core_uptake
    if np.any(resin <= 0):
        raise RangeError(f"fibre_fraction_from_weights: the core is said to take {np.max(core_uptake):g} kg/m^2, which leaves "
                         "no resin for the skins; check core_uptake.")
    return fibre_fraction_from_weight.si(fibre / (fibre + resin), fibre_density, resin_density)


@checked(**_PANEL, fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0", fibre_fraction="1 in 0.01..0.9",
         returns="kg/m^2")
def resin_taken_up(mass, area, areal_weight, plies, fibre_density, resin_density, fibre_fraction, core_areal_mass=0.0):
    """Resin a panel took beyond what its skins hold: by core faces, holes, slits and a thick surface.

    mass             [kg]      mass of the trimmed panel, peel ply and mesh off
    area             [m^2]     its area
    areal_weight     [kg/m^2]  areal weight of one dry ply
    plies            [1]       number of such plies in the whole panel, both skins together
    fibre_density    [kg/m^3]  density of the fibre itself
    resin_density    [kg/m^3]  density of the cured resin
    fibre_fraction   [1]       fibre share of the skins by volume, of a solid piece infused alongside
    core_areal_mass  [kg/m^2]  mass of the dry core per area
    Returns the resin per area [kg/m^2], both faces together; below nought means the skins are drier than said.
    Raises RangeError when the panel weighs no more than its dry fabric and core.
    Relation: u = m_r - n w (1 - Vf) rho_r/(Vf rho_f)
    Source: mass balance (own reference)
    """
    skins = areal_weight * plies * (1 - fibre_fraction) * resin_density / (fibre_fraction * fibre_density)
    return resin_areal_mass.si(mass, area, areal_weight, plies, core_areal_mass) - skins
