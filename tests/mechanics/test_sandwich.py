"""Sandwich records and beams: limits, statics by integration, a trade fact, bad input."""

from __future__ import annotations

import numpy as np
import pytest
import skfem as sk
from hypothesis import given
from hypothesis import strategies as st
from mechanics_stand_ins import FIBRES, RESINS, fabric
from scipy.integrate import quad

from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import ply_from_fabric
from compositekit.mechanics.sandwich import (
    BEAM_CASES,
    RIGID_IN_SHEAR,
    Sandwich,
    beam_deflection,
    beam_peak,
    core_shear_stress,
    facing_stress,
    four_point_deflection,
    layer_section,
    solid_rigidity,
    strip_load_deflection,
)
from compositekit.mechanics.sandwich_beam import sandwich_beam, slenderness
from compositekit.mechanics.sandwich_failure import indentation_depth, indentation_load, patch_pressure
from compositekit.units import Q_


def sandwich(**change):
    values = dict(outer_skin_thickness=Q_(2, "mm"), outer_skin_modulus=Q_(20, "GPa"), inner_skin_thickness=Q_(1, "mm"),
                  inner_skin_modulus=Q_(12, "GPa"), core_thickness=Q_(20, "mm"), core_modulus=Q_(50, "MPa"),
                  core_shear_modulus=Q_(20, "MPa"))
    return Sandwich(**{**values, **change})


# --- a trade fact (common practice, no source) -----------------------------------------------------------------

@pytest.mark.parametrize("core_density, uptake", [(94, 0.3), (153, 0.5), (247, 1.0)])   # balsa range, uptake per face
@pytest.mark.parametrize("fraction", [0.28, 0.36, 0.44])
def test_flax_on_balsa_floats(core_density, uptake, fraction):
    """Two plies of 360 g/m2 flax on either side of 6 mm end-grain balsa make a panel lighter than water."""
    ply = ply_from_fabric(fabric(0.36, fraction, 0.92, "balanced"), FIBRES["flax"], RESINS["epoxy"])
    skin = Laminate([ply, ply], Q_([0, 0], "deg"))
    panel = Sandwich.from_laminates(skin, skin, Q_(6, "mm"), Q_(100, "MPa"), Q_(100, "MPa"),
                                    Q_(core_density, "kg/m^3"), Q_(uptake, "kg/m^2"))
    assert panel.bulk_density < Q_(1000, "kg/m^3")
    by_hand = 4 * 0.36 / fraction * (fraction + (1 - fraction) * 1150 / 1440) + 6e-3 * core_density + 2 * uptake
    assert panel.areal_mass.m_as("kg/m^2") == pytest.approx(by_hand)


def test_solid_flax_sinks():
    ply = ply_from_fabric(fabric(0.36, 0.36, 0.92, "balanced"), FIBRES["flax"], RESINS["epoxy"])
    assert ply.density > Q_(1000, "kg/m^3")


# --- sections ----------------------------------------------------------------------------------------------------

def test_from_laminates_keeps_the_skins_plate_stiffness():
    ply = ply_from_fabric(fabric(0.6, 0.5, 1.0, "uni"), FIBRES["E-glass"], RESINS["epoxy"])
    skin = Laminate([ply, ply], Q_([0, 90], "deg"))
    skin = Laminate([*skin.plies, *skin.plies], Q_([0, 90, 90, 0], "deg"))
    panel = Sandwich.from_laminates(skin, skin, Q_(20, "mm"), Q_(0, "MPa"), Q_(20, "MPa"))
    assert panel.layers(plate=True)[0][0] == pytest.approx(skin.si.A[0, 0] / skin.si.thickness)


def test_turning_it_over_changes_nothing():
    one = sandwich()
    other = sandwich(outer_skin_thickness=one.inner_skin_thickness, outer_skin_modulus=one.inner_skin_modulus,
                     inner_skin_thickness=one.outer_skin_thickness, inner_skin_modulus=one.outer_skin_modulus)
    for name in ("flexural_rigidity", "plate_rigidity", "shear_rigidity", "thickness"):
        assert getattr(one, name).magnitude == pytest.approx(getattr(other, name).magnitude)
    m, b = Q_(100, "N*m"), Q_(1, "m")
    outer, inner = facing_stress(one, m, b)
    assert [s.magnitude for s in facing_stress(other, m, b)] == pytest.approx([-inner.magnitude, -outer.magnitude])
    assert core_shear_stress(one, Q_(1, "kN"), b).magnitude == pytest.approx(
        core_shear_stress(other, Q_(1, "kN"), b).magnitude)


def test_one_material_throughout_is_a_solid_beam():
    solid = sandwich(outer_skin_modulus=Q_(5, "GPa"), inner_skin_modulus=Q_(5, "GPa"), core_modulus=Q_(5, "GPa"))
    height, b = 23e-3, Q_(1, "m")
    assert solid.flexural_rigidity.magnitude == pytest.approx(5e9 * height**3 / 12)
    assert facing_stress(solid, Q_(1, "N*m"), b)[1].magnitude == pytest.approx(6 / height**2)
    assert core_shear_stress(solid, Q_(1, "N"), b).magnitude == pytest.approx(1.5 / height)   # parabola's peak
    two = solid_rigidity(Q_(2, "mm"), Q_(5, "GPa"), Q_(1, "mm"), Q_(5, "GPa"))
    assert two.magnitude == pytest.approx(5e9 * 3e-3**3 / 12)


@given(st.floats(0.2, 3), st.floats(1, 80), st.floats(0.2, 3), st.floats(1, 80), st.floats(5, 50), st.floats(0, 0.1))
def test_thin_and_thick_rigidities(outer, outer_modulus, inner, inner_modulus, core, core_share):
    """By hand: the offset term alone, then both skins' own terms; what a core adds is its own term and the shift of the axis."""
    skins = dict(outer_skin_thickness=Q_(outer, "mm"), outer_skin_modulus=Q_(outer_modulus, "GPa"), inner_skin_thickness=Q_(inner, "mm"),
                 inner_skin_modulus=Q_(inner_modulus, "GPa"), core_thickness=Q_(core, "mm"))
    bare = sandwich(core_modulus=Q_(0, "Pa"), **skins)
    d, one, other = core + (outer + inner) / 2, outer * outer_modulus, inner * inner_modulus      # mm, N/m times 1e-6
    assert bare.thin_face_rigidity.magnitude == pytest.approx(d**2 / (1 / one + 1 / other))
    own = (outer_modulus * outer**3 + inner_modulus * inner**3) / 12
    assert bare.skins_own_rigidity.magnitude == pytest.approx(own)
    assert bare.flexural_rigidity.magnitude == pytest.approx(bare.thin_face_rigidity.magnitude * (1 + bare.small_terms[0]))
    full = sandwich(core_modulus=Q_(core_share * min(outer_modulus, inner_modulus), "GPa"), **skins)
    assert full.flexural_rigidity.magnitude >= full.thin_face_rigidity.magnitude * (1 + sum(full.small_terms)) * (1 - 1e-12)
    if outer == inner and outer_modulus == inner_modulus:
        assert full.flexural_rigidity.magnitude == pytest.approx(full.thin_face_rigidity.magnitude * (1 + sum(full.small_terms)))


def test_small_terms_of_equal_skins_add_up():
    even = sandwich(inner_skin_thickness=Q_(2, "mm"), inner_skin_modulus=Q_(20, "GPa"), core_modulus=Q_(1, "GPa"))
    assert even.flexural_rigidity.magnitude == pytest.approx(even.thin_face_rigidity.magnitude * (1 + sum(even.small_terms)))


@given(st.floats(1e-4, 5e-4))
def test_thin_skins_on_a_soft_core(skin):
    panel = sandwich(outer_skin_thickness=Q_(skin, "m"), inner_skin_thickness=Q_(skin, "m"),
                     inner_skin_modulus=Q_(20, "GPa"), core_modulus=Q_(0, "Pa"))
    d, b = panel.centroid_distance.magnitude, Q_(1, "m")
    near = skin**2 / (3 * d**2) * 1.01
    assert core_shear_stress(panel, Q_(1, "N"), b).magnitude == pytest.approx(1 / d, rel=near)
    assert facing_stress(panel, Q_(1, "N*m"), b, at="middle")[1].magnitude == pytest.approx(1 / (skin * d), rel=near)


def test_sweep():
    core = np.array([5e-3, 10e-3, 20e-3])
    si = sandwich().si
    panel = Sandwich.from_si(**{**vars(si), "core_thickness": core})
    one_by_one = [sandwich(core_thickness=Q_(c, "m")).flexural_rigidity.magnitude for c in core]
    np.testing.assert_allclose(panel.flexural_rigidity.magnitude, one_by_one)
    assert core_shear_stress(panel, Q_(1, "kN"), Q_(1, "m")).shape == (3,)


# --- beams: unit-load theorem, deflection = integral of M m/D + V v/S ------------------------------------------------

def statics(case):
    """Bending moment and shear of a unit whole load on a unit span, and of a unit load where the deflection is read."""
    if case.startswith("cantilever"):   # x from the fixed end
        uniform = case.endswith("uniform")
        return ((lambda x: -(1 - x) ** 2 / 2 if uniform else -(1 - x)), (lambda x: 1 - x if uniform else 1.0),
                (lambda x: -(1 - x)), (lambda x: 1.0))
    point = {"four point thirds": 1 / 3, "four point quarters": 1 / 4}.get(case)
    if "uniform" in case:
        moment, shear = (lambda x: x / 2 - x**2 / 2), (lambda x: 1 / 2 - x)
    elif point:
        moment, shear = (lambda x: min(x, point, 1 - x) / 2), (
            lambda x: 0.5 if x < point else (0.0 if x < 1 - point else -0.5))
    else:
        moment, shear = (lambda x: min(x, 1 - x) / 2), (lambda x: 0.5 if x < 0.5 else -0.5)
    fixed = {"clamped uniform": 1 / 12, "clamped centre": 1 / 8}.get(case, 0.0)
    return (lambda x: moment(x) - fixed), shear, (lambda x: min(x, 1 - x) / 2), (lambda x: 0.5 if x < 0.5 else -0.5)


@pytest.mark.parametrize("case", BEAM_CASES)
def test_beam_constants(case):
    moment, shear, unit_moment, unit_shear = statics(case)
    stops = [1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4]
    bending = quad(lambda x: moment(x) * unit_moment(x), 0, 1, points=stops)[0]
    shearing = quad(lambda x: shear(x) * unit_shear(x), 0, 1, points=stops)[0]
    d, s, b, w = Q_(1, "N*m"), Q_(1, "N/m"), Q_(1, "m"), Q_(1, "N")
    # a clamped end adds nothing to the virtual work, so the supported unit load serves there too
    assert beam_deflection(d, s, b, Q_(1, "m"), w, case).magnitude == pytest.approx(bending + shearing)
    assert beam_deflection(d, RIGID_IN_SHEAR, b, Q_(1, "m"), w, case).magnitude == pytest.approx(bending)
    x = np.linspace(0, 1, 1201)
    peak = max(abs(moment(v)) for v in x), max(abs(shear(v)) for v in x)
    assert [q.magnitude for q in beam_peak(case, w, Q_(1, "m"))] == pytest.approx(peak)


def test_four_point_and_strip_load_meet_the_table():
    d, s, b, span, w = Q_(500, "N*m"), Q_(2e5, "N/m"), Q_(0.1, "m"), Q_(0.6, "m"), Q_(400, "N")
    for case, share in (("supported centre", 0), ("four point thirds", 1 / 3), ("four point quarters", 1 / 2)):
        assert four_point_deflection(d, s, b, span, share * span, w).magnitude == pytest.approx(
            beam_deflection(d, s, b, span, w, case).magnitude)
    for case, share in (("supported centre", 0), ("supported uniform", 1)):
        assert strip_load_deflection(d, s, b, span, share * span, w).magnitude == pytest.approx(
            beam_deflection(d, s, b, span, w, case).magnitude)


# --- the whole answer at once -----------------------------------------------------------------------------------------------

def soft(**change):
    return sandwich(core_shear_modulus=Q_(0.5, "MPa"), core_modulus=Q_(1.3, "MPa"), **change)


def least_energy_stress(panel, case, span, load):
    """Largest size of the stress in the face of the outer skin, the skins' stretch and their own bending from the same elements."""
    u, basis = least_energy(panel, case, span, load, whole=True, nodes=769)
    w, turn = basis.interpolate(u)
    moduli, thicknesses = panel.layers()
    neutral = layer_section(moduli, thicknesses)[0]
    return moduli[0] * np.abs((neutral - thicknesses[0] / 2) * turn.grad[0] + thicknesses[0] / 2 * w.hess[0, 0]).max()


def least_energy(panel, case, span, load, whole=False, nodes=97):
    """Deflection of a strip a metre wide: w of the skins and turn of the section free of each other, least energy by elements.

    Energy: (D - Df) turn'^2 + Df w''^2 + S (w' - turn)^2, all halved. Quarters of a third and a quarter of the span are nodes.
    """
    basis = sk.Basis(sk.MeshLine(np.linspace(0, span, nodes)), sk.ElementLineHermite() * sk.ElementLineP2(), intorder=6)
    rigidity, own, shear = (q.magnitude for q in (panel.flexural_rigidity, panel.skins_own_rigidity, panel.shear_rigidity))

    @sk.BilinearForm
    def energy(w, turn, v, tilt, _):
        slip, slide = w.grad[0] - turn, v.grad[0] - tilt
        return (rigidity - own) * turn.grad[0] * tilt.grad[0] + own * w.hess[0, 0] * v.hess[0, 0] + shear * slip * slide

    def at(x):
        return basis.nodal_dofs[:, np.argmin(np.abs(basis.mesh.p[0] - x * span))]      # w, w', turn
    push = sk.LinearForm(lambda v, tilt, _: load / span * v).assemble(basis) if "uniform" in case else np.zeros(basis.N)
    for x in {"centre": [1 / 2], "end": [1.0], "thirds": [1 / 3, 2 / 3], "quarters": [1 / 4, 3 / 4]}.get(case.split()[-1], []):
        push[at(x)[0]] = load / (2 if "four" in case else 1)
    held = {"cantilever": [*at(0)], "clamped": [*at(0), *at(1)]}.get(case.split()[0], [at(0)[0], at(1)[0]])
    u = sk.solve(*sk.condense(energy.assemble(basis), push, D=np.array(held)))
    if whole:
        return u, basis
    return u[at(1 if "cantilever" in case else 1 / 2)[0]]


@pytest.mark.parametrize("case", BEAM_CASES)
@pytest.mark.parametrize("span", [0.1, 0.4])
def test_stiff_skins_by_least_energy(case, span):
    """The skins' resistance to a kink, from its closed form and from elements (own reference)."""
    panel = soft()
    assert slenderness(panel, span) < 30      # so that it counts
    found = sandwich_beam(panel, case, Q_(span, "m"), Q_(1, "m"), Q_(100, "N"))
    assert found.stiff_skins.magnitude == pytest.approx(least_energy(panel, case, span, 100.0), rel=1e-4)
    assert found.stiff_skins < found.deflection


@pytest.mark.parametrize("case", BEAM_CASES)
@pytest.mark.parametrize("span, unlike", [(0.1, 1.0), (0.4, 1.0), (0.2, 0.4)])
def test_skin_stress_by_least_energy(case, span, unlike):
    """The same elements' stress where it is largest; the second derivative of their cubics is the coarser figure (own reference)."""
    panel = soft(outer_skin_thickness=Q_(2 * unlike, "mm"))
    found = sandwich_beam(panel, case, Q_(span, "m"), Q_(1, "m"), Q_(100, "N"))
    assert abs(found.outer_stress.magnitude) == pytest.approx(least_energy_stress(panel, case, span, 100.0), rel=5e-3)


@pytest.mark.parametrize("case", BEAM_CASES)
def test_skins_on_a_core_rigid_in_shear_bend_with_the_section(case):
    """Thin limit, and loose limit: no more than M y/I where the core does not shear; where it carries none, each skin its share."""
    span, width, load = Q_(0.5, "m"), Q_(1, "m"), Q_(100, "N")
    stiff, loose = sandwich(core_shear_modulus=Q_(1e9, "GPa")), sandwich(core_modulus=Q_(0, "Pa"), core_shear_modulus=Q_(1, "Pa"))
    moment = beam_peak(case, load, span)[0]
    found = sandwich_beam(stiff, case, span, width, load).inner_stress
    assert abs(found.magnitude) == pytest.approx(abs(facing_stress(stiff, moment, width)[1].magnitude), rel=1e-4)
    modulus, thick = loose.inner_skin_modulus, loose.inner_skin_thickness
    share = (modulus * thick / 2 * moment / loose.skins_own_rigidity / width).m_as("Pa")
    assert abs(sandwich_beam(loose, case, span, width, load).inner_stress.magnitude) == pytest.approx(share, rel=2e-3)


@pytest.mark.parametrize("case", BEAM_CASES)
def test_the_whole_answer_is_its_parts(case):
    panel, span, width, load = sandwich(), Q_(0.7, "m"), Q_(0.2, "m"), Q_(150, "N")
    found = sandwich_beam(panel, case, span, width, load)
    w = beam_deflection(panel.flexural_rigidity, panel.shear_rigidity, width, span, load, case)
    moment, force = beam_peak(case, load, span)
    assert found.deflection.magnitude == pytest.approx(w.magnitude) and (found.bending + found.shear).magnitude == pytest.approx(w.magnitude)
    assert max(found.sagging, found.hogging) == moment and found.shear_force == force
    hogs = found.hogging > found.sagging
    stresses = facing_stress(panel, -moment if hogs else moment, width)
    assert all(answer.magnitude / plain.magnitude > 1 for answer, plain in zip((found.outer_stress, found.inner_stress), stresses, strict=True))
    back = sandwich_beam(panel, case, span, width, -load)
    assert (back.outer_stress, back.inner_stress) == (-found.outer_stress, -found.inner_stress)
    assert bool(found.outer_stress.magnitude > 0) is bool(hogs)         # the loaded face is pulled where the beam hogs
    assert found.core_shear == core_shear_stress(panel, force, width)


@pytest.mark.parametrize("case", BEAM_CASES)
def test_sagging_and_hogging_by_statics(case):
    moment = statics(case)[0]
    values = np.array([moment(x) for x in np.linspace(0, 1, 1201)])
    assert (BEAM_CASES[case].sagging, BEAM_CASES[case].hogging) == pytest.approx((max(values.max(), 0), max(-values.min(), 0)))


@given(st.floats(0.1, 3))
def test_halves_of_one_beam(span):
    """A beam loaded in the middle is two cantilevers back to back; a clamped one is four."""
    def sag(case, length, load):
        found = sandwich_beam(soft(), case, Q_(length, "m"), Q_(0.1, "m"), Q_(load, "N"))
        return np.array([found.deflection.magnitude, found.stiff_skins.magnitude])
    np.testing.assert_allclose(sag("supported centre", span, 100.0), sag("cantilever end", span / 2, 50.0))
    np.testing.assert_allclose(sag("clamped centre", span, 100.0), 2 * sag("cantilever end", span / 4, 50.0))


def test_a_core_like_its_skins_is_a_solid_beam_with_shear():
    """Limit: one material throughout, thin skins; shear deflection over G h (no 6/5, which belongs to a parabola in the skins too)."""
    one = dict(outer_skin_modulus=Q_(5, "GPa"), inner_skin_modulus=Q_(5, "GPa"), core_modulus=Q_(5, "GPa"), core_shear_modulus=Q_(2, "GPa"),
               outer_skin_thickness=Q_(1e-3, "mm"), inner_skin_thickness=Q_(1e-3, "mm"))
    found = sandwich_beam(sandwich(**one), "supported centre", Q_(0.5, "m"), Q_(1, "m"), Q_(1, "N"))
    assert found.bending.magnitude == pytest.approx(0.5**3 / 48 / (5e9 * 0.02**3 / 12), rel=1e-3)
    assert found.shear.magnitude == pytest.approx(0.5 / 4 / (2e9 * 0.02), rel=1e-3)


def test_a_core_without_shear_stiffness_leaves_two_loose_skins():
    """Limit: core modulus and shear modulus to nought; simple theory sags without bound, two skins each carry their share."""
    loose = sandwich(core_modulus=Q_(0, "Pa"), core_shear_modulus=Q_(1, "Pa"))
    for case in ("supported centre", "supported uniform", "four point thirds", "four point quarters", "cantilever end", "cantilever uniform",
                 "clamped centre", "clamped uniform"):
        found = sandwich_beam(loose, case, Q_(0.5, "m"), Q_(1, "m"), Q_(1, "N"))
        skins = beam_deflection(loose.skins_own_rigidity, RIGID_IN_SHEAR, Q_(1, "m"), Q_(0.5, "m"), Q_(1, "N"), case)
        assert found.stiff_skins.magnitude == pytest.approx(skins.magnitude, rel=1e-3)
        assert found.deflection > 1e3 * found.stiff_skins


# --- pressing-in ------------------------------------------------------------------------------------------------------

PRESS = dict(width=Q_(50, "mm"), skin_thickness=Q_(2, "mm"), skin_modulus=Q_(20, "GPa"), core_thickness=Q_(25, "mm"),
             core_modulus=Q_(70.2, "MPa"), core_shear_modulus=Q_(0, "Pa"))


@given(st.floats(0.001, 100))
def test_core_crushes_where_springs_reach_its_strength(strip):
    strip = Q_(strip, "mm")
    load = indentation_load(core_strength=Q_(1, "MPa"), strip_width=strip, **PRESS)
    depth = indentation_depth(load=load, strip_width=strip, **PRESS)
    assert (depth * PRESS["core_modulus"] / PRESS["core_thickness"]).m_as("MPa") == pytest.approx(1.0)


def test_a_very_wide_strip_is_plain_pressure_and_a_narrow_one_a_line():
    wide = indentation_load(core_strength=Q_(1, "MPa"), strip_width=Q_(2, "m"), **PRESS)
    assert wide.m_as("N") == pytest.approx(1e6 * 2 * 0.05)
    reach = (70.2e6 / 0.025 / (4 * 20e9 * 2e-3**3 / 12)) ** 0.25
    narrow = indentation_load(core_strength=Q_(1, "MPa"), strip_width=Q_(1e-9, "m"), **PRESS)
    assert narrow.m_as("N") == pytest.approx(2 * 1e6 / reach * 0.05)


def test_patch_pressure():
    assert patch_pressure(Q_(100, "kgf"), Q_(50, "mm"), Q_(50, "mm"), 2).m_as("kPa") == pytest.approx(2 * 980.665 / 2.5)


# --- bad input ----------------------------------------------------------------------------------------------------------

D, S, B, L, W = Q_(500, "N*m"), Q_(2e5, "N/m"), Q_(0.1, "m"), Q_(0.6, "m"), Q_(400, "N")
OWN = [
    (lambda: sandwich(core_thickness=Q_(0, "mm")), RangeError, "core_thickness"),
    (lambda: sandwich(core_shear_modulus=Q_(20, "mm")), UnitError, "core_shear_modulus"),
    (lambda: sandwich(outer_skin_modulus=Q_(float("nan"), "GPa")), RangeError, "finite"),
    (lambda: sandwich(poisson=1.0), RangeError, "poisson"),
    (lambda: sandwich().bulk_density, UnitError, "areal_mass"),
    (lambda: beam_deflection(D, S, B, L, W, "hung"), RangeError, '"hung" is not known.*cantilever end'),
    (lambda: beam_peak("hung", W, L), RangeError, "hung"),
    (lambda: beam_deflection(D, S, B, -L, W), RangeError, "span"),
    (lambda: four_point_deflection(D, S, B, L, L, W), RangeError, "shorter than span"),
    (lambda: strip_load_deflection(D, S, B, L, 2 * L, W), RangeError, "cannot pass span"),
    (lambda: facing_stress(sandwich(), Q_(1, "N*m"), B, at="edge"), RangeError, "surface"),
    (lambda: facing_stress(sandwich(), Q_(1, "N"), B), UnitError, "moment"),
    (lambda: sandwich(core_modulus=Q_(-1, "MPa")), RangeError, "core_modulus"),
    (lambda: sandwich_beam(sandwich(), "hung", L, B, W), RangeError, "hung"),
    (lambda: sandwich_beam(sandwich(), "cantilever end", Q_(20, "mm"), B, W), RangeError, "core_thickness is 0.02 m, but the span is only 0.02"),
    (lambda: sandwich_beam(sandwich(), "cantilever end", L, B, Q_(1, "kg")), UnitError, "load"),
]


@pytest.mark.parametrize("call, error, words", OWN)
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call()
