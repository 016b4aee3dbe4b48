"""How the skins and core of a sandwich fail locally: wrinkling, dimpling, crimping, pressing-in.

Design figures for choosing. Where people stand on or float with the part, prove it on a trial panel
and defer to local codes and licensed practice.
"""

from __future__ import annotations

from ..units import checked
from .indentation import indentation_depth, indentation_load, patch_indentation, patch_indentation_load, patch_pressure
from .wrinkling import antisymmetric_wrinkling_stress, symmetric_wrinkling_stress, wrinkling_stress

__all__ = ["antisymmetric_wrinkling_stress", "crimping_load", "dimpling_stress", "indentation_depth", "indentation_load",
           "patch_indentation", "patch_indentation_load", "patch_pressure", "symmetric_wrinkling_stress", "wrinkling_stress"]

DIMPLING = 2.0   # hexagonal cells: Zenkert eq. 6.32 (read second-hand)


@checked(skin_modulus="Pa > 0", skin_thickness="m > 0", cell_size="m > 0", poisson="1 in -0.99..0.99",
         coefficient="1 > 0", returns="Pa")
def dimpling_stress(skin_modulus, skin_thickness, cell_size, poisson=0.3, coefficient=DIMPLING):
    """Compression at which a skin buckles into the cells of a honeycomb core.

    skin_modulus    [Pa]  modulus of the skin along the compression
    skin_thickness  [m]   thickness of the skin
    cell_size       [m]   width across a cell
    poisson         [1]   Poisson ratio of the skin
    coefficient     [1]   2 for hexagonal cells
    Returns the stress in the skin [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = k Ef/(1 - nu^2) (t/s)^2
    Valid: honeycomb only; hexagonal cells, an empirical fit
    Source: Zenkert, An Introduction to Sandwich Structures, eq. 6.32 (read second-hand)
    """
    return coefficient * skin_modulus / (1 - poisson**2) * (skin_thickness / cell_size) ** 2


@checked(core_shear_modulus="Pa > 0", core_thickness="m > 0", outer_skin_thickness="m > 0",
         inner_skin_thickness="m > 0", returns="N/m")
def crimping_load(core_shear_modulus, core_thickness, outer_skin_thickness, inner_skin_thickness):
    """Edge load per width at which the whole sandwich kinks in shear.

    core_shear_modulus    [Pa]  shear modulus of the core
    core_thickness        [m]   thickness of the core
    outer_skin_thickness  [m]   thickness of the outer skin
    inner_skin_thickness  [m]   thickness of the inner skin
    Returns the load per width [N/m]; over both skins' thickness it is the skin stress.
    Raises UnitError, RangeError.
    Relation: N = Gc d^2/c
    Source: short-wave limit of sandwich buckling (from memory)
    """
    distance = core_thickness + (outer_skin_thickness + inner_skin_thickness) / 2
    return core_shear_modulus * distance**2 / core_thickness
