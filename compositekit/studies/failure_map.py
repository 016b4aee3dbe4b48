"""Which check governs a zone, over core thickness and skins: today's point, where everything just holds, and the mass.

The same functions as skin sizing, on a whole grid at once. Skins grow by a multiplier, so many times today's plies; that
leaves their moduli and their ratios as they are. SI floats inside.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..units import Q_
from .build import ZoneBuild, core_mass, part_build, zone_build
from .panel_limits import panel_limits, panel_use, worst_use
from .panel_loads import zone_loads

CORES = np.linspace(3e-3, 40e-3, 60)     # m, core thicknesses of the picture
SKINS = np.linspace(0.25, 4.0, 40)       # times today's skins
ALIKE = 0.02                             # modes whose use differs by less are about equal
PLAINLY = 0.95                           # a patch's own effect is named only where it adds more than a twentieth


@dataclass(frozen=True, eq=False)
class Point:
    """Today's panel on the map: core and total skin thickness, mass per area, use by mode, and the mode that governs."""

    core_thickness: Q_
    skin_thickness: Q_
    areal_mass: Q_
    use: dict[str, float]
    governing: str

    @property
    def alike(self) -> tuple[str, ...]:
        """The modes whose use is within ALIKE of the largest, the governing one first."""
        least = (1 - ALIKE) * max(self.use.values())
        return (self.governing, *(name for name, share in self.use.items() if share >= least and name != self.governing))


class Lightest(NamedTuple):
    """The lightest panel that holds and can be made: whole plies of today's skins, a core that is sold."""

    core_thickness: Q_
    multiplier: float
    areal_mass: Q_
    outside: int
    inside: int


@dataclass(frozen=True, eq=False)
class ZoneMap:
    """Use of every limit over a grid of cores (columns) and skins (rows).

    zone             the zone
    core_thickness   m, along x
    multiplier, skin_thickness, plies   of both skins together, along y: times today's, m, and plies as a number
    use              by mode, share of the limit used up, an array of rows by columns
    names, governing   the modes, and the index of the one with the largest use
    worst            the largest use; everything just holds on its contour 1
    areal_mass       kg/m^2
    point            today's Point
    left_out         what could not be looked at, in words
    lightest         Lightest within the grid; None if none holds. The sheets are those sold; whole millimetres where none are listed
    """

    zone: str
    core_thickness: Q_
    multiplier: np.ndarray
    skin_thickness: Q_
    plies: np.ndarray
    use: dict[str, np.ndarray]
    names: tuple[str, ...]
    governing: np.ndarray
    worst: np.ndarray
    areal_mass: Q_
    point: Point
    left_out: tuple[str, ...]
    lightest: Lightest | None


def failure_map(part, catalogue, zone=None, core_thicknesses=CORES, multipliers=SKINS, build: ZoneBuild | None = None) -> ZoneMap:
    """Every check of one zone over core thickness and skins; zone left out, the first with a load.

    core_thicknesses  m, a rising row
    multipliers       times today's skins, a rising row
    build             of the zone, where it is already worked out
    Raises PartFileError for a zone without load, layup or core; RangeError for a grid that makes no sense.
    """
    zone = part.structural_zones[0] if zone is None else zone
    cores, times = (_rising(values, name) for values, name in ((core_thicknesses, "core_thicknesses"), (multipliers, "multipliers")))
    loads = zone_loads(part, zone)
    if build is None:
        builds = part_build(part, catalogue)
        build = builds[zone] if zone in builds else zone_build(part, catalogue, zone)
    if build.core is None:
        raise PartFileError(f'zone "{zone}" has no core, so there is no map over core thickness; give its layup a core.')
    _within_panel(cores, loads)
    limits = panel_limits(part, catalogue, build)
    today = _uses(build.panel, loads, limits)
    known = tuple(name for name, share in today.items() if np.all(np.isfinite(share)))
    left_out = tuple(f"{name}: the catalogue has no figure for this core" for name in today if name not in known)
    use, governing = _grid(_Skins(build), loads, limits, known, tuple(cores), tuple(times))
    lightest = _lightest(part, catalogue, build, functools.partial(_grid, _Skins(build), loads, limits, known), cores, times)
    thickness, mass = build.outer.si.thickness + build.inner.si.thickness, _mass(part, catalogue, build, cores, times)
    today = {name: float(today[name]) for name in known}
    point = Point(Q_(build.core_thickness, "m"), Q_(thickness, "m"), build.areal_mass, today, known[int(np.argmax(_plainly(known) * list(today.values())))])
    return ZoneMap(zone, Q_(cores, "m"), times, Q_(thickness * times, "m"), len(build.plies) * times,
                   dict(zip(known, use, strict=True)), known, governing, use.max(axis=0), Q_(mass, "kg/m^2"), point, left_out, lightest)


def areal_mass_allowed(part, build: ZoneBuild, part_mass) -> Q_ | None:
    """Mass per area of the zone at which the whole part just meets its mass target [kg/m^2]; None without a target."""
    target = part.brief.mass_target
    return None if target is None else (build.areal_mass + (target - part_mass) / build.zone.area).to("kg/m^2")


def _mass(part, catalogue, build, cores, times):
    masses = build.per_area
    skins = masses["fibre"] + masses["resin in plies"]
    return skins * times[:, None] + masses["resin in core faces"] + core_mass(part, catalogue, build, cores)[None, :]


def _lightest(part, catalogue, build, grid, cores, times):
    sold = np.arange(1, 61) * 1e-3 if build.core.thicknesses is None else np.sort(build.core.thicknesses.m_as("m"))
    sheets = sold[(sold >= cores[0] - 1e-9) & (sold <= cores[-1] + 1e-9)]
    skins = [[*zip(keys, laminate.angles.magnitude, strict=True)] for laminate, keys in ((build.outer, build.outer_keys), (build.inner, build.inner_keys))]
    alike = all(len(set(skin)) == 1 for skin in skins)      # else only the whole skin, repeated, is so many times itself
    outside, inside = map(len, skins)
    whole = math.gcd(outside, inside) if alike else 1
    multipliers = np.arange(1, math.floor(times[-1] * whole + 1e-9) + 1) / whole
    multipliers = multipliers[multipliers >= times[0] - 1e-9]
    if not sheets.size or not multipliers.size:
        return None
    worst = grid(tuple(sheets), tuple(multipliers))[0].max(axis=0)
    mass = _mass(part, catalogue, build, sheets, multipliers)
    held = np.where(worst <= 1, mass, np.inf)
    row, column = np.unravel_index(held.argmin(), held.shape)
    if not np.isfinite(held[row, column]):
        return None
    times = float(multipliers[row])
    return Lightest(Q_(sheets[column], "m"), times, Q_(mass[row, column], "kg/m^2"), round(times * outside), round(times * inside))


class _Skins:
    """A panel told apart by its skins and core material only: the map does not change with today's core thickness."""

    def __init__(self, build):
        self.panel, si = build.panel, build.panel.along.si
        self.key = build.outer, build.inner, si.core_modulus, si.core_shear_modulus

    def __eq__(self, other):
        return self.key == other.key

    def __hash__(self):
        return hash(self.key)


@functools.lru_cache(maxsize=32)
def _grid(skins, loads, limits, names, cores, times):
    """Use of each limit (names, times, cores), and the index of the one that governs."""
    now, grown = skins.panel.along.si, np.array(times)[:, None]
    panel = skins.panel.on(core_thickness=np.array(cores)[None, :], outer_skin_thickness=now.outer_skin_thickness * grown,
                           inner_skin_thickness=now.inner_skin_thickness * grown)
    use = _uses(panel, loads, limits)
    stack = np.stack([np.broadcast_to(use[name], (len(times), len(cores))) for name in names])
    return stack, (stack * _plainly(names)[:, None, None]).argmax(axis=0)


def _plainly(names):
    return np.array([PLAINLY if name == "skin under patch" else 1.0 for name in names])


def _uses(panel, loads, limits):
    return worst_use([panel_use(panel, load, limits) for load in loads])


def _rising(values, name):
    values = np.asarray(values, dtype=float)
    if values.ndim != 1 or values.size < 2 or not np.all(np.isfinite(values)) or values[0] <= 0 or np.any(np.diff(values) <= 0):
        raise RangeError(f"failure_map: {name} must be a rising row of at least two numbers above nought.")
    return values


def _within_panel(cores, loads):
    short = min(min(load.sizes[:2]) for load in loads)
    if cores[-1] >= short:
        raise RangeError(f"failure_map: core_thicknesses go up to {cores[-1]:g} m, but the loaded panel is only {short:g} m wide; "
                         "plate theory wants a panel many times wider than thick. Check the units.")
