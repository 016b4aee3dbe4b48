"""Starter rows against the printed figures, with citation and grade. Digits as the source prints them."""

import pytest

from compositekit import catalogue
from compositekit.errors import CatalogueError

PVC = "maker's data sheet, cross-linked PVC foam, rev 26 SI, May 2026 (materials note, section 3)"
CORES = [
    # key, attribute, printed, unit, citation, grade
    ("pvc-80", "shear_modulus", 27, "MPa", PVC, "read second-hand"),
    ("pvc-80-minimum", "shear_modulus", 23, "MPa", PVC, "read second-hand"),
    ("pvc-80", "shear_strength", 1.15, "MPa", PVC, "read second-hand"),
    ("pvc-80-minimum", "shear_strength", 0.95, "MPa", PVC, "read second-hand"),
    ("pvc-80", "compressive_modulus", 90, "MPa", PVC, "read second-hand"),
    ("pvc-130-minimum", "compressive_strength", 2.4, "MPa", PVC, "read second-hand"),
    ("pvc-100", "max_process_temperature", 110 + 273.15, "K", PVC, "read second-hand"),
    ("san-85", "shear_modulus", 34, "MPa", "maker's data sheet, marine SAN foam, 11-0623", "read second-hand"),
    ("balsa-153", "compressive_modulus", 4005, "MPa", "maker's data sheet, end-grain balsa, 07.2011", "read second-hand"),
    ("balsa-153", "shear_modulus", 160, "MPa", "maker's data sheet, end-grain balsa, 07.2011", "read second-hand"),
    ("balsa-153", "shear_strength", 3.0, "MPa", "maker's data sheet, end-grain balsa, 07.2011", "read second-hand"),
    ("cork-120", "shear_modulus", 5.9, "MPa", "maker's data sheet, agglomerated cork core", "read"),
    ("cork-120", "compressive_strength", 0.2, "MPa", "same: 29 psi, the lower of two printed", "read"),
    ("pet-115", "shear_modulus", 23, "MPa", "encyclopaedia table, case SW-42", "read second-hand"),
    ("pet-recycled-100", "shear_strength", 0.9, "MPa", "seller's comparison list", "mixed"),
    ("honeycomb-aramid-3mm-48", "shear_strength", 1.207, "MPa", "maker's guide p. 30, case SW-43", "read second-hand"),
    ("honeycomb-aramid-3mm-48-minimum", "shear_strength", 1.069, "MPa", "maker's guide p. 30, case SW-43", "read second-hand"),
    ("pmi-52", "shear_modulus", 24, "MPa", "bench-study report, 52 kg/m3 foam", "read second-hand"),
    ("xps-board-48", "shear_strength", 0.3, "MPa", "maker's page, 700 kPa board", "read"),
]


# whole tables of makers' sheets (sandwich page, section 7; read second-hand): crushing and shear strength, compressive and shear modulus, MPa.
# SW-44 (cork boards of 402 to 508 kg/m3, bending only) has no row in the catalogue
FIGURES = ("compressive_strength", "shear_strength", "compressive_modulus", "shear_modulus")
TABLES = [
    ("SW-39, sheet 08.2022, G by ISO 1922, Ec by ISO 844", "pvc-b-60", 60, (None, 0.85, 69, 19)),
    ("SW-39", "pvc-b-80", 80, (None, 1.2, 104, 26)), ("SW-39", "pvc-b-100", 100, (None, 1.7, 130, 35)),
    ("SW-39", "pvc-b-130", 130, (None, 2.4, 170, 47)),
    ("SW-40, current sheet 11-0623", "san-65", 65, (0.69, 0.78, 48, 23)), ("SW-40", "san-85", 85, (1.16, 1.15, 78, 34)),
    ("SW-40", "san-108", 107.5, (1.72, 1.47, 112, 44)), ("SW-40", "san-140", 140, (2.58, 1.96, 169, 60)),
    ("SW-40", "san-200", 200, (4.40, 2.95, 317, 98)),
    ("SW-41, sheet 07.2011", "balsa-94", 94, (6.3, 1.8, 1993, 106)), ("SW-41", "balsa-153", 153, (12.9, 3.0, 4005, 160)),
    ("SW-41", "balsa-247", 247, (26.3, 4.9, 7982, 309)),
]


@pytest.mark.parametrize(("case", "key", "density", "printed"), TABLES)
def test_core_table(case, key, density, printed):
    core = catalogue.core(key)
    assert core.density.m_as("kg/m^3") == pytest.approx(density, rel=1e-12) and core.grade == "read second-hand"
    for name, figure in zip(FIGURES, printed, strict=True):
        if figure is not None:
            assert getattr(core, name).m_as("MPa") == pytest.approx(figure, rel=1e-12), name


def test_sw_39_keeps_the_other_test_method_beside_the_value():
    """C393 gives 1.158, 1.154, 1.143 and 1.149 times the ISO 1922 shear modulus (read second-hand)."""
    keys, by_c393 = ("pvc-b-60", "pvc-b-80", "pvc-b-100", "pvc-b-130"), (22, 30, 40, 54)
    ratios = [figure / catalogue.core(key).shear_modulus.m_as("MPa") for key, figure in zip(keys, by_c393, strict=True)]
    assert ratios == pytest.approx([1.158, 1.154, 1.143, 1.149], abs=5e-4)
    assert "C393: G 22/30/40/54 MPa" in catalogue.core("pvc-b-60").remark


@pytest.mark.parametrize(("key", "name", "printed", "unit", "citation", "grade"), CORES)
def test_core(key, name, printed, unit, citation, grade):
    core = catalogue.core(key)
    assert getattr(core, name).m_as(unit) == pytest.approx(printed, rel=1e-12)
    assert core.grade == grade


# materials note, section 1: low / typical / high of the starter rows (grade mixed)
FIBRES = [
    ("e-glass", "density", (2500, 2560, 2600), "kg/m^3"), ("e-glass", "e_axial", (69, 72.4, 76), "GPa"),
    ("carbon-standard", "e_transverse", (12, 15, 20), "GPa"), ("aramid", "cte_axial", (-4.9, -2, -2), "1/MK"),
    ("basalt", "density", (2600, 2650, 2800), "kg/m^3"), ("flax", "e_axial", (27.6, 50, 103), "GPa"),
    ("flax", "moisture", (6, 7, 8), "percent"), ("hemp", "e_axial", (25, 40, 70), "GPa"),
    ("jute", "moisture", (11, 12, 13), "percent"), ("sisal", "failure_strain", (2, 2.5, 14), "percent"),
]


@pytest.mark.parametrize(("key", "name", "printed", "unit"), FIBRES)
def test_fibre_range(key, name, printed, unit):
    low, typical, high = catalogue.fibre(key).range(name)
    assert [q.m_as(unit) for q in (low, typical, high)] == pytest.approx(printed, rel=1e-9)
    assert catalogue.fibre(key).grade == "mixed"


# materials note, section 4 (grade: from memory; polyester mixed)
RESINS = [
    ("epoxy-infusion", "viscosity_25c", (200, 300, 450), "mPa*s"), ("epoxy-infusion", "pot_life", (60, 150, 300), "min"),
    ("epoxy-part-bio", "density_liquid", (1100, 1122, 1150), "kg/m^3"), ("vinyl-ester", "shrinkage", (6, 7.8, 8.3), "percent"),
    ("polyester-iso", "heat_of_reaction", (300, 375, 400), "kJ/kg"), ("polyester-iso", "styrene", (33, 40, 45), "percent"),
    ("epoxy-infusion", "tg", (70 + 273.15, 85 + 273.15, 100 + 273.15), "K"),
]


@pytest.mark.parametrize(("key", "name", "printed", "unit"), RESINS)
def test_resin_range(key, name, printed, unit):
    assert [q.m_as(unit) for q in catalogue.resin(key).range(name)] == pytest.approx(printed, rel=1e-9)


# materials note, thickness table: mm per 100 g/m2, t = w/(rho_f Vf), to four decimals (the page rounds these again)
THICKNESS = [
    ("e-glass", 0.25, 0.1562), ("e-glass", 0.50, 0.0781), ("e-glass", 0.55, 0.0710), ("carbon-standard", 0.50, 0.1130),
    ("aramid", 0.50, 0.1379), ("basalt", 0.50, 0.0755), ("flax", 0.35, 0.1984), ("flax", 0.30, 0.2315),
    ("hemp", 0.40, 0.1724), ("jute", 0.35, 0.2041), ("sisal", 0.25, 0.2759),
]


@pytest.mark.parametrize(("fibre", "fibre_fraction", "printed_mm"), THICKNESS)
def test_thickness_per_100_g_follows_from_the_stored_density(fibre, fibre_fraction, printed_mm):
    thickness = 0.1 / (catalogue.fibre(fibre).si.density * fibre_fraction)
    assert thickness * 1e3 == pytest.approx(printed_mm, abs=0.5001e-4)


# materials note, section 2: starter ranges of forms (grade: from memory)
FABRICS = [
    ("glass-uni-600", "fibre_fraction", (0.5, 0.55, 0.6)), ("glass-biax-450", "fibre_fraction", (0.46, 0.53, 0.58)),
    ("basalt-twill-300", "crimp_factor", (0.85, 0.92, 0.97)), ("flax-twill-360", "fibre_fraction", (0.3, 0.36, 0.44)),
    ("flax-uni-200", "fibre_fraction_hand", (0.2, 0.28, 0.35)), ("hemp-mat-450", "fibre_fraction", (0.18, 0.25, 0.32)),
    ("jute-plain-280", "fibre_fraction", (0.28, 0.35, 0.42)), ("glass-mat-450", "fibre_fraction", (0.2, 0.25, 0.3)),
]


@pytest.mark.parametrize(("key", "name", "printed"), FABRICS)
def test_fabric_range(key, name, printed):
    assert [q.m_as("") for q in catalogue.fabric(key).range(name)] == pytest.approx(printed, rel=1e-9)


# flow note, section 2.2 (grade: from memory): the stored range must lie in the decade the note gives at its fibre fraction
PERMEABILITY = [
    ("glass-uni-600", 5e-11, 2e-10, "FL-K34 at 0.55"), ("carbon-biax-300", 1e-11, 7e-11, "FL-K37 at 0.55, moved to 0.53"),
    ("carbon-twill-200", 2e-11, 1e-10, "FL-K36 at 0.45 to 0.55"), ("flax-twill-360", 1e-10, 8e-10, "FL-K39 at 0.30 to 0.40"),
    ("jute-plain-280", 5e-10, 5e-9, "FL-K41 at 0.25 to 0.35"), ("hemp-mat-450", 1e-10, 3e-9, "FL-K42 at 0.20 to 0.35"),
]


@pytest.mark.parametrize(("key", "low", "high", "case"), PERMEABILITY)
def test_permeability_typical_lies_in_the_range(key, low, high, case):
    fabric = catalogue.fabric(key)
    assert low < fabric.permeability.m_as("m^2") < high
    assert fabric.permeability_grade == "from memory"


def test_design_strain_of_infused_glass_uni_is_the_read_strength_over_the_read_modulus():
    """Reference 22 MW wind turbine, glass uniaxial row: 640 and 371 MPa, 43.7 GPa (read)."""
    fabric = catalogue.fabric("glass-uni-600")
    assert fabric.strain_limit_compression.m_as("percent") == pytest.approx(371 / 437.0, abs=0.005)
    assert fabric.strain_limit_tension.m_as("percent") == pytest.approx(640 / 437.0, abs=0.005)
    assert fabric.strain_limit == fabric.strain_limit_compression


RULES = [  # materials note, core_rules CR-1..CR-4: small-craft rule (read) and yacht rule (read second-hand)
    ("balsa-153", 0.5, 0.3), ("pvc-80", 0.55, 0.4), ("san-85", 0.65, 0.5), ("honeycomb-aramid-3mm-48", 0.5, None),
]


@pytest.mark.parametrize(("key", "small_craft", "yacht"), RULES)
def test_share_of_core_shear_to_design_with(key, small_craft, yacht):
    core = catalogue.core(key)
    assert catalogue.shear_fraction(core)[0] == small_craft
    if yacht is None:
        with pytest.raises(CatalogueError, match="gives no value"):
            catalogue.shear_fraction(core, "yacht")
    else:
        assert catalogue.shear_fraction(core, "yacht")[0] == yacht


CARBON = [  # materials note, section 7
    ("glass-fibre", (1.7, 2.1, 2.5), "read"), ("plant-fibre-technical", (0.35, 0.45, 0.55), "read"),
    ("epoxy-inventory", (5.7, 5.7, 5.7), "read second-hand"), ("carbon-fibre", (20, 25, 35), "from memory"),
]


@pytest.mark.parametrize(("key", "printed", "grade"), CARBON)
def test_footprint(key, printed, grade):
    row = catalogue.footprint_of(key)
    assert [q.m_as("") for q in row.range("carbon")] == pytest.approx(printed)
    assert row.grade == grade


CONSUMABLES = [  # materials note, section 5
    ("peel-ply-resin", (0.03, 0.04, 0.05), "kg/m^2", "read"), ("flow-mesh-resin", (0.45, 0.85, 1.15), "kg/m^2", "own calculation"),
    ("spiral-tube-10-resin", (0.075, 0.09, 0.1), "kg/m", "own calculation"), ("bucket-heel", (0.15, 0.3, 0.6), "kg", "from memory"),
    ("pmi-face-oil", (0.4, 0.4, 0.4), "L/m^2", "read"),
]


@pytest.mark.parametrize(("key", "printed", "unit", "grade"), CONSUMABLES)
def test_consumable(key, printed, unit, grade):
    item = catalogue.consumable(key)
    assert [q.m_as(unit) for q in item.range()] == pytest.approx(printed)
    assert item.grade == grade and item.si.value > 0
