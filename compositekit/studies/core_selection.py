"""Why a core at all, and which one: every core of the catalogue, each as thick as this zone asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..catalogue import Core
from ..errors import PartFileError, RangeError
from ..mechanics.sandwich import solid_rigidity
from ..units import Q_, Spec
from . import core_selection_words as words
from .build import ZoneBuild, cut_storage, part_build, part_mass, zone_build
from .core_facts import CutFact, carbon_shares, cut_facts, lift
from .core_table import CoreTable, core_table, next_sheet
from .findings import Finding
from .panel_limits import Limits, panel_limits, panel_use, worst_use
from .panel_loads import zone_loads
from .panel_stiffness import SandwichPanel, sandwich_panel

MM, KG, KG_M2, KG_M3 = (Q_(1.0, unit).units for unit in ("mm", "kg", "kg/m^2", "kg/m^3"))   # read once: a table has hundreds
GRID = np.arange(3, 101) * 1e-3   # m, core thicknesses tried: whole millimetres
ZERO_CELSIUS = 273.15              # K
CUTS = ("plain", "grooved", "perforated", "slit")
LONGEST = Q_(40, "mm")            # own judgement: thicker sheets hardly bend into a mould
SKIN_TEMPERATURE = Q_(60, "degC")  # own judgement: a mid-coloured skin in full sun; a black one can pass 80


@dataclass(frozen=True)
class CoreRow:
    """One core on this zone, as thick as the checks of skin sizing ask.

    core                     the catalogue record
    needed                   least whole millimetre that holds the deflection; None when 100 mm is not enough
    holds_from               least whole millimetre that holds sag, skins and core; None when none does
    asked_by                 the check that asks for that: "deflection", or the one that wants more
    thickness                the sheet to buy, the next one sold or else the whole millimetre: for all of these checks where
                             that stays within the longest allowed, otherwise for the deflection; None as with needed
    exact                    where the checks it was taken for are just met, between two whole millimetres; None as above
    use                      share of each limit used up at that thickness (at 100 mm when that is not enough)
    sag, sag_limit, load     at that thickness, what is allowed, and the load that comes nearest to it
    zone_mass, part_mass     of the panel of this zone, and of the whole part with it, at that thickness
    resin                    that core faces and cuts take up, per area
    bulk_density, panel_thickness   of the panel, skins and core
    lift             what a square metre of the panel carries under water, beyond itself
    carbon           CO2 equivalent of a square metre of the sheet; None where no figure is named
    reasons                  why it is out, in words; empty when it is in
    """

    core: Core
    needed: Q_ | None
    holds_from: Q_ | None
    asked_by: str
    thickness: Q_ | None
    exact: Q_ | None
    use: dict[str, float]
    sag: Q_
    sag_limit: Q_
    load: str
    zone_mass: Q_
    part_mass: Q_
    resin: Q_
    bulk_density: Q_
    panel_thickness: Q_
    lift: Q_
    carbon: Q_ | None
    reasons: tuple[str, ...]

    @property
    def least(self) -> Q_ | None:
        """The whole millimetre that the sheet was taken for."""
        whole = self.thickness is not None and self.holds_from is not None and self.thickness >= self.holds_from
        return self.holds_from if whole else self.needed

    @property
    def good_to(self) -> float | None:
        """Hottest the core is good for, in degrees Celsius; None where not read."""
        heat = self.core.si.max_service_temperature
        return None if heat is None else heat - ZERO_CELSIUS


@dataclass(frozen=True)
class WhyCore:
    """The same skins with and without a core.

    bare_use, bare_thickness, bare_mass   times the sag allowed, the same skins laid together without a core; of the zone
    solid_thickness   of a solid laminate of the outer skin's cloth that is stiff enough
    solid_plies, solid_mass   how many plies that is, and what the zone would weigh
    """

    bare_use: float
    bare_thickness: Q_
    bare_mass: Q_
    solid_thickness: Q_
    solid_plies: int
    solid_mass: Q_


@dataclass(frozen=True, kw_only=True)
class CoreSelection(Finding):
    """Every core of the catalogue on one zone.

    rows       the cores compared, lightest panel first; those that are out too, with their reasons
    choice     the row asked about
    part_mass_now   of the part as it is laid up
    why        what the core saves
    left_out   catalogue rows passed over: how many, and why
    ruled_out  families that cannot be used: name, how many grades, why
    cuts       what each way to cut the chosen sheet does; empty where there is no sheet
    """

    zone: str
    cut: str
    longest: Q_
    skin_temperature: Q_
    rows: tuple[CoreRow, ...]
    choice: CoreRow
    part_mass_now: Q_
    why: WhyCore
    left_out: tuple[tuple[int, str], ...]
    ruled_out: tuple[tuple[str, int, str], ...]
    cuts: tuple[CutFact, ...] = ()

    @property
    def fit(self) -> tuple[CoreRow, ...]:
        """The cores that nothing speaks against, lightest first."""
        return tuple(row for row in self.rows if not row.reasons)


def core_selection(part, catalogue, zone=None, core=None, cut=None, longest=LONGEST, family=None,
                   skin_temperature=SKIN_TEMPERATURE, lightest=False) -> CoreSelection:
    """Cores compared on one zone with the skins it has, each as thick as its checks ask.

    zone              left out, the first with a load
    core              key of the core to check; left out, the zone's own, or where it has none the lightest that fits
    cut               "plain", "grooved", "perforated" or "slit"; left out, the zone's own
    longest           thickest core allowed
    family            compare only this family, a key of core_table.FAMILIES; left out, all
    skin_temperature  hottest the skin gets, held against what the core is good for
    lightest          check the lightest that fits instead of the zone's own core
    Raises PartFileError for a zone without load or without inside plies, RangeError.
    """
    zone = part.structural_zones[0] if zone is None else zone
    longest, heat = Spec.of("m > 0").read(longest, "longest"), Spec.of("K in 223..473").read(skin_temperature, "skin_temperature")
    loads, builds = zone_loads(part, zone), part_build(part, catalogue)
    today = part.layup[zone].core
    cut = cut or (today.cut if today else "plain")
    if cut not in CUTS:
        raise RangeError(f'the cut "{cut}" is not known; choose one of {", ".join(CUTS)}.')
    table, wanted = _table(part, catalogue, family, core, None if lightest else today)
    build = builds[zone] if builds[zone].core else _with_a_core(part, catalogue, zone, table.cores[0])
    limits, skins = panel_limits(part, catalogue, build), _skins(build, table)
    grid = worst_use(_uses(skins, table, loads, limits, GRID[:, None]))
    sizes = _sizes(table, grid, longest)
    rows = _rows(part, catalogue, build, table, sizes, _uses(skins, table, loads, limits, sizes.picked), cut, loads,
                 rest=part_mass(part, builds).m_as("kg") - builds[zone].mass.m_as("kg"), longest=longest, heat=heat)
    choice = next((row for row in rows if row.core.key == wanted), None) or next((row for row in rows if not row.reasons), rows[0])
    found = dict(zone=zone, cut=cut, longest=Q_(longest, "m").to("mm"), skin_temperature=Q_(heat, "K").to("degC"), rows=rows, choice=choice,
                 part_mass_now=part_mass(part, builds), why=_why(build, skins, loads), left_out=table.left_out, ruled_out=table.ruled_out,
                 cuts=() if choice.thickness is None else cut_facts(catalogue, CUTS, choice.thickness.m_as("m"), catalogue.resin(part.resin).si.density_cured))
    result = CoreSelection(**found)
    return CoreSelection(**found, checks=words.checks(part, result), working=words.working(part, catalogue, result, build, skins, loads, table),
                         cautions=words.cautions(result, loads), guesses=words.guesses(part, catalogue, result, build),
                         rests_on=words.rests_on(part, result))


def _table(part, catalogue, family, core, today) -> tuple[CoreTable, str | None]:
    """The cores to compare, the one asked about (or today's) among them whatever the family."""
    table = core_table(catalogue, catalogue.resin(part.resin).contains_styrene)
    keys = {item.key for item in table.cores}
    if core is not None and core not in keys:
        catalogue.core(core)   # UnknownMaterial, with near names
        raise PartFileError(f'core "{core}" cannot be compared: it cannot be infused, or a figure to size it with is missing. '
                            "Choose another, or add the figure to your own cores.csv.")
    if family is not None and family not in {item.family for item in table.cores}:
        raise RangeError(f'no core of family "{family}" can be compared; choose one of {", ".join(sorted({c.family for c in table.cores}))}.')
    wanted = core or (today.core if today and today.core in keys else None)
    return table.only([family in (None, item.family) or item.key == wanted for item in table.cores]), wanted


def _with_a_core(part, catalogue, zone, core) -> ZoneBuild:
    """A solid zone's own plies on a stand-in core, so that its two skins are known."""
    if not part.layup[zone].inside:
        raise PartFileError(f'zone "{zone}" is laid up solid, all plies outside: there is no inner skin to put on a core. '
                            "Give it plies on the inside first (page 03).")
    stand_in = part.changed({f"layup.{zone}.core": {"core": core.key, "thickness": "10 mm"}})
    return zone_build(stand_in, catalogue, zone)


def _skins(build, table) -> SandwichPanel:
    """The zone's own skins on a stand-in core: today's may lack the figures to size with."""
    return sandwich_panel(build.outer, build.inner, GRID[0], table.in_plane[0], table.shear_modulus[0])


def _uses(skins, table, loads, limits, thickness) -> list[dict]:
    """Per load, share of each limit per core (last axis) at one thickness each, or at every thickness of a column."""
    panel = skins.on(core_thickness=thickness, core_modulus=table.in_plane, core_shear_modulus=table.shear_modulus)
    modulus, shear, crushing, cells = table.limits
    held = Limits(limits.skins, limits.factor, modulus, shear / limits.factor, crushing / limits.factor, cells, limits.shear)
    return [panel_use(panel, load, held) for load in loads]


class _Sizes(NamedTuple):
    """Per core [m]: least thickness for each check and for all of them (NaN when none does), and the sheet picked.

    exact   where the checks that the sheet was picked for are just met
    """

    each: dict
    whole: np.ndarray
    picked: np.ndarray
    exact: np.ndarray


def _sizes(table, grid, longest) -> _Sizes:
    """The sheet for all checks where that stays within the longest, else for the sag alone (the thickest tried if none)."""
    each, whole = {name: _first(share <= 1) for name, share in grid.items()}, _first(np.all([share <= 1 for share in grid.values()], axis=0))
    sag, every = (np.array([next_sheet(sheets, least) or least for sheets, least in zip(table.sheets, wanted, strict=True)])
                  for wanted in (each["deflection"], whole))
    met, held = {name: _crossing(share) for name, share in grid.items()}, every <= longest + 1e-9
    return _Sizes(each, whole, np.where(held, every, np.where(np.isfinite(sag), sag, GRID[-1])),
                  np.where(held, np.max([*met.values()], axis=0), met["deflection"]))


def _crossing(share):
    """Where a share comes down to 1, on a straight line in logarithms between two whole millimetres; NaN where it never does."""
    last = np.argmax(share <= 1, axis=0)
    above, below = (np.log(np.take_along_axis(share, rows[None, :], axis=0)[0]) for rows in (np.maximum(last - 1, 0), last))
    part = np.where(last > 0, above, 0.0) / np.where(last > 0, above - below, 1.0)
    return np.where(share.min(axis=0) <= 1, GRID[np.maximum(last - 1, 0)] + part * (GRID[1] - GRID[0]), np.nan)


def _first(holds):
    return np.where(holds.any(axis=0), GRID[holds.argmax(axis=0)], np.nan)


def _rows(part, catalogue, build, table, sizes, uses, cut, loads, rest, longest, heat):
    picked, needed = sizes.picked, sizes.each["deflection"]
    resin = 2 * table.uptake + cut_storage(cut, picked) * catalogue.resin(part.resin).si.density_cured
    areal = build.per_area["fibre"] + build.per_area["resin in plies"] + table.density * picked + resin
    use, worst = worst_use(uses), np.argmax([use["deflection"] for use in uses], axis=0)
    skins = build.outer.si.thickness + build.inner.si.thickness
    plies = min(len(build.outer_keys), len(build.inner_keys))
    target = None if part.brief.mass_target is None else part.brief.mass_target.m_as("kg")
    lifts = lift(areal / (skins + picked), skins + picked, part.brief.water)
    gas = carbon_shares(catalogue, tuple(core.key for core in table.cores)) * table.density * picked
    rows = []
    for n, core in enumerate(table.cores):
        share, mass = {name: float(values[n]) for name, values in use.items()}, areal[n] * build.zone.si.area
        each = {name: float(least[n]) for name, least in sizes.each.items()}
        facts = words.Facts(picked[n], each, share, plies, rest + mass, target, table.service[n], longest, heat)
        limit, thickness = loads[worst[n]].limit, skins + picked[n]
        rows.append(CoreRow(core, _mm(needed[n]), _mm(sizes.whole[n]), max(each, key=lambda name: np.nan_to_num(each[name], nan=np.inf)),
                            _mm(picked[n]) if np.isfinite(needed[n]) else None, _mm(sizes.exact[n]), share,
                            Q_(1e3 * share["deflection"] * limit, MM), Q_(1e3 * limit, MM), loads[worst[n]].name,
                            Q_(mass, KG), Q_(rest + mass, KG), Q_(resin[n], KG_M2),
                            Q_(areal[n] / thickness, KG_M3), Q_(1e3 * thickness, MM),
                            Q_(lifts[n], KG_M2),
                            Q_(gas[n], KG_M2) if np.isfinite(gas[n]) else None, words.reasons(facts)))
    return tuple(sorted(rows, key=lambda row: (row.needed is None, row.part_mass.magnitude, row.core.key)))


def _mm(metres):
    return Q_(round(float(metres) * 1e3, 6), MM) if np.isfinite(metres) else None


def _why(build, skins, loads) -> WhyCore:
    outer = build.outer
    along, across = ((one.si, 1 - one.si.poisson**2) for one in (skins.along, skins.across))
    bare = sum(solid_rigidity.si(si.outer_skin_thickness, si.outer_skin_modulus / plate, si.inner_skin_thickness, si.inner_skin_modulus / plate)
               for si, plate in (along, across)) / (1 + skins.ratios.d22)
    wanted = max(load.deflection(skins.ratios, 1.0) / load.limit for load in loads)   # N*m: the D11 that just holds
    si, plate = along
    thickness = (12 * wanted * plate / si.outer_skin_modulus) ** (1 / 3)
    plies = int(np.ceil(thickness / outer.plies[0].si.thickness - 1e-9))
    bare_mass = (build.per_area["fibre"] + build.per_area["resin in plies"]) * build.zone.si.area
    return WhyCore(float(wanted / bare), Q_(outer.si.thickness + build.inner.si.thickness, "m").to(MM), Q_(bare_mass, KG), Q_(thickness, "m").to(MM), plies, plies * outer.plies[0].areal_mass * build.zone.area)

