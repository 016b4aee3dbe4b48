"""What skins and core of a panel may bear, and what share of it a load uses up. SI floats and arrays throughout:
a Sandwich may hold arrays, and then every share is an array.
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError
from ..mechanics.sandwich import Sandwich, core_shear_stress, facing_stress
from ..mechanics.sandwich_failure import wrinkling_stress
from .build import ZoneBuild
from .panel_loads import ZoneLoad

CROSS_FIBRE_STRAIN = 0.003   # own judgement: a skin pulled straight across its fibres cracks in the resin first


class Limits(NamedTuple):
    """What skins and core may bear, the strength factor already taken off; SI floats or arrays.

    outer, inner   strain allowed in tension and in compression, a pair per skin
    wrinkling      the strength factor, since the wrinkling stress itself goes with the skin's modulus
    core_modulus   Pa through the thickness; core_shear Pa of stress allowed; crushing Pa allowed, NaN if not known
    """

    outer: tuple
    inner: tuple
    factor: float
    core_modulus: object = None
    core_shear: object = None
    crushing: object = None


def panel_limits(part, catalogue, build: ZoneBuild) -> Limits:
    """Strain and stress that skins and core of a build may bear, the brief's strength factor taken off."""
    factor = part.brief.strength_factor.m_as("")
    outer = skin_strains(catalogue, build.outer, build.outer_keys)
    inner = outer if build.inner is None else skin_strains(catalogue, build.inner, build.inner_keys)
    skins = (tuple(limit / factor for limit in outer), tuple(limit / factor for limit in inner))
    if build.core is None:
        return Limits(*skins, factor)
    return Limits(*skins, factor, *core_limits(build.core, factor))


def core_limits(core, factor) -> tuple[float, float, float]:
    """Modulus through the thickness, shear and crushing stress allowed in a core [Pa]; NaN where no figure is known."""
    shear = [core.design_value(name)[0] for name in ("shear_strength", "shear_strength_w")]
    figures = [core.design_value("compressive_modulus")[0], min((value for value in shear if value is not None), default=None),
               core.design_compressive_strength()[0]]
    modulus, shear, crushing = (np.nan if value is None else value.m_as("Pa") for value in figures)
    return modulus, shear / factor, crushing / factor


def panel_use(build: ZoneBuild, load: ZoneLoad, limits: Limits) -> dict:
    """Share of each limit that a load uses up in the panel of a build."""
    if build.sandwich is not None:
        return sandwich_use(build.sandwich, load, limits)
    modulus, poisson = solid_modulus(build)
    return solid_use(build.plate_rigidity.magnitude, modulus, build.outer.si.thickness, poisson, load, limits)


def solid_modulus(build: ZoneBuild) -> tuple[float, float]:
    """Modulus in bending along the softer way [Pa], and the mean Poisson ratio, of a laminate without core."""
    flexural = build.outer.flexural_constants()
    along, across = flexural.ex.magnitude, flexural.ey.magnitude
    return min(along, across), abs(flexural.nuxy.magnitude) * (across / along) ** 0.5


def skin_moduli(build: ZoneBuild) -> tuple[float, ...]:
    """Modulus of each skin along its softer way [Pa]; the one modulus in bending where there is no core."""
    if build.sandwich is None:
        return (solid_modulus(build)[0],)
    return build.sandwich.si.outer_skin_modulus, build.sandwich.si.inner_skin_modulus


def skin_stresses(build: ZoneBuild, moment) -> tuple[float, ...]:
    """Stress in the face of each skin under a moment per width [Pa], as a size without sign."""
    if build.sandwich is None:
        return (6 * moment / build.outer.si.thickness**2,)
    return tuple(float(abs(stress)) for stress in facing_stress.si(build.sandwich, moment, 1.0))


def skin_strains(catalogue, laminate, keys) -> tuple[float, float]:
    """Strain a skin may see in tension and compression along its softer way: that of its most delicate cloth.

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
    return tuple(np.minimum(limits, CROSS_FIBRE_STRAIN) if no_fibre_along(catalogue, laminate, keys) else limits)


def no_fibre_along(catalogue, laminate, keys) -> bool:
    """Whether every ply is unidirectional and runs more across than along the skin's softer way."""
    if any(catalogue.fabric(key).direction != "uni" for key in keys):
        return False
    constants = laminate.engineering_constants()
    softer = 0.0 if constants.ex.magnitude <= constants.ey.magnitude else np.pi / 2
    return bool(np.all(np.abs(np.cos(laminate.angles.magnitude - softer)) < np.cos(np.pi / 4) - 1e-9))


def sandwich_use(sandwich: Sandwich, load: ZoneLoad, limits: Limits) -> dict:
    """Share of each limit that a load uses up: 1 is the limit itself.

    Either skin may be the squeezed one, since a load can come from both sides, so each skin is held against both.
    """
    si, poisson = sandwich.si, sandwich.si.poisson
    sag = load.deflection(sandwich.plate_rigidity.magnitude, sandwich.shear_rigidity.magnitude)
    outer, inner = (np.abs(stress) for stress in facing_stress.si(sandwich, load.moment(poisson), 1.0))
    shear = core_shear_stress.si(sandwich, load.shear_force, 1.0)
    wrinkling = [stress * limits.factor / wrinkling_stress.si(modulus, limits.core_modulus, si.core_shear_modulus)
                 for stress, modulus in ((outer, si.outer_skin_modulus), (inner, si.inner_skin_modulus))]
    use = {"deflection": sag / load.limit,
           **_skin_use((outer / si.outer_skin_modulus, inner / si.inner_skin_modulus), (limits.outer, limits.inner)),
           "skin wrinkling": np.maximum(*wrinkling), "core shear": shear / limits.core_shear}
    if load.patch_pressure is not None:
        use["core crushing"] = load.patch_pressure / limits.crushing + 0.0 * sag   # as many values as the others
    return use


def solid_use(plate_rigidity, modulus, thickness, poisson, load: ZoneLoad, limits: Limits) -> dict:
    """The same for a laminate without a core: bending only, stress 6 M/t^2 in the faces."""
    strain = 6 * load.moment(poisson) / thickness**2 / modulus
    return {"deflection": load.deflection(plate_rigidity) / load.limit, **_skin_use((strain,), (limits.outer,))}


def _skin_use(strains, limits):
    ways = ("skin tension", "skin compression")
    return {way: functools.reduce(np.maximum, [strain / limit[n] for strain, limit in zip(strains, limits, strict=True)])
            for n, way in enumerate(ways)}


def worst_use(uses) -> dict:
    """The larger share of each limit over several loads."""
    names = dict.fromkeys(name for use in uses for name in use)
    return {name: functools.reduce(np.maximum, [use[name] for use in uses if name in use]) for name in names}
