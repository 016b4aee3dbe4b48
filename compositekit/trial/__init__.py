"""Test strips, weighed panels and few-sample statistics reduced to properties."""

from .panel_weights import fibre_fraction_from_weights, resin_areal_mass, resin_taken_up
from .statistics import characteristic_value, mean_interval, tolerance_factor
from .strip_strength import core_shear_strength, facing_strength, flexural_strength
from .strips import (
    Rigidities,
    core_shear_modulus,
    core_shear_modulus_from_rigidity,
    facing_modulus,
    facing_modulus_from_rigidity,
    flexural_modulus,
    two_span_rigidities,
)

__all__ = ["Rigidities", "characteristic_value", "core_shear_modulus", "core_shear_modulus_from_rigidity",
           "core_shear_strength", "facing_modulus", "facing_modulus_from_rigidity", "facing_strength",
           "fibre_fraction_from_weights", "flexural_modulus", "flexural_strength", "mean_interval", "resin_areal_mass",
           "resin_taken_up", "tolerance_factor", "two_span_rigidities"]
