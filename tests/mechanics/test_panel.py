"""Panels: symmetry, limits, convergence of the series, bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics import panel
from compositekit.mechanics.panel import (
    orthotropic_panel,
    panel_deflection,
    panel_stresses,
    patch_coefficients,
    patch_deflection,
    patch_stresses,
)
from compositekit.mechanics.sandwich import RIGID_IN_SHEAR
from compositekit.units import Q_

SIDE = st.floats(0.2, 3.0)


@given(SIDE, SIDE)
def test_turning_the_panel_swaps_x_and_y(length, width):
    assert patch_coefficients(length, width, length, width).bending == pytest.approx(
        patch_coefficients(width, length, width, length).bending)
    mx, my, qx, qy = panel_stresses.si(length, width, 1.0, 0.3)
    assert panel_stresses.si(width, length, 1.0, 0.3) == pytest.approx((my, mx, qy, qx))


@given(SIDE, SIDE, st.floats(100, 1e5), st.floats(1e4, 1e7))
def test_isotropic_is_a_case_of_orthotropic(length, width, d, s):
    whole = orthotropic_panel.si(d, 0.3 * d, d, 0.35 * d, s, s, length, width, 1e3)
    assert whole.deflection.magnitude == pytest.approx(panel_deflection.si(d, s, length, width, 1e3))
    mx, my, *_ = panel_stresses.si(length, width, 1e3, 0.3)
    assert (whole.moment_x.magnitude, whole.moment_y.magnitude) == pytest.approx((mx, my))


def test_patch_over_all_of_it_is_even_pressure():
    size = dict(length=Q_(0.9, "m"), width=Q_(0.6, "m"))
    d, s = Q_(1.5e4, "N*m"), Q_(8e5, "N/m")
    load = Q_(10, "kPa") * size["length"] * size["width"]
    whole = dict(load=load, patch_length=size["length"], patch_width=size["width"])
    assert patch_deflection(d, s, **size, **whole).magnitude == pytest.approx(
        panel_deflection(d, s, **size, pressure=Q_(10, "kPa")).magnitude)
    for patch, even in zip(patch_stresses(**size, **whole), panel_stresses(**size, pressure=Q_(10, "kPa")), strict=True):
        assert patch.magnitude == pytest.approx(even.magnitude)


def test_long_panel_is_a_strip():
    """Far from its short ends a panel 20 times as long as wide bends as a beam with D and S per width."""
    d, s, q = 900.0, 4e4, 1e3
    strip = 5 / 384 * q / d + q / 8 / s
    assert panel_deflection.si(d, s, 20.0, 1.0, q) == pytest.approx(strip, rel=1e-4)
    _, moment, _, shear_force = panel_stresses.si(20.0, 1.0, q, 0.3)
    assert (moment, shear_force) == pytest.approx((q / 8, q / 2), rel=1e-4)


@given(st.floats(0.5, 2.0), st.floats(0.02, 1.0), st.floats(0.02, 1.0))
def test_spreading_a_load_never_deepens_it(ratio, u, v):
    assert patch_coefficients(ratio, 1, u * ratio, v).bending / (u * ratio * v) <= (
        patch_coefficients(ratio, 1, 0.01 * ratio, 0.01).bending / (0.01 * ratio * 0.01) * (1 + 1e-9))


def test_shear_around_a_small_patch():
    """Far edges do not matter: Q is the gradient of the log potential of a square, at the middle of its side."""
    _, _, shear_x, shear_y = patch_stresses.si(1.0, 1.0, 1.0, 0.02, 0.02, 0.3)
    closed = (np.log(5) / 2 + 2 * np.arctan(0.5)) / (2 * np.pi) / 0.02
    assert (shear_x, shear_y) == pytest.approx((closed, closed), rel=1e-3)


def with_terms(monkeypatch, count, function):
    monkeypatch.setattr(panel, "_ODD", np.arange(1, 2 * count, 2))
    return np.array(function())


@pytest.mark.parametrize("size, bound", [((1.0, 1.0), 1e-4), ((5.0, 1.0), 1e-4), ((0.1, 0.1), 5e-3), ((0.02, 0.02), 5e-3)])
def test_series_is_converged(monkeypatch, size, bound):
    """The accuracy the module claims: 100 by 100 terms against 400 by 400."""
    length = max(1.0, size[0])

    def centre():
        unit = patch_coefficients(length, 1.0, *size)
        return unit.bending, unit.shear, *patch_stresses.si(length, 1.0, 1.0, *size)[:2]

    few, many = (with_terms(monkeypatch, count, centre) for count in (100, 400))
    np.testing.assert_allclose(few, many, rtol=bound)


def test_deflection_series_gains_a_fixed_order(monkeypatch):
    """The alternating bending series of the whole panel falls off at least with the fourth power of the terms."""
    exact = with_terms(monkeypatch, 400, lambda: patch_coefficients(1, 1, 1, 1).bending)
    errors = [abs(with_terms(monkeypatch, n, lambda: patch_coefficients(1, 1, 1, 1).bending) - exact) for n in (4, 8, 16)]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert np.all(orders > 4)


def test_sweep_over_layups():
    d, s = np.array([100.0, 1e3, 1e4]), np.array([1e5, 2e5, 4e5])
    swept = panel_deflection(Q_(d, "N*m"), Q_(s, "N/m"), Q_(0.9, "m"), Q_(0.6, "m"), Q_(10, "kPa"))
    single = [panel_deflection.si(a, b, 0.9, 0.6, 1e4) for a, b in zip(d, s, strict=True)]
    np.testing.assert_allclose(swept.magnitude, single)


def test_sweep_over_sizes():
    lengths = np.array([0.6, 0.9, 1.5])
    swept = panel_stresses(Q_(lengths, "m"), Q_(0.6, "m"), Q_(10, "kPa"))
    for index, length in enumerate(lengths):
        assert [q.magnitude[index] for q in swept] == pytest.approx(panel_stresses.si(length, 0.6, 1e4, 0.3))


METRE, D = Q_(1, "m"), Q_(100, "N*m")
OWN = [
    (lambda: panel_deflection(D, RIGID_IN_SHEAR, METRE, 0 * METRE, Q_(1, "kPa")), RangeError, "width"),
    (lambda: panel_deflection(D, RIGID_IN_SHEAR, METRE, METRE, Q_(1, "kg")), UnitError, "pressure"),
    (lambda: panel_deflection(D, Q_(-1, "N/m"), METRE, METRE, Q_(1, "kPa")), RangeError, "shear_rigidity"),
    (lambda: panel_stresses(METRE, METRE, Q_(np.nan, "kPa")), RangeError, "finite"),
    (lambda: patch_deflection(D, RIGID_IN_SHEAR, METRE, METRE, Q_(1, "kN"), 2 * METRE, METRE), RangeError, "larger than the panel"),
    (lambda: patch_stresses(METRE, METRE, Q_(1, "kN"), METRE, 2 * METRE), RangeError, "larger than the panel"),
    (lambda: orthotropic_panel(D, 2 * D, D, D, RIGID_IN_SHEAR, RIGID_IN_SHEAR, METRE, METRE, Q_(1, "kPa")), RangeError, "d12"),
]


@pytest.mark.parametrize("call, error, words", OWN)
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call()
