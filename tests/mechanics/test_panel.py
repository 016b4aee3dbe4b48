"""Panels: symmetry, limits, convergence of the series, bad input."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics import panel
from compositekit.mechanics.panel import (
    edge_shear,
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


# --- stiffer one way than the other --------------------------------------------------------------------------------

SHARE, RATIO = st.floats(0.05, 1.0), st.floats(0.2, 5.0)


@given(SIDE, SIDE, SHARE, SHARE)
def test_alike_every_way_is_a_case_of_stiffer_one_way(length, width, u, v):
    """The single series: tanh form of an isotropic panel, written out anew."""
    patch_length, patch_width = u * length, v * width
    wave = np.pi * np.arange(1, 2000, 2) / width
    inside, outside = np.tanh(wave * patch_length / 2), np.tanh(wave * (length - patch_length) / 2)
    plain = 4 / (wave * width) * np.sin(wave * patch_width / 2) / wave * inside / (1 + outside * inside)
    assert edge_shear(length, width, patch_length, patch_width) == pytest.approx(plain.sum(), rel=1e-6)
    even = patch_coefficients(length, width, patch_length, patch_width)
    nearly = patch_coefficients(length, width, patch_length, patch_width, 1 + 1e-9, 1 - 1e-9)
    assert np.array(nearly) == pytest.approx(np.array(even), rel=1e-6)


@given(SIDE, SIDE, RATIO, st.floats(0.2, 2.0))
def test_even_pressure_is_that_of_orthotropic_panel(length, width, across, twist):
    """Without shear the two are one theory: D11 = 1, D22 = across, D12 = 0.1 root, D66 to match."""
    root = np.sqrt(across)
    d12, twist = 0.1 * root, twist * root
    rigid = RIGID_IN_SHEAR.magnitude
    whole = orthotropic_panel.si(1.0, d12, across, (twist - d12) / 2, rigid, rigid, length, width, 1.0)
    unit = patch_coefficients(length, width, length, width, across, twist)
    assert unit.bending == pytest.approx(whole.deflection.magnitude, rel=1e-6)
    assert unit.curve_x + d12 * unit.curve_y == pytest.approx(whole.moment_x.magnitude, rel=1e-6)
    assert d12 * unit.curve_x + across * unit.curve_y == pytest.approx(whole.moment_y.magnitude, rel=1e-6)


@given(SIDE, SIDE, SHARE, SHARE, RATIO, st.floats(0.2, 2.0))
def test_turning_a_panel_with_its_plies_changes_nothing(length, width, u, v, across, twist):
    one = patch_coefficients(length, width, u * length, v * width, across, twist)
    other = patch_coefficients(width, length, v * width, u * length, 1 / across, twist / across)
    assert (one.bending, one.shear, one.curve_x, one.curve_y) == pytest.approx(
        (other.bending / across, other.shear, other.curve_y / across, other.curve_x / across))


@pytest.mark.parametrize("across, twist", [(1.0, 0.35), (0.4, 0.3), (2.0, 2.5), (1.0, 1.0)])
@pytest.mark.parametrize("start", [0.05, 0.2, 0.45])
def test_edge_shear_against_the_double_series(across, twist, start):
    """Q = D11 (k^3 + twist k h^2) w summed over both directions, slowly: agrees with the closed single series."""
    length, width, u, v = 1.1, 0.8, 0.2, 0.15
    along, over = np.pi * np.arange(1, 6001) / length, np.pi * np.arange(1, 400, 2) / width
    load_x = 2 / (along * length) * (np.cos(along * start) - np.cos(along * (start + u)))
    load_y = 4 / (over * width) * np.sin(over * v / 2)
    k, h = along[:, None], over[None, :]
    terms = load_x[:, None] * load_y * k * (k**2 + twist * h**2) / (k**4 + 2 * twist * k**2 * h**2 + across * h**4)
    double = (terms * np.cos(k * start)).sum()
    assert edge_shear(length, width, u, v, across, twist, start) == pytest.approx(double, rel=5e-3)


@pytest.mark.parametrize("across, twist", [(1.0, 0.35), (0.3, 0.3), (3.0, 0.6)])
def test_shear_beside_a_patch_grows_towards_the_edge(across, twist):
    found = [edge_shear(1.2, 0.8, 0.08, 0.08, across, twist, start) for start in (0.56, 0.1, 0.04, 0.01, 0.0)]
    assert np.all(np.diff(found) > 0) and found[-1] == pytest.approx(2 * found[0], rel=2e-2)   # a mirror image stands behind the edge


def test_plates_stiff_one_way_against_finite_elements():
    """Morley triangles on a thin plate with D11, D12, D22, D66 = 1, 0.1, 0.6, 0.12 under a patch (own reference)."""
    d11, d12, d22, d66 = 1.0, 0.1, 0.6, 0.12
    found = []
    for cells in (16, 32):
        found.append(thin_plate(cells, d11, d12, d22, d66))
    fine = found[1] + (found[1] - found[0]) / 3            # the error falls with the square of the cell
    unit = patch_coefficients(1.2, 0.8, 0.3, 0.2, d22, d12 + 2 * d66)
    assert unit.bending == pytest.approx(fine, rel=5e-3)


def thin_plate(cells, d11, d12, d22, d66):
    """Deflection in the middle of 1.2 by 0.8 m under 1 Pa on the middle 0.3 by 0.2 m, supported all round."""
    import skfem as sk
    from skfem.helpers import dd

    mesh = sk.MeshTri.init_tensor(np.linspace(0, 1.2, cells + 1), np.linspace(0, 0.8, cells + 1))
    basis = sk.Basis(mesh, sk.ElementTriMorley(), intorder=4)

    @sk.BilinearForm
    def bending(w, v, _):
        a, b = dd(w), dd(v)
        return ((d11 * a[0, 0] + d12 * a[1, 1]) * b[0, 0] + (d12 * a[0, 0] + d22 * a[1, 1]) * b[1, 1] + 4 * d66 * a[0, 1] * b[0, 1])

    @sk.LinearForm
    def push(v, at):
        return v * ((abs(at.x[0] - 0.6) < 0.15) & (abs(at.x[1] - 0.4) < 0.1))

    held = basis.get_dofs(lambda x: np.isclose(x[0] * (1.2 - x[0]) * x[1] * (0.8 - x[1]), 0)).all("u")
    w = sk.solve(*sk.condense(bending.assemble(basis), push.assemble(basis), D=held))
    middle = np.flatnonzero(np.isclose(mesh.p[0], 0.6) & np.isclose(mesh.p[1], 0.4))
    return float(w[basis.nodal_dofs[0, middle]][0])


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
