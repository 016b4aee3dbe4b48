"""Plies from fibre and resin: the starter plies of the materials page, identities and bad input."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mechanics_stand_ins import FIBRES, RESINS, fabric

from compositekit.catalogue import Catalogue
from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.hybrid import hybrid_fibre
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.mixture import (
    expansion_coefficients,
    fibre_fraction_from_weight,
    fibre_volume_fraction,
    halpin_tsai,
    inverse_rule_of_mixtures,
    moisture_expansion_coefficients,
    ply_density,
    ply_thickness,
    rule_of_mixtures,
    void_content,
    void_shear_factor,
    weight_fraction,
)
from compositekit.mechanics.ply import Ply, core_ply, ply_from_fabric, ply_range
from compositekit.units import Q_

# materials page section 6, "Starter plies, computed" (own reference), digits as printed
STARTER = [
    # fibre, resin, direction, Vf, crimp, density, E1, E2, G12 GPa, nu12
    ("E-glass", "epoxy", "uni", 0.55, 1.0, 1926, 41.2, 11.86, 3.51, 0.283),
    ("carbon", "epoxy", "uni", 0.55, 1.0, 1491, 127.9, 7.25, 3.18, 0.272),
    ("aramid", "epoxy", "uni", 0.55, 1.0, 1315, 69.6, 4.87, 1.86, 0.354),
    ("flax", "epoxy", "uni", 0.42, 1.0, 1272, 22.8, 4.68, 1.56, 0.356),
    ("E-glass", "epoxy", "balanced", 0.50, 0.92, 1855, 22.3, 22.3, 3.11, 0.126),
    ("carbon", "epoxy", "balanced", 0.50, 0.92, 1460, 56.9, 56.9, 2.85, 0.031),
    ("flax", "epoxy", "balanced", 0.36, 0.92, 1254, 11.4, 11.4, 1.49, 0.129),
    ("E-glass", "polyester", "random", 0.25, 1.0, 1540, 9.2, 9.2, 3.45, 0.33),
]


@pytest.mark.parametrize("row", STARTER, ids=lambda row: f"{row[0]} {row[2]}")
def test_starter_plies(row):
    fibre, resin, direction, fraction, crimp, density, e1, e2, g12, nu12 = row
    ply = ply_from_fabric(fabric(0.6, fraction, crimp, direction), FIBRES[fibre], RESINS[resin])
    assert ply.density.m_as("kg/m^3") == pytest.approx(density, abs=1)
    for name, printed, half_digit in (("e1", e1, 0.05), ("e2", e2, 0.05), ("g12", g12, 0.0051)):
        assert getattr(ply, name).m_as("GPa") == pytest.approx(printed, abs=half_digit), name
    assert ply.nu12.magnitude == pytest.approx(nu12, abs=0.0051 if nu12 == 0.33 else 0.00051)


def test_woven_flax_sanity_band():
    """NF-1 (EU CORDIS 35976, read): hand-laid plain weave, Vf 0.28, 5 GPa; accept 0.5 to 1.0 of the estimate."""
    ply = ply_from_fabric(fabric(0.28, 0.28, 0.8, "balanced"), FIBRES["flax"], RESINS["epoxy"])
    assert 0.5 <= 5 / ply.e1.m_as("GPa") <= 1.0


def test_masses_add_up():
    ply = ply_from_fabric(fabric(0.36, 0.36, 0.92, "balanced"), FIBRES["flax"], RESINS["epoxy"])
    resin = ply.thickness.magnitude * (1 - 0.36) * 1150
    assert ply.resin_areal_mass.m_as("kg/m^2") == pytest.approx(resin, rel=1e-12)
    assert ply.fibre_areal_mass.m_as("g/m^2") == pytest.approx(360)


def test_own_fraction_replaces_the_typical_one():
    low, high = (ply_from_fabric(fabric(0.36, 0.36, 1.0, "uni"), FIBRES["flax"], RESINS["epoxy"], fibre_fraction=f)
                 for f in (0.3, 0.44))
    assert low.thickness > high.thickness and low.e1 < high.e1


def test_fibre_modulus_seen_in_cloth_wins():
    own, seen = (ply_from_fabric(fabric(0.36, 0.36, 1.0, "uni", modulus), FIBRES["flax"], RESINS["epoxy"])
                 for modulus in (None, 35e9))
    assert (own.e1 - seen.e1).m_as("GPa") == pytest.approx(0.36 * (50 - 35))


def test_missing_figure_is_named():
    bare = SimpleNamespace(name="new cellulose", si=SimpleNamespace(**{**vars(FIBRES["flax"].si), "g_axial": None}))
    with pytest.raises(UnitError, match="new cellulose has no g_axial"):
        ply_from_fabric(fabric(0.36, 0.36, 1.0, "uni"), bare, RESINS["epoxy"])


FRACTION = st.floats(0.05, 0.95)
MODULUS = st.floats(1e9, 5e11)


@given(FRACTION, MODULUS, MODULUS, st.floats(0.01, 100))
def test_halpin_tsai_lies_between_the_two_mixes(fraction, fibre, resin, shape):
    low, value, high = (inverse_rule_of_mixtures.si(fibre, resin, fraction), halpin_tsai.si(fibre, resin, fraction, shape),
                        rule_of_mixtures.si(fibre, resin, fraction))
    assert low * (1 - 1e-9) <= value <= high * (1 + 1e-9)
    assert halpin_tsai.si(fibre, resin, fraction, 0) == pytest.approx(low, rel=1e-9)
    assert halpin_tsai.si(fibre, resin, fraction, 1e12) == pytest.approx(high, rel=1e-6)


@given(st.floats(0.0, 1.0), st.floats(900, 3000), st.floats(900, 3000))
def test_contents_round_trip(fraction, fibre, resin):
    weight = weight_fraction.si(fraction, fibre, resin)
    assert fibre_fraction_from_weight.si(weight, fibre, resin) == pytest.approx(fraction, abs=1e-12)
    assert void_content.si(weight, fibre, resin, ply_density.si(fraction, fibre, resin)) == pytest.approx(0, abs=1e-12)


@given(FRACTION, st.floats(0.05, 3), st.floats(900, 3000))
def test_thickness_round_trip(fraction, areal_weight, density):
    thickness = ply_thickness.si(areal_weight, density, fraction)
    assert fibre_volume_fraction.si(areal_weight, 4, 4 * thickness, density) == pytest.approx(fraction)


def test_too_thin_for_its_fibre():
    with pytest.raises(RangeError, match="thicker than the laminate"):
        fibre_volume_fraction(Q_(600, "g/m^2"), 4, Q_(0.5, "mm"), Q_(2560, "kg/m^3"))


GOOD = dict(name="ply", thickness=Q_(1, "mm"), e1=Q_(40, "GPa"), e2=Q_(10, "GPa"), g12=Q_(4, "GPa"), nu12=0.3)
OWN = [
    (dict(thickness=Q_(0, "mm")), RangeError, "above 0"), (dict(e1=Q_(-1, "GPa")), RangeError, "e1"),
    (dict(e2=Q_(float("nan"), "GPa")), RangeError, "finite"), (dict(g12=Q_(4, "mm")), UnitError, "g12"),
    (dict(thickness=1.0), UnitError, "without a unit"), (dict(nu12=2.5), RangeError, "sqrt"),
    (dict(density=Q_(1000, "kg/m^3"), areal_weight=Q_(2, "kg/m^2")), RangeError, "dry cloth"),
    (dict(e1=None), UnitError, "missing"),
]


@pytest.mark.parametrize("change, error, words", OWN)
def test_bad_ply(change, error, words):
    with pytest.raises(error, match=words):
        Ply(**{**GOOD, **change})


# --- ranges, hybrids, expansion, cores: on the starter catalogue --------------------------------------------

STARTER_CATALOGUE = Catalogue.starter()


def records(fabric_key, fibre_key, resin_key="epoxy-infusion"):
    c = STARTER_CATALOGUE
    return c.fabric(fabric_key), c.fibre(fibre_key), c.resin(resin_key)


# materials page, plies.csv: measured moduli along the fibre, GPa (grade S: bands, not exact checks)
MEASURED = [
    ("flax-uni-200", None, 26, "FX-UD-1, NFC23 Table 1 (read)"),
    ("flax-uni-200", 0.40, 22, "FX-UD-2 (from memory)"),
    ("flax-twill-360", None, 5.9, "FX-WV-1, NFC23 Table 1 (read)"),
]


@pytest.mark.parametrize("key, fraction, measured, case", MEASURED, ids=[row[-1] for row in MEASURED])
def test_measured_flax_lies_in_the_range(key, fraction, measured, case):
    low, typical, high = ply_range(*records(key, "flax"), fibre_fraction=fraction)
    assert low.e1.m_as("GPa") <= measured <= high.e1.m_as("GPa")
    assert low.e2 < typical.e2 < high.e2 and low.g12 < typical.g12 < high.g12


def test_typical_of_the_range_is_the_estimate_and_mass_stays():
    parts = records("flax-twill-360", "flax")
    low, typical, high = ply_range(*parts)
    assert typical.e1 == ply_from_fabric(*parts).e1
    assert low.thickness > typical.thickness > high.thickness      # less fibre by volume makes a thicker ply
    assert {float(ply.fibre_areal_mass.magnitude) for ply in (low, typical, high)} == {0.36}


def test_a_hybrid_cloth_adds_up_along_the_fibre():
    """Equal strain: half of each by weight is worth the two fibres laid as separate uni plies of the same fibre fraction."""
    glass, flax = STARTER_CATALOGUE.fibre("e-glass"), STARTER_CATALOGUE.fibre("flax")
    mixed = hybrid_fibre(glass, flax, 0.5)
    share = (0.5 / 2560) / (0.5 / 2560 + 0.5 / 1440)
    assert mixed.e_axial.m_as("GPa") == pytest.approx(share * 72.4 + (1 - share) * 50)
    assert mixed.density.m_as("kg/m^3") == pytest.approx(1 / (0.5 / 2560 + 0.5 / 1440))
    fabric_record, _, resin = records("glass-uni-300", "e-glass")
    ply, one, other = (ply_from_fabric(fabric_record, fibre, resin, fibre_fraction=0.5) for fibre in (mixed, glass, flax))
    assert ply.e1.magnitude == pytest.approx(share * one.e1.magnitude + (1 - share) * other.e1.magnitude)
    assert min(one.e2, other.e2) < ply.e2 < max(one.e2, other.e2)
    assert mixed.hygroscopic and mixed.failure_strain == min(glass.failure_strain, flax.failure_strain)
    low, _, high = mixed.range("e_axial")
    assert low < mixed.e_axial < high


@given(st.floats(0, 1))
def test_a_fibre_mixed_with_itself_is_itself(share):
    glass = STARTER_CATALOGUE.fibre("e-glass")
    mixed = hybrid_fibre(glass, glass, share)
    for name in ("density", "e_axial", "e_transverse", "g_axial", "nu_axial", "cte_axial", "cte_transverse"):
        assert getattr(mixed.si, name) == pytest.approx(getattr(glass.si, name), rel=1e-12)


def test_all_of_one_fibre_is_that_fibre():
    glass, flax = STARTER_CATALOGUE.fibre("e-glass"), STARTER_CATALOGUE.fibre("flax")
    assert hybrid_fibre(glass, flax, 1).si.e_axial == pytest.approx(glass.si.e_axial)
    assert hybrid_fibre(glass, flax, 0).si.e_transverse == pytest.approx(flax.si.e_transverse)


@given(FRACTION)
def test_a_fibre_that_is_resin_expands_as_resin(fraction):
    same_stuff = (60e-6, 60e-6, 3e9, 3e9, 0.35, 0.35, fraction)
    assert expansion_coefficients.si(*same_stuff) == pytest.approx((60e-6, 60e-6), rel=1e-12)
    swelling = moisture_expansion_coefficients.si(0.33, 3e9, 3e9, 0.35, 0.35, fraction, 1200, 1200, 0.33, 1.0)
    assert swelling == pytest.approx((0.33, 0.33), rel=1e-12)


def test_swelling_by_hand():
    """Glass that takes no water: b1 = bm Em rho/(E1 rho_m), b2 = (1 + num) bm rho/rho_m - b1 nu12, LAM-10 inputs."""
    along, across = moisture_expansion_coefficients.si(0.33, 85e9, 3.4e9, 0.2, 0.3, 0.7, 2500, 1200)
    assert along == pytest.approx(0.33 * 3.4 / 60.52 * 2110 / 1200, rel=1e-9)
    assert across == pytest.approx(1.3 * 0.33 * 2110 / 1200 - along * 0.23, rel=1e-9)


def test_void_shear_factor():
    """PR-V35, Judd and Wright 1978 (from memory): about 7 % less per 1 % voids, to about 4 %."""
    assert void_shear_factor(Q_(2, "percent")).magnitude == pytest.approx(0.86)
    with pytest.raises(RangeError, match=r"0 to 0\.04"):
        void_shear_factor(Q_(5, "percent"))


def test_a_cloth_expands_as_its_crossed_layers_do():
    fabric_record, glass, resin = records("glass-twill-280", "e-glass")
    cloth = ply_from_fabric(fabric_record, glass, resin, resin_expansion=Q_(60e-6, "1/K"), resin_swelling=0.33)
    uni = ply_from_fabric(records("glass-uni-300", "e-glass")[0], glass, resin, fibre_fraction=cloth.fibre_fraction,
                          resin_expansion=Q_(60e-6, "1/K"), resin_swelling=0.33)
    crossed = Laminate([uni] * 4, Q_([0, 90, 90, 0], "deg"))
    assert cloth.cte1.m_as("1/K") == pytest.approx(crossed.thermal_expansion().magnitude[0], rel=1e-9)
    assert cloth.cme2.magnitude == pytest.approx(crossed.moisture_expansion().magnitude[1], rel=1e-9)


def test_core_as_a_ply():
    ply = core_ply(STARTER_CATALOGUE.core("pvc-80"), Q_(15, "mm"))
    assert ply.e1.m_as("MPa") == 90 and ply.areal_mass.m_as("kg/m^2") == pytest.approx(80 * 0.015)
    assert ply.g12.m_as("MPa") == pytest.approx(90 / 2 / 1.4)
    with pytest.raises(UnitError, match="give core_modulus"):
        core_ply(next(c for c in map(STARTER_CATALOGUE.core, STARTER_CATALOGUE.cores().index) if c.family == "balsa"), Q_(15, "mm"))


def test_what_a_ply_cannot_swell_with_is_named():
    with pytest.raises(RangeError, match="takes up water itself"):
        ply_from_fabric(*records("flax-twill-360", "flax"), resin_swelling=0.33)


def test_missing_mass_says_so():
    with pytest.raises(UnitError, match="no density"):
        _ = Ply(**GOOD).areal_mass


def test_unknown_direction():
    with pytest.raises(RangeError, match="uni, balanced, random"):
        ply_from_fabric(fabric(0.3, 0.5, 1, "knotted"), FIBRES["flax"], RESINS["epoxy"])


def test_sweep_over_fractions():
    values = np.linspace(0.2, 0.6, 5)
    ply = ply_from_fabric.si(fabric(0.36, 0.36, 1.0, "uni"), FIBRES["flax"], RESINS["epoxy"], values)
    assert ply.e1.shape == (5,) and np.all(np.diff(ply.e1.magnitude) > 0)


@pytest.mark.parametrize("key", list(STARTER_CATALOGUE.fabrics().index))
def test_every_cloth_of_the_catalogue_has_a_range_and_expands(key):
    fabric_record, resin = STARTER_CATALOGUE.fabric(key), STARTER_CATALOGUE.resin("epoxy-infusion")
    fibre = STARTER_CATALOGUE.fibre_in(fabric_record)
    low, typical, high = ply_range(fabric_record, fibre, resin)
    assert low.e1 <= typical.e1 <= high.e1 and low.g12 <= typical.g12 <= high.g12 and low.e1 < high.e1
    if fibre.cte_axial is not None and fibre.cte_transverse is not None:
        ply = ply_from_fabric(fabric_record, fibre, resin, resin_expansion=Q_(60e-6, "1/K"))
        assert -5e-6 < ply.cte1.m_as("1/K") <= ply.cte2.m_as("1/K") < 100e-6
