"""The resin in this room: how thick it is, how fast it thickens and how long it lives."""

from __future__ import annotations

from dataclasses import dataclass

from ..catalogue import Resin
from ..errors import PartFileError
from ..infusion.resin import activation_energy_from_two, pot_life_at, viscosity
from ..units import Q_, say
from .findings import Step

SHEET = {"viscosity_20c": 293.15, "viscosity_25c": 298.15, "viscosity_30c": 303.15}   # K
FEW_PARTS = 5.0   # hardener per 100 of resin by weight: fewer is a catalyst (own judgement)
POT_LIFE_TEMPERATURE = 298.15   # K, the catalogue's pot life is that of 100 g at 25 degC


@dataclass(frozen=True)
class RoomResin:
    """Mixed resin at one temperature, SI floats: viscosity [Pa*s] when fresh, pot life of 100 g [s], doubling time [s]."""

    temperature: float
    viscosity: float
    pot_life: float
    doubling_time: float
    steps: tuple[Step, ...] = ()


def room_resin(resin: Resin, temperature: float, steps: bool = True, pot_life: float | None = None) -> RoomResin:
    """The resin at ``temperature`` [K], with the catalogue's typical pot life of 100 g unless ``pot_life`` [s] is given. Raises PartFileError where the row has no viscosity or no pot life.

    The viscosity is taken to double in one pot life: one maker's definition of pot life for slow systems (PR-R12, read),
    used here as the link between the two, own judgement.
    """
    known = {kelvin: getattr(resin.si, name) for name, kelvin in SHEET.items() if getattr(resin.si, name) is not None}
    if not known or resin.si.pot_life is None:
        missing = "viscosity" if not known else "pot life"
        raise PartFileError(f'resin "{resin.key}" has no {missing} in the catalogue; enter it from the data sheet in your own resins.csv.')
    cool, warm = _pair(sorted(known), temperature)
    energy = 50e3 if cool == warm else activation_energy_from_two.si(known[cool], cool, known[warm], warm)
    thick = float(viscosity.si(temperature, known[cool], cool, energy))
    life = float(pot_life_at.si(temperature, pot_life or resin.si.pot_life, POT_LIFE_TEMPERATURE))
    return RoomResin(temperature, thick, life, life, _steps(resin, temperature, known, cool, warm, energy, thick, life) if steps else ())


def cautious_room(resin: Resin, temperature: float) -> RoomResin | None:
    """The resin with the shortest pot life of its catalogue range; None where the figure is the shop's own."""
    if resin.grade == "shop":
        return None
    return room_resin(resin, temperature, steps=False, pot_life=resin.range("pot_life")[0].m_as("s"))


def catalysed(resin: Resin) -> bool:
    """Whether a few parts of catalyst set it off, as styrene resins, and not a hardener that becomes part of it."""
    return resin.contains_styrene or bool(resin.si.hardener_parts and resin.si.hardener_parts < FEW_PARTS)


def _pair(kelvins, temperature):
    """The two data-sheet temperatures next to the room's."""
    if len(kelvins) < 3:
        return kelvins[0], kelvins[-1]
    return (kelvins[0], kelvins[1]) if temperature <= kelvins[1] else (kelvins[1], kelvins[2])


def _steps(resin, temperature, known, cool, warm, energy, thick, life):
    celsius = Q_(temperature, "K").to("degC")
    sheet = {f"viscosity at {say(Q_(kelvin, 'K').to('degC'))}": Q_(known[kelvin], "Pa*s").to("mPa*s") for kelvin in dict.fromkeys((cool, warm))}
    return (
        Step("resin at room temperature", "μ = μ₁ exp[(E/R)(1/T − 1/T₁)], E from the two data-sheet values",
             sheet | {"E": Q_(energy, "J/mol").to("kJ/mol"), "room": celsius}, Q_(thick, "Pa*s").to("mPa*s"),
             f"Arrhenius, FL-V10 (own reference); viscosities of the catalogue row: {resin.grade}"),
        Step("life of 100 g at room temperature", "t = t₂₅ exp[(E/R)(1/T − 1/T₂₅)], E = 55 kJ/mol",
             {"pot life at 25 °C": resin.pot_life.to("min"), "room": celsius}, Q_(life, "s").to("min"),
             "ten-degree rule, PR-R10 (read); viscosity doubles in this time, PR-R12 (read, own judgement as a link)"))
