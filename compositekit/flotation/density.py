"""Densities that decide what floats: water, and the lift left over by a material."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

SALINITY = {"fresh": 0.0, "salt": 35.0}  # practical salinity; 35 is open ocean

_PURE = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
_S = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_S_THREE_HALVES = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_S_SQUARED = 4.8314e-4


@checked(salinity="1 in 0..42", temperature="K in 273.15..313.15", returns="kg/m^3")
def seawater_density(salinity, temperature):
    """Density of water at one atmosphere.

    salinity     [1]  practical salinity, 0 for fresh water, about 35 for open sea
    temperature  [K]  water temperature
    Returns [kg/m^3].
    Raises UnitError, RangeError.
    Relation: a polynomial in temperature (IPTS-68, T68 = 1.00024 T90) with terms in S, S^1.5 and S^2.
    Valid: 0 to 40 degC, salinity 0 to 42.
    Source: UNESCO 1983, Technical Paper 44 (coefficients and check values read second-hand).
    """
    t68 = 1.00024 * (temperature - 273.15)
    poly = np.polynomial.polynomial.polyval
    return (poly(t68, _PURE) + poly(t68, _S) * salinity + poly(t68, _S_THREE_HALVES) * salinity**1.5
            + _S_SQUARED * salinity**2)


@checked(temperature="K in 273.15..313.15", returns="kg/m^3")
def water_density(kind, temperature=288.15):
    """Density of fresh or salt water.

    kind         "fresh" or "salt"
    temperature  [K]  water temperature; 15 degC unless given
    Returns [kg/m^3].
    Raises RangeError for any other kind; UnitError.
    Relation: seawater_density at salinity 0 or 35.
    Valid: 0 to 40 degC.
    Source: UNESCO 1983, Technical Paper 44 (read second-hand).
    """
    if not isinstance(kind, str) or kind not in SALINITY:
        raise RangeError(f'kind is {kind!r}; water is "fresh" or "salt".')
    return seawater_density.si(SALINITY[kind], temperature)


@checked(density="kg/m^3 > 0", water_density="kg/m^3 > 0", returns="kg/m^3")
def net_lift(density, water_density):
    """Mass a fully submerged material can carry per volume, after carrying itself; negative if it sinks.

    density        [kg/m^3]  of the material as it sits in the boat, water uptake included
    water_density  [kg/m^3]  of the water
    Returns [kg/m^3].
    Raises UnitError, RangeError.
    Relation: water_density - density. Source: Archimedes.
    """
    return water_density - density


@checked(specific_gravity="1 > 0", returns="1")
def weight_in_water_factor(specific_gravity):
    """Weight under water over dry weight; negative for anything that floats.

    specific_gravity  [1]  density over that of the water
    Returns [1].
    Raises UnitError, RangeError.
    Relation: K = (SG - 1)/SG.
    Source: weight-in-water factor of the US flotation guidelines (read second-hand); the relation is Archimedes.
    Never use the factor of solid fibreglass (0.33) for a sandwich: its own is near -3.
    """
    return (specific_gravity - 1) / specific_gravity


@checked(factor="1", returns="1")
def specific_gravity_from_factor(factor):
    """Specific gravity that belongs to a weight-in-water factor.

    factor  [1]  weight under water over dry weight, below 1
    Returns [1].
    Raises RangeError at 1 and above: nothing weighs as much in water as out of it.
    Relation: SG = 1/(1 - K). Source: inverse of weight_in_water_factor.
    """
    if np.any(np.asarray(factor) >= 1):
        raise RangeError(f"factor is {factor}; it must be below 1, for water always lifts something.")
    return 1 / (1 - factor)


@checked(areal_weight="kg/m^2 > 0", thickness="m > 0", returns="kg/m^3")
def sandwich_bulk_density(areal_weight, thickness):
    """Density of a sandwich as one solid.

    areal_weight  [kg/m^2]  everything in it: skins, core and the resin the core drank
    thickness     [m]  over all
    Returns [kg/m^3].
    Raises UnitError, RangeError.
    Relation: areal_weight/thickness. Source: definition.
    """
    return areal_weight / thickness
