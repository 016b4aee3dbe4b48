"""A patch or a strip on one skin: Kelvin functions, Westergaard, an own solve of skin and core, and limits."""

from __future__ import annotations

import numpy as np
import pytest
import skfem as sk
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad
from scipy.special import j1, keip, kerp
from skfem.helpers import grad, sym_grad

from compositekit.errors import RangeError
from compositekit.mechanics.indentation import (
    equal_radius,
    indentation_depth,
    indentation_load,
    patch_indentation,
    patch_indentation_load,
)
from compositekit.units import Q_

SKIN, CORE, SHEAR, NU, LOAD = 20e9, 70.2e6, 27e6, 0.25, 500.0      # the panel of SW-35


def press(radius, thickness=2e-3, core=25e-3, shear=SHEAR):
    """Depth, core pressure and skin stress, SI."""
    answer = patch_indentation(Q_(LOAD, "N"), Q_(radius, "m"), Q_(thickness, "m"), Q_(SKIN, "Pa"), Q_(core, "m"), Q_(CORE, "Pa"), Q_(shear, "Pa"), NU)
    return [value.magnitude for value in answer]


BENDING, SPRING = SKIN * 2e-3**3 / 12 / (1 - NU**2), CORE / 25e-3
REACH = (BENDING / SPRING) ** 0.25


@given(st.floats(1e-3, 0.2))
def test_plain_springs_are_kelvin_functions(radius):
    """Textbook: w = (q/K)(1 + x ker'x), M = (1 + nu)/2 q l^2 x kei'x, x = a/l."""
    push, x = LOAD / (np.pi * radius**2), radius / REACH
    depth, pressure, stress = press(radius, shear=0.0)
    assert depth == pytest.approx(push / SPRING * (1 + x * kerp(x)), rel=1e-6)
    assert pressure == pytest.approx(SPRING * depth)
    assert stress == pytest.approx(6 / 2e-3**2 * (1 + NU) / 2 * push * REACH**2 * x * keip(x), rel=1e-6, abs=1e-6 * push)


def test_westergaard_inside_a_plate():
    """From memory: w = P/(8 K l^2), stress = 3 P (1 + nu)/(2 pi t^2) (ln(2 l/a) + 0.5 - 0.5772), a small."""
    depth, _, stress = press(1e-5, shear=0.0)
    assert depth == pytest.approx(LOAD / (8 * SPRING * REACH**2), rel=1e-4)
    assert stress == pytest.approx(3 * LOAD * (1 + NU) / (2 * np.pi * 2e-3**2) * (np.log(2 * REACH / 1e-5) + 0.5 - np.euler_gamma), rel=1e-4)


@pytest.mark.parametrize("shear", [0.0, SHEAR, 40 * SHEAR])       # without, with little and with much shear: the roots turn real
def test_hankel_integral(shear):
    """w = q a/2pi ... : the transform of an even round pressure is a J1(ka)/k, that of the plate D k^4 + T k^2 + K."""
    radius, spread = 20e-3, shear * 25e-3 / 3
    push = LOAD / (np.pi * radius**2)

    def integral(power):
        return quad(lambda k: push * radius * j1(k * radius) * k**power / (BENDING * k**4 + spread * k**2 + SPRING), 0, 3e4, limit=2000)[0]
    depth, pressure, _ = press(radius, shear=shear)
    assert depth == pytest.approx(integral(0), rel=1e-6)
    assert pressure == pytest.approx(SPRING * integral(0) + spread * integral(2), rel=1e-3)


def test_equal_roots():
    """Where the two roots meet, T^2 = 4 K D, the answer is that of its neighbours."""
    meet = 2 * np.sqrt(SPRING * BENDING) * 3 / 25e-3
    near = [press(0.02, shear=meet * (1 + step))[0] for step in (-1e-3, 0.0, 1e-3)]
    assert near[1] == pytest.approx((near[0] + near[2]) / 2, rel=1e-6)


@pytest.mark.parametrize("side", [10e-3, 50e-3])
def test_a_square_presses_as_the_round_one_of_its_area(side):
    def wave(y, x):
        k2 = x**2 + y**2
        return np.sinc(x * side / 2 / np.pi) * np.sinc(y * side / 2 / np.pi) / (BENDING * k2**2 + SHEAR * 25e-3 / 3 * k2 + SPRING)
    square = LOAD / np.pi**2 * dblquad(wave, 0, 1500, 0, 1500, epsabs=0, epsrel=1e-3)[0]
    radius = equal_radius(Q_(side, "m"), Q_(side, "m")).m_as("m")
    assert press(radius)[0] == pytest.approx(square, rel=1.5e-2)


def test_a_wide_patch_is_plain_pressure():
    depth, pressure, stress = press(3.0)
    assert pressure == pytest.approx(LOAD / (np.pi * 9)) and depth == pytest.approx(pressure / SPRING) and abs(stress) < 1e-6


@given(st.floats(1e-3, 0.3), st.floats(0, 1e8))
def test_the_core_crushes_at_its_strength(radius, shear):
    stuff = (Q_(radius, "m"), Q_(2, "mm"), Q_(SKIN, "Pa"), Q_(25, "mm"), Q_(CORE, "Pa"), Q_(shear, "Pa"), NU)
    load = patch_indentation_load(Q_(1, "MPa"), *stuff)
    assert patch_indentation(load, *stuff)[1].m_as("MPa") == pytest.approx(1)


# --- skin and core solved as they are, round, on a rigid base (own reference) ------------------------------------------------

def solved(radius, thickness, core):
    """Depth of the skin's underside and pressure on the core there, in the middle, by 9-node quadrilaterals."""
    reach = radius + 6 * core
    r = np.r_[np.linspace(0, radius, 7), radius + (reach - radius) * np.linspace(0, 1, 31)[1:] ** 2]
    z = np.r_[core * (1 - np.linspace(1, 0, 11) ** 1.5), core + thickness * np.array([0.5, 1.0])]
    mesh = sk.MeshQuad.init_tensor(r, z)
    basis = sk.Basis(mesh, sk.ElementVector(sk.ElementQuad2()), intorder=5)
    middle = mesh.p[:, mesh.t].mean(axis=1)
    modulus, poisson = (np.where(middle[1] > core, *pair)[:, None] for pair in ((SKIN, CORE), (NU, 0.3)))
    lame, shear = modulus * poisson / ((1 + poisson) * (1 - 2 * poisson)), modulus / 2 / (1 + poisson)

    @sk.BilinearForm
    def energy(u, v, at):
        e, f = ((grad(a)[0, 0], a[0] / at.x[0], grad(a)[1, 1], grad(a)[0, 1] + grad(a)[1, 0]) for a in (u, v))
        return at.x[0] * (lame * sum(e[:3]) * sum(f[:3]) + shear * (2 * sum(a * b for a, b in zip(e[:3], f[:3], strict=True)) + e[3] * f[3]))

    under = mesh.facets_satisfying(lambda x: np.isclose(x[1], z[-1]) & (x[0] < radius))
    push = sk.LinearForm(lambda v, at: -LOAD / (np.pi * radius**2) * v[1] * at.x[0]).assemble(sk.FacetBasis(mesh, basis.elem, facets=under, intorder=5))
    held = np.r_[basis.get_dofs(mesh.facets_satisfying(lambda x: np.isclose(x[1], 0))).all(),
                 basis.get_dofs(mesh.facets_satisfying(lambda x: np.isclose(x[0], 0))).all(["u^1"])]
    u = sk.solve(*sk.condense(energy.assemble(basis), push, D=np.unique(held)))
    node = np.flatnonzero(np.isclose(mesh.p[0], 0) & np.isclose(mesh.p[1], core))
    field, x = basis.interpolate(u), basis.default_parameters()["x"]
    squeeze = -(lame * (grad(field)[0, 0] + field[0] / x[0] + grad(field)[1, 1]) + 2 * shear * grad(field)[1, 1])
    top = np.flatnonzero((middle[0] < r[1]) & (middle[1] < core))[-1]
    return -u[basis.nodal_dofs[1, node]][0], squeeze[top].mean()


@pytest.mark.parametrize("thickness", [1e-3, 2e-3])
@pytest.mark.parametrize("core", [10e-3, 25e-3, 50e-3])
@pytest.mark.parametrize("radius", [5e-3, 10e-3, 25e-3, 50e-3])
def test_against_skin_and_core_as_they_are(radius, core, thickness):
    """Bounds are those the docstring states: springs that shear stay on the safe side of the core's pressure, plain ones do not."""
    depth, pressure = solved(radius, thickness, core)
    found = press(radius, thickness, core)
    assert 0.98 < found[1] / pressure < 1.9
    assert (0.65 if core > 25e-3 else 0.85) < found[0] / depth < 1.4


def test_plain_springs_spread_a_heel_too_well():
    _, pressure = solved(5e-3, 2e-3, 50e-3)
    assert press(5e-3, core=50e-3, shear=0.0)[1] / pressure == pytest.approx(0.45, abs=0.02)


# --- strips ------------------------------------------------------------------------------------------------------------------

STRIP = dict(width=Q_(50, "mm"), skin_thickness=Q_(2, "mm"), skin_modulus=Q_(SKIN, "Pa"), core_modulus=Q_(CORE, "Pa"))


@pytest.mark.parametrize("strip, squash", [(20, 4.94914 - 4.88136), (40, 4.90597 - 4.86099), (60, 4.86014 - 4.83034)])
def test_sw_18_a_beam_squashes_as_on_half_its_core(strip, squash):
    """SW-18 (O): plane FE of a 600 mm beam; far from its supports each half of the core takes half of the load."""
    depth = indentation_depth(Q_(500, "N"), strip_width=Q_(strip, "mm"), core_thickness=Q_(12.5, "mm"), core_shear_modulus=Q_(27, "MPa"), **STRIP)
    assert depth.m_as("mm") == pytest.approx(squash, rel=3e-2)


def plane_pressure(strip, core):
    """Pressure on the core under the middle of a strip over the strip's own: half of a 600 mm beam in plane stress, 9-node quadrilaterals."""
    half, skin = 0.3, 2e-3
    x = np.r_[(half - strip / 2) * (1 - np.linspace(1, 0, 51) ** 1.7), half - strip / 2 * np.linspace(1, 0, 7)[1:]]
    mesh = sk.MeshQuad.init_tensor(x, np.r_[0, skin + core * np.linspace(0, 1, 11) ** 0.7, core + 2 * skin])
    basis = sk.Basis(mesh, sk.ElementVector(sk.ElementQuad2()), intorder=4)
    middle = mesh.p[:, mesh.t].mean(axis=1)
    inside = abs(middle[1] - skin - core / 2) < core / 2
    poisson, modulus = (np.where(inside, *pair)[:, None] for pair in ((0.3, NU), (CORE, SKIN)))
    stiff = modulus / (1 - poisson**2)

    @sk.BilinearForm
    def energy(u, v, _):
        e, f = sym_grad(u), sym_grad(v)
        return stiff * (e[0, 0] * f[0, 0] + e[1, 1] * f[1, 1] + poisson * (e[0, 0] * f[1, 1] + e[1, 1] * f[0, 0]) + 2 * (1 - poisson) * e[0, 1] * f[0, 1])

    def facets(test):
        return mesh.facets_satisfying(test)
    top = facets(lambda p: np.isclose(p[1], core + 2 * skin) & (p[0] > half - strip / 2))
    push = sk.LinearForm(lambda v, _: -v[1]).assemble(sk.FacetBasis(mesh, basis.elem, facets=top, intorder=4))
    held = np.r_[basis.get_dofs(facets(lambda p: np.isclose(p[0], 0))).all(["u^2"]), basis.get_dofs(facets(lambda p: np.isclose(p[0], half))).all(["u^1"])]
    strain = sym_grad(basis.interpolate(sk.solve(*sk.condense(energy.assemble(basis), push, D=np.unique(held)))))
    under = np.flatnonzero(inside & (middle[0] > x[-2]))
    return -(stiff * (strain[1, 1] + poisson * strain[0, 0]))[under[np.argmax(middle[1, under])]].mean()


@pytest.mark.parametrize("core", [12e-3, 25e-3, 50e-3])
@pytest.mark.parametrize("strip", [5e-3, 20e-3, 60e-3])
def test_a_strip_on_a_beam_against_plane_elements(strip, core):
    """Bounds are those the docstring of indentation_load states."""
    fe = plane_pressure(strip, core)
    with_shear, plain = (1e6 * 0.05 * strip / indentation_load(
        Q_(1, "MPa"), strip_width=Q_(strip, "m"), core_thickness=Q_(core, "m"), core_shear_modulus=Q_(shear, "Pa"), **STRIP).m_as("N") / fe
        for shear in (SHEAR, 0.0))
    assert 1.03 < with_shear < 1.6
    assert 0.7 < plain < 1.2 and (plain < 0.9 or strip > 5e-3 or core < 25e-3)


@given(st.floats(1, 500), st.floats(0, 200))
def test_a_core_that_shears_spreads_a_strip_less(strip, shear):
    """The load at which the core crushes falls as its shear stiffness grows, and never falls far below plain pressure."""
    load = [indentation_load(Q_(1, "MPa"), strip_width=Q_(strip, "mm"), core_thickness=Q_(25, "mm"), core_shear_modulus=Q_(value, "MPa"), **STRIP)
            for value in (0.0, shear)]
    plain, overshoot = 1e6 * 0.05 * strip * 1e-3, 1 + np.exp(-3 * np.pi / 4) / np.sqrt(2)     # the most 1 - exp(-x) cos x can be
    assert all(value.m_as("N") > plain / overshoot * (1 - 1e-9) for value in load)
    if strip < 20:
        assert load[1] <= load[0] * (1 + 1e-9)


OWN = [
    (lambda: press(-1.0), "radius"), (lambda: press(0.0), "radius"), (lambda: press(0.01, shear=-1.0), "core_shear_modulus"),
    (lambda: patch_indentation_load(Q_(0, "Pa"), *[Q_(1, unit) for unit in ("m", "m", "Pa", "m", "Pa", "Pa")]), "core_strength"),
]


@pytest.mark.parametrize("call, words", OWN)
def test_bad_input(call, words):
    with pytest.raises(RangeError, match=words):
        call()
