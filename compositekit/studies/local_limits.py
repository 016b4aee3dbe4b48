"""What a load does close by, skin and core under its patch and skin over a honeycomb's cells, as shares of what each may bear.

panel_use puts these beside the limits of the panel as a whole. SI floats and arrays throughout, as there. Shear crimping is not
among them: it needs a push on the whole edge, and a bent panel pulls with one skin as it pushes with the other.
"""

from __future__ import annotations

import functools

import numpy as np

from ..mechanics.indentation import equal_radius, patch_indentation
from ..mechanics.sandwich_failure import dimpling_stress


def local_uses(panel, load, limits, stress, strains) -> dict:
    """Shares of the local limits of a SandwichPanel of numbers or arrays.

    panel, load, limits   as for panel_use
    stress, strains       Pa and strain in each skin, by way and skin, under the load's largest moments and curvatures
    Returns "skin dimpling" where a core has cells, and under a patch "core crushing" and "skin under patch".
    """
    use = {}
    if np.any(np.not_equal(limits.cell_size, 0.0)):
        use["skin dimpling"] = _dimpling(panel, limits, stress)
    if load.patch_pressure is not None:
        use |= _under_patch(panel, load, limits, strains)
    return use


def skins_of(panel):
    """Thickness of the outer and the inner skin [m]."""
    return panel.along.si.outer_skin_thickness, panel.along.si.inner_skin_thickness


def dimples(panel, way, skin):
    """Stress at which a skin dimples over cells of 1 m: over smaller ones it goes with their size to the power of minus two."""
    return dimpling_stress.si(panel.moduli[way][skin], skins_of(panel)[skin], 1.0, panel.along.si.poisson)


def under_patch(panel, load, core_modulus, skin):
    """Pressure on the core [Pa] and strain of the skin's own bending, under the middle of a patch that stands on this skin.

    The core's share of the load is that of springs that shear: 0.98 to 1.9 of FE, on the safe side. The load over its patch alone
    is neither: a little low under a thin skin, since the dent's rim holds it up there and presses it in here (up to 12 % on a core
    soft in shear), and many times too high where a thick skin spreads a heel. The skin's softer way spreads less, so that modulus is taken. Left out: the skin's bend over the
    rim of a patch many times its own thickness across, where in the middle it hardly bends.
    """
    si, modulus = panel.along.si, np.minimum(panel.moduli[0][skin], panel.moduli[1][skin])
    _, pressure, bending = patch_indentation.si(load.total, equal_radius.si(*load.sizes[2:]), skins_of(panel)[skin], modulus, si.core_thickness,
                                                core_modulus, si.core_shear_modulus, si.poisson)
    return pressure, np.abs(bending) / modulus


def _dimpling(panel, limits, stress):
    return largest(stress[way][skin] * limits.factor * np.square(limits.cell_size) / dimples(panel, way, skin) for way in range(2) for skin in range(2))


def _under_patch(panel, load, limits, strains):
    """The patch may stand on either skin, and squeezes it by its own bending on top of the panel's."""
    core, skin_use = [], []
    for skin in range(1 if _alike(panel) else 2):
        pressure, bending = under_patch(panel, load, limits.core_modulus, skin)
        core.append(pressure / limits.crushing)
        skin_use += [(strains[way][skin] + bending) / limits.skins[skin][way][1] for way in range(2)]
    return {"core crushing": largest(core), "skin under patch": largest(skin_use)}


def _alike(panel):
    return all(np.array_equal(one, other) for one, other in (skins_of(panel), *panel.moduli))


def largest(shares):
    """The largest of several shares, place by place."""
    return functools.reduce(np.maximum, shares)
