"""What each table holds: its columns, the unit each is written in, and what a row cannot do without.

A numeric column is the property and its unit, ``density_kg_m3``; the ends of a range carry the word before
the unit, ``density_low_kg_m3`` and ``density_high_kg_m3``. A property without unit is a plain number.
"""

from __future__ import annotations

import functools

from ..units import Q_, Spec
from . import records

GRADES = ("read", "read second-hand", "own calculation", "from memory", "own judgement", "mixed", "shop")
DIRECTIONS = ("uni", "balanced", "random")
LEVELS = ("nominal", "minimum", "typical", "measured")

UNITS = {  # the end of a column name -> the unit the numbers below it are written in
    "": "", "kg_m3": "kg/m^3", "g_m2": "g/m^2", "kg_m2": "kg/m^2", "MPa": "MPa", "GPa": "GPa", "percent": "percent",
    "1e6_per_K": "1/MK", "C": "degC", "mPas": "mPa*s", "min": "min", "kJ_kg": "kJ/kg", "MJ_kg": "MJ/kg",
    "kg_kg": "", "m2": "m^2", "mm": "mm"}

PROPERTIES = {
    "fibres": {
        "density": "kg_m3", "e_axial": "GPa", "e_transverse": "GPa", "g_axial": "GPa", "nu_axial": "",
        "strength": "MPa", "failure_strain": "percent", "moisture": "percent",
        "cte_axial": "1e6_per_K", "cte_transverse": "1e6_per_K",
    },
    "fabrics": {
        "areal_weight": "g_m2", "fibre_fraction": "", "fibre_fraction_hand": "", "crimp_factor": "",
        "fibre_modulus": "GPa", "permeability": "m2", "permeability_cross_ratio": "", "permeability_through": "m2",
        "strain_limit_tension": "percent", "strain_limit_compression": "percent",
    },
    "cores": {
        "density": "kg_m3", "compressive_modulus": "MPa", "compressive_strength": "MPa", "tensile_modulus": "MPa",
        "tensile_strength": "MPa", "shear_modulus": "MPa", "shear_modulus_w": "MPa", "shear_strength": "MPa",
        "shear_strength_w": "MPa", "shear_strain": "percent", "poisson": "", "cte": "1e6_per_K",
        "max_service_temperature": "C", "max_process_temperature": "C", "uptake": "kg_m2", "price_class": "", "cell_size": "mm",
    },
    "resins": {
        "density_liquid": "kg_m3", "density_cured": "kg_m3", "modulus": "GPa", "poisson": "", "strength": "MPa",
        "failure_strain": "percent", "tg": "C", "viscosity_20c": "mPas", "viscosity_25c": "mPas",
        "viscosity_30c": "mPas", "pot_life": "min", "shrinkage": "percent", "heat_of_reaction": "kJ_kg",
        "styrene": "percent", "bio_based": "percent", "hardener_parts": "",
    },
    "footprint": {"energy": "MJ_kg", "carbon": "kg_kg"},
}

_ALWAYS = ("key", "title", "source", "grade", "remark", "property_sources")
WORDS = {
    "fibres": (*_ALWAYS, "family", "hygroscopic", "footprint"),
    "fabrics": (*_ALWAYS, "fibre", "form", "direction", "permeability_grade", "permeability_through_grade",
                "strain_grade"),
    "cores": (*_ALWAYS, "family", "level", "structural", "infusible", "closed_cell", "uptake_grade",
              "thicknesses_mm", "test_method", "footprint"),
    "resins": (*_ALWAYS, "family", "contains_styrene", "footprint"),
    "footprint": (*_ALWAYS, "family", "boundary", "method", "gas"),
}
YES_OR_NO = ("hygroscopic", "structural", "infusible", "closed_cell", "contains_styrene")
GRADE_COLUMNS = ("grade", "permeability_grade", "permeability_through_grade", "strain_grade", "uptake_grade")
CHOICES = dict.fromkeys(YES_OR_NO, ("yes", "no")) | {"direction": DIRECTIONS, "level": LEVELS} | dict.fromkeys(
    GRADE_COLUMNS, GRADES)

NEEDED = {
    "fibres": ("density_kg_m3", "e_axial_GPa", "e_transverse_GPa", "g_axial_GPa", "nu_axial"),
    "fabrics": ("fibre", "direction", "areal_weight_g_m2", "fibre_fraction", "crimp_factor"),
    "cores": ("density_kg_m3",),
    "resins": ("density_liquid_kg_m3", "density_cured_kg_m3", "modulus_GPa", "poisson"),
    "footprint": ("boundary",),
}
RECORDS = {"fibres": records.Fibre, "fabrics": records.Fabric, "cores": records.Core, "resins": records.Resin,
           "footprint": records.Footprint}


def column(table: str, name: str, end: str = "") -> str:
    """Heading of one property, or of its ``low`` or ``high`` end."""
    return "_".join(part for part in (name, end, PROPERTIES[table][name]) if part)


@functools.cache
def numeric_columns(table: str) -> dict[str, str]:
    """Every numeric heading of a table -> its property."""
    return {column(table, name, end): name for name in PROPERTIES[table] for end in ("low", "", "high")}


@functools.cache
def spec(table: str, name: str) -> Spec:
    """SI unit and bounds of a property, as its record guards them."""
    return Spec.of(RECORDS[table].specs[name])


@functools.cache
def to_si(table: str, name: str) -> tuple[float, float]:
    """Factor and offset that take the written number to SI."""
    unit, si = UNITS[PROPERTIES[table][name]], spec(table, name).pint_unit
    offset = Q_(0.0, unit).m_as(si)
    return (1.0, offset) if offset else (Q_(1.0, unit).m_as(si), 0.0)
