"""How the skins and core of a sandwich fail locally: wrinkling, dimpling, crimping, pressing-in.

Design figures for choosing. Where people stand on or float with the part, prove it on a trial panel
and defer to local codes and licensed practice.
"""

from __future__ import annotations

import numpy as np

from ..units import checked


@checked(skin_modulus="Pa > 0", core_modulus="Pa > 0", core_shear_modulus="Pa > 0", coefficient="1 > 0",
         returns="Pa")
def wrinkling_stress(skin_modulus, core_modulus, core_shear_modulus, coefficient=0.5):
    """Compression at which a skin ripples into or off its core.

    skin_modulus        [Pa]  modulus of the skin along the compression
    core_modulus        [Pa]  modulus of the core through its thickness
    core_shear_modulus  [Pa]  shear modulus of the core
    coefficient         [1]   0.5 for design (real skins are wavy); 0.91 is the perfect thick-core limit
    Returns the stress in the skin [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = k (Ef Ec Gc)^(1/3)
    Valid: 0.91 needs c/t above about 30; 0.5 covers usual foam and balsa cores
    Source: Zenkert, An Introduction to Sandwich Structures, ch. 6 (read second-hand); LR SSC Pt 8 Ch 7 3.2.2 (read)
    """
    return coefficient * np.cbrt(skin_modulus) * np.cbrt(core_modulus) * np.cbrt(core_shear_modulus)


@checked(skin_modulus="Pa > 0", skin_thickness="m > 0", cell_size="m > 0", poisson="1 in -0.99..0.99", returns="Pa")
def dimpling_stress(skin_modulus, skin_thickness, cell_size, poisson=0.3):
    """Compression at which a skin buckles into the cells of a honeycomb core.

    skin_modulus    [Pa]  modulus of the skin along the compression
    skin_thickness  [m]   thickness of the skin
    cell_size       [m]   width across a cell
    poisson         [1]   Poisson ratio of the skin
    Returns the stress in the skin [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = 2 Ef/(1 - nu^2) (t/s)^2
    Valid: honeycomb only; hexagonal cells, an empirical fit
    Source: Zenkert, An Introduction to Sandwich Structures, eq. 6.32 (read second-hand)
    """
    return 2 * skin_modulus / (1 - poisson**2) * (skin_thickness / cell_size) ** 2


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


@checked(load="N >= 0", length="m > 0", width="m > 0", factor="1 > 0", returns="Pa")
def patch_pressure(load, length, width, factor=1.0):
    """Pressure of a load on a patch, taken as what the core below must bear (the skin's spreading not counted).

    load    [N]  load on the patch
    length  [m]  length of the patch
    width   [m]  width of the patch
    factor  [1]  how much more than the resting load counts, e.g. 2 for a load set down at once
    Returns the pressure [Pa]; hold it against the core's compressive strength.
    Raises UnitError, RangeError.
    Relation: p = k W/(u v)
    Source: definition; 2 for a suddenly applied load is elementary dynamics (from memory)
    """
    return factor * load / (length * width)


def _unspread(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus):
    """Peak core pressure under a strip over the strip's own pressure, the skin a beam on springs Ec/c."""
    spring, rigidity = core_modulus / core_thickness, skin_modulus * skin_thickness**3 / 12
    reach = (spring / (4 * rigidity)) ** 0.25 * strip_width / 2
    # 1 - exp(-x) cos x, written so that a narrow strip loses no digits
    return -np.expm1(-reach) + 2 * np.exp(-reach) * np.sin(reach / 2) ** 2


@checked(load="N >= 0", width="m > 0", strip_width="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0",
         core_thickness="m > 0", core_modulus="Pa > 0", returns="m")
def indentation_depth(load, width, strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus):
    """A warning figure: how far a strip presses the skin into the core, about twice too deep.

    load            [N]   load on the strip
    width           [m]   length of the strip across the beam
    strip_width     [m]   width of the strip along the beam
    skin_thickness  [m]   thickness of the loaded skin
    skin_modulus    [Pa]  its modulus
    core_thickness  [m]   thickness of the core
    core_modulus    [Pa]  modulus of the core through its thickness
    Returns the depth [m].
    Raises UnitError, RangeError.
    Relation: w = p c/Ec (1 - exp(-x) cos x), x = a/2 (Ec/(4 c Df))^(1/4), Df = Ef t^3/12
    Valid: a warning, not a pass or fail: plane FE gives 0.53 of it for 2 mm skins on 25 mm foam (own reference, SW-18)
    Source: beam on elastic foundation, Hetenyi (from memory)
    """
    share = _unspread(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus)
    return load / (width * strip_width) * core_thickness / core_modulus * share


@checked(core_strength="Pa > 0", width="m > 0", strip_width="m > 0", skin_thickness="m > 0", skin_modulus="Pa > 0",
         core_thickness="m > 0", core_modulus="Pa > 0", returns="N")
def indentation_load(core_strength, width, strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus):
    """A warning figure: the strip load at which the core below starts to crush.

    core_strength   [Pa]  compressive strength of the core
    width           [m]   length of the strip across the beam
    strip_width     [m]   width of the strip along the beam
    skin_thickness  [m]   thickness of the loaded skin
    skin_modulus    [Pa]  its modulus
    core_thickness  [m]   thickness of the core
    core_modulus    [Pa]  modulus of the core through its thickness
    Returns the load [N].
    Raises UnitError, RangeError.
    Relation: P = sigma_c a b/(1 - exp(-x) cos x), x as in indentation_depth
    Valid: a warning, not a pass or fail: the springs Ec/c are about twice too soft (own reference, SW-18), so the
           skin is credited with spreading the load too well; prove it with a test
    Source: beam on elastic foundation, Hetenyi (from memory)
    """
    share = _unspread(strip_width, skin_thickness, skin_modulus, core_thickness, core_modulus)
    return core_strength * width * strip_width / share
