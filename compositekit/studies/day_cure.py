"""The cure clock: how far the resin has cured in the part, what glass transition that makes, when to demould. An estimate."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..infusion.cure import cure, glass_transition
from ..infusion.exotherm import ORDER, starting_rate
from ..infusion.resin import ACTIVATION_ENERGY, GAS_CONSTANT, gel_time
from ..units import Q_
from .room_resin import POT_LIFE_TEMPERATURE

CUP = 0.1                # kg, the cup of the catalogue's pot life
LIQUID_TG = 243.15       # K, glass transition of the mix before it reacts; from memory, -40 to -20 degC
CURVATURE = 0.4          # of the glass transition relation; 0.3 to 0.5 for amine epoxies (PR-R38, from memory)
GEL = (0.55, 0.5)        # share reacted at gel, typical and slow; amine epoxies 0.5 to 0.6, from memory
FREEZE = 15.0            # K above its own temperature where a cure stops (PR-R31, a trade rule, read)
DEMOULD = 10.0           # K above the part that Tg must be before it leaves the mould (PR-R39, own judgement)
LONGEST = 14 * 24.0      # h, followed so far
HARD = "glass transition: the temperature below which the resin is hard"
HARDENED = "Hardness that has stopped rising between two readings 4 h apart proves it; this clock does not"
NOT_EPOXY = ("No cure clock for {name}: this resin sets off by its catalyst, after a wait that the clock's relation does not know. Go by the data "
             "sheet. A class rule for polyester, read, asks for 48 h at 18 °C or more after laminating.")


@dataclass(frozen=True, eq=False)
class CureClock:
    """Cure of a thin part against time, SI arrays; each pair is (typical, slow), slow being the longest pot life listed.

    hours         time since the fill [h]
    conversion    share of the reaction done; glass_transition [K]
    when          hours until Tg is DEMOULD above the room, infinite if it does not come to that in two weeks
    at            hours looked at, the slow demould time if none were asked for (two weeks where it never comes); tg_at the slow glass transition then [K]
    """

    hours: np.ndarray
    conversion: tuple[np.ndarray, np.ndarray]
    glass_transition: tuple[np.ndarray, np.ndarray]
    room: float
    oven: float
    when: tuple[float, float]
    at: float
    tg_at: float
    rate_constant: tuple[float, float]

    @property
    def not_before(self) -> float:
        """Whole hours before which nobody should demould, slow case; infinite where two weeks do not suffice."""
        return float(np.ceil(self.when[1]))

    @property
    def margin(self):
        """How far the slow Tg stands above the room at the hours looked at [K]."""
        return Q_(self.tg_at - self.room, "K")


def cure_clock(resin, room: float, oven: float, hours: float | None, gel_seen: float | None = None) -> CureClock | None:
    """Cure of the part at ``oven`` [K], demoulded at ``room`` [K]; None for a resin that is not an epoxy.

    hours     looked at; the time the slow resin takes until it may be demoulded if None
    gel_seen  time after which a thin film of the day's resin gelled in the room [s]; it sets the speed of the cure in
              place of the pot life
    One activation energy and one measured time: no full set of constants for a cool-curing infusion epoxy could be read.
    """
    if resin.family != "epoxy" or resin.tg is None or resin.pot_life is None:
        return None
    grid, found = _course(resin, room, oven, gel_seen)
    done, tg, when, constant = zip(*found, strict=True)
    if hours is None:
        hours = min(float(np.ceil(when[1])), LONGEST)
    return CureClock(grid, done, tg, room, oven, when, hours, float(np.interp(hours, grid, tg[1])), constant)


@lru_cache(maxsize=32)
def _course(resin, room, oven, gel_seen):
    """Hours, and for the typical and the slow resin: conversion, Tg, time to demould, rate constant."""
    grid = np.concatenate([[0.0], np.geomspace(0.25, LONGEST, 80)])
    found = []
    for constant in _rate_constants(resin, room, gel_seen):
        done = cure.si(grid * 3600, np.full(grid.size, oven), constant, ACTIVATION_ENERGY, ORDER)
        tg = np.minimum(glass_transition.si(done, LIQUID_TG, resin.si.tg, CURVATURE), oven + FREEZE)
        found.append((done, tg, _reached(grid, tg, room + DEMOULD), constant))
    return grid, tuple(found)


def _rate_constants(resin, room, gel_seen):
    """Typical and slow pre-exponential factor [1/s]: from a film seen to gel, else from the pot life of a cup as on the resin page."""
    if gel_seen is not None:
        return tuple(gel_time.si(room, done, 1.0, ACTIVATION_ENERGY, ORDER) / gel_seen for done in GEL)
    per_rate = np.exp(ACTIVATION_ENERGY / (GAS_CONSTANT * POT_LIFE_TEMPERATURE))
    return tuple(per_rate * starting_rate(float(life.m_as("s")), CUP, POT_LIFE_TEMPERATURE, ACTIVATION_ENERGY)
                 for life in resin.range("pot_life")[1:])


def _reached(hours, tg, wanted):
    after = np.flatnonzero(tg >= wanted)
    if not after.size:
        return float("inf")
    first = int(after[0])
    return float(np.interp(wanted, tg[first - 1:first + 1], hours[first - 1:first + 1])) if first else 0.0
