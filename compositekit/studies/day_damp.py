"""Damp in the cloth on the day: how much water it holds in this room, and whether that boils under the bag."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import RangeError
from ..infusion.moisture import boiling_margin, fibre_moisture, humidity_under_vacuum, water_vapour_pressure
from ..units import Q_, say

CURVES = {"flax": "flax", "hemp": "flax", "jute": "jute"}   # hemp on the curve of flax: own judgement, their regains are 7 and 8 % (PR-M10, read)
LAY_UP = "own judgement: lay up with fibre in balance with 35 to 50 % humidity, reject above 65 %"     # PR-M34
WINDOW_TOP = Q_(50.0, "percent")
DAMP_CORES = ("balsa", "cork")      # families that take water from the air
FREEZING = Q_(273.15, "K")
ADVICE = ("Open the roll out. Dry at 60 to 80 °C for 2 to 4 h, or at 105 °C for 20 to 30 min, in moving air (own judgement).",
          "Weigh a swatch every 30 min until two readings differ by less than 0.1 %.",
          "Lay up and bag at once: cloth takes water from shop air again within minutes. Do not bake it for longer than it needs: over-dried fibre is brittle.",
          "Pulling vacuum on cold cloth hardly dries it: warm first, then pull, and let it breathe.")


@dataclass(frozen=True)
class Damp:
    """Water and vacuum in this room, quantities. In a frozen room, with nothing that takes water, the last four are None: water there is ice.

    fabrics        hygroscopic cloths by name; empty when none is; cores  the balsa and cork likewise
    moisture       water by dry mass of fibre; None where no curve is known for the fibre; allowed  the same at the top of the shop's window
    water          in all the cloth of the part; cloth its dry mass
    boils_at       pressure below which free water boils
    margin         bag pressure over the pressure at which the fibre's water boils off
    free_margin    the same for free water, a drip or a damp core
    held_at        humidity that the fibre comes to under the bag
    """

    fabrics: tuple[str, ...]
    cores: tuple[str, ...]
    moisture: float | None
    allowed: float | None
    water: Q_ | None
    cloth: Q_
    boils_at: Q_ | None
    margin: float | None
    free_margin: float | None
    held_at: float | None

    @property
    def takes_water(self) -> tuple[str, ...]:
        """Everything in the part that takes water from the air, cloth first."""
        return self.fabrics + self.cores


def takes_water(part, catalogue) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of the cloths and of the cores in a part that take water from the air."""
    layups = part.layup.values()
    cloths = (catalogue.fabric(ply.fabric) for layup in layups for ply in (*layup.outside, *layup.inside))
    cores = (catalogue.core(layup.core.core) for layup in layups if layup.core is not None)
    return (tuple(dict.fromkeys(cloth.name for cloth in cloths if cloth.hygroscopic)),
            tuple(dict.fromkeys(core.name for core in cores if core.family in DAMP_CORES)))


def damp(part, catalogue, builds) -> Damp:
    """Water in the cloth at the room's humidity and what the bag does to it. Raises RangeError below 0 degC for what takes water."""
    shop = part.workshop
    humidity, temperature = max(shop.relative_humidity.m_as(""), 0.01), shop.temperature
    pressure = max(shop.bag_pressure.m_as("Pa"), 1.0)      # a perfect vacuum boils everything
    cloth = water = allowed = 0.0
    (names, cores), known = takes_water(part, catalogue), True
    for build in builds.values():
        for key, ply in zip((*build.outer_keys, *build.inner_keys), build.plies, strict=True):
            fabric = catalogue.fabric(key)
            if not fabric.hygroscopic:
                continue
            mass = ply.si.areal_weight * build.zone.si.area
            cloth += mass
            kind = CURVES.get(fabric.fibre)
            known = known and kind is not None
            if kind:
                water += mass * float(fibre_moisture(Q_(humidity, ""), kind).m_as(""))
                allowed += mass * float(fibre_moisture(WINDOW_TOP, kind).m_as(""))
    shares = (water / cloth, allowed / cloth) if cloth and known else (None, None)
    held = (names, cores, *shares, Q_(water, "kg") if known else None, Q_(cloth, "kg"))
    if temperature < FREEZING:
        if names or cores:
            raise RangeError(f"workshop.temperature is {say(temperature.to('degC'))}, but what the bag does to water in {', '.join(names + cores)} is known "
                             "from 0 °C up only: below it the water is ice. Warm the room, the mould, the cloth and the core before the build day.")
        return Damp(*held, None, None, None, None)
    margin, free = (float(boiling_margin(Q_(pressure, "Pa"), temperature, Q_(h, "")).m_as("")) for h in (humidity, 1.0))
    return Damp(*held, water_vapour_pressure(temperature).to("mbar"), margin, free,
                float(humidity_under_vacuum(Q_(pressure, "Pa"), temperature).m_as("")))
