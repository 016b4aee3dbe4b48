"""Test-strip reduction and few-sample statistics against printed figures, with case id, citation and grade."""

import pytest

from compositekit.trial.statistics import characteristic_value, mean_interval, tolerance_factor
from compositekit.trial.strip_strength import core_shear_strength, facing_strength, flexural_strength
from compositekit.trial.strips import (
    core_shear_modulus,
    core_shear_modulus_from_rigidity,
    facing_modulus,
    facing_modulus_from_rigidity,
    flexural_modulus,
    two_span_rigidities,
)
from compositekit.units import Q_


def mm(*values):
    return Q_(list(values) if len(values) > 1 else values[0], "mm")


# --- SW-10: openly restated numerical example of a strip, specimen A (read second-hand) -------------
# b 25, t 1, c 10, d 12, S 240 mm, one load; P 1925 N; Ef 70 GPa, Ec 100, Gc 40 MPa


def test_sw10_facing_strength_is_420_mpa():
    assert facing_strength(Q_(1925, "N"), mm(240), mm(0), mm(25), mm(1), mm(10)).m_as("MPa") == pytest.approx(420, rel=1e-6)


def test_sw10_apparent_bending_strength_of_the_whole_strip_is_192_5_mpa():
    assert flexural_strength(Q_(1925, "N"), mm(240), mm(25), mm(12)).m_as("MPa") == pytest.approx(192.5, rel=1e-6)


def test_sw10_core_shear_modulus_from_the_printed_shear_rigidity():
    """U printed as about 1.21e4 N belongs to Gc 40 MPa: exact."""
    shear_rigidity = Q_(1.21e4, "N") / mm(25)
    assert core_shear_modulus_from_rigidity(shear_rigidity, mm(1), mm(10)).m_as("MPa") == pytest.approx(40, rel=5e-3)


def test_sw10_facing_modulus_from_the_printed_bending_rigidity():
    """D printed as about 1.06e8 N mm2 belongs to Ef 70 GPa; tolerance as printed, 5e-3."""
    flexural_rigidity = Q_(1.06e8, "N*mm^2") / mm(25)
    assert facing_modulus_from_rigidity(flexural_rigidity, mm(1), mm(10), Q_(100, "MPa")).m_as("GPa") == pytest.approx(70, rel=5e-3)


def test_sw09_core_shear_strength_is_shear_force_over_core_and_half_the_skins():
    """ASTM C393 form, from memory: P/((d + c) b); with SW-10's strip 1925/((12 + 10) 25) = 3.5 MPa."""
    assert core_shear_strength(Q_(1925, "N"), mm(25), mm(1), mm(10)).m_as("MPa") == pytest.approx(3.5, rel=1e-12)


# --- SW-12: two set-ups on simulated strips (own reference: plane-stress finite elements) -----------
# Ef 20 GPa, t 2, c 25 mm, Ec 70.2, Gc 27.0 MPa, b 50 mm, P 500 N; D 7.34904e8 N mm2, U 39366 N

SET_UPS = {  # span, load span, simulated deflection, formula deflection [mm]
    "3-point 300": (300, 0, 1.255171, 1.335302), "3-point 600": (600, 0, 4.881370, 4.966823),
    "3-point 900": (900, 0, 13.100008, 13.190783), "4-point 600/200": (600, 200, 3.871083, 3.878183),
    "4-point 900/300": (900, 300, 10.696727, 10.707372),
}


def rigidities(*names, column=2):
    rows = [SET_UPS[name] for name in names]
    return two_span_rigidities(mm(*[r[0] for r in rows]), mm(*[r[1] for r in rows]), Q_(500, "N"),
                               mm(*[r[column] for r in rows]), mm(50))


RECOVERED = [  # set-ups, D/D0, U/U0 as the note prints them
    (("4-point 600/200", "4-point 900/300"), 1.0000, 1.0056),
    (("3-point 300", "3-point 900"), 0.984, 1.100),
    (("3-point 600", "4-point 600/200"), 0.919, 1.229),
]


@pytest.mark.parametrize(("names", "bending", "shear"), RECOVERED)
def test_sw12_rigidities_recovered_from_two_set_ups(names, bending, shear):
    found = rigidities(*names)
    assert (found.flexural_rigidity * mm(50)).m_as("N*mm^2") / 7.34904e8 == pytest.approx(bending, abs=6e-4)
    assert (found.shear_rigidity * mm(50)).m_as("N") / 39366 == pytest.approx(shear, abs=6e-4)


def test_sw12_moduli_behind_the_four_point_pair():
    """Printed: Gc 27.15 MPa, Ef 20,000 MPa."""
    found = rigidities("4-point 600/200", "4-point 900/300")
    assert core_shear_modulus_from_rigidity(found.shear_rigidity, mm(2), mm(25)).m_as("MPa") == pytest.approx(27.15, abs=0.01)
    assert facing_modulus_from_rigidity(found.flexural_rigidity, mm(2), mm(25), Q_(70.2, "MPa")).m_as("MPa") == pytest.approx(
        20000, rel=1e-3)


def test_sw12_nearly_parallel_pair_is_called_ill_conditioned_and_the_good_ones_are_not():
    """The note: 3-point 600 with 4-point 600/200 is "nearly parallel: ill conditioned"."""
    assert "nearly alike" in rigidities("3-point 600", "4-point 600/200").caution
    assert rigidities("4-point 600/200", "4-point 900/300").caution == ""
    assert rigidities("3-point 300", "3-point 900").caution == ""


@pytest.mark.parametrize("name", SET_UPS)
def test_sw12_formula_deflections_give_back_skin_and_core(name):
    span, load_span, _, deflection = SET_UPS[name]
    strip = (mm(span), mm(load_span), Q_(500, "N"), mm(deflection), mm(50), mm(2), mm(25))
    assert facing_modulus(*strip, Q_(27, "MPa"), Q_(70.2, "MPa")).m_as("GPa") == pytest.approx(20, rel=1e-5)
    assert core_shear_modulus(*strip, Q_(20, "GPa"), Q_(70.2, "MPa")).m_as("MPa") == pytest.approx(27, rel=1e-5)


def test_sw12_all_formula_rows_together():
    found = rigidities(*SET_UPS, column=3)
    assert (found.flexural_rigidity * mm(50)).m_as("N*mm^2") == pytest.approx(7.34904e8, rel=1e-5)
    assert (found.shear_rigidity * mm(50)).m_as("N") == pytest.approx(39366, rel=1e-5)
    assert found.misfit < 1e-5


def test_sw09_solid_strip_under_one_load():
    """ASTM D790 form (read second-hand): E = L^3 m/(4 b d^3); 80 mm, 10 x 4 mm, 20 N/mm is 4 GPa by hand."""
    found = flexural_modulus(mm(80), mm(0), Q_(20, "N"), mm(1), mm(10), mm(4))
    assert found.m_as("GPa") == pytest.approx(80**3 * 20 / (4 * 10 * 4**3) / 1000, rel=1e-12)


# --- C-T1: one-sided factors (from memory, recomputed twice), four decimals -----------------------

FACTORS = {
    (0.90, 0.95): (20.5815, 6.1553, 4.1619, 3.4066, 3.0063, 2.7554, 2.5819, 2.4538, 2.3546),
    (0.99, 0.95): (37.0936, 10.5527, 7.0424, 5.7411, 5.0620, 4.6417, 4.3539, 4.1430, 3.9811),
    (0.95, 0.95): (26.2597, 7.6559, 5.1439, 4.2027, 3.7077, 3.3995, 3.1873, 3.0312, 2.9110),
}


@pytest.mark.parametrize(("coverage", "confidence", "number", "printed"), [
    (*level, number, printed) for level, row in FACTORS.items() for number, printed in enumerate(row, start=2)])
def test_ct1_tolerance_factor(coverage, confidence, number, printed):
    assert tolerance_factor(number, coverage, confidence).m == pytest.approx(printed, abs=1.01e-4)


def test_ct3_published_factor_at_50():
    """Public README and the 1963 tables it cites (read): n 50, 95/95, 2.064993399768 and 2.065; the note recomputes
    2.0649934 with the same quantile function, good to seven decimals."""
    assert tolerance_factor(50, 0.95, 0.95).m == pytest.approx(2.0649934, abs=5e-8)
    assert tolerance_factor(50, 0.95, 0.95).m == pytest.approx(2.065, abs=5e-4)


def test_ct4_exact_factor_at_43():
    """n 43, 90 % coverage at 99 % (own reference): exact 1.8739536; the published approximation is 0.07 % high (read)."""
    assert tolerance_factor(43, 0.90, 0.99).m == pytest.approx(1.8739536, abs=1e-6)
    assert tolerance_factor(43, 0.90, 0.99).m == pytest.approx(1.8751896, rel=1e-3)


@pytest.mark.parametrize(("number", "printed"), [(4, 1.59), (5, 1.24), (6, 1.05), (10, 0.72), (20, 0.47)])
def test_ct5_half_width_of_the_mean_interval(number, printed):
    """t/sqrt n at 95 %, published table 21.1 (read), two decimals; readings made to have mean 0 and deviation 1."""
    rising = [i - (number - 1) / 2 for i in range(number)]
    scale = (sum(x * x for x in rising) / (number - 1)) ** 0.5
    low, mean, high = mean_interval([x / scale for x in rising])
    assert mean.m == pytest.approx(0, abs=1e-12)
    assert high.m == pytest.approx(printed, abs=0.0051) and low.m == pytest.approx(-high.m)


# --- C-T7 and C-T8: worked coupon sets (own reference) ----------------------------------------------

SETS = {
    "CT7": (412, 398, 431, 405, 420), "CT8 six": (21.3, 20.1, 22.4, 21.9, 20.8, 21.0), "CT8 three": (38.2, 41.0, 36.9),
}
WORKED = [  # set, basis, printed value, half a last digit
    ("CT7", "B", 369.35, 0.005), ("CT7", "A", 339.30, 0.005), ("CT7", "5 %", 383.14, 0.005),
    ("CT7", "0.9 mean", 371.88, 0.005), ("CT7", "mean - 2 s", 387.46, 0.006),
    ("CT8 six", "B", 18.795, 0.0006), ("CT8 six", "A", 17.116, 0.0006), ("CT8 six", "5 %", 19.472, 0.0006),
    ("CT8 three", "B", 25.803, 0.0006), ("CT8 three", "A", 16.590, 0.0006), ("CT8 three", "5 %", 31.635, 0.0006),
]


@pytest.mark.parametrize(("name", "basis", "printed", "half_digit"), WORKED)
def test_worked_set(name, basis, printed, half_digit):
    assert characteristic_value(Q_(SETS[name], "MPa"), basis).value.m_as("MPa") == pytest.approx(printed, abs=half_digit)


@pytest.mark.parametrize(("name", "mean", "deviation"), [
    ("CT7", 413.2, 12.8725), ("CT8 six", 21.25, 0.81670), ("CT8 three", 38.70, 2.09523)])
def test_mean_and_deviation(name, mean, deviation):
    found = characteristic_value(SETS[name])
    assert found.mean.m == pytest.approx(mean, rel=1e-9) and found.deviation.m == pytest.approx(deviation, rel=1e-5)


def test_ct7_variation_and_mean_interval():
    """CV 3.115 %, mean +- 15.98."""
    assert characteristic_value(SETS["CT7"]).variation == pytest.approx(0.03115, abs=5e-6)
    low, mean, high = mean_interval(Q_(SETS["CT7"], "MPa"))
    assert (high - mean).m_as("MPa") == pytest.approx(15.98, abs=0.006) and (mean - low).m == pytest.approx((high - mean).m)
