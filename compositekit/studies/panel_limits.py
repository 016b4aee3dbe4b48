"""What skins and core of a panel may bear, and what share of it a load uses up. SI floats and arrays throughout:
a SandwichPanel may hold arrays, and then every share is an array.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import PartFileError
from ..mechanics.sandwich_failure import wrinkling_stress
from .build import ZoneBuild
from .local_limits import largest, local_uses
from .panel_loads import ZoneLoad
from .panel_stiffness import SandwichPanel, SolidPanel

SHEAR_STRAIN = 0.0092        # 30.2 MPa over 3.265 GPa, infused stitched glass, strength that looks like a design value (IEA22, read)
CROSS_FIBRE_STRAIN = 0.003   # own judgement: a skin pulled straight across its fibres cracks in the resin first


class Limits(NamedTuple):
    """What skins and core may bear, the strength factor already taken off; SI floats or arrays.

    skins          strain allowed, by skin, way (lengthwise, crosswise) and sense (tension, compression)
    factor         the strength factor, since the wrinkling stress itself goes with the skin's modulus
    core_modulus   Pa through the thickness; core_shear Pa of stress allowed; crushing Pa allowed, NaN if not known
    cell_size      m across a cell of a honeycomb, NaN if not known; nought for any other core
    shear          shear strain allowed along and across the panel, by skin; None where it is not looked at
    """

    skins: tuple
    factor: float
    core_modulus: object = None
    core_shear: object = None
    crushing: object = None
    cell_size: object = 0.0
    shear: tuple | None = None


def panel_limits(part, catalogue, build: ZoneBuild) -> Limits:
    """Strain and stress that skins and core of a build may bear, the brief's strength factor taken off."""
    factor = part.brief.strength_factor.m_as("")
    faces = ((build.outer, build.outer_keys), (build.inner, build.inner_keys))
    skins = tuple(tuple(tuple(limit / factor for limit in pair) for pair in skin_strains(catalogue, laminate, keys))
                  for laminate, keys in faces if laminate is not None)
    shear = tuple(skin_shear_strain(catalogue, laminate, keys) / factor for laminate, keys in faces if laminate is not None)
    return Limits(skins, factor, *(() if build.core is None else core_limits(build.core, factor)), shear=shear)


def core_limits(core, factor) -> tuple[float, float, float, float]:
    """Modulus through the thickness, shear and crushing stress allowed in a core [Pa], and its cells' size [m] as in Limits; NaN where
    no figure is known."""
    shear = [core.design_value(name)[0] for name in ("shear_strength", "shear_strength_w")]
    figures = [core.design_value("compressive_modulus")[0], min((value for value in shear if value is not None), default=None),
               core.design_compressive_strength()[0]]
    modulus, shear, crushing = (np.nan if value is None else value.m_as("Pa") for value in figures)
    cell = core.si.cell_size if core.family == "honeycomb" else 0.0
    return modulus, shear / factor, crushing / factor, np.nan if cell is None else cell


def skin_strains(catalogue, laminate, keys) -> tuple:
    """Strain a skin may see lengthwise and crosswise, each in tension and compression: that of its most delicate cloth.

    Raises PartFileError where a cloth has no design strain.
    """
    pairs = []
    for key in keys:
        cloth = catalogue.fabric(key)
        pair = cloth.si.strain_limit_tension, cloth.si.strain_limit_compression
        if None in pair:
            raise PartFileError(f'fabric "{key}" has no design strain; fill in strain_limit_tension and '
                                "strain_limit_compression in your own fabrics.csv, from strips you have tested.")
        pairs.append(pair)
    limits = np.min(pairs, axis=0)
    return tuple(tuple(np.minimum(limits, CROSS_FIBRE_STRAIN) if none else limits) for none in no_fibre_along(catalogue, laminate, keys))


def skin_shear_strain(catalogue, laminate, keys) -> float:
    """Shear strain along and across the panel that a skin may see: a ply at an angle is sheared by part of it and pulled by the rest.

    Relation: gamma12 = gamma cos 2a, e1 = -e2 = gamma sin(2a)/2; a mat is pulled along its principal directions
    """
    found = []
    for key, angle in zip(keys, laminate.angles.magnitude, strict=True):
        cloth = catalogue.fabric(key)
        least = min(cloth.si.strain_limit_tension, cloth.si.strain_limit_compression)
        least = min(least, CROSS_FIBRE_STRAIN) if cloth.direction == "uni" else least
        sheared, pulled = (0.0, 1.0) if cloth.direction == "random" else (abs(np.cos(2 * angle)), abs(np.sin(2 * angle)))
        found.append(1 / max(sheared / SHEAR_STRAIN, pulled / (2 * least)))
    return float(min(found))


def no_fibre_along(catalogue, laminate, keys) -> tuple[bool, bool]:
    """Lengthwise and crosswise, whether every ply is unidirectional and runs more across than along that way."""
    if any(catalogue.fabric(key).direction != "uni" for key in keys):
        return False, False
    return tuple(bool(np.all(np.abs(np.cos(laminate.angles.magnitude - way)) < np.cos(np.pi / 4) - 1e-9)) for way in (0.0, np.pi / 2))


def panel_use(panel: SandwichPanel | SolidPanel, load: ZoneLoad, limits: Limits) -> dict:
    """Share of each limit that a load uses up: 1 is the limit itself.

    Either skin may be the squeezed one, since a load can come from both sides, so each skin is held against both; and
    each way by itself. Strains are the curvatures under both moments times the distance from the neutral plane, as in ply_margins;
    in a corner, where a supported panel twists, the skins shear.
    """
    sag = load.deflection(panel.ratios, panel.d11, panel.shear_rigidity)
    stress, moduli, strains = panel.skin_stress(load.moments(panel)), panel.moduli, panel.strains(load.curvatures(panel))
    places = [(way, skin) for way in range(2) for skin in range(len(limits.skins))]
    use = {"deflection": sag / load.limit}
    for sense, name in enumerate(("skin tension", "skin compression")):
        use[name] = largest(strains[way][skin] / limits.skins[skin][way][sense] for way, skin in places)
    if limits.shear is not None and np.any(strains[2][0]):
        use["skin shear"] = largest(strains[2][skin] / allowed for skin, allowed in enumerate(limits.shear))
    if isinstance(panel, SolidPanel):
        return use
    shear_modulus = panel.along.si.core_shear_modulus
    use["skin wrinkling"] = largest(
        stress[way][skin] * limits.factor / wrinkling_stress.si(moduli[way][skin], limits.core_modulus, shear_modulus) for way, skin in places)
    use["core shear"] = panel.core_shear(load.shear_forces(panel)) / limits.core_shear
    return use | local_uses(panel, load, limits, stress, strains)


def worst_use(uses) -> dict:
    """The larger share of each limit over several loads."""
    names = dict.fromkeys(name for use in uses for name in use)
    return {name: largest(use[name] for use in uses if name in use) for name in names}
