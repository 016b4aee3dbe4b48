"""A bucket of mixed resin heats itself: temperature against time, and how long it stays workable.

Caution: a full bucket can pass 200 degC, smoke and catch fire. Spread left-over resin in thin layers outdoors,
never pour water into a boiling pot, and follow the supplier's data sheet and local fire and health codes.
"""

from __future__ import annotations

import functools

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from ..errors import RangeError
from ..units import checked, checked_fields
from .counts import single
from .resin import ACTIVATION_ENERGY, GAS_CONSTANT, speed_up

# Neat infusion epoxy, from memory (FL-H14, materials table): ask for the data sheet.
HEAT_OF_REACTION, SPECIFIC_HEAT, DENSITY = 440e3, 1.9e3, 1125.0  # J/kg, J/(kg K), kg/m^3
HEAT_TRANSFER = 8.0  # W/(m^2 K) from a bucket to still air, as in C-R6
ORDER = 1.5  # order of the rate law of C-R6
DEPTH_SHARE = 0.6  # depth over diameter of the resin in an ordinary cup or bucket, own judgement
WORKING_RISE = 30.0  # K: data sheets count pot life until 100 g has warmed from 20 to 50 degC (PR-R12, read)

KINETICS = dict(rate_constant="1/s in 1e-9..1e25", activation_energy="J/mol in 0..300e3", order="1 in 0..5",
                heat_of_reaction="J/kg in 1..1e7", specific_heat="J/kg/K in 100..1e5")


@checked(mass="kg > 0", diameter="m > 0", density="kg/m^3 > 0", heat_transfer="W/m^2/K >= 0", returns="W/kg/K")
def bucket_cooling(mass, diameter=None, density=DENSITY, heat_transfer=HEAT_TRANSFER):
    """Heat a bucket of resin loses per kilogram and per degree above the room.

    mass  [kg]  resin in the bucket, scalar or array
    diameter  [m]  inside diameter; a bucket filled to 0.6 of its diameter if left out
    density  [kg/m^3]  density of the resin
    heat_transfer  [W/m^2/K]  from the resin's surface to the room
    Returns cooling [W/kg/K].
    Raises UnitError, RangeError.
    Relation: U (2 pi d^2/4 + pi d h) / m, h = 4 m / (rho pi d^2)
    Source: C-R6 (own reference); the depth of 0.6 d is own judgement.
    """
    volume = mass / density
    if diameter is None:
        diameter = (4 * volume / (np.pi * DEPTH_SHARE)) ** (1 / 3)
    return heat_transfer * (np.pi * diameter**2 / 2 + 4 * volume / diameter) / mass


@checked_fields(times="s >= 0", temperatures="K > 0", conversions="1 in 0..1", peak="K > 0", peak_time="s >= 0", limit_time="s >= 0")
class SelfHeating:
    """The course of a bucket: times, temperatures, conversions, peak and its time, and when the limit was passed."""

    times: object
    temperatures: object
    conversions: object
    peak: object
    peak_time: object
    limit_time: object = None


@checked(temperature="K in 200..500", ambient="K in 200..500", cooling="W/kg/K in 0..1000", time="s in 1..1e7", limit="K > 0", **KINETICS)
@single()
def self_heating(temperature, ambient, cooling, time, rate_constant, activation_energy=ACTIVATION_ENERGY, order=ORDER,
                 heat_of_reaction=HEAT_OF_REACTION, specific_heat=SPECIFIC_HEAT, limit=323.15):
    """Temperature of a well mixed bucket of resin against time.

    temperature  [K]  of the resin on mixing
    ambient  [K]  of the room
    cooling  [W/kg/K]  from bucket_cooling; 0 for none
    time  [s]  how long to follow it
    rate_constant  [1/s]  pre-exponential factor A
    activation_energy  [J/mol]  of the cure
    order  [1]  order n of the reaction
    heat_of_reaction  [J/kg]  heat of full cure
    specific_heat  [J/kg/K]  heat to warm a kilogram by one degree
    limit  [K]  temperature whose passing is timed, 50 degC if left out
    Returns SelfHeating; limit_time is None if the limit is not passed.
    Raises UnitError; RangeError also if the bucket cannot be followed.
    Relation: da/dt = A exp(-E/RT)(1-a)^n, dT/dt = (H/c) da/dt - (cooling/c)(T - Ta)
    Valid: one temperature through the bucket. Caution: the middle of a real bucket is hotter; see the head of this module.
    Source: lumped model, C-R6 (own reference).
    """
    def course(_, state):
        kelvin, conversion = max(state[0], 1.0), min(max(state[1], 0.0), 1.0)
        rate = rate_constant * np.exp(-activation_energy / (GAS_CONSTANT * kelvin)) * (1 - conversion) ** order
        return [(heat_of_reaction * rate - cooling * (kelvin - ambient)) / specific_heat, rate]

    def passed(_, state):
        return state[0] - limit

    def turned(moment, state):
        return course(moment, state)[0]

    turned.direction = -1
    run = solve_ivp(course, (0, time), [temperature, 0.0], method="LSODA", events=[passed, turned], rtol=1e-8, atol=1e-9,
                    dense_output=True)
    if not run.success or not np.all(np.isfinite(run.y)):
        raise RangeError("the bucket cannot be followed with these numbers; check rate_constant and activation_energy.")
    moments = np.unique(np.concatenate([run.t, np.linspace(0, time, 200), *run.t_events]))
    kelvin, conversion = run.sol(moments)
    top = int(np.argmax(kelvin))
    return SelfHeating.from_si(times=moments, temperatures=kelvin, conversions=np.clip(conversion, 0, 1), peak=kelvin[top],
                               peak_time=moments[top], limit_time=run.t_events[0][0] if run.t_events[0].size else None)


def time_to_advance(rate_start, cooling, temperature, activation_energy,
                    heat_of_reaction=HEAT_OF_REACTION, specific_heat=SPECIFIC_HEAT):
    """Seconds until a bucket has reacted as far as would warm it by WORKING_RISE if it lost no heat (SI, vectorised).

    rate_start is the reaction rate [1/s] at the starting temperature, room and resin being equally warm. Solved over
    the conversion instead of time, which keeps the interval short and the end known: dt/da = 1/r,
    dT/da = H/c - (cooling/c)(T - Ta)/r, classical Runge-Kutta.
    """
    done = WORKING_RISE * specific_heat / heat_of_reaction
    even = done / rate_start  # the time if nothing warmed; a bucket cooling 1000 times over in it stays at room temperature
    decay = np.minimum(cooling / specific_heat, 1000 / even)
    steps = 48 + int(np.max(decay * even))  # keeps the explicit scheme well inside its stable limit
    step, rise_per_advance = done / steps, heat_of_reaction / specific_heat

    def slope(conversion, rise):
        wait = (1 - conversion) ** -ORDER / (rate_start * speed_up(temperature + rise, temperature, activation_energy))
        return wait, rise_per_advance - decay * rise * wait

    time = rise = 0.0
    for number in range(steps):
        at = number * step
        wait1, warm1 = slope(at, rise)
        wait2, warm2 = slope(at + step / 2, rise + step / 2 * warm1)
        wait3, warm3 = slope(at + step / 2, rise + step / 2 * warm2)
        wait4, warm4 = slope(at + step, rise + step * warm3)
        time = time + step / 6 * (wait1 + 2 * wait2 + 2 * wait3 + wait4)
        rise = rise + step / 6 * (warm1 + 2 * warm2 + 2 * warm3 + warm4)
    return time


@functools.lru_cache(maxsize=256)
def starting_rate(pot_life, pot_life_mass, temperature_reference, activation_energy, heat_of_reaction=HEAT_OF_REACTION):
    """Reaction rate [1/s] at the reference temperature that gives a standard cup its data-sheet pot life (SI floats)."""
    cooling = bucket_cooling.si(pot_life_mass)

    def miss(log_rate):
        return np.log(time_to_advance(np.exp(log_rate), cooling, temperature_reference, activation_energy, heat_of_reaction) / pot_life)

    steady = WORKING_RISE * SPECIFIC_HEAT / heat_of_reaction / pot_life  # the rate if nothing warmed and nothing was used up
    return float(np.exp(brentq(miss, np.log(steady / 50), np.log(steady * 2), xtol=1e-7)))


@checked(mass="kg in 1e-3..1000", temperature="K in 263.15..343.15", pot_life="s in 30..1e6", temperature_reference="K in 263.15..343.15",
         pot_life_mass="kg in 1e-3..100", activation_energy="J/mol in 1e3..120e3", diameter="m > 0", heat_of_reaction="J/kg in 1e5..1e6", returns="s")
@single("mass", "temperature", "diameter")
def bucket_life(mass, temperature, pot_life, temperature_reference=298.15, pot_life_mass=0.1,
                activation_energy=ACTIVATION_ENERGY, diameter=None, heat_of_reaction=HEAT_OF_REACTION):
    """Working time of a bucket by its mass, from the pot life on the data sheet.

    mass  [kg]  mixed resin in the bucket, scalar or array
    temperature  [K]  of resin and room on mixing
    pot_life  [s]  on the data sheet
    temperature_reference  [K]  temperature of the data sheet, 25 degC if left out
    pot_life_mass  [kg]  mass the data sheet tested, 100 g if left out
    activation_energy  [J/mol]  of the cure, 55 kJ/mol if left out
    diameter  [m]  of the vessel; give it for a wide shallow tray, which lives longer
    heat_of_reaction  [J/kg]  heat of full cure; 440 kJ/kg, an infusion epoxy from memory, if left out
    Returns time [s] until the resin has reacted as far as would warm it 30 K if no heat got out.
    Raises UnitError, RangeError.
    Relation: the lumped bucket of self_heating; its rate is set so that the data-sheet mass lasts the data-sheet pot life
    Valid: epoxies cured by amines; a catalysed resin runs away faster than this. The end is a conversion, not a temperature, because a slow resin in a small cup never warms by 30 K; for a big
    bucket the two are the same. Caution: past this time a big bucket runs away within minutes. A real one can be worse
    than this: use half of it at most.
    Source: lumped model C-R6 (own reference), pot life 20 to 50 degC PR-R12 (read), shape of the bucket own judgement.
    """
    rate = starting_rate(float(pot_life), float(pot_life_mass), float(temperature_reference), float(activation_energy), float(heat_of_reaction))
    cooling = bucket_cooling.si(mass, diameter)
    rate_here = rate * speed_up(temperature, temperature_reference, activation_energy)
    return time_to_advance(rate_here, cooling, temperature, activation_energy, heat_of_reaction)
