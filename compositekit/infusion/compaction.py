"""How a stack is squeezed under the bag, and what that does to its permeability.

``compaction_pressure`` is the pressure the fibres carry: pressure outside the bag less that of air or resin within.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from ..errors import RangeError
from ..units import checked
from .counts import single

POWER = dict(fibre_fraction_at_pascal="1 in 0.001..0.9", compaction_exponent="1 in 0..0.5")
BOX = dict(fibre_fraction_loose="1 in 0.01..0.9", fibre_fraction_densest="1 in 0.02..0.95", spring_constant="Pa > 0")


@checked(compaction_pressure="Pa > 0", **POWER, returns="1")
def fibre_fraction_under(compaction_pressure, fibre_fraction_at_pascal, compaction_exponent):
    """Share of fibre in a stack under a compaction pressure, by the power law.

    compaction_pressure  [Pa]  pressure the fibres carry, scalar or array
    fibre_fraction_at_pascal  [1]  constant A: share of fibre at 1 Pa, a number of the fit
    compaction_exponent  [1]  constant B, 0.03 to 0.06 stitched glass, 0.04 to 0.08 woven, 0.08 to 0.15 mats (from memory, FL-C06)
    Returns fibre fraction [1].
    Raises UnitError; RangeError also where the law gives more than 0.95.
    Relation: Vf = A p^B
    Valid: one loading; cloth creeps, and each debulk adds up to 0.01 to 0.02 (FL-C02 read, FL-C06 from memory).
    Source: FL-C05 (from memory, form).
    """
    found = fibre_fraction_at_pascal * compaction_pressure**compaction_exponent
    if np.any(found > 0.95):
        raise RangeError(f"the power law gives a share of fibre of {np.max(found):.3g} at {np.max(compaction_pressure):.3g} Pa, more than fits; check A and B.")
    return found


@checked(fibre_fraction="1 in 0.01..0.95", fibre_fraction_at_pascal="1 in 0.001..0.9", compaction_exponent="1 in 0.005..0.5", returns="Pa")
def compaction_for(fibre_fraction, fibre_fraction_at_pascal, compaction_exponent):
    """Pressure that squeezes a stack to a share of fibre; the inverse of fibre_fraction_under.

    fibre_fraction  [1]  share of fibre by volume, scalar or array
    fibre_fraction_at_pascal  [1]  constant A of the fit
    compaction_exponent  [1]  constant B of the fit
    Returns pressure [Pa].
    Raises UnitError; RangeError also where no pressure known to man would do.
    Relation: p = (Vf/A)^(1/B)
    Valid: badly known: laboratories scatter by about 42 % in pressure for one cloth (FL-C04, read).
    Source: FL-C05 (from memory, form).
    """
    power = np.log(fibre_fraction / fibre_fraction_at_pascal) / compaction_exponent
    if np.any(power > 35):
        raise RangeError(f"a share of fibre of {np.max(fibre_fraction):.3g} would need over 1e15 Pa by this law; check A and B.")
    return np.exp(power)


@checked(compaction_pressure="Pa > 0", fibre_fraction="1 in 0.01..0.95", compaction_exponent="1 in 0..0.5", compaction_reference="Pa > 0", returns="1")
def fibre_fraction_at(compaction_pressure, fibre_fraction, compaction_reference, compaction_exponent):
    """Share of fibre carried from the compaction it was measured at to another.

    compaction_pressure  [Pa]  pressure the fibres carry, scalar or array
    fibre_fraction  [1]  share of fibre as measured
    compaction_reference  [Pa]  pressure of that measurement
    compaction_exponent  [1]  constant B of the cloth
    Returns fibre fraction [1].
    Raises UnitError; RangeError also where the law gives more than 0.95.
    Relation: V2 = V1 (p2/p1)^B
    Source: FL-C05 (from memory, form).
    """
    return fibre_fraction_under.si(compaction_pressure / compaction_reference, fibre_fraction, compaction_exponent)


@checked(fibre_fraction="1 in 0.01..0.95", **BOX, returns="Pa")
def fibre_box_stress(fibre_fraction, fibre_fraction_loose, fibre_fraction_densest, spring_constant):
    """Pressure the fibres carry at a share of fibre, by the fibre-in-a-box law.

    fibre_fraction  [1]  share of fibre by volume, scalar or array
    fibre_fraction_loose  [1]  Vo, the share at which the stack begins to push back
    fibre_fraction_densest  [1]  Va, the share it could never pass
    spring_constant  [Pa]  As of the fit
    Returns pressure [Pa].
    Raises UnitError; RangeError also outside Vo to Va.
    Relation: p = As (sqrt(Vf/Vo) - 1) / (sqrt(Va/Vf) - 1)^4
    Source: FL-C01 (read).
    """
    _box(fibre_fraction_loose, fibre_fraction_densest)
    if np.any(np.asarray(fibre_fraction) < fibre_fraction_loose) or np.any(np.asarray(fibre_fraction) >= fibre_fraction_densest):
        raise RangeError("fibre_fraction must lie from fibre_fraction_loose to below fibre_fraction_densest; nothing else can be in that box.")
    return spring_constant * (np.sqrt(fibre_fraction / fibre_fraction_loose) - 1) / (np.sqrt(fibre_fraction_densest / fibre_fraction) - 1) ** 4


@checked(compaction_pressure="Pa >= 0", **BOX, returns="1")
@single("compaction_pressure")
def fibre_box_fraction(compaction_pressure, fibre_fraction_loose, fibre_fraction_densest, spring_constant):
    """Share of fibre under a compaction pressure, by the fibre-in-a-box law; the inverse of fibre_box_stress.

    compaction_pressure  [Pa]  pressure the fibres carry, scalar or array
    fibre_fraction_loose  [1]  Vo, the share at which the stack begins to push back
    fibre_fraction_densest  [1]  Va, the share it could never pass
    spring_constant  [Pa]  As of the fit
    Returns fibre fraction [1].
    Raises UnitError; RangeError also where Va is not above Vo.
    Relation: root Vf of p = As (sqrt(Vf/Vo) - 1) / (sqrt(Va/Vf) - 1)^4
    Source: FL-C01 (read).
    """
    _box(fibre_fraction_loose, fibre_fraction_densest)

    def one(pressure):
        def excess(share):   # both sides over the fourth power, so that the end of the box is harmless
            return (np.sqrt(share / fibre_fraction_loose) - 1) - pressure / spring_constant * (np.sqrt(fibre_fraction_densest / share) - 1) ** 4
        return brentq(excess, fibre_fraction_loose, fibre_fraction_densest, xtol=1e-14)

    found = np.vectorize(one, otypes=[float])(compaction_pressure)
    return found if np.ndim(compaction_pressure) else float(found)


def _box(loose, densest):
    if np.any(np.asarray(densest) <= loose):
        raise RangeError(f"fibre_fraction_densest ({np.min(densest):g}) must be above fibre_fraction_loose ({np.max(loose):g}).")


@checked(fibre_fraction="1 in 0.01..0.99", kozeny_constant="m^2 > 0", returns="m^2")
def kozeny_permeability(fibre_fraction, kozeny_constant):
    """Permeability of a fabric at a fibre fraction.

    fibre_fraction  [1]  share of fibre by volume, scalar or array
    kozeny_constant  [m^2]  constant C of the fabric, fitted to a trial
    Returns permeability [m^2].
    Raises UnitError, RangeError.
    Relation: K = C (1 - Vf)^3 / Vf^2
    Valid: C belongs to one fabric; it is set by the gaps between tows.
    Source: Kozeny-Carman, FL-K50 (read).
    """
    return kozeny_constant * (1 - fibre_fraction) ** 3 / fibre_fraction**2


@checked(permeability="m^2 > 0", fibre_fraction="1 in 0.01..0.99", new_fibre_fraction="1 in 0.01..0.99", returns="m^2")
def permeability_at(permeability, fibre_fraction, new_fibre_fraction):
    """Permeability carried from the fibre fraction it was measured at to another.

    permeability  [m^2]  measured permeability
    fibre_fraction  [1]  fibre fraction of the measurement
    new_fibre_fraction  [1]  fibre fraction wanted, scalar or array
    Returns permeability [m^2].
    Raises UnitError, RangeError.
    Relation: K2/K1 = (1 - V2)^3 V1^2 / ((1 - V1)^3 V2^2)
    Source: Kozeny-Carman, FL-K50 (read).
    """
    return permeability * kozeny_permeability.si(new_fibre_fraction, 1.0) / kozeny_permeability.si(fibre_fraction, 1.0)


# --- a flexible bag -------------------------------------------------------------------------------

@checked(distance="m >= 0", atmosphere="Pa > 0", inlet_pressure="Pa > 0", bag_pressure="Pa >= 0", **POWER, kozeny_constant="m^2 > 0",
         viscosity="Pa*s > 0", returns="s")
@single("distance")
def fill_time_flexible_bag(distance, atmosphere, inlet_pressure, bag_pressure, fibre_fraction_at_pascal, compaction_exponent,
                           kozeny_constant, viscosity):
    """Time for a straight front to run a distance under a bag that lifts where the resin has come.

    distance  [m]  how far the front has to run, scalar or array
    atmosphere  [Pa]  pressure of the air on the bag
    inlet_pressure  [Pa]  absolute pressure of the resin where it enters, below the atmosphere
    bag_pressure  [Pa]  absolute pressure at the vent
    fibre_fraction_at_pascal  [1]  constant A of Vf = A p^B
    compaction_exponent  [1]  constant B
    kozeny_constant  [m^2]  constant C of the fabric
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    Returns time [s].
    Raises UnitError; RangeError also where the pressures are not in order.
    Relation: t = (x/s)^2; s from (K/(Vf mu) p')' = s^2 (eta/2) (Vf'/Vf^2) p', p(0) = p_in, p(1) = p_bag, s^2/2 = -K p'(1)/(phi mu)
    Valid: power-law compaction, the same wet as dry, no creep.
    Source: FL-R18, F-27 (own reference).
    """
    if not bag_pressure < inlet_pressure < atmosphere:
        raise RangeError(f"the pressures must rise from bag ({bag_pressure:g} Pa) over inlet ({inlet_pressure:g} Pa) to atmosphere ({atmosphere:g} Pa); all are absolute.")

    def state(pressure):
        squeeze = max(atmosphere - pressure, 1e-6 * (atmosphere - inlet_pressure))
        share = fibre_fraction_under.si(squeeze, fibre_fraction_at_pascal, compaction_exponent)
        return share, kozeny_permeability.si(share, kozeny_constant), -compaction_exponent * share / squeeze

    front_share, front_permeability, _ = state(bag_pressure)
    rigid = 2 * front_permeability * (inlet_pressure - bag_pressure) / ((1 - front_share) * viscosity)   # s^2 of a stack that stays as dry

    def inlet_excess(factor):
        square = factor * rigid

        def rates(eta, values):
            pressure, flux = values          # flux = K/(Vf mu) dp/d eta
            share, permeability, slope = state(pressure)
            gradient = flux * share * viscosity / permeability
            return [gradient, square * eta / 2 * slope / share**2 * gradient]

        start = -square / 2 * (1 - front_share) / front_share
        past = lambda eta, values: values[0] - atmosphere + 1e-6 * (atmosphere - inlet_pressure)   # noqa: E731
        past.terminal = True
        found = solve_ivp(rates, (1.0, 0.0), [bag_pressure, start], rtol=1e-9, atol=[1e-3, 1e-15], events=past)
        return (found.y[0, -1] - inlet_pressure) / atmosphere

    high = 2.0
    while inlet_excess(high) < 0:
        high *= 2
    return distance**2 / (rigid * brentq(inlet_excess, 1e-3, high, xtol=1e-9))
