"""How long a bucket of this resin lives in this room, by its mass: typical, and with the shortest pot life of the row."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..infusion.exotherm import HEAT_OF_REACTION, bucket_life
from ..infusion.resin import pot_life_at
from ..units import Q_
from .room_resin import POT_LIFE_TEMPERATURE, catalysed

CUP = 0.1   # kg, what the data sheet's pot life was taken from


@dataclass(frozen=True, eq=False)
class BucketLives:
    """Working life against mass; SI floats.

    masses, lives  logarithms of a fine grid, so that reading between is close
    cup            life of the data sheet's 100 g in this room [s]: nothing heavier lives longer
    cup_for_all    a catalysed resin: no bucket at all is trusted beyond it
    """

    masses: np.ndarray
    lives: np.ndarray
    cup: float
    cup_for_all: bool

    def __call__(self, mass):
        kilograms = mass.m_as("kg")
        seconds = float(np.exp(np.interp(np.log(kilograms), self.masses, self.lives)))
        return Q_(min(seconds, self.cup) if self.cup_for_all or kilograms >= CUP else seconds, "s")


@functools.lru_cache(maxsize=128)
def _lives(pot_life, temperature, heat, cup_for_all):
    masses = np.geomspace(2e-3, 200.0, 60)
    lives = bucket_life(Q_(masses, "kg"), Q_(temperature, "K"), Q_(pot_life, "s"), Q_(POT_LIFE_TEMPERATURE, "K"),
                        heat_of_reaction=Q_(heat, "J/kg")).m_as("s")
    return BucketLives(np.log(masses), np.log(lives), float(pot_life_at.si(temperature, pot_life, POT_LIFE_TEMPERATURE)), cup_for_all)


def bucket_lives(resin, temperature: float) -> tuple[BucketLives, BucketLives | None]:
    """Lives at a temperature [K] with the typical pot life, and with the shortest; the second is None where the figure is the shop's own."""
    heat = resin.si.heat_of_reaction or HEAT_OF_REACTION
    typical = _lives(resin.si.pot_life, temperature, heat, catalysed(resin))
    if resin.grade == "shop":
        return typical, None
    return typical, _lives(resin.range("pot_life")[0].m_as("s"), temperature, heat, catalysed(resin))
