"""Wrinkling: a squeezed skin ripples into or off its core, both skins mirror-wise or both together.

Perfect skins only do as well as theory; real ones are wavy, so design with DESIGN. Where people stand on or float with
the part, prove it on a trial panel and defer to local codes and licensed practice.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

DESIGN = 0.5                             # class practice: LR SSC Pt 8 Ch 7 3.2.2 (read); Zenkert ch. 6 (read second-hand)
ENERGY = (3 / 4) ** (1 / 3)              # 0.909, core moving less and less with depth, straight down to nought (own reference)
STIFF_THROUGH = 6 ** (2 / 3) / 4         # 0.825, core stiff through its thickness only, sheared freely sideways (own reference)
ANTISYMMETRIC = 0.51, 0.33               # Zenkert ch. 6, as printed (read second-hand)
THIN_CORE = np.sqrt(2 / 3), 1 / 6        # 0.816 and 0.167: the whole core moves (own reference; Hoff and Mautner, from memory)
HONEYCOMB = 0.33                         # design, honeycomb (from memory); theory without shear gives 0.816


@checked(skin_modulus="Pa > 0", core_modulus="Pa > 0", core_shear_modulus="Pa > 0", coefficient="1 > 0",
         returns="Pa")
def wrinkling_stress(skin_modulus, core_modulus, core_shear_modulus, coefficient=DESIGN):
    """Compression at which a skin ripples into or off its core.

    skin_modulus        [Pa]  modulus of the skin along the compression
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core
    coefficient         [1]   0.5 for design (real skins are wavy); ENERGY, 0.91, is the perfect thick-core limit
    Returns the stress in the skin [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = k (Ef Ec Gc)^(1/3)
    Valid: 0.91 needs c/t above about 30, see thick_core_ratio; 0.5 covers usual foam and balsa cores
    Source: Zenkert, An Introduction to Sandwich Structures, ch. 6 (read second-hand); LR SSC Pt 8 Ch 7 3.2.2 (read)
    """
    return coefficient * np.cbrt(skin_modulus) * np.cbrt(core_modulus) * np.cbrt(core_shear_modulus)


def half_space_coefficient(core_poisson=0.3, plane="strain"):
    """Wrinkling coefficient k of a perfect skin on an endless core alike every way, by exact elasticity [1].

    core_poisson  Poisson ratio of the core, above -1 and below 0.5
    plane         "strain" for a wide panel, "stress" for a narrow strip
    Returns the coefficient: 0.806 and 0.780 at 0.3. The 0.85 in print (Zenkert, read second-hand) is not confirmed.
    Raises RangeError.
    Relation: k = 6^(2/3)/4 (2 (1 + nu) s^2)^(1/3), s = 2 (1 - nu)/((1 + nu)(3 - 4 nu)): the core's resistance s Ec per wave number
    Source: half space under a ripple that cannot slip (own reference, SW-15)
    """
    if not -1 < core_poisson < 0.5:
        raise RangeError(f"half_space_coefficient: core_poisson is {core_poisson:g}, but must lie between -1 and 0.5.")
    if plane not in ("strain", "stress"):
        raise RangeError(f'half_space_coefficient: plane is "{plane}", but must be "strain" or "stress".')
    nu, stretch = core_poisson, 1.0
    if plane == "stress":   # the same solution with the moduli of plane stress
        nu, stretch = nu / (1 + nu), (1 + 2 * nu) / (1 + nu) ** 2
    resistance = stretch * 2 * (1 - nu) / ((1 + nu) * (3 - 4 * nu))
    return STIFF_THROUGH * (2 * (1 + core_poisson) * resistance**2) ** (1 / 3)


@checked(skin_modulus="Pa > 0", core_modulus="Pa > 0", core_shear_modulus="Pa > 0", returns="1")
def thick_core_ratio(skin_modulus, core_modulus, core_shear_modulus):
    """Core over skin thickness above which the ripples of the two skins do not meet, so that ENERGY holds.

    skin_modulus        [Pa]  modulus of the skin along the compression
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core
    Returns c/t [1]: twice the depth that a ripple reaches, over the skin thickness.
    Raises UnitError, RangeError.
    Relation: c/t = 2 (3/4)^(1/3) (Ef Ec/Gc^2)^(1/3)
    Source: Zenkert ch. 6 prints 30 for 70 GPa, 100 and 40 MPa (read second-hand); 29.72 by the energy method (own reference)
    """
    return 2 * ENERGY * np.cbrt(skin_modulus / core_shear_modulus * (core_modulus / core_shear_modulus))


@checked(skin_thickness="m > 0", skin_modulus="Pa > 0", core_thickness="m > 0", core_modulus="Pa > 0",
         core_shear_modulus="Pa > 0", returns="Pa")
def symmetric_wrinkling_stress(skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus):
    """Compression at which two perfect equal skins ripple mirror-wise on a core of any thickness.

    skin_thickness      [m]   thickness of each skin
    skin_modulus        [Pa]  modulus of the skins along the compression
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core
    Returns the stress in the skins [Pa]; theory, so design with wrinkling_stress.
    Raises UnitError, RangeError.
    Relation: thick core 0.909 (Ef Ec Gc)^(1/3); below thick_core_ratio 0.816 sqrt(Ef Ec t/c) + 0.167 Gc c/t; they meet there
    Valid: exact elasticity of the core gives 4 % more to 13 % less (own reference, c/t 5 to 100); the design constant covers that
    Source: energy method with a straight fall over the depth moved (own reference; Hoff and Mautner 1945, from memory)
    """
    thick = wrinkling_stress.si(skin_modulus, core_modulus, core_shear_modulus, ENERGY)
    ratio = core_thickness / skin_thickness
    thin = THIN_CORE[0] * np.sqrt(skin_modulus * core_modulus / ratio) + THIN_CORE[1] * core_shear_modulus * ratio
    return np.where(ratio >= thick_core_ratio.si(skin_modulus, core_modulus, core_shear_modulus), thick, thin)


@checked(skin_thickness="m > 0", skin_modulus="Pa > 0", core_thickness="m > 0", core_modulus="Pa > 0",
         core_shear_modulus="Pa > 0", returns="Pa")
def antisymmetric_wrinkling_stress(skin_thickness, skin_modulus, core_thickness, core_modulus, core_shear_modulus):
    """Compression at which two perfect equal skins ripple together, the core sheared between them.

    skin_thickness      [m]   thickness of each skin
    skin_modulus        [Pa]  modulus of the skins along the compression
    core_thickness      [m]   thickness of the core
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core
    Returns the stress in the skins [Pa]; theory, so design with wrinkling_stress.
    Raises UnitError, RangeError.
    Relation: sigma = 0.51 (Ef Ec Gc)^(1/3) + 0.33 Gc c/t; below the mirror-wise mode only on a thin core
    Valid: matters where both skins are pushed, a strut or an edge load. Unsafe as printed: exact elasticity (own reference, core
           alike every way, Ef/Ec 700) gives 0.3, 0.60 and 0.78 (Ef Ec Gc)^(1/3) at c/t 10, 20 and 30, where this gives 0.71,
           0.90 and 1.10, and the mirror-wise value beyond. On a core thinner than about 20 skins go by crimping_load too
    Source: Zenkert, An Introduction to Sandwich Structures, ch. 6 (read second-hand)
    """
    local, sheared = ANTISYMMETRIC
    return (local * np.cbrt(skin_modulus) * np.cbrt(core_modulus) * np.cbrt(core_shear_modulus)
            + sheared * core_shear_modulus * core_thickness / skin_thickness)


@checked(skin_thickness="m > 0", skin_modulus="Pa > 0", core_thickness="m > 0", core_modulus="Pa > 0", coefficient="1 > 0",
         returns="Pa")
def honeycomb_wrinkling_stress(skin_thickness, skin_modulus, core_thickness, core_modulus, coefficient=HONEYCOMB):
    """Compression at which skins ripple on a honeycomb, taken as springs from skin to skin.

    skin_thickness  [m]   thickness of each skin
    skin_modulus    [Pa]  modulus of the skins along the compression
    core_thickness  [m]   thickness of the core
    core_modulus    [Pa]  modulus of the core through its thickness
    coefficient     [1]   0.33 for design; theory for flat skins, without shear of the core, gives 0.816
    Returns the stress in the skins [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = k Ef sqrt(Ec t/(Ef c))
    Valid: honeycomb only
    Source: design constant (from memory, SW-16); 0.816 by the energy method (own reference)
    """
    return coefficient * skin_modulus * np.sqrt(core_modulus / skin_modulus * (skin_thickness / core_thickness))


@checked(core_modulus="Pa > 0", coefficient="1 > 0", returns=("Pa", "Pa", "1"))
def unequal_wrinkling_stress(sandwich, core_modulus, coefficient=DESIGN):
    """Wrinkling stress of each of two different skins, and the common squeeze at which the first ripples.

    sandwich      a Sandwich
    core_modulus  [Pa]  modulus of its core through the thickness, which may differ from that in its plane
    coefficient   [1]   as for wrinkling_stress
    Returns the stress of the outer skin, of the inner skin [Pa], and the lower strain [1] of the two.
    Raises UnitError, RangeError.
    Relation: sigma_i = k (E_i Ec Gc)^(1/3), strain = min sigma_i/E_i: the stiffer skin goes first when both are squeezed alike
    Valid: each skin by itself, so a core thick enough that their ripples do not meet, see thick_core_ratio
    Source: Zenkert, An Introduction to Sandwich Structures, ch. 6, skin by skin (read second-hand)
    """
    si = sandwich.si
    moduli = si.outer_skin_modulus, si.inner_skin_modulus
    outer, inner = (wrinkling_stress.si(modulus, core_modulus, si.core_shear_modulus, coefficient) for modulus in moduli)
    return outer, inner, np.minimum(outer / moduli[0], inner / moduli[1])
