"""A search in plain words: a layup, what a step buys and breaks, why a brief cannot be met, what is not known."""

from __future__ import annotations

import numpy as np
import pandas as pd

from ..units import Q_, say
from .skin_search import SkinSearch
from .skin_search_figures import HEAT, MASS, SWAMPED, Columns
from .skin_search_neighbours import Neighbour
from .skin_search_scatter import Scatter
from .skin_search_space import Layup
from .skin_sizing_words import DEFER

CAUTION = f"{DEFER} A search only sorts what the estimates say: what it puts first still wants its own trial panel."
LEFT_OUT = ("Cost and CO2 are those of what stays in the zone: offcuts, bag, mesh, hose and labour are not in them. Published prices are "
            "industrial ones of 2019 in USD, read second-hand; a workshop pays several times as much (from memory). CO2 figures are "
            "mostly remembered orders of magnitude.")
BAND = ("The band goes from everything at its soft, heavy end together to everything at its stiff, light end: wider than scatter alone "
        "makes it. Design strains stay as they are.")


def layup_words(catalogue, layup: Layup) -> str:
    """A layup in one line, from the outside in."""
    if layup.core is None:
        return f"{_skin(catalogue, layup.outer)}, no core"
    return (f"{_skin(catalogue, layup.outer)} | {say(Q_(layup.core_thickness * 1e3, 'mm'))} {catalogue.core(layup.core).name} | "
            f"{_skin(catalogue, layup.inner)}")


def _skin(catalogue, skin):
    degrees = np.round(np.degrees(skin.angles), 3)
    turned = "" if not degrees.any() else f" at {'/'.join(f'{angle:g}' for angle in degrees)}°"
    runs = []
    for key in skin.fabrics:
        if not runs or runs[-1][1] != key:
            runs.append([0, key])
        runs[-1][0] += 1
    one_way = all(catalogue.fabric(key).direction == "uni" for key in skin.fabrics) and np.ptp(degrees % 180) == 0
    return " + ".join(f"{count} × {catalogue.fabric(key).name}" for count, key in runs) + turned + (
        " (UD one way only: almost nothing across)" if one_way else "")


def step_words(step: Neighbour) -> str:
    """What one step from a choice buys and what it breaks."""
    buys = f"{abs(step.part_mass):.2f} kg {'saved' if step.part_mass < 0 else 'more'}"
    cost = "cost not known" if np.isnan(step.cost) else f"cost {step.cost:+.2f}"
    all_holds = "all that is known holds" if step.unknown else "all holds"
    ends = (f"{all_holds}; nearest is {step.check} at {step.share:.0%} of its limit" if step.holds else
            f"{HEAT} FAILS: the skin gets {step.share:.3g} times as hot, in °C, as it is good for" if step.check == HEAT else
            f"{step.check} FAILS at {step.share:.3g} times its limit")
    return f"{step.what}: {buys}, {cost}, sag {step.deflection:.0%} of its limit; {ends}{_open(step.unknown)}"


def open_words(found: Columns, core: str | None) -> str:
    """The checks that a layup on this core leaves open, as in "; core crushing not known"; empty where all are known."""
    return _open(found.unchecked.get(core, ()))


def _open(names):
    return "".join(f"; {name} not known" for name in names)


def heat_words(search: SkinSearch) -> str:
    """Which temperature the cores were held against, and which are kept without knowing theirs."""
    hot = f"Cores are held against a skin at {search.ground.heat:.3g} °C"
    kept = [key for key, names in search.columns.unchecked.items() if HEAT in names]
    return f"{hot}." if not kept else f"{hot}; kept though not known what they are good for: {', '.join(kept)}."


def summary(search: SkinSearch) -> str:
    """What was tried and what came of it, in a sentence or two."""
    held, best = int(search.columns.holds.sum()), search.best()
    if best is None:
        return shortfall_words(search)
    found = search.columns
    return (f"{len(search):,} candidates tried, {held:,} hold the brief. Lightest: {layup_words(search.ground.catalogue, search.layup(best))}, "
            f"part {say(found.part_mass[best], 'kg')}, sag {found.shares['deflection'][best]:.0%} of its limit. {heat_words(search)}")


def shortfall_words(search: SkinSearch) -> str:
    """Which check no candidate can meet, and by how much at best; empty where the brief can be met."""
    short = search.shortfall
    if short is None:
        return ""
    words = [f"None of {len(search):,} candidates holds the brief."]
    words += [f"{_named(name)} cannot be met at all: at best {least:.3g} times its limit." for name, least in short.never.items()]
    if not short.never:
        words.append("Each check by itself can be met, but not all of them together.")
    words.append(f"Nearest: {layup_words(search.ground.catalogue, search.layup(short.nearest))}, with {short.check} at {short.share:.3g} times its limit. "
                 "Ask for less, hold the panel in more places, or search wider: more plies, other cloths, hybrids.")
    words.append(heat_words(search))
    return " ".join(words)


def _named(check):
    names = {MASS: "The mass target", SWAMPED: "Flotation when swamped", HEAT: "The temperature a core is good for"}
    return names.get(check, f"The limit of {check}")


def range_words(low, high, unit="", digits=3) -> str:
    """A range as people say it; one figure where both ends are the same."""
    low, high = (say(Q_(float(value), unit), digits=digits) for value in (low, high))
    return low if low == high else f"{low.removesuffix(unit).strip()} to {high}"


def scatter_words(band: Scatter, place=0) -> str:
    """How far the figures of one row of a scatter may move."""
    sag, worst, mass = band.deflection[:, place], band.worst[:, place], band.part_mass.m_as("kg")[:, place]
    ends = "holds all through" if worst[1] <= 1 else "fails at its soft end" if worst[0] <= 1 else "fails all through"
    return f"sag {range_words(*(100 * sag), '%')} of its limit, part {range_words(*mass, 'kg')}: {ends}"


def unknown_words(search: SkinSearch) -> str:
    """Which materials tried have no price or no footprint; empty where none is wanting."""
    found = search.columns
    return " ".join(f"No {what} known for {', '.join(keys)}: candidates with them have none." for what, keys in (
        ("price", found.unpriced), ("footprint", found.unprinted)) if keys)


def table(search: SkinSearch, rows) -> pd.DataFrame:
    """Chosen candidates as a table, one row each, the unit in each column name."""
    found, rows = search.columns, np.atleast_1d(np.asarray(rows, dtype=int))
    layups = [search.layup(row) for row in rows]
    shares = {f"{name}, share of limit": share[rows] for name, share in found.shares.items()}
    return pd.DataFrame({
        "layup": [layup_words(search.ground.catalogue, layup) for layup in layups], "part mass, kg": found.part_mass.m_as("kg")[rows],
        "thickness, mm": found.thickness.m_as("mm")[rows], "resin that stays in, kg": found.resin.m_as("kg")[rows],
        "cost": found.cost[rows], "CO2e, kg": found.carbon.m_as("kg")[rows], "bulk density, kg/m3": found.bulk_density.m_as("kg/m^3")[rows],
        "lift under water, kg": found.lift.m_as("kg")[rows], **shares}, index=pd.Index(rows, name="candidate"))
