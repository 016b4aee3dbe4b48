"""A resin that thickens while the room warms or cools: its viscosity and the clock of any fill through a temperature history."""

from __future__ import annotations

import numpy as np
from scipy.integrate import cumulative_simpson
from scipy.interpolate import PchipInterpolator

from ..errors import RangeError
from ..units import checked
from .counts import one_length, single
from .resin import ACTIVATION_ENERGY, speed_up

FINE = 64   # steps within each stretch of the history: 1e-8 on the clock for stretches of an hour and 20 degrees
FLOW_ENERGY = 50e3  # J/mol, of flow; usual 40 to 60 (from memory)

HISTORY = dict(times="s >= 0", temperatures="K in 200..700", doubling_time="s > 0", temperature_reference="K in 200..700",
               flow_energy="J/mol in 0..300e3", activation_energy="J/mol in 0..300e3")


@checked(**HISTORY, viscosity_reference="Pa*s > 0", returns="Pa*s")
@single("times", "temperatures")
def viscosity_in_room(times, temperatures, viscosity_reference, doubling_time, temperature_reference, flow_energy=FLOW_ENERGY,
                      activation_energy=ACTIVATION_ENERGY):
    """Viscosity of mixed resin at each time of a temperature history that starts with mixing.

    times  [s]  rising from the start, shape (n,), n at least 2
    temperatures  [K]  of the resin at those times, straight in between, shape (n,)
    viscosity_reference  [Pa*s]  viscosity on mixing at the reference temperature
    doubling_time  [s]  time in which it doubles at the reference temperature
    temperature_reference  [K]  temperature of the two figures
    flow_energy  [J/mol]  activation energy of flow; 50 kJ/mol if left out (usual 40 to 60, from memory)
    activation_energy  [J/mol]  of the cure; 55 kJ/mol if left out
    Returns viscosity [Pa*s], shape (n,).
    Raises UnitError; RangeError also for times that do not rise, or beyond 100 doublings.
    Relation: mu = mu_ref f(T) exp(integral of k(T) dt), dual Arrhenius
    Source: FL-V11 (from memory), its last term integrated over the history.
    """
    _, thickness = _clock(times, temperatures, doubling_time, temperature_reference, flow_energy, activation_energy)
    return viscosity_reference * thickness[::FINE]


@checked(**HISTORY, returns="s")
@single("times", "temperatures")
def fresh_time_in_room(times, temperatures, doubling_time, temperature_reference, flow_energy=FLOW_ENERGY, activation_energy=ACTIVATION_ENERGY):
    """Time in which resin that stayed fresh at the reference temperature would run as far as this one has by each time.

    times  [s]  rising from the start, shape (n,), n at least 2
    temperatures  [K]  of the resin at those times, straight in between, shape (n,)
    doubling_time  [s]  time in which the viscosity doubles at the reference temperature
    temperature_reference  [K]  temperature at which fill times are worked out
    flow_energy  [J/mol]  activation energy of flow; 50 kJ/mol if left out
    activation_energy  [J/mol]  of the cure; 55 kJ/mol if left out
    Returns time [s], shape (n,).
    Raises UnitError; RangeError also for times that do not rise, or beyond 100 doublings.
    Relation: tau = integral of mu_ref/mu(t) dt
    Source: FL-R15b with FL-V11 (own reference).
    """
    grid, thickness = _clock(times, temperatures, doubling_time, temperature_reference, flow_energy, activation_energy)
    return cumulative_simpson(1 / thickness, x=grid, initial=0.0)[::FINE]


@checked(fill_time="s >= 0", **HISTORY, returns="s")
@single("fill_time", "times", "temperatures")
def fill_time_in_room(fill_time, times, temperatures, doubling_time, temperature_reference, flow_energy=FLOW_ENERGY,
                      activation_energy=ACTIVATION_ENERGY):
    """Time on the clock of any fill whose time with fresh resin at the reference temperature is known.

    fill_time  [s]  fill time with the fresh viscosity of the reference temperature, whatever the path, scalar or array
    times  [s]  of the history, rising, the first when the resin enters and is fresh, shape (n,), n at least 2
    temperatures  [K]  of the resin at those times, straight in between, shape (n,)
    doubling_time  [s]  time in which the viscosity doubles at the reference temperature
    temperature_reference  [K]  temperature of fill_time and doubling_time
    flow_energy  [J/mol]  activation energy of flow; 50 kJ/mol if left out
    activation_energy  [J/mol]  of the cure; 55 kJ/mol if left out
    Returns time [s] since the first of times.
    Raises UnitError; RangeError also where the fill is not over when the history ends.
    Relation: t such that integral of mu_ref/mu(t) dt = fill_time, the inverse of fresh_time_in_room
    Source: FL-R15b with FL-V11 (own reference).
    """
    grid, thickness = _clock(times, temperatures, doubling_time, temperature_reference, flow_energy, activation_energy)
    fresh = cumulative_simpson(1 / thickness, x=grid, initial=0.0)
    if np.any(fill_time > fresh[-1]):
        raise RangeError(f"a fill of {np.max(fill_time):.3g} s of fresh resin is not over when the history ends: by then the resin has run as "
                         f"fresh resin does in {fresh[-1]:.3g} s. Give a longer history, or shorten the run: resin this old hardly moves.")
    rising = np.concatenate([[True], np.diff(fresh) > 0])      # resin long set adds nothing to the last digits
    return np.clip(PchipInterpolator(fresh[rising], grid[rising])(fill_time), grid[0], grid[-1]) - grid[0]


def _clock(times, temperatures, doubling_time, reference, flow_energy, activation_energy):
    """A fine grid through the history and the viscosity on it over that of fresh resin at the reference temperature."""
    time, temperature = one_length(times=times, temperatures=temperatures)
    if time.size < 2 or np.any(np.diff(time) <= 0):
        raise RangeError("times must rise and hold at least a start and an end; check the history of the room.")
    stretch = np.concatenate([np.arange(FINE) / FINE + at for at in range(time.size - 1)] + [[time.size - 1]])
    grid = np.interp(stretch, np.arange(time.size), time)
    local = np.interp(stretch, np.arange(time.size), temperature)
    doublings = cumulative_simpson(speed_up(local, reference, activation_energy) / doubling_time, x=grid, initial=0.0)
    if doublings[-1] > 100:
        raise RangeError(f"the history spans {doublings[-1]:.3g} doublings of the viscosity; the resin has long set, so give a shorter one.")
    return grid, 2.0**doublings / speed_up(local, reference, flow_energy)
