"""Strength of a bent strip from the load that broke it."""

from __future__ import annotations

from ..units import checked
from .strips import two_loads_inside


@checked(load="N > 0", span="m > 0", load_span="m >= 0", width="m > 0", skin_thickness="m > 0", core_thickness="m > 0",
         returns="Pa")
def facing_strength(load, span, load_span, width, skin_thickness, core_thickness):
    """Stress in the skins of a sandwich strip when a skin breaks.

    load            [N]  whole load at failure
    span            [m]  between supports
    load_span       [m]  between the two loads, nought for one load
    width           [m]  width of the strip
    skin_thickness  [m]  thickness of one skin, both alike
    core_thickness  [m]  thickness of the core
    Returns the stress [Pa].
    Raises UnitError, RangeError.
    Relation: sigma = P (S - L)/(2 (d + c) b t), d the total thickness
    Valid: thin skins, skin failure away from the loads; a load that crushed the core says nothing of the skin
    Source: ASTM D7249, restated openly (SW-09, read second-hand)
    """
    two_loads_inside(span, load_span, "facing_strength")
    return load * (span - load_span) / (4 * (core_thickness + skin_thickness) * width * skin_thickness)


@checked(load="N > 0", width="m > 0", skin_thickness="m > 0", core_thickness="m > 0", returns="Pa")
def core_shear_strength(load, width, skin_thickness, core_thickness):
    """Shear stress in the core of a sandwich strip when the core shears.

    load            [N]  whole load at failure, on one or two places between the supports
    width           [m]  width of the strip
    skin_thickness  [m]  thickness of one skin, both alike
    core_thickness  [m]  thickness of the core
    Returns the stress [Pa].
    Raises UnitError, RangeError.
    Relation: tau = P/((d + c) b), d the total thickness
    Source: ASTM C393 (from memory; follows from statics)
    """
    return load / (2 * (core_thickness + skin_thickness) * width)


@checked(load="N > 0", span="m > 0", width="m > 0", thickness="m > 0", returns="Pa")
def flexural_strength(load, span, width, thickness):
    """Bending stress at the surface of a solid strip under one load at mid-span.

    load       [N]  load at failure
    span       [m]  between supports
    width      [m]  width of the strip
    thickness  [m]  thickness of the strip
    Returns the stress [Pa]; of a sandwich strip it would only be an apparent figure.
    Raises UnitError, RangeError.
    Relation: sigma = 3 P S/(2 b h^2)
    Source: ASTM D790, restated openly (SW-09, read second-hand)
    """
    return 3 * load * span / (2 * width * thickness**2)
