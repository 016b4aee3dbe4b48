"""Which skins and which core, of everything the catalogue or the shop holds: all at once, and what beats today's layup."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..mechanics.search import least_violation, pareto_front
from ..units import Spec
from .core_selection import CUTS, SKIN_TEMPERATURE, ZERO_CELSIUS
from .skin_search_figures import HEAT, Columns, columns, evaluate
from .skin_search_ground import Ground, search_ground
from .skin_search_space import PATTERNS, PLIES, Layup, Skin, Space, chosen, search_space, sizable_fabrics

FIGURES = ("part_mass", "deflection", "cost", "thickness", "carbon", "resin")   # what a front can be drawn over, low is good


class Shortfall(NamedTuple):
    """A brief that no candidate meets.

    nearest   row of the candidate whose worst share is smallest
    share     that worst share, 1 being the limit
    check     the check it belongs to
    never     checks that no candidate holds even by itself, with the smallest share any has of it; may be empty
    """

    nearest: int
    share: float
    check: str
    never: dict[str, float]


@dataclass(frozen=True, eq=False)
class SkinSearch:
    """Every candidate of one zone, all checks taken.

    ground, space   what the search rests on, and what was tried
    columns         figures of every candidate
    today           the zone's own layup, and its figures as columns of one row; None where it lacks a figure to size with
    today_columns   as above
    """

    ground: Ground
    space: Space
    columns: Columns
    today: Layup | None
    today_columns: Columns | None

    def __len__(self):
        return len(self.space)

    def layup(self, row) -> Layup:
        """What a candidate is made of."""
        return self.space.layup(row)

    def figure(self, name) -> np.ndarray:
        """One figure of every candidate as plain SI numbers, NaN where it is not known: one of FIGURES. Raises RangeError."""
        return _figure(self.columns, name)

    def front(self, figures=("part_mass", "deflection"), holding=True) -> np.ndarray:
        """Rows that nothing beats on these FIGURES, by rising first figure; of those that hold the brief, or of all.

        Empty where none holds, or where a figure is known of none. Raises RangeError.
        """
        return _front(self.columns, tuple(figures), bool(holding))

    def best(self, figure="part_mass") -> int | None:
        """Row of the candidate that holds the brief and is lowest in one of FIGURES; None where there is none."""
        rows = self.front((figure, "part_mass"))
        return int(rows[0]) if len(rows) else None

    @functools.cached_property
    def shortfall(self) -> Shortfall | None:
        """What stands in the way where no candidate holds the brief; None where one does."""
        shares = self.columns.shares | {HEAT: self.columns.heat}
        if self.columns.holds.any():
            return None
        nearest = least_violation.si(np.nan_to_num(np.column_stack([*shares.values()])))   # no such check, nothing used up
        least = {name: float(np.nanmin(np.nan_to_num(share))) for name, share in shares.items()}
        check, share = first_to_fail(self.columns, nearest)
        return Shortfall(nearest, share, check, {name: value for name, value in least.items() if value > 1})

    def first_to_fail(self, row) -> tuple[str, float]:
        """The check a candidate comes closest to failing, or fails by most, and the share of its limit used up; HEAT where only that
        rules it out."""
        self.space.layup(row)
        return first_to_fail(self.columns, int(row))


def skin_search(part, catalogue, zone=None, fabrics=None, cores=None, stock=None, plies=PLIES, patterns=PATTERNS[:1],
                hybrid=False, solid=True, prices=None, skin_temperature=SKIN_TEMPERATURE) -> SkinSearch:
    """Every candidate layup of one zone against every check of the brief.

    zone      left out, the first with a load
    fabrics   keys to make skins of, or "all"; left out, every cloth of the fibres the zone has now
    cores     keys to try, or "all"; left out, all that can be infused and sized with
    stock     "own" for the rows of the shop's own tables only, or a list of fabric and core keys; in place of the two above
    plies     how many plies a skin may have, whole numbers
    patterns  of PATTERNS: every ply along, and (alternating) every second one turned, by 45 degrees or for UD by 90
    hybrid    whether the outer skin may be of another cloth than the inner
    solid     whether to try laminates without a core
    prices    {key: price per kg} of the shop's own, in one currency; left out, the few published ones
    skin_temperature   hottest the skin gets: a core known to be good for less does not hold; one whose limit is not known is
              kept and named
    Found again without a new search until something it rests on changes; the zone's own layup is not among that. Loads with
    clamped edges cost some 10 ms for each kind of skin and load, so a wide search with turned plies takes a quarter of a minute.
    Raises PartFileError, UnknownMaterial, RangeError, UnitError.
    """
    zone = part.structural_zones[0] if zone is None else zone
    if zone not in part.layup:
        raise PartFileError(f'there is no layup for zone "{zone}"; zones with one are {", ".join(part.layup)}.')
    today = part.layup[zone]
    plies, patterns = _counts(plies), _patterns(patterns)
    fabrics, cores = chosen(part, catalogue, zone, fabrics, cores, stock)
    cut = today.core.cut if today.core else CUTS[0]
    heat = Spec.of("K in 223..473").read(skin_temperature, "skin_temperature") - ZERO_CELSIUS
    ground = search_ground(part, catalogue, zone, cut, prices, round(float(heat), 9))
    space = search_space(catalogue, catalogue.resin(part.resin).contains_styrene, cut, fabrics, cores, plies, patterns, bool(hybrid), bool(solid),
                         min(size for load in ground.loads for size in load.sizes[:2]))   # as thick as that is a block, not a panel
    layup = layup_of(today)
    return SkinSearch(ground, space, columns(ground, space), *((layup, one(ground, layup)) if _sizable(ground, layup) else (None, None)))


def layup_of(zone_layup) -> Layup:
    """The layup of a zone of a part file as a candidate."""
    outer, inner = (Skin(tuple(ply.fabric for ply in face), tuple(ply.angle.m_as("rad") for ply in face))
                    for face in (zone_layup.outside, zone_layup.inside))
    if zone_layup.core is None:
        return Layup(Skin(outer.fabrics + inner.fabrics, outer.angles + inner.angles), None, None, 0.0)
    return Layup(outer, inner, zone_layup.core.core, zone_layup.core.thickness.m_as("m"))


@functools.lru_cache(maxsize=64)
def one(ground: Ground, layup: Layup) -> Columns:
    """The same figures of a single layup."""
    if layup.core is None:
        return evaluate(ground, Space((), (), (layup.outer,)))
    return evaluate(ground, Space((layup[:2],), (layup[2:],)))


def _sizable(ground, layup):
    if not set(layup.outer.fabrics + (layup.inner.fabrics if layup.inner else ())) <= set(sizable_fabrics(ground.catalogue)):
        return False
    if layup.core is None:
        return True
    core = ground.catalogue.core(layup.core)
    return None not in (core.design_value("compressive_modulus")[0], core.design_value("shear_modulus")[0])


def first_to_fail(found: Columns, row) -> tuple[str, float]:
    """The check a row of the columns comes closest to failing, or fails by most, and its share; HEAT where all but that holds."""
    if found.heat[row] > 1 and found.worst[row] <= 1:
        return HEAT, float(found.heat[row])
    name = max(found.shares, key=lambda name: np.nan_to_num(found.shares[name][row]))
    return name, float(found.shares[name][row])


def _figure(found, name):
    if name not in FIGURES:
        raise RangeError(f'there is no figure "{name}" to compare by; choose of {", ".join(FIGURES)}.')
    if name == "deflection":
        return found.shares[name]
    values = getattr(found, name)
    return getattr(values, "magnitude", values)


@functools.lru_cache(maxsize=32)
def _front(found, figures, holding):
    if not figures:
        raise RangeError(f'a front needs at least one figure; choose of {", ".join(FIGURES)}.')
    table = np.column_stack([_figure(found, name) for name in figures])
    rows = np.flatnonzero(np.isfinite(table).all(axis=1) & (found.holds if holding else True))
    front = rows[pareto_front.si(table[rows])] if len(rows) else rows
    front.flags.writeable = False
    return front


def _counts(plies):
    try:
        counts = tuple(int(count) for count in plies)
    except (TypeError, ValueError):
        counts = ()
    if not counts or any(count != given for count, given in zip(counts, plies, strict=True)) or min(counts) < 1 or max(counts) > 20:
        raise RangeError(f"plies came as {plies!r}; give the numbers of plies a skin may have, whole, from 1 to 20, like (1, 2, 3).")
    return tuple(sorted(set(counts)))


def _patterns(patterns):
    patterns = (patterns,) if isinstance(patterns, str) else tuple(patterns)
    if not patterns or set(patterns) - set(PATTERNS):
        raise RangeError(f'patterns came as {", ".join(map(str, patterns)) or "none"}; choose of {", ".join(PATTERNS)}.')
    return patterns
