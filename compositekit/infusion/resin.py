"""How thick the liquid resin is and how long it stays workable: temperature and time.

Uncured resin and hardener sensitise the skin, and a bucket heats itself: see exotherm.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

GAS_CONSTANT = 8.314462618  # J/(mol K)
ACTIVATION_ENERGY = 55e3  # J/mol, epoxy with amine, 55 +- 10 kJ/mol (FL-H04, FL-H05, read)

AT_REFERENCE = dict(temperature="K in 200..700", temperature_reference="K in 200..700", activation_energy="J/mol in 0..300e3")


def speed_up(temperature, temperature_reference, activation_energy):
    """How many times faster an activated process goes than at the reference temperature (SI floats)."""
    return np.exp(activation_energy / GAS_CONSTANT * (1 / temperature_reference - 1 / temperature))


@checked(viscosity_reference="Pa*s > 0", **AT_REFERENCE, returns="Pa*s")
def viscosity(temperature, viscosity_reference, temperature_reference, activation_energy=50e3):
    """Viscosity of fresh resin at a temperature.

    temperature  [K]  temperature of the resin, scalar or array
    viscosity_reference  [Pa*s]  viscosity on the data sheet
    temperature_reference  [K]  temperature it was measured at
    activation_energy  [J/mol]  of flow; 50 kJ/mol if left out (usual 40 to 60, from memory)
    Returns viscosity [Pa*s].
    Raises UnitError, RangeError.
    Relation: mu = mu_ref exp[(E/R)(1/T - 1/T_ref)]
    Source: Arrhenius, FL-V10 and F-40 (own reference).
    """
    return viscosity_reference / speed_up(temperature, temperature_reference, activation_energy)


@checked(viscosity_cool="Pa*s > 0", temperature_cool="K in 200..700", viscosity_warm="Pa*s > 0", temperature_warm="K in 200..700",
         returns="J/mol")
def activation_energy_from_two(viscosity_cool, temperature_cool, viscosity_warm, temperature_warm):
    """Activation energy of flow from the viscosity at two temperatures.

    viscosity_cool  [Pa*s]  viscosity at the cooler temperature
    temperature_cool  [K]  the cooler temperature
    viscosity_warm  [Pa*s]  viscosity at the warmer temperature
    temperature_warm  [K]  the warmer temperature
    Returns activation energy [J/mol].
    Raises UnitError; RangeError also where the temperatures are not in this order or warm resin is not the thinner.
    Relation: E = R ln(mu1/mu2) / (1/T1 - 1/T2); two pot lives may be put in place of the viscosities
    Source: FL-V10 (own reference).
    """
    if np.any(np.asarray(temperature_warm) <= temperature_cool):
        raise RangeError(f"temperature_warm ({np.min(temperature_warm):g} K) must be above temperature_cool ({np.max(temperature_cool):g} K).")
    if np.any(np.asarray(viscosity_warm) > viscosity_cool):
        raise RangeError("the value at the warmer temperature is the greater one; check that the two were not swapped.")
    return GAS_CONSTANT * np.log(viscosity_cool / viscosity_warm) / (1 / temperature_cool - 1 / temperature_warm)


@checked(time="s >= 0", viscosity_start="Pa*s > 0", doubling_time="s > 0", returns="Pa*s")
def viscosity_aged(time, viscosity_start, doubling_time):
    """Viscosity of mixed resin after a time at one temperature.

    time  [s]  time since mixing, scalar or array
    viscosity_start  [Pa*s]  viscosity on mixing
    doubling_time  [s]  time in which it doubles at this temperature
    Returns viscosity [Pa*s].
    Raises UnitError; RangeError also beyond 100 doublings, where the resin is solid.
    Relation: mu = mu0 2^(t / t_double)
    Valid: up to gel; a thin layer, not a bucket.
    Source: exponential law, FL-V11 (from memory).
    """
    doublings = np.asarray(time) / doubling_time
    if np.any(doublings > 100):
        raise RangeError(f"the time is {np.max(doublings):.3g} doubling times; the resin has long set, so it has no viscosity.")
    return viscosity_start * 2.0**doublings


@checked(pot_life="s > 0", **AT_REFERENCE, returns="s")
def pot_life_at(temperature, pot_life, temperature_reference, activation_energy=ACTIVATION_ENERGY):
    """Pot life, gel time or doubling time carried to another temperature, for the same mass and cup.

    temperature  [K]  temperature wanted, scalar or array
    pot_life  [s]  time on the data sheet
    temperature_reference  [K]  temperature of the data sheet
    activation_energy  [J/mol]  of the cure; 55 kJ/mol if left out, 52.95 is "half for every 10 degrees" at 25 to 35 degC
    Returns time [s].
    Raises UnitError, RangeError.
    Relation: t = t_ref exp[(E/R)(1/T - 1/T_ref)]
    Source: ten-degree rule as an Arrhenius law, PR-R10 (read), PR-R14 (derived).
    """
    return pot_life / speed_up(temperature, temperature_reference, activation_energy)


@checked(temperature="K in 200..700", conversion_at_gel="1 in 0..0.99", rate_constant="1/s > 0",
         activation_energy="J/mol in 0..300e3", order="1 in 0..5", returns="s")
def gel_time(temperature, conversion_at_gel, rate_constant, activation_energy, order):
    """Time for a thin layer held at one temperature to reach a conversion, gel for one.

    temperature  [K]  temperature of the layer, scalar or array
    conversion_at_gel  [1]  conversion asked for; amine epoxies gel near 0.5 to 0.6 (from memory)
    rate_constant  [1/s]  pre-exponential factor A
    activation_energy  [J/mol]  of the cure
    order  [1]  order n of the reaction
    Returns time [s].
    Raises UnitError, RangeError.
    Relation: t = [(1-a)^(1-n) - 1] / ((n-1) A exp(-E/RT)); for n = 1 -ln(1-a) / (A exp(-E/RT))
    Source: n-th order rate law integrated, rate law of C-R6 (own reference).
    """
    left = -np.log1p(-np.asarray(conversion_at_gel, dtype=float))  # -ln(1 - a)
    away = (np.asarray(order) - 1) * left
    small = np.abs(away) < 1e-8
    reaction = left * np.where(small, 1.0, np.expm1(away) / np.where(small, 1.0, away))
    rate = rate_constant * np.exp(-activation_energy / (GAS_CONSTANT * temperature))
    if np.any(rate == 0) or np.any(reaction / rate > 1e15):
        raise RangeError("this resin would not gel in any useful time at this temperature; check rate_constant and activation_energy.")
    return reaction / rate


@checked(hardener_equivalent="kg/mol > 0", resin_equivalent="kg/mol > 0", returns="1")
def stoichiometric_ratio(hardener_equivalent, resin_equivalent):
    """Hardener per resin by mass at which every epoxide meets an amine hydrogen; a check on the data sheet, not a substitute.

    hardener_equivalent  [kg/mol]  mass of hardener per amine hydrogen
    resin_equivalent  [kg/mol]  mass of resin per epoxide
    Returns ratio [1]; times 100 it is parts per hundred.
    Raises UnitError, RangeError.
    Relation: r = AHEW / EEW
    Source: PR-R01 (read).
    """
    return hardener_equivalent / resin_equivalent
