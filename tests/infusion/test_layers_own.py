"""Own cases: stacks of layers at angles, cuts, edge gaps, compaction: limits, turns and round trips."""

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementTriP2, LinearForm, MeshTri, condense, solve
from skfem.helpers import dot, grad

from compositekit.catalogue import Catalogue
from compositekit.errors import RangeError, UnknownMaterial
from compositekit.infusion import channels, compaction, cuts, layers, stack
from compositekit.units import Q_

CATALOGUE = Catalogue.starter()


def ply(angle, along=3e-10, across=1e-10, thickness=1.0, porosity=0.5):
    return layers.Layer("ply", Q_(thickness, "mm"), Q_(along, "m^2"), porosity, Q_(across, "m^2"), Q_(angle, "deg"))


# --- the tensor of a stack ---------------------------------------------------------------------------

def test_equal_plies_are_the_ply():
    sheet = layers.as_sheet([ply(25)] * 5)
    assert sheet.permeability.m == pytest.approx(3e-10, rel=1e-12)
    assert sheet.permeability_across.m == pytest.approx(1e-10, rel=1e-12)
    assert sheet.direction.m_as("deg") == pytest.approx(25)
    assert sheet.porosity.m == pytest.approx(0.5)
    assert (sheet.thickness.m, sheet.storage.m) == pytest.approx((5e-3, 2.5e-3))


@pytest.mark.parametrize("angle", [-170, -35, 0, 20, 90, 133])
def test_half_a_turn_is_no_turn_and_a_quarter_swaps(angle):
    towards = np.radians([0.0, 37.0, 90.0])
    here, half, quarter = (layers.as_sheet([ply(angle + turn)]).towards(Q_(towards, "rad")) for turn in (0, 180, 90))
    swapped = layers.as_sheet([ply(angle, 1e-10, 3e-10)]).towards(Q_(towards, "rad"))
    for one, two in zip(here, half, strict=True):
        np.testing.assert_allclose(one.m, two.m, rtol=1e-9)
    for one, two in zip(quarter, swapped, strict=True):
        np.testing.assert_allclose(one.m, two.m, rtol=1e-9)


@pytest.mark.parametrize("angles", [(0, 90), (0, 60, 120), (0, 45, 90, 135), (17, 107)])
def test_evenly_spread_plies_have_no_direction(angles):
    sheet = layers.as_sheet([ply(angle) for angle in angles])
    assert sheet.permeability.m == pytest.approx(2e-10, rel=1e-9)
    assert sheet.permeability_across.m == pytest.approx(2e-10, rel=1e-9)


@pytest.mark.parametrize("turn", [10, 75, 140])
def test_turning_the_stack_turns_its_direction_only(turn):
    stack_, turned = ([ply(angle + by, thickness=thickness) for angle, thickness in ((0, 1), (30, 2), (75, 0.7))] for by in (0, turn))
    first, second = layers.as_sheet(stack_), layers.as_sheet(turned)
    assert second.permeability.m == pytest.approx(first.permeability.m, rel=1e-12)
    assert (second.direction - first.direction).m_as("deg") % 180 == pytest.approx(turn)


def test_tensor_against_sum_of_turned_matrices():
    plies = [ply(20, 4e-10, 5e-11, 0.8), ply(-50, 2e-10, 1e-10, 1.7), ply(85, 1e-9, 1e-9, 0.4)]
    total = np.zeros((2, 2))
    for each in plies:
        c, s = np.cos(each.si.angle), np.sin(each.si.angle)
        turn = np.array([[c, -s], [s, c]])
        total += turn @ np.diag([each.si.permeability, each.si.permeability_across]) @ turn.T * each.si.thickness
    low, high = np.linalg.eigvalsh(total)
    sheet = layers.as_sheet(plies)
    assert sheet.conductance.m == pytest.approx(high, rel=1e-12)
    assert (sheet.permeability_across * sheet.thickness).m == pytest.approx(low, rel=1e-12)
    way = np.array([np.cos(1.1), np.sin(1.1)])
    strip, wide = sheet.towards(Q_(1.1, "rad"))
    assert (wide * sheet.thickness).m == pytest.approx(way @ total @ way, rel=1e-12)
    assert (strip * sheet.thickness).m == pytest.approx(1 / (way @ np.linalg.inv(total) @ way), rel=1e-12)
    assert strip < wide


def test_layers_of_one_kind_agree_with_the_level_front():
    thicknesses, K, phi = [1, 3, 0.6], [4e-9, 1.5e-10, 8e-10], [0.85, 0.5, 0.75]
    sheet = layers.as_sheet([layers.Layer("", Q_(h, "mm"), Q_(k, "m^2"), p) for h, k, p in zip(thicknesses, K, phi, strict=True)])
    assert sheet.permeability.m == pytest.approx(stack.effective_permeability(Q_(thicknesses, "mm"), Q_(K, "m^2")).m)
    assert sheet.porosity.m == pytest.approx(stack.effective_porosity(Q_(thicknesses, "mm"), phi).m)


# --- layers from the catalogue ------------------------------------------------------------------------------

def test_fabric_layer_moves_with_its_fibre_fraction():
    loose, own, tight = (layers.fabric_layer(CATALOGUE, "glass-biax-600", share) for share in (0.45, None, 0.58))
    assert loose.thickness > own.thickness > tight.thickness
    assert loose.permeability > own.permeability > tight.permeability
    assert own.permeability.m == pytest.approx(CATALOGUE.fabric("glass-biax-600").permeability.m)


def test_peel_ply_stores_but_does_not_carry():
    plies = [layers.fabric_layer(CATALOGUE, "glass-biax-600")] * 3
    bare, peeled = layers.as_sheet(plies), layers.as_sheet([*plies, layers.peel_ply_layer(CATALOGUE, Q_(1150, "kg/m^3"))])
    assert peeled.conductance.m == pytest.approx(bare.conductance.m)
    assert ((peeled.storage - bare.storage) * Q_(1150, "kg/m^3")).m_as("kg/m^2") == pytest.approx(0.04)   # the catalogue's peel-ply-resin


def test_mesh_layer_adds_what_it_carries():
    plies = [layers.fabric_layer(CATALOGUE, "glass-biax-600")] * 3
    mesh = layers.mesh_layer(CATALOGUE)
    added = layers.as_sheet([*plies, mesh]).conductance - layers.as_sheet(plies).conductance
    assert added.m == pytest.approx((mesh.permeability * mesh.thickness).m, rel=1e-9)
    assert layers.mesh_layer(CATALOGUE, "low").permeability < mesh.permeability < layers.mesh_layer(CATALOGUE, "high").permeability


def test_unknown_names_are_refused():
    with pytest.raises(RangeError, match="say low, typical or high"):
        layers.mesh_layer(CATALOGUE, "middling")
    with pytest.raises(UnknownMaterial):
        layers.fabric_layer(CATALOGUE, "glass-biax-601")


def test_grooves_carry_one_way_and_slits_both():
    grooved, slit = (cuts.core_cut(name, Q_(20, "mm")) for name in ("grooved", "slit"))
    along, across = (layers.cut_layer(grooved, Q_(angle, "deg")) for angle in (0, 90))
    base = [ply(0, 2e-10, 2e-10)]
    bare = layers.as_sheet(base)
    one, other = layers.as_sheet([*base, along]), layers.as_sheet([*base, across])
    assert (one.conductance - bare.conductance).m == pytest.approx(2.81154e-11, rel=1e-5)   # F-19, 2 x 2 mm every 20 mm
    assert (one.permeability_across * one.thickness).m == pytest.approx(bare.conductance.m)
    assert (other.direction - one.direction).m_as("deg") % 180 == pytest.approx(90)
    assert (one.storage - bare.storage).m == pytest.approx(grooved.storage)
    both = layers.as_sheet([*base, layers.cut_layer(slit)])
    assert both.permeability.m == pytest.approx(both.permeability_across.m)
    assert layers.cut_layer(cuts.core_cut("plain", Q_(20, "mm"))) is None
    assert layers.cut_layer(cuts.core_cut("perforated", Q_(20, "mm"))) is None


# --- mesh as a strip -----------------------------------------------------------------------------------------

STRIP = Q_(4e-9, "m^2"), Q_(1, "mm"), 0.85, Q_(1e-10, "m^2"), Q_(4, "mm"), 0.5, Q_(0.3, "Pa*s"), Q_(95e3, "Pa")


def test_mesh_strip_between_none_and_all_over():
    from compositekit.infusion import darcy
    distance = Q_([0.1, 0.5, 1.0], "m")
    none, part, full = (stack.fill_time_mesh_strip(distance, Q_(strip, "m"), *STRIP).m for strip in (0.0, 0.3, 2.0))
    np.testing.assert_allclose(none, darcy.fill_time_linear(distance, Q_(1e-10, "m^2"), 0.5, *STRIP[-2:]).m, rtol=1e-12)
    K, phi = (4e-12 + 4e-13) / 5e-3, (0.85e-3 + 2e-3) / 5e-3
    np.testing.assert_allclose(full, darcy.fill_time_linear(distance, Q_(K, "m^2"), phi, *STRIP[-2:]).m, rtol=1e-12)
    assert np.all(full <= part) and np.all(part <= none)
    zones = darcy.fill_time_zones(Q_([0.3, 0.7], "m"), Q_([K, 1e-10], "m^2"), [phi, 0.5], *STRIP[-2:], Q_([5, 4], "mm")).m
    assert part[-1] == pytest.approx(zones[-1], rel=1e-12)


# --- gaps along edges ------------------------------------------------------------------------------------------

@pytest.mark.parametrize("bevel", [90, 60, 45, 30, 15])
def test_fillet_against_finite_elements(bevel):
    """The duct equation on the same triangle by a general finite-element library."""
    angle = np.radians(bevel)
    corners = np.array([[0.0, -1.0, np.cos(angle)], [0.0, 0.0, np.sin(angle)]])
    basis = Basis(MeshTri(corners, np.array([[0], [1], [2]])).refined(5), ElementTriP2())
    stiffness = BilinearForm(lambda u, v, w: dot(grad(u), grad(v))).assemble(basis)
    load = LinearForm(lambda v, w: 1.0 * v).assemble(basis)
    speed = solve(*condense(stiffness, load, D=basis.get_dofs()))
    gap = channels.fillet_gap(Q_(1, "m"), Q_(bevel, "deg"), Q_(1, "m"))
    assert gap.conductance.m == pytest.approx(load @ speed, rel=2e-3)
    assert gap.area.m == pytest.approx(load.sum(), rel=1e-9)


def test_right_corner_by_the_torsion_constant():
    """Right-angled isosceles triangle: torsion constant 0.0261 a^4 (handbook, from memory) is four times the integral of w."""
    assert 4 * channels.fillet_gap(Q_(1, "m"), Q_(90, "deg"), Q_(1, "m")).conductance.m == pytest.approx(0.0261, abs=5e-5)


def test_flat_bevel_is_a_thin_gap():
    """For a flat bevel the gap is a thin wedge: K = height^2/24 (own, lubrication)."""
    gap = channels.fillet_gap(Q_(1, "m"), Q_(0.1, "rad"), Q_(1, "m"))
    assert gap.permeability.m == pytest.approx(np.sin(0.05) ** 2 / 24, rel=0.01)


def test_gaps_grow_with_size_and_steepness():
    found = [channels.fillet_gap(Q_(30, "mm"), Q_(angle, "deg"), Q_(5, "mm")).conductance.m for angle in (15, 30, 45, 60, 90)]
    assert np.all(np.diff(found) > 0)
    small, large = (channels.fillet_gap(Q_(30, "mm"), Q_(45, "deg"), Q_(b, "mm")).conductance.m for b in (5, 10))
    assert large == pytest.approx(16 * small)
    assert channels.square_edge_gap(Q_(20, "mm"), Q_(4, "mm")).conductance > 7 * channels.square_edge_gap(Q_(20, "mm"), Q_(2, "mm")).conductance


CHANNEL = Q_(4e-7, "m^2"), Q_(3, "mm"), Q_(1e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(95e3, "Pa")


def test_channel_inverse_and_no_leak_limit():
    distance = Q_(np.linspace(0, 3, 7), "m")
    np.testing.assert_allclose(channels.front_position_channel(channels.fill_time_channel(distance, *CHANNEL), *CHANNEL).m, distance.m, atol=1e-10)
    tight = channels.fill_time_channel(Q_(1, "m"), Q_(4e-7, "m^2"), Q_(3, "mm"), Q_(1e-22, "m^2"), 0.5, *CHANNEL[-2:])
    assert tight.m == pytest.approx(0.3 / (2 * 4e-7 * 95e3), rel=1e-4)


# --- compaction ------------------------------------------------------------------------------------------------

POWER, BOX = (0.25, 0.06), (0.30, 0.70, Q_(280, "Pa"))


def test_compaction_inverses():
    pressure = Q_([1e3, 2e4, 9.5e4], "Pa")
    np.testing.assert_allclose(compaction.compaction_for(compaction.fibre_fraction_under(pressure, *POWER).m, *POWER).m, pressure.m, rtol=1e-10)
    np.testing.assert_allclose(compaction.fibre_box_stress(compaction.fibre_box_fraction(pressure, *BOX).m, *BOX).m, pressure.m, rtol=1e-7)
    assert compaction.fibre_box_fraction(Q_(0, "Pa"), *BOX).m == pytest.approx(0.30)


def test_more_vacuum_packs_tighter_and_runs_slower():
    share = compaction.fibre_fraction_under(Q_(np.linspace(2e4, 1e5, 9), "Pa"), *POWER).m
    assert np.all(np.diff(share) > 0)
    assert np.all(np.diff(compaction.kozeny_permeability(share, Q_(5e-10, "m^2")).m) < 0)


def test_stiff_stack_under_a_flexible_bag_is_a_rigid_one():
    from compositekit.infusion import darcy
    pressures = Q_(101, "kPa"), Q_(96, "kPa"), Q_(2, "kPa")
    soft = compaction.fill_time_flexible_bag(Q_([0, 1, 2], "m"), *pressures, 0.5, 1e-6, Q_(5e-10, "m^2"), Q_(0.3, "Pa*s")).m
    rigid = darcy.fill_time_linear(Q_([0, 1, 2], "m"), compaction.kozeny_permeability(0.5, Q_(5e-10, "m^2")), 0.5, Q_(0.3, "Pa*s"), Q_(94, "kPa")).m
    np.testing.assert_allclose(soft, rigid, rtol=1e-4)
