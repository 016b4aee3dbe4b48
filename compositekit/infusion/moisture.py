"""Water in fibre and core: when it boils under vacuum, how damp fibre is, how long drying takes."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq
from scipy.special import jn_zeros

from ..errors import RangeError
from ..units import checked

AIR = dict(temperature="K in 273.15..640")
CRITICAL_TEMPERATURE, CRITICAL_PRESSURE = 647.096, 22.064e6  # K, Pa
WAGNER_PRUSS = ((-7.85951783, 1), (1.84408259, 1.5), (-11.7866497, 3), (22.6807411, 3.5), (-15.9618719, 4), (1.80122502, 7.5))

# Guggenheim-Anderson-de Boer (Mm, C, K). Shop default, own judgement: drawn through regain at 65 % RH (read), not
# published parameters; weigh a dried swatch of your own fabric instead.
SORPTION = {"flax": (0.036, 10.0, 0.85), "jute": (0.060, 10.0, 0.82)}


@checked(**AIR, returns="Pa")
def water_vapour_pressure(temperature):
    """Pressure below which free water boils at a temperature.

    temperature  [K]  of the water, scalar or array
    Returns pressure [Pa].
    Raises UnitError, RangeError.
    Relation: ln(p/pc) = (Tc/T) sum(a_i (1 - T/Tc)^n_i)
    Source: Wagner and Pruss 1993 (coefficients from memory), checked to 0.1 % in C-M1.
    """
    cold = 1 - temperature / CRITICAL_TEMPERATURE
    return CRITICAL_PRESSURE * np.exp(CRITICAL_TEMPERATURE / temperature * sum(a * cold**n for a, n in WAGNER_PRUSS))


@checked(pressure="Pa > 0", **AIR, relative_humidity="1 in 0.01..1", returns="1")
def boiling_margin(pressure, temperature, relative_humidity=1.0):
    """How many times the resin's pressure exceeds the pressure at which the water in the bag boils off.

    pressure  [Pa]  absolute pressure in the resin; at the front this is the bag pressure
    temperature  [K]  of the stack
    relative_humidity  [1]  air the fibre is in balance with; 1 for free water
    Returns ratio [1]; below 1 the water leaves as bubbles.
    Raises UnitError, RangeError.
    Relation: p / (h p_sat(T))
    Source: PR-M02 (derived).
    """
    return pressure / (relative_humidity * water_vapour_pressure.si(temperature))


@checked(pressure="Pa >= 0", **AIR, returns="1")
def humidity_under_vacuum(pressure, temperature):
    """Relative humidity that fibre comes to under a held vacuum.

    pressure  [Pa]  absolute pressure in the bag, taken as all vapour
    temperature  [K]  of the stack
    Returns relative humidity [1], at most 1: there the vacuum does not dry at all.
    Raises UnitError, RangeError.
    Relation: h = p / p_sat(T)
    Source: PR-M05 (derived), C-M6 (own reference).
    """
    return np.minimum(pressure / water_vapour_pressure.si(temperature), 1.0)


@checked(relative_humidity="1 in 0..1", returns="1")
def fibre_moisture(relative_humidity, kind="flax"):
    """Water in bast fibre in balance with air, by dry mass.

    relative_humidity  [1]  of the air, scalar or array
    kind  flax or jute
    Returns moisture [1], kilogram of water per kilogram of dry fibre.
    Raises UnitError; RangeError also for a fibre that is not listed.
    Relation: M = Mm C K h / ((1 - K h)(1 - K h + C K h))
    Valid: about 20 degC, 30 to 95 % RH. Shop default until measured by weighing.
    Source: PR-M15 (own judgement through the read regain PR-M10).
    """
    if kind not in SORPTION:
        raise RangeError(f"kind is {kind!r}, but a sorption curve is known for {' and '.join(SORPTION)} only; weigh and dry a swatch.")
    layer, bond, stack = SORPTION[kind]
    active = stack * relative_humidity
    return layer * bond * active / ((1 - active) * (1 - active + bond * active))


@checked(thickness="m > 0", diffusivity="m^2/s > 0", fraction_left="1 in 1e-4..0.99", returns="s")
def drying_time(thickness, diffusivity, fraction_left, form="slab"):
    """Time to dry a slab (both faces open) or a cylinder until a fraction of the excess water is left.

    thickness  [m]  of the slab, or diameter of the cylinder; scalar or array
    diffusivity  [m^2/s]  of water in the material at the drying temperature
    fraction_left  [1]  share of the excess water still in it
    form  slab or cylinder
    Returns time [s].
    Raises UnitError; RangeError also for another form.
    Relation: slab MR = (8/pi^2) sum exp(-(2n+1)^2 pi^2 Fo/4)/(2n+1)^2, cylinder MR = sum 4/b_n^2 exp(-b_n^2 Fo); Fo = D t/(thickness/2)^2
    Valid: diffusion alone; heat supply and the pump can be slower.
    Source: Fick series, C-M9 (own reference).
    """
    if form not in _SERIES:
        raise RangeError(f"form is {form!r}, but must be slab or cylinder.")
    fourier = np.vectorize(lambda left: _fourier_number(left, *_SERIES[form]), otypes=[float])(fraction_left)
    time = fourier[()] * (np.asarray(thickness) / 2) ** 2 / diffusivity
    return time if np.ndim(time) else float(time)


_ODD = (2 * np.arange(200) + 1) * np.pi / 2
_ZEROS = jn_zeros(0, 200)
_SERIES = {"slab": (2 / _ODD**2, _ODD**2), "cylinder": (4 / _ZEROS**2, _ZEROS**2)}


def _fourier_number(fraction_left, weights, decays):
    """Fourier number at which the series has fallen to the fraction."""
    return brentq(lambda fourier: weights @ np.exp(-np.minimum(decays * fourier, 700)) - fraction_left, 0, 5, xtol=1e-12)
