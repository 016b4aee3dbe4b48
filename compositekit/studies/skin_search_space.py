"""What a search tries on one zone: skins of every cloth and number of plies, on every core and sheet, and solid ones."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..infusion.cuts import core_cut
from .core_table import core_table

PATTERNS = ("all 0", "alternating")
TURN = {"balanced": np.pi / 4, "uni": np.pi / 2}   # of every second ply; a random mat is alike every way
MOST = 2_000_000      # candidates: about 400 MB of figures
SHEETS = np.arange(3, 41) * 1e-3   # m, tried where no list of sheets was read: whole millimetres
PLIES = (1, 2, 3)


class Skin(NamedTuple):
    """One skin, the ply nearest the outside first: fabric keys, and angles in radians."""

    fabrics: tuple[str, ...]
    angles: tuple[float, ...]


class Layup(NamedTuple):
    """One candidate; without a core the whole laminate is the outer skin, the core None and its thickness nought [m]."""

    outer: Skin
    inner: Skin | None
    core: str | None
    core_thickness: float

    def changes(self, zone, cut="plain") -> dict:
        """What to hand to Part.changed so that the zone is laid up like this."""
        outside, inside = ([] if skin is None else [{"fabric": key, "angle": f"{np.degrees(angle):.12g} deg"} for key, angle in zip(*skin, strict=True)]
                           for skin in (self.outer, self.inner))
        layup = {"outside": outside, "inside": inside}
        if self.core is not None:
            layup["core"] = {"core": self.core, "thickness": f"{self.core_thickness * 1e3:.12g} mm", "cut": cut}
        return {f"layup.{zone}": layup}


@dataclass(frozen=True, eq=False)
class Space:
    """What is tried: every pair of skins on every sheet, then every solid laminate.

    pairs    outer and inner Skin
    sheets   core key and thickness [m]
    solids   Skin of the whole laminate
    """

    pairs: tuple[tuple[Skin, Skin], ...]
    sheets: tuple[tuple[str, float], ...]
    solids: tuple[Skin, ...] = ()

    def __len__(self):
        return len(self.pairs) * len(self.sheets) + len(self.solids)

    def layup(self, row) -> Layup:
        """The candidate of that row."""
        row = int(row)
        if not 0 <= row < len(self):
            raise RangeError(f"there is no candidate {row}; the search has {len(self)}, counted from 0.")
        pair, sheet = divmod(row, len(self.sheets)) if self.sheets else (0, row)
        if pair < len(self.pairs) and self.sheets:
            return Layup(*self.pairs[pair], *self.sheets[sheet])
        return Layup(self.solids[row - len(self.pairs) * len(self.sheets)], None, None, 0.0)


@functools.lru_cache(maxsize=16)
def search_space(catalogue, styrene, cut, fabrics, cores, plies, patterns, hybrid, solid, thickest) -> Space:
    """Every candidate of these fabric keys and core keys (tuples), on all core sheets sold that are thinner than ``thickest`` [m];
    see skin_search for the rest."""
    skins = {key: _skins(catalogue.fabric(key), key, plies, patterns) for key in fabrics}
    ways = [(one, two) for one, two in product(fabrics, repeat=2) if hybrid or one == two]
    pairs = tuple((outer, _turned(inner)) for one, two in ways for outer, inner in product(skins[one], skins[two]) if _alike(outer, inner))
    sheets = tuple((core.key, float(thickness)) for core, sold in _sheets(catalogue, styrene, cores) for thickness in sold
                   if thickness < thickest and cut_fits(cut, thickness))
    solids = tuple(_solids(catalogue, fabrics, plies, patterns, pairs)) if solid else ()
    space = Space(pairs if sheets else (), sheets, solids)
    if len(space) > MOST:
        raise RangeError(f"the search would have {len(space):,} candidates, more than {MOST:,}; name fewer fabrics or cores, fewer plies, or no hybrids.")
    if not len(space):
        raise RangeError("the search has no candidate: no core can be had and solid laminates are not asked for. Name a core, or allow solid ones.")
    return space


def _skins(fabric, key, plies, patterns):
    turn = TURN.get(fabric.direction, 0.0)
    return tuple(dict.fromkeys(Skin((key,) * count, tuple(turn * (n % 2) * (pattern != "all 0") for n in range(count)))
                               for pattern in patterns for count in plies))


def _solids(catalogue, fabrics, plies, patterns, pairs):
    """Laminates that mirror themselves, of as many plies as one skin or two have; those of two cloths as outer upon inner skin."""
    counts = sorted({*plies, *(one + two for one, two in product(plies, repeat=2))})
    for key, pattern, count in product(fabrics, patterns, counts):
        turn = TURN.get(catalogue.fabric(key).direction, 0.0) * (pattern != "all 0")
        angles = tuple(turn * (min(n, count - 1 - n) % 2) for n in range(count))
        if pattern == "all 0" or any(angles) or len(patterns) == 1:
            yield Skin((key,) * count, angles)
    yield from dict.fromkeys(Skin(outer.fabrics + inner.fabrics, outer.angles + inner.angles)
                             for outer, inner in pairs if outer.fabrics[0] != inner.fabrics[0])


def _alike(outer, inner):
    """Whether both skins keep to one pattern, all plies along or every second one turned; a single ply goes with either."""
    turned = [len(skin.angles) > 1 and max(skin.angles) > 0 for skin in (outer, inner)]
    return turned[0] == turned[1] or min(len(outer.angles), len(inner.angles)) == 1


def _turned(skin):
    return Skin(skin.fabrics[::-1], skin.angles[::-1])   # the panel mirrors itself


def _sheets(catalogue, styrene, keys):
    table = core_table(catalogue, styrene)
    return [(core, sold or tuple(SHEETS)) for core, sold in zip(table.cores, table.sheets, strict=True) if core.key in keys]


def cut_fits(cut, thickness) -> bool:
    """Whether a sheet so thick [m] can be cut that way."""
    try:
        core_cut.si(cut, thickness)
    except RangeError:
        return False
    return True


def sizable_fabrics(catalogue) -> tuple[str, ...]:
    """Keys of the fabrics with a design strain, which a skin cannot be checked without."""
    return _sizable(catalogue)


@functools.lru_cache(maxsize=8)
def _sizable(catalogue):
    records = [catalogue.fabric(key) for key in catalogue.fabrics().index]
    return tuple(fabric.key for fabric in records if None not in (fabric.si.strain_limit_tension, fabric.si.strain_limit_compression))


def chosen(part, catalogue, zone, fabrics, cores, stock) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Fabric keys and core keys to try.

    Raises UnknownMaterial for a key that the catalogue does not hold; PartFileError for one that cannot be sized with,
    or a stock with no fabric.
    """
    sizable = sizable_fabrics(catalogue)
    comparable = tuple(core.key for core in core_table(catalogue, catalogue.resin(part.resin).contains_styrene).cores)
    if stock is not None:
        fabrics, cores = _in_stock(catalogue, stock, sizable, comparable)
    today = part.layup[zone]
    if fabrics is None:
        same = {catalogue.fabric(ply.fabric).fibre for ply in (*today.outside, *today.inside)}
        fabrics = [key for key in sizable if catalogue.fabric(key).fibre in same]
    fabrics = sizable if fabrics == "all" else tuple(dict.fromkeys(fabrics))
    cores = comparable if cores in (None, "all") else tuple(dict.fromkeys(cores))
    for key in fabrics:
        catalogue.fabric(key)
        if key not in sizable:
            raise PartFileError(f'fabric "{key}" has no design strain, so it cannot be searched with; fill in strain_limit_tension and '
                                "strain_limit_compression in your own fabrics.csv, from strips you have tested.")
    for key in cores:
        catalogue.core(key)
        if key not in comparable:
            raise PartFileError(f'core "{key}" cannot be searched with: it cannot be infused, or a figure to size it with is missing. '
                                "Choose another, or add the figure to your own cores.csv.")
    if not fabrics:
        raise PartFileError(f'no fabric to search with on zone "{zone}": none of the fibre it has carries a design strain, or an empty list '
                            "was given. Name at least one fabric.")
    return fabrics, cores


def _in_stock(catalogue, stock, sizable, comparable):
    held = {"fabrics": catalogue.fabrics(), "cores": catalogue.cores()}
    if stock == "own":
        fabrics, cores = (tuple(frame.index[frame["grade"] == "shop"]) for frame in held.values())
        fabrics, cores = [key for key in fabrics if key in sizable], [key for key in cores if key in comparable]
    else:
        if isinstance(stock, str):
            raise RangeError(f'stock is "{stock}"; say "own" for the rows of your own tables, or give a list of keys.')
        fabrics = [key for key in stock if key in held["fabrics"].index]
        cores = [key for key in stock if key not in fabrics]   # an unknown key is named by the catalogue itself
    if not fabrics:
        where = "own_materials of the part file lists no fabric with a design strain" if stock == "own" else "the stock list names no fabric"
        raise PartFileError(f"there is nothing in stock to make a skin of: {where}. Add one, or search the whole catalogue (stock=None).")
    return fabrics, tuple(cores)
