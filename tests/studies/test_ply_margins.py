"""Margins of every ply of a zone: by hand, balance of forces through the whole section, the rule for strengths, bad input.

Grades: R read; the rest own cases.
"""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import PartFileError, RangeError
from compositekit.mechanics.criteria import CRITERIA
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.strength import first_ply_failure
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build
from compositekit.studies.panel_limits import CROSS_FIBRE_STRAIN, Limits, panel_use
from compositekit.studies.ply_margins import (
    SHEAR_STRAIN,
    SLACK_IN_PLANE,
    design_strengths,
    ply_margins,
    whole_section,
)
from compositekit.units import Q_

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}
ZONES = [("fen_punt", "bottom"), ("locker_lid", "lid"), ("shelter_roof", "shell")]
every_zone = pytest.mark.parametrize("name, zone", ZONES)


def build(name, zone, changes=None):
    file = FILES[name]
    return file.catalogue, part_build(file.part.changed(changes or {}), file.catalogue)[zone]


def lid(outside, inside=None, **changes):
    return build("locker_lid", "lid", {"layup.lid.outside": outside, "layup.lid.inside": inside or outside, **changes})


def ply(fabric, angle=0):
    return {"fabric": fabric, "angle": f"{angle} deg"}


MAT, UNI, BIAX = "glass-mat-300", "glass-uni-300", "glass-biax-450"


# --- by hand ------------------------------------------------------------------------------------------------------------------------

def test_solid_mat_by_hand():
    # one sheet alike every way: sigma = 6 M/t^2 each way, strain = (sx - nu sy)/E
    catalogue, solid = lid([ply(MAT)], [ply(MAT)], **{"layup.lid.core": None})
    t, one = solid.outer.si.thickness, solid.outer.plies[0].si
    found = ply_margins(catalogue, solid, (10.0, 4.0), 2.0)
    sx, sy = 6 * 10.0 / t**2, 6 * 4.0 / t**2
    strain = (sx - one.nu12 * sy) / one.e1
    limit = catalogue.fabric(MAT).si
    least = min(limit.strain_limit_tension, limit.strain_limit_compression) / strain
    assert found.least.ratio == pytest.approx(least, rel=1e-9) and found.least.share == pytest.approx(2.0 / least, rel=1e-9)
    assert len(found.rows) == 4 and found.core is None
    inner = found.rows[-1]
    # the last row is the worst of both signs at the innermost face
    np.testing.assert_allclose(np.abs(inner.stress), [sx, sy, 0], atol=1e-6 * sx)
    np.testing.assert_allclose(np.abs(inner.strain), [strain, abs(sy - one.nu12 * sx) / one.e1, 0], atol=1e-9 * strain)


def test_sandwich_by_hand():
    # two like plies on a core slack in its plane: stress in a ply's face = M z/I with I of the two skins
    catalogue, made = lid([ply(BIAX)], **{"layup.lid.core.core": "balsa-150"})
    t, c, skin = made.outer.si.thickness, made.core_thickness, made.outer.plies[0].si
    found = ply_margins(catalogue, made, (100.0, 0.0))
    height = c / 2 + t
    sigma = 100.0 * height / (2 / 3 * (height**3 - (c / 2) ** 3))
    assert SLACK_IN_PLANE < 1e-6 * skin.e1
    through = found.through()
    assert np.abs(through.stress_x).max() == pytest.approx(sigma, rel=1e-6)
    assert np.abs(through.strain_x).max() == pytest.approx(sigma / skin.e1, rel=1e-6)
    assert through.z[0, 0] == pytest.approx(-height) and through.z[-1, -1] == pytest.approx(height)


@every_zone
def test_it_agrees_with_the_sandwich_behind_the_panel(name, zone):
    # own: moment one way only, like plies and a core slack in its plane: both are the same beam of two skins
    catalogue, made = build(name, zone, {f"layup.{zone}.core.core": "balsa-150"})
    moment = (200.0, 0.0)
    d12, d22, _ = made.panel.ratios
    curvatures = 200.0 * d22 / (d22 - d12**2) / made.panel.d11, 200.0 * d12 / (d22 - d12**2) / made.panel.d11, 0.0
    load = SimpleNamespace(curvatures=lambda _: curvatures, deflection=lambda *_: 0.0, limit=1.0, moments=lambda _: moment, shear_forces=lambda _: (0.0, 0.0), patch_pressure=None)
    one = Limits(((((1.0, 1.0), (1.0, 1.0)),) * 2), 1.0, 1e9, 1e9, np.nan)
    strain = panel_use(made.panel, load, one)["skin tension"]
    assert np.abs(ply_margins(catalogue, made, moment).through().strain_x).max() == pytest.approx(strain, rel=1e-2)


# --- what holds for any section -----------------------------------------------------------------------------------------------------

def resultants(z, stress):
    """N and M of stress straight between the faces z (layers, 2)."""
    (z0, z1), (s0, s1) = z.T, np.moveaxis(stress, 1, 0)
    n = ((s0 + s1).T / 2 * (z1 - z0)).sum(axis=-1)
    m = ((2 * s0.T * z0 + s0.T * z1 + s1.T * z0 + 2 * s1.T * z1) / 6 * (z1 - z0)).sum(axis=-1)
    return n, m


@every_zone
@settings(max_examples=10)
@given(st.lists(st.floats(-500, 500), min_size=3, max_size=3).filter(lambda m: max(map(abs, m)) > 1), st.floats(-1e4, 1e4))
def test_stress_through_the_section_balances_the_load(name, zone, moments, nx):
    catalogue, made = build(name, zone)
    found = ply_margins(catalogue, made, moments, in_plane=(nx, 0, 0))
    assert len(found.loads) == 2
    for case, sign in enumerate((1, -1)):
        n, m = resultants(found.through(case).z, found.whole_stress[case])
        np.testing.assert_allclose(m, sign * np.array(moments), atol=1e-8 * np.abs(moments).max())
        np.testing.assert_allclose(n, [nx, 0, 0], atol=1e-8 * (np.abs(moments).max() / made.outer.si.thickness + abs(nx)))


@every_zone
def test_strain_runs_straight_through(name, zone):
    catalogue, made = build(name, zone)
    through = ply_margins(catalogue, made, (300.0, 120.0)).through()
    for strain in (through.strain_x, through.strain_y):
        np.testing.assert_allclose(strain[1:, 0], strain[:-1, 1], rtol=1e-9)    # neighbours share their strain
        line = np.polyfit(through.z.ravel(), strain.ravel(), 1)
        np.testing.assert_allclose(np.polyval(line, through.z), strain, atol=1e-9 * np.abs(strain).max())


def test_a_lopsided_section_bends_about_its_own_middle():
    catalogue, made = lid([ply(BIAX), ply(BIAX)], [ply(BIAX)])
    strain = ply_margins(catalogue, made, (100.0, 0.0)).through(0).strain_x
    assert abs(strain[-1, 1]) > 1.5 * abs(strain[0, 0])   # two plies outside, one inside: the inner face works harder


@every_zone
def test_turning_the_part_over_changes_nothing(name, zone):
    catalogue, made = build(name, zone)
    one, other = (ply_margins(catalogue, made, np.array(m)) for m in ((300.0, 120.0), (-300.0, -120.0)))
    np.testing.assert_allclose(one.ratios, other.ratios[::-1], rtol=1e-9)


@pytest.mark.parametrize("criterion", CRITERIA)
@given(st.floats(0.1, 10))
@settings(max_examples=5)
def test_the_moment_divides_the_ratio_and_the_factor_multiplies_the_share(criterion, times):
    catalogue, made = build("fen_punt", "bottom")
    one, other = (ply_margins(catalogue, made, k * np.array([300.0, 120.0]), criterion=criterion, factor=f) for k, f in ((1.0, 1.0), (times, 3.0)))
    assert other.least.ratio == pytest.approx(one.least.ratio / times, rel=1e-9)
    assert other.least.share == pytest.approx(3.0 * times * one.least.share, rel=1e-9)
    assert (one.least.ply, one.least.face) == (other.least.ply, other.least.face)
    assert one.least.ratio == min(row.ratio for row in one.rows) == one.ratios.min()


@pytest.mark.parametrize("criterion", CRITERIA)
def test_it_is_the_laminate_with_these_strengths(criterion):
    # own: the same section with strengths written into its plies, through mechanics.strength; a core too strong to govern
    catalogue, made = lid([ply(UNI, 20), ply(BIAX)], [ply(BIAX, 45)])
    section, core, fabrics = whole_section(made)
    names = ("xt", "xc", "yt", "yc", "s12")
    plies = [Ply.from_si(name=one.name, **{**vars(one.si), **dict(zip(
        names, [1e12] * 5 if index == core else design_strengths(catalogue, fabrics[index], one), strict=True))}) for index, one in enumerate(section.plies)]
    whole = Laminate(plies, section.angles)
    least = min(first_ply_failure(whole, Q_(np.zeros(3), "N/m"), Q_(sign * np.array([200.0, 80.0, 30.0]), "N"), criterion).multiplier for sign in (1, -1))
    assert ply_margins(catalogue, made, (200.0, 80.0, 30.0), criterion=criterion).least.ratio == pytest.approx(least, rel=1e-9)


def test_several_loads_are_each_load_by_itself():
    catalogue, made = build("fen_punt", "bottom")
    loads = [(300.0, 120.0), (50.0, 280.0)]
    both = ply_margins(catalogue, made, loads)
    assert both.least.ratio == pytest.approx(min(ply_margins(catalogue, made, one).least.ratio for one in loads), rel=1e-12)
    np.testing.assert_allclose(both.ratios[1], ply_margins(catalogue, made, loads[1]).ratios[0], rtol=1e-12)


# --- strengths ----------------------------------------------------------------------------------------------------------------------

def test_shear_strain_is_that_of_the_tested_ply():
    # R: plies.csv GL-UD-1 (IEA22): S 30.2 MPa, G12 3.265 GPa; Xt 640, Xc 371 MPa, E1 43.7 GPa, to the digits of the design strains
    assert round(30.2e6 / 3.265e9, 4) == SHEAR_STRAIN
    limits = FILES["locker_lid"].catalogue.fabric(UNI).si
    assert (limits.strain_limit_tension, limits.strain_limit_compression) == pytest.approx((round(640 / 43.7e3, 4), round(371 / 43.7e3, 4)))


@pytest.mark.parametrize("fabric", [UNI, BIAX, MAT])
def test_strengths_are_design_strain_times_modulus(fabric):
    catalogue, made = lid([ply(fabric)])
    one, limit = made.outer.plies[0], catalogue.fabric(fabric).si
    xt, xc, yt, yc, s12 = np.array(design_strengths(catalogue, fabric, one)) / [one.si.e1, one.si.e1, one.si.e2, one.si.e2, one.si.g12]
    assert (xt, xc) == pytest.approx((limit.strain_limit_tension, limit.strain_limit_compression))
    assert (yt, yc) == pytest.approx((CROSS_FIBRE_STRAIN,) * 2 if fabric == UNI else (xt, xc))
    assert s12 == pytest.approx(SHEAR_STRAIN)


def test_a_mat_is_alike_every_way():
    # the allowance of a cloth without axes may not depend on how it was laid
    catalogue, made = lid([ply(MAT)])
    turned = lid([ply(MAT, 45)])[1]
    for criterion in CRITERIA:
        for moments in ((100.0, 0.0, 0.0), (30.0, -50.0, 70.0), (0.0, 0.0, 100.0)):
            straight, other = (ply_margins(catalogue, one, moments, criterion=criterion).least.ratio for one in (made, turned))
            assert other == pytest.approx(straight, rel=1e-9)


def test_a_twisted_mat_by_hand():
    # Mohr: under shear alone the strain at 45 degrees is half the shear, pull one way and push the other
    catalogue, solid = lid([ply(MAT)], [ply(MAT)], **{"layup.lid.core": None})
    shear = 6 * 10.0 / solid.outer.si.thickness**2 / solid.outer.plies[0].si.g12
    assert ply_margins(catalogue, solid, (0.0, 0.0, 10.0)).least.ratio == pytest.approx(0.004 / (shear / 2), rel=1e-9)


def test_cracks_across_are_told_from_broken_fibres():
    catalogue, made = lid([ply(UNI, 90)])
    found = ply_margins(catalogue, made, (100.0, 0.0))
    assert found.least.mode.startswith("transverse") and found.least_of_fibres is None
    assert "90°" in found.least.words and UNI in found.least.words and len(found.guesses) == 2
    both = ply_margins(*lid([ply(UNI, 0), ply(UNI, 90)]), (100.0, 0.0))
    assert both.least.mode.startswith("transverse") and both.least_of_fibres.mode.startswith("fibre")
    assert both.least_of_fibres.ratio > both.least.ratio
    cloth = ply_margins(*lid([ply(BIAX)]), (0.0, 100.0))
    assert cloth.least.mode == "crosswise fibre compression" and cloth.least_of_fibres.ratio == cloth.least.ratio


# --- bad input ----------------------------------------------------------------------------------------------------------------------

def no_strain(catalogue, made):
    blank = SimpleNamespace(fabric=lambda key: SimpleNamespace(direction="uni", si=SimpleNamespace(strain_limit_tension=None, strain_limit_compression=0.01)))
    return ply_margins(blank, made, (1.0, 1.0))


OWN = [
    (lambda c, b: ply_margins(c, b, (0.0, 0.0)), RangeError, "not all nought"), (lambda c, b: ply_margins(c, b, (np.nan, 1.0)), RangeError, "finite"),
    (lambda c, b: ply_margins(c, b, 5.0), RangeError, "shape"), (lambda c, b: ply_margins(c, b, (1, 2, 3, 4)), RangeError, "shape"),
    (lambda c, b: ply_margins(c, b, (1, 2), in_plane=(1, 2)), RangeError, "shape"),
    (lambda c, b: ply_margins(c, b, []), RangeError, "shape"),
    (lambda c, b: ply_margins(c, b, (1, 2), criterion="guess"), RangeError, "Hashin"),
    (lambda c, b: ply_margins(c, b, (1, 2), factor=0.0), RangeError, "factor"),
    (lambda c, b: ply_margins(c, b, (1, 2)).through(7), RangeError, "case is 7"),
    (no_strain, PartFileError, "has no design strain"),
]


@pytest.mark.parametrize("call, error, words", OWN)
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        call(*build("fen_punt", "bottom"))
