"""Which skins and how thick a core, so that a panel is neither floppy nor overbuilt?"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..catalogue import Catalogue
from ..errors import RangeError
from ..part.model import Part
from ..units import Q_
from . import skin_sizing_words as words
from .build import ZoneBuild, core_mass, part_build, part_mass, zone_build
from .core_table import next_sheet
from .downstream import PartFigures, part_figures, swamped_check, swamped_share
from .failure_map import ZoneMap, failure_map
from .findings import AMPLE, Finding
from .local_limits import under_patch
from .panel_limits import panel_limits, panel_use, worst_use
from .panel_loads import zone_loads
from .ply_margins import PlyMargins, moments_together, ply_margins
from .sag import capped
from .skin_search import SkinSearch, layup_of, one, skin_search
from .skin_search_figures import SWAMPED, Columns
from .skin_search_neighbours import Neighbour, neighbours
from .skin_search_scatter import Scatter, scatter
from .skin_sizing_checks import checks
from .skin_sizing_working import working

SWEEP = np.linspace(3e-3, 40e-3, 75)   # m, core thicknesses tried for the picture
AMONG = {"fibre": {}, "all": {"fabrics": "all"}, "own": {"stock": "own"}}   # arguments of skin_search
SKIN_WAYS = ("skin tension", "skin compression", "skin shear", "skin wrinkling", "skin dimpling", "skin under patch")
CORE_WAYS = ("core shear", "core crushing")


@dataclass(frozen=True)
class LoadCase:
    """What one load of the brief does to the panel.

    name, words, edges  what the brief calls it, the load in words, and how its panel is held
    deflection, deflection_limit, bending_share   sag in the middle, what is allowed, and how much of it is bending
    moments, shear_forces   per width lengthwise and crosswise
    skin_stress         by way (lengthwise, crosswise) and skin (outer, inner; one without a core), as sizes
    skin_strain         the same lengthwise, crosswise and in shear (in a corner), from curvatures, 1/m each way and in twist
    core_shear, patch_pressure   None without a core, or without a patch
    core_pressure, patch_strain   what of it the core bears; squeeze of the skin under it, by way and skin; None without core or patch
    use                 share of each limit used up
    """

    name: str
    words: str
    edges: str
    deflection: Q_
    deflection_limit: Q_
    bending_share: float
    moments: Q_
    shear_forces: Q_
    skin_stress: Q_
    skin_strain: np.ndarray
    curvatures: tuple[float, float, float]
    core_shear: Q_ | None
    patch_pressure: Q_ | None
    core_pressure: Q_ | None
    patch_strain: np.ndarray | None
    use: dict[str, float]


@dataclass(frozen=True)
class Sweep:
    """The same panel over core thickness: shares of the limits used up, as arrays; mass is None without a target, flotation where it does not matter."""

    core_thickness: Q_
    deflection: np.ndarray
    skins: np.ndarray
    core: np.ndarray
    mass: np.ndarray | None
    flotation: np.ndarray | None

    @property
    def fits(self) -> tuple[Q_, Q_] | None:
        """Thinnest and thickest core tried that holds every limit, or None."""
        holds = np.all([use <= 1 for use in (self.deflection, self.skins, self.core, self.mass, self.flotation) if use is not None], axis=0)
        return (self.core_thickness[holds][0].to("mm"), self.core_thickness[holds][-1].to("mm")) if holds.any() else None


@dataclass(frozen=True, kw_only=True)
class SkinSizing(Finding):
    """The panel of one zone under every load of the brief.

    zone, build     its name, and what its layup makes
    loads           a LoadCase per load
    part_mass       of the whole finished part
    sweep           the same over core thickness; None for a solid laminate
    one_way         a warning where unidirectional cloth lies in one direction only; empty otherwise
    clamped         a warning where edges are taken as clamped; empty otherwise
    next_sheet      the thinnest sheet sold that is at least as thick as the core; None without a core or a list of sheets, or past the thickest
    knock_on        mass, resin and swamped reserve in one line, beside the part as saved; empty when not asked
    among           a key of AMONG: which cloths and cores the search tries
    part, catalogue   what was sized, for the pictures that look further: each of those is worked out when first asked for
    """

    zone: str
    build: ZoneBuild
    loads: tuple[LoadCase, ...]
    part_mass: Q_
    sweep: Sweep | None
    one_way: str
    clamped: str
    next_sheet: Q_ | None
    knock_on: str = ""
    part: Part
    catalogue: Catalogue
    among: str = "fibre"

    @functools.cached_property
    def failure_map(self) -> ZoneMap | None:
        """Which check governs over core thickness and skins; None without a core."""
        return None if self.build.core is None else failure_map(self.part, self.catalogue, self.zone, build=self.build)

    @functools.cached_property
    def margins(self) -> PlyMargins:
        """Strain, stress and margin of every ply, the whole section as one laminate, under each load with both signs."""
        moments = [row for case in self.loads for row in moments_together(self.build.panel, case.curvatures, case.edges)]
        return ply_margins(self.catalogue, self.build, moments, self.part.brief.strength_factor.m_as(""))

    @functools.cached_property
    def search(self) -> SkinSearch:
        """Every layup of the cloths asked for on every core, all checks taken."""
        return skin_search(self.part, self.catalogue, self.zone, **AMONG[self.among])

    @functools.cached_property
    def _near(self) -> SkinSearch:
        """What the steps are reckoned on: the same ground, whatever cloths are asked for."""
        return skin_search(self.part, self.catalogue, self.zone)

    @functools.cached_property
    def steps(self) -> tuple[Neighbour, ...]:
        """The layups one step from this one."""
        return neighbours(self._near, layup_of(self.part.layup[self.zone]))

    @functools.cached_property
    def here(self) -> Columns:
        """This layup's own figures, in the columns of the search."""
        return one(self._near.ground, layup_of(self.part.layup[self.zone]))

    @functools.cached_property
    def front_range(self) -> Scatter | None:
        """How far the figures of the layups that nothing beats may move; None where none holds."""
        rows = self.search.front()
        return scatter(self.search, rows) if len(rows) else None

    @property
    def worst(self) -> LoadCase:
        """The load that bends the panel closest to its limit."""
        return max(self.loads, key=lambda case: case.use["deflection"])

    @property
    def shares(self) -> tuple[float | None, ...]:
        """Share of its limit that sag, skins, core, part mass and flotation when swamped use up; None where there is nothing to hold it against."""
        use = worst_use([case.use for case in self.loads])
        core = [use[name] for name in CORE_WAYS if name in use]
        swamped, mass = ([(check.value / check.limit).m_as("") for check in self.checks
                          if check.limit.check("kg") and check.what.startswith(SWAMPED) == floats] for floats in (True, False))
        return (use["deflection"], max(use[name] for name in SKIN_WAYS if name in use), max(core, default=None),
                mass[0] if mass else None, swamped[0] if swamped else None)

    @property
    def overbuilt(self) -> bool:
        """Whether every figure of the panel holds more than twice over (own judgement)."""
        return all(max(case.use.values()) * (1 + AMPLE) < 1 for case in self.loads)


def skin_sizing(part, catalogue, zone=None, saved: PartFigures | None = None, among="fibre") -> SkinSizing:
    """Deflection, skins, core and mass of one zone's panel against the brief; zone left out, the first with a load.

    saved  figures of the part as saved, to set the changed part beside
    among  a key of AMONG: what the search of other layups tries, when somebody asks for it
    Raises PartFileError for a zone without load or layup, or a material without a design figure; RangeError.
    """
    if among not in AMONG:
        raise RangeError(f'among is "{among}"; choose one of {", ".join(AMONG)}.')
    zone = part.structural_zones[0] if zone is None else zone
    loads, builds = zone_loads(part, zone), part_build(part, catalogue)
    build = builds[zone] if zone in builds else zone_build(part, catalogue, zone)
    limits = panel_limits(part, catalogue, build)
    cases = tuple(_case(build, load, limits) for load in loads)
    mass = part_mass(part, builds)
    found = dict(part=part, catalogue=catalogue, among=among, zone=zone, build=build, loads=cases, part_mass=mass, sweep=_sweep(part, catalogue, builds, build, loads, limits, mass),
                 one_way=words.one_way(catalogue, build), clamped=words.clamped(loads), next_sheet=_next_sheet(build))
    if saved is not None:
        found["knock_on"] = part_figures(part, catalogue, builds).beside(saved)
    swamped = swamped_check(part, builds)
    return SkinSizing(**found, checks=capped((*checks(part, catalogue, build, cases, limits, mass), *([swamped] if swamped else []))),
                      working=working(part, catalogue, build, cases, loads, limits, mass),
                      cautions=words.cautions(build, loads), guesses=words.guesses(part, catalogue, build),
                      rests_on=words.rests_on(part, build))


def _next_sheet(build):
    sold = None if build.core is None else build.core.thicknesses
    sheet = None if sold is None else next_sheet(sold.m_as("m"), build.core_thickness)
    return None if sheet is None else Q_(sheet, "m").to("mm")


def _case(build, load, limits):
    panel = build.panel
    use, ratios = panel_use(panel, load, limits), panel.ratios
    sag, moments = load.deflection(ratios, panel.d11, panel.shear_rigidity), load.moments(panel)
    stress, curvatures = np.array(panel.skin_stress(moments)), tuple(map(float, load.curvatures(panel)))
    strains = np.array(panel.strains(curvatures))
    pressure, strain = _under_patch(panel, load, limits, strains[:2]) if build.core and load.patch_pressure is not None else (None, None)
    return LoadCase(
        load.name, load.words, load.edges, Q_(float(sag), "m").to("mm"), Q_(load.limit, "m").to("mm"),
        float(load.deflection(ratios, panel.d11) / sag), Q_(np.array(moments), "N"), Q_(np.array(load.shear_forces(panel)), "N/m"),
        Q_(stress, "Pa").to("MPa"), strains, curvatures,
        Q_(float(use["core shear"] * limits.core_shear), "Pa").to("MPa") if build.core else None,
        None if load.patch_pressure is None else Q_(load.patch_pressure, "Pa").to("MPa"),
        pressure, strain, {name: float(share) for name, share in use.items() if np.isfinite(share)})


def _under_patch(panel, load, limits, strains):
    pressure, own = np.transpose([under_patch(panel, load, limits.core_modulus, skin) for skin in range(2)])
    return Q_(float(pressure.max()), "Pa").to("MPa"), strains + own


def _sweep(part, catalogue, builds, build, loads, limits, mass):
    if build.core is None:
        return None
    swept = build.panel.on(core_thickness=SWEEP)
    use = worst_use([panel_use(swept, load, limits) for load in loads])
    target = part.brief.mass_target
    if target is not None:
        change = build.zone.si.area * (core_mass(part, catalogue, build, SWEEP) - core_mass(part, catalogue, build, build.core_thickness))
        target = (mass.m_as("kg") + change) / target.m_as("kg")
    return Sweep(Q_(SWEEP, "m"), use["deflection"],
                 *(functools.reduce(np.fmax, [use[name] for name in ways if name in use]) for ways in (SKIN_WAYS, CORE_WAYS)), target,
                 swamped_share(part, catalogue, builds, build, SWEEP))
