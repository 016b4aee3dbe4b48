"""Every candidate of a search evaluated at once: the same plies, sandwich and checks as skin sizing, as arrays. SI floats inside."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from ..mechanics.laminate import Laminate
from ..mechanics.ply import STIFF_THROUGH_ONLY, ply_range
from ..units import Q_
from .build import _skin, cut_storage
from .panel_limits import Limits, core_limits, panel_use, skin_shear_strain, skin_strains, worst_use
from .panel_stiffness import sandwich_panel, solid_panel
from .skin_search_ground import Ground
from .skin_search_prices import rates
from .skin_search_space import Skin, Space

SIZED, SOFT, STIFF = "as sized with", "softest", "stiffest"   # typical plies and cautious core; the two ends of what may come
MASS, SWAMPED, HEAT = "mass of the part", "flotation when swamped", "heat of the core"
OF_CORES = "skin wrinkling", "core shear", "core crushing", "skin dimpling"   # what each figure of core_limits is for


@dataclass(frozen=True, eq=False)
class Columns:
    """Figures of every candidate, one array each, in the order of the Space.

    zone_mass, part_mass   as infused; the part with its other zones and fittings
    resin                  that stays in the zone
    thickness, core_thickness   of the panel, and of its core, nought without one
    bulk_density           of the panel, skins and core; below that of water it floats by itself
    lift                   what the zone carries held under water, beyond itself; an open-celled core counts as flooded
    reserve                of the part when swamped, people holding on; None where flotation does not matter
    cost                   of the zone's materials, plain numbers; NaN where a price is not known
    carbon                 of the zone's materials, CO2 equivalent; NaN where a footprint is not known
    shares                 share of each limit used up, by check; NaN where a check does not apply (a core's, without one)
    worst                  the largest of them
    heat                   hottest the skin gets over what the core is good for, both in degC; nought without a core, NaN where not known
    unchecked              checks that a core lacks the figure for, by its key; a key with all its figures is not in it
    unpriced, unprinted    materials without price, without footprint row
    """

    zone_mass: Q_
    part_mass: Q_
    resin: Q_
    thickness: Q_
    core_thickness: Q_
    bulk_density: Q_
    lift: Q_
    reserve: Q_ | None
    cost: np.ndarray
    carbon: Q_
    shares: dict[str, np.ndarray]
    worst: np.ndarray
    heat: np.ndarray
    unchecked: dict[str, tuple[str, ...]]
    unpriced: tuple[str, ...]
    unprinted: tuple[str, ...]

    @functools.cached_property
    def holds(self):
        """Which candidates hold every limit of the brief that is known, on a core that is not known to soften at the skin's heat."""
        return (self.worst <= 1.0) & ~(self.heat > 1.0)


class _Face(NamedTuple):
    """A skin made: what its group of alike ones shares, and its own thickness [m], fibre and resin [kg/m^2], cost, carbon [kg/m^2]."""

    laminate: Laminate
    group: tuple
    strains: tuple
    thickness: float
    fibre: float
    resin: float
    cost: float
    carbon: float


class _Cores(NamedTuple):
    """Sheets of core as arrays: thickness, in-plane and shear modulus, what a core may bear, density, uptake, price, carbon, dry
    inside, heat as in Columns."""

    thickness: np.ndarray
    in_plane: np.ndarray
    shear_modulus: np.ndarray
    limits: np.ndarray
    density: np.ndarray
    uptake: np.ndarray
    price: np.ndarray
    carbon: np.ndarray
    closed: np.ndarray
    heat: np.ndarray


@functools.lru_cache(maxsize=4)
def columns(ground: Ground, space: Space) -> Columns:
    """All figures of a whole search, kept until four others were asked for."""
    return evaluate(ground, space)


def evaluate(ground: Ground, space: Space, end: str = SIZED) -> Columns:
    """All figures of all candidates, with materials as they are sized with or at either end of their ranges."""
    faces = {skin: _face(ground, skin, end) for skin in dict.fromkeys([*(skin for pair in space.pairs for skin in pair), *space.solids])}
    core = _cores(ground, space.sheets, end)
    pairs = [(faces[outer], faces[inner]) for outer, inner in space.pairs]
    solids = [faces[skin] for skin in space.solids]
    shares = _joined(_sandwiches(ground, pairs, core), _solids(ground, solids), len(pairs) * len(core.thickness), len(solids))
    return _columns(ground, space, faces, pairs, solids, core, shares)


# --- skins and cores ----------------------------------------------------------------------------------------------------------------


def _face(ground, skin: Skin, end):
    catalogue, resin_key = ground.catalogue, ground.resin
    if end == SIZED:
        laminate = _skin(catalogue, resin_key, *skin)
    else:
        laminate = Laminate([_ply_at(catalogue, resin_key, key, end) for key in skin.fabrics], Q_(list(skin.angles), "rad"))
    ex, ey, gxy, nuxy = (value.magnitude for value in laminate.engineering_constants()[:4])
    flexural = tuple(value.magnitude for value in laminate.flexural_constants()[:4])
    strains = tuple(tuple(map(float, pair)) for pair in skin_strains(catalogue, laminate, skin.fabrics))
    shear = float(f"{skin_shear_strain(catalogue, laminate, skin.fabrics):.11e}")
    fibre = [ply.si.areal_weight for ply in laminate.plies]
    resin = sum(ply.si.density * ply.si.thickness for ply in laminate.plies) - sum(fibre)
    dry = [rates(catalogue, "fabric", key, ground.prices) for key in skin.fabrics]
    wet = rates(catalogue, "resin", resin_key, ground.prices)
    cost, carbon = (sum(weight * rate[n] for weight, rate in zip(fibre, dry, strict=True)) + resin * wet[n] for n in range(2))
    return _Face(laminate, (_digits((ex, ey, gxy, nuxy)), _digits(flexural), strains, shear), strains, float(laminate.si.thickness),
                 sum(fibre), resin, cost, carbon)


def _digits(values):
    return tuple(float(f"{value:.11e}") for value in values)   # alike to rounding is alike


@functools.lru_cache(maxsize=256)
def _ply_at(catalogue, resin_key, fabric_key, end):
    fabric = catalogue.fabric(fabric_key)
    found = ply_range(fabric, catalogue.fibre_in(fabric), catalogue.resin(resin_key))
    return found.low if end == SOFT else found.high


def _cores(ground, sheets, end):
    records = {key: _core_figures(ground, key, end) for key in dict.fromkeys(key for key, _ in sheets)}
    rows = np.array([(thickness, *records[key]) for key, thickness in sheets]).reshape(-1, 13).T
    return _Cores(rows[0], rows[1], rows[2], rows[3:7], *rows[7:11], rows[11] > 0, rows[12])


def _core_figures(ground, key, end):
    """In-plane modulus, shear modulus, four limits, density, uptake, price, carbon, whether its cells are closed, heat."""
    core = ground.catalogue.core(key)
    if end == STIFF:   # of a honeycomb the softer way, as in what it is sized with
        modulus, *ways = (core.range(name)[2] for name in ("compressive_modulus", "shear_modulus", "shear_modulus_w"))
        figures = modulus, min(value for value in ways if value is not None)
    else:
        figures = core.design_value("compressive_modulus")[0], core.design_shear_modulus()[0]
    modulus, shear = (value.m_as("Pa") for value in figures)
    through, *others = core_limits(core, ground.factor)
    if end == STIFF:
        through = modulus
    heavy = {SIZED: 1, SOFT: 2, STIFF: 0}[end]   # the soft end is the heavy one: more resin for the same cloth
    density, uptake = (0.0 if value is None else value.magnitude for value in (core.range(name)[heavy] for name in ("density", "uptake")))
    return ((0.0 if core.family in STIFF_THROUGH_ONLY else modulus), shear, through, *others, density, uptake,
            *rates(ground.catalogue, "core", key, ground.prices), float(core.closed_cell), _heat(ground, core))


def _heat(ground, core):
    """Skin over core in degC, since a ratio of kelvin says little; NaN where it is not known what the core is good for."""
    good_to = core.max_service_temperature
    return np.nan if good_to is None else ground.heat / max(good_to.m_as("degC"), 1e-9)


def _unchecked(ground, names, keys):
    """Of the checks made, those that apply to a core but lack its figure, by core key."""
    found = {}
    for key in dict.fromkeys(keys):
        core = ground.catalogue.core(key)
        wants = dict(zip(OF_CORES, core_limits(core, ground.factor), strict=True))
        lacking = [name for name, limit in wants.items() if name in names and np.isnan(limit)]
        found[key] = (*lacking, HEAT) if core.max_service_temperature is None else tuple(lacking)
    return {key: lacking for key, lacking in found.items() if lacking}


# --- shares of the limits --------------------------------------------------------------------------------------------------------------


def _sandwiches(ground, pairs, core):
    """Shares by check, shape (pairs, sheets). Pairs whose skins differ in thickness only are put through together."""
    if not len(core.thickness) or not pairs:
        return {}
    groups = {}
    for number, (outer, inner) in enumerate(pairs):
        alike = outer.group[0] == inner.group[0]   # else the stiffer skin's share goes with its thickness
        groups.setdefault((outer.group, inner.group, None if alike else outer.thickness / inner.thickness), []).append(number)
    shares = {}
    for members in groups.values():
        outer, inner = pairs[members[0]]
        panel = sandwich_panel(outer.laminate, inner.laminate, core.thickness[0], core.in_plane[0], core.shear_modulus[0])
        thick = [np.array([pairs[n][side].thickness for n in members])[:, None] for side in range(2)]
        panel = panel.on(
            outer_skin_thickness=thick[0], inner_skin_thickness=thick[1], core_thickness=core.thickness, core_modulus=core.in_plane,
            core_shear_modulus=core.shear_modulus)
        limits = Limits(_strains(ground, outer, inner), ground.factor, *core.limits, shear=_shear(ground, outer, inner))
        for name, share in worst_use([panel_use(panel, load, limits) for load in ground.loads]).items():
            shares.setdefault(name, np.full((len(pairs), len(core.thickness)), np.nan))[members] = share
    return shares


def _solids(ground, solids):
    """Shares by check of laminates without a core, shape (solids,)."""
    groups, shares = {}, {}
    for number, face in enumerate(solids):
        groups.setdefault(face.group[1:], []).append(number)
    for members in groups.values():
        face = solids[members[0]]
        panel, thick = solid_panel(face.laminate), np.array([solids[n].thickness for n in members])
        panel = replace(panel, thickness=thick, d11=panel.d11 * (thick / panel.thickness) ** 3)
        limits = Limits(_strains(ground, face), ground.factor, shear=_shear(ground, face))
        for name, share in worst_use([panel_use(panel, load, limits) for load in ground.loads]).items():
            shares.setdefault(name, np.full(len(solids), np.nan))[members] = share
    return shares


def _strains(ground, *faces):
    return tuple(tuple(tuple(limit / ground.factor for limit in pair) for pair in face.strains) for face in faces)


def _shear(ground, *faces):
    return tuple(face.group[3] / ground.factor for face in faces)


def _joined(sandwiches, solids, many, few):
    return {name: np.concatenate([sandwiches[name].ravel() if name in sandwiches else np.full(many, np.nan),
                                  solids.get(name, np.full(few, np.nan))]) for name in dict.fromkeys((*sandwiches, *solids))}


# --- masses and the rest -----------------------------------------------------------------------------------------------------------------


def _columns(ground, space, faces, pairs, solids, core, shares):
    resin_key = ground.resin
    resin_density = ground.catalogue.resin(resin_key).si.density_cured
    drunk = 2 * core.uptake + cut_storage(ground.cut, core.thickness) * resin_density   # faces and cuts of the core
    wet = rates(ground.catalogue, "resin", resin_key, ground.prices)

    def both(figure, of_core):
        """A figure of both skins, one of each sheet added, then that of the solids."""
        skins = np.array([getattr(outer, figure) + getattr(inner, figure) for outer, inner in pairs]).reshape(-1, 1)
        return np.concatenate([(skins + of_core).ravel(), [getattr(face, figure) for face in solids]])

    nought = np.zeros_like(core.thickness)
    resin, thickness = both("resin", drunk), both("thickness", core.thickness)
    areal = both("fibre", core.density * core.thickness) + resin
    cost, carbon = (ground.area * both(name, core.density * core.thickness * rate + drunk * wet[n])
                    for n, (name, rate) in enumerate((("cost", core.price), ("carbon", core.carbon))))
    dry = both("thickness", np.where(core.closed, core.thickness, nought))   # whose volume may be counted under water
    mass = ground.area * areal
    part, reserve = ground.rest_mass + mass, None
    if ground.target is not None:
        shares = shares | {MASS: part / ground.target}
    if ground.rest_weight is not None:
        weight, floated = ground.rest_weight + mass, ground.water * (ground.rest_volume + ground.area * dry)
        shares, reserve = shares | {SWAMPED: weight / floated}, Q_(floated - weight, "kg")
    core_thickness, heat = (np.concatenate([np.tile(figure, len(pairs)), np.zeros(len(solids))]) for figure in (core.thickness, core.heat))
    return Columns(*(Q_(values, unit) for values, unit in (
        (mass, "kg"), (part, "kg"), (ground.area * resin, "kg"), (thickness, "m"), (core_thickness, "m"), (areal / thickness, "kg/m^3"),
        (ground.area * (ground.water * dry - areal), "kg"))), reserve, cost, Q_(carbon, "kg"), shares,
        functools.reduce(np.fmax, shares.values()), heat, _unchecked(ground, shares, (key for key, _ in space.sheets)),
        *_unknown(ground, space, faces))


def _unknown(ground, space, faces):
    named = dict.fromkeys([*(("fabric", key) for skin in faces for key in skin.fabrics), *(("core", key) for key, _ in space.sheets), ("resin", ground.resin)])
    found = {item: rates(ground.catalogue, *item, ground.prices) for item in named}
    return tuple(tuple(key for (_, key), rate in found.items() if np.isnan(rate[n])) for n in range(2))
