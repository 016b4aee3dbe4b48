"""The layups one step from a choice: what each step buys, and what it breaks."""

from __future__ import annotations

from typing import NamedTuple

from ..errors import RangeError
from .core_table import core_table, next_sheet
from .skin_search import SkinSearch, first_to_fail, one
from .skin_search_figures import evaluate
from .skin_search_space import Layup, Skin, Space, cut_fits

STEP = 1e-3   # m, the next core where no list of sheets was read


class Neighbour(NamedTuple):
    """One step from a choice.

    what        the step, in words
    layup       where it leads
    part_mass   change of it [kg], less is negative
    cost        change of the zone's materials, a plain number; NaN where a price is not known
    deflection  share of the limit used up there
    check, share   the check that it comes closest to failing or fails by most, and the share of that limit used up
    unknown     checks left open since its core lacks the figure
    """

    what: str
    layup: Layup
    part_mass: float
    cost: float
    deflection: float
    check: str
    share: float
    unknown: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether it still holds every limit of the brief that is known."""
        return self.share <= 1


def neighbours(search: SkinSearch, choice: int | Layup | None = None) -> tuple[Neighbour, ...]:
    """One ply less or more each side, the next sheet down or up, the next grade of the core's family lighter or heavier.

    choice  a row of the search, or a Layup; left out, today's
    Raises RangeError for no such row, or where today's layup cannot be sized with.
    """
    layup = search.today if choice is None else choice if isinstance(choice, Layup) else search.layup(choice)
    if layup is None:
        raise RangeError("today's layup lacks a figure to size with, so its neighbours cannot be reckoned; choose a row of the search.")
    ground, here = search.ground, one(search.ground, layup)
    found = []
    for steps in (_plies(layup), _cores(ground, layup)):
        if steps:
            ways = [step for _, step in steps]
            there = evaluate(ground, _space(ways))
            found += [_step(what, step, here, there, row) for row, (what, step) in enumerate(steps)]
    return tuple(found)


def _space(layups):
    if layups[0].core is None:
        return Space((), (), tuple(layup.outer for layup in layups))
    pairs, sheets = (tuple(dict.fromkeys(found)) for found in ((layup[:2] for layup in layups), (layup[2:] for layup in layups)))
    return Space(pairs, sheets)   # one of the two is a single one, so the rows are the steps


def _step(what, layup, here, there, row):
    mass = there.part_mass.magnitude[row] - here.part_mass.magnitude[0]
    return Neighbour(what, layup, float(mass), float(there.cost[row] - here.cost[0]), float(there.shares["deflection"][row]),
                     *first_to_fail(there, row), there.unchecked.get(layup.core, ()))


def _plies(layup):
    outer, inner = layup.outer, layup.inner
    if inner is None:
        less, more = _cut(outer, -1), _grown(outer, -1)
        return [(what, layup._replace(outer=skin)) for what, skin in (("one ply less", less), ("one ply more", more)) if skin]
    steps = (("one ply less outside", "outer", _cut(outer, -1)), ("one ply less inside", "inner", _cut(inner, 0)),
             ("one ply more outside", "outer", _grown(outer, -1)), ("one ply more inside", "inner", _grown(inner, 0)))
    return [(what, layup._replace(**{side: skin})) for what, side, skin in steps if skin]


def _cut(skin, place):
    """Without the ply next to the core; None when that was the last."""
    kept = slice(None, -1) if place else slice(1, None)
    return Skin(skin.fabrics[kept], skin.angles[kept]) if len(skin.fabrics) > 1 else None


def _grown(skin, place):
    """With the ply next to the core twice."""
    fabrics, angles = (list(values) for values in skin)
    where = len(fabrics) if place else 0
    fabrics.insert(where, fabrics[place])
    angles.insert(where, angles[place])
    return Skin(tuple(fabrics), tuple(angles))


def _cores(ground, layup):
    if layup.core is None:
        return []
    table = core_table(ground.catalogue, ground.catalogue.resin(ground.resin).contains_styrene)
    sheets = dict(zip((core.key for core in table.cores), table.sheets, strict=True))
    steps = []
    for word, thickness in zip(("down", "up"), _next_sheets(sheets.get(layup.core, ()), layup.core_thickness), strict=True):
        if thickness is not None and thickness > 0 and cut_fits(ground.cut, thickness):
            steps.append((f"next sheet {word}, {thickness * 1e3:.3g} mm", layup._replace(core_thickness=float(thickness))))
    own = ground.catalogue.core(layup.core)
    for word, core in zip(("lighter", "heavier"), _next_grades(table.cores, own), strict=True):
        if core is not None:
            thickness = next_sheet(sheets[core.key], layup.core_thickness) or layup.core_thickness
            steps.append((f"next {word} grade, {core.name}", layup._replace(core=core.key, core_thickness=float(thickness))))
    return steps


def _next_grades(cores, own):
    """The grades of the same make just lighter and just heavier, or where it has none, of the same family."""
    found = []
    for side in (-1, 1):
        beyond = [core for core in cores if core.family == own.family and side * (core.si.density - own.si.density) > 0]
        found.append(min(beyond, key=lambda core: (_make(core) != _make(own), abs(core.si.density - own.si.density)), default=None))
    return found


def _make(core):
    return core.key.rsplit("-", 1)[0]   # keys end in the density


def _next_sheets(sold, thickness):
    if not sold:
        return round(thickness - STEP, 9), round(thickness + STEP, 9)
    return max((sheet for sheet in sold if sheet < thickness - 1e-9), default=None), min((sheet for sheet in sold if sheet > thickness + 1e-9), default=None)
