"""How far the resin has cured after a temperature history, and what glass transition that gives."""

from __future__ import annotations

import numpy as np
from scipy.integrate import cumulative_trapezoid, solve_ivp

from ..errors import RangeError
from ..units import checked
from .counts import one_length, single
from .resin import GAS_CONSTANT


@checked(times="s >= 0", temperatures="K in 200..700", rate_constant="1/s > 0", activation_energy="J/mol in 0..300e3",
         order="1 in 0..5", growth_order="1 in 0..3", conversion_start="1 in 0..0.999", returns="1")
@single("times", "temperatures")
def cure(times, temperatures, rate_constant, activation_energy, order, growth_order=0.0, conversion_start=0.0):
    """Conversion of a thin layer that follows a temperature history.

    times  [s]  increasing times of the history, shape (n,)
    temperatures  [K]  temperature at each time, straight in between, shape (n,)
    rate_constant  [1/s]  pre-exponential factor A
    activation_energy  [J/mol]  of the cure
    order  [1]  order n of the reaction
    growth_order  [1]  order m by which the product speeds the reaction; 0 for a plain n-th order cure
    conversion_start  [1]  conversion at the first time; above nought if growth_order is
    Returns conversion [1], shape (n,).
    Raises UnitError; RangeError also for times out of order or a growth that never starts.
    Relation: da/dt = A exp(-E/RT) a^m (1-a)^n; temperature only re-clocks it, so it is solved over the integral of A exp(-E/RT)
    Valid: before the resin turns glassy; a cool cure stops short when Tg passes the cure temperature.
    Source: form FL-H01 (read).
    """
    time, temperature = one_length(times=times, temperatures=temperatures)
    if np.any(np.diff(time) <= 0):
        raise RangeError("times must increase from reading to reading; sort them and drop repeats.")
    if growth_order > 0 and conversion_start == 0:
        raise RangeError("conversion_start is 0, from where a reaction sped by its own product never starts; give 1e-4 or so.")
    clock = _reaction_clock(time, temperature, rate_constant, activation_energy)
    if time.size == 1 or clock[-1] == 0:
        return np.full(time.size, float(conversion_start))

    def rate(_, conversion):
        reached = np.clip(conversion, 0.0, 1.0)
        return reached**growth_order * (1 - reached) ** order

    steps = solve_ivp(rate, (0, clock[-1]), [conversion_start], method="LSODA", t_eval=clock, rtol=1e-8, atol=1e-10)
    return np.clip(steps.y[0], 0.0, 1.0)


def _reaction_clock(time, temperature, rate_constant, activation_energy, pieces=32):
    """Integral of A exp(-E/RT) at each time, the temperature being straight between readings."""
    index = np.linspace(0, time.size - 1, (time.size - 1) * pieces + 1)
    place = np.arange(time.size)
    fine_time, fine_temperature = np.interp(index, place, time), np.interp(index, place, temperature)
    speed = rate_constant * np.exp(-activation_energy / (GAS_CONSTANT * fine_temperature))
    return cumulative_trapezoid(speed, fine_time, initial=0)[::pieces]


@checked(heat_of_reaction="J/kg >= 0", specific_heat="J/kg/K > 0", returns="K")
def adiabatic_rise(heat_of_reaction, specific_heat):
    """Temperature rise of resin that keeps all the heat of its cure: the ceiling of a bucket's exotherm.

    heat_of_reaction  [J/kg]  heat of full cure per mass of mixed resin
    specific_heat  [J/kg/K]  heat to warm a kilogram by one degree
    Returns temperature difference [K].
    Raises UnitError, RangeError.
    Relation: dT = H / c
    Source: PR-R27 (derived from a read heat).
    """
    return heat_of_reaction / specific_heat


ENDS = dict(uncured="K in 100..700", cured="K in 100..700", curvature="1 in 0.01..1")


@checked(conversion="1 in 0..1", **ENDS, returns="K")
def glass_transition(conversion, uncured, cured, curvature):
    """Glass transition temperature at a conversion.

    conversion  [1]  share of the reaction done, scalar or array
    uncured  [K]  glass transition of the unreacted mix
    cured  [K]  glass transition at full cure
    curvature  [1]  lambda of the relation; 0.3 to 0.5 for amine epoxies (from memory)
    Returns temperature [K].
    Raises UnitError, RangeError.
    Relation: (Tg - Tg0)/(Tg1 - Tg0) = L a / (1 - (1-L) a)
    Source: DiBenedetto in Pascault-Williams form, PR-R38 (from memory); constants FL-H03 (read).
    """
    return uncured + (cured - uncured) * curvature * conversion / (1 - (1 - curvature) * conversion)


@checked(temperature="K in 100..700", **ENDS, returns="1")
def conversion_from_glass_transition(temperature, uncured, cured, curvature):
    """Conversion that a measured glass transition stands for.

    temperature  [K]  measured glass transition, scalar or array
    uncured  [K]  glass transition of the unreacted mix
    cured  [K]  glass transition at full cure
    curvature  [1]  lambda of the relation
    Returns conversion [1].
    Raises UnitError; RangeError also outside the two ends.
    Relation: a = s / (L + (1-L) s), s = (Tg - Tg0)/(Tg1 - Tg0)
    Source: inverse of glass_transition.
    """
    if np.any(np.asarray(cured) <= uncured):
        raise RangeError(f"cured ({np.min(cured):g} K) must be above uncured ({np.max(uncured):g} K).")
    share = (temperature - uncured) / (cured - uncured)
    if np.any(share < -1e-12) or np.any(share > 1 + 1e-12):
        raise RangeError(f"temperature must lie between uncured ({np.min(uncured):g} K) and cured ({np.max(cured):g} K).")
    return share / (curvature + (1 - curvature) * share)
