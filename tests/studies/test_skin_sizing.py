"""Skin sizing against hand calculation, published plates and a published core choice; then limits and bad input.

Grades: R read; R2 read second-hand; O own reference. Everything under OWN is an own case.
"""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import CompositeKitError, PartFileError, RangeError
from compositekit.mechanics.indentation import patch_indentation
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.panel import edge_shear, orthotropic_panel
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.sandwich import Sandwich
from compositekit.part import Part, demo_parts, open_part
from compositekit.part.decision import fingerprint
from compositekit.part.folders import DEMO
from compositekit.studies import skin_sizing_words
from compositekit.studies.build import part_build
from compositekit.studies.buoyancy import buoyancy
from compositekit.studies.downstream import part_figures
from compositekit.studies.panel_limits import CROSS_FIBRE_STRAIN, Limits, panel_use
from compositekit.studies.panel_loads import zone_loads
from compositekit.studies.panel_stiffness import Ratios, SandwichPanel
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.units import Q_

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}


def changed(name, changes=None):
    return FILES[name].part.changed(changes or {})


def study(name, changes=None, zone=None):
    return skin_sizing(changed(name, changes), FILES[name].catalogue, zone)


def load(zone="lid", length="0.8 m", width="0.8 m", **more):
    return {"name": "a load", "zone": zone, "panel_length": length, "panel_width": width, "source": "test", **more}


LARGE = [[0, 0], [3, 0], [3, 3], [0, 3]]   # a lid that a published panel has room on


def check(result, words):
    (found,) = [item for item in result.checks if words in item.what]
    return found


# --- by hand: a square lid under even pressure, one ply of glass mat (alike every way) each side of 10 mm foam -----------------------
# Roark 7th ed. Table 11.4 case 1a, nu = 0.3, a/b = 1 (R): alpha 0.0444, beta 0.2874 (SW-20); shear part 0.07367 of
# T&W-K Art. 30 (R2, SW-28); plain edge shear 0.3375 q b (O, SW-20).

PRESSURE, SIDE = 3000.0, 0.8
ROARK_ALPHA, ROARK_BETA, SHEAR_ALPHA, EDGE_SHEAR = 0.0444, 0.2874, 0.07367135, 0.3375


def biaxial_ply():
    """Thickness [m], modulus [Pa], Poisson ratio and weight [kg/m2] of glass biaxial 450 at 53 % in infusion epoxy."""
    vf, ef, em = 0.53, 72.4e9, 3.1e9
    e1, nu12 = vf * ef + (1 - vf) * em, vf * 0.22 + (1 - vf) * 0.36
    eta = (ef / em - 1) / (ef / em + 2)
    e2 = em * (1 + 2 * eta * vf) / (1 - eta * vf)
    q11, q12 = (e1 + e2) / 2 / (1 - nu12**2 * e2 / e1), nu12 * e2 / (1 - nu12**2 * e2 / e1)
    thickness = 0.450 / (2560 * vf)
    return thickness, 0.98 * (q11 - q12**2 / q11), q12 / q11, 0.450 + thickness * (1 - vf) * 1150


MAT = {"layup.lid.outside": [{"fabric": "glass-mat-300"}], "layup.lid.inside": [{"fabric": "glass-mat-300"}]}


def mat_ply():
    """The same of glass mat 300 at 25 %: E = 3/8 Vf Ef + (1 - Vf) Em, nu = 1/3."""
    vf, ef, em = 0.25, 72.4e9, 3.1e9
    thickness = 0.300 / (2560 * vf)
    return thickness, 3 / 8 * vf * ef + (1 - vf) * em, 1 / 3, 0.300 + thickness * (1 - vf) * 1150


def by_hand():
    t, e, nu, _ = mat_ply()
    c, ec, gc = 0.010, 80e6, 23e6        # the guaranteed minima printed for this foam (MKPVC26, R2)
    d = c + t
    strip = e * t**3 / 6 + e * t * d**2 / 2 + ec * c**3 / 12
    plate = (e * t**3 / 6 + e * t * d**2 / 2) / (1 - nu**2) + ec * c**3 / 12 / (1 - 0.3**2)
    alpha = ROARK_ALPHA / (12 * (1 - 0.3**2))
    sag = alpha * PRESSURE * SIDE**4 / plate + SHEAR_ALPHA * PRESSURE * SIDE**2 / (gc * d**2 / c)
    moment = ROARK_BETA / 6 * PRESSURE * SIDE**2 * (1 + nu) / 1.3   # a square's moment goes with 1 + nu
    return dict(t=t, e=e, d=d, sag=sag, stress=moment * e * (c / 2 + t) / strip, plate=plate,
                wrinkling=0.5 * (e * ec * gc) ** (1 / 3),
                shear=EDGE_SHEAR * PRESSURE * SIDE * (e * t * d / 2 + ec * c**2 / 8) / strip)


@pytest.fixture(scope="module")
def square():
    return study("locker_lid", {**MAT, "brief.loads": [load(pressure="3 kPa")]})


def test_deflection_by_hand(square):
    hand, found = by_hand(), check(square, "deflection")
    assert found.value.m_as("m") == pytest.approx(hand["sag"], rel=6e-3)          # SW-20: tolerance 0.6 %
    assert found.limit.m_as("m") == pytest.approx(SIDE / 100)
    assert square.build.plate_rigidity.m_as("N*m") == pytest.approx(hand["plate"], rel=1e-9)


def test_skin_stress_and_its_limits_by_hand(square):
    hand = by_hand()
    nu = mat_ply()[2]
    for words, strain in (("in tension", 0.004), ("in compression", 0.004)):      # design strains of the cloth, own judgement
        found = check(square, words)
        assert found.value.m_as("") == pytest.approx(hand["stress"] * (1 - nu) / hand["e"], rel=6e-3)     # as much across: Hooke
        assert found.limit.m_as("") == pytest.approx(strain / 2, rel=1e-9)
    assert square.loads[0].skin_stress.max().m_as("Pa") == pytest.approx(hand["stress"], rel=6e-3)


def test_wrinkling_by_hand(square):
    assert check(square, "wrinkling").limit.m_as("Pa") == pytest.approx(by_hand()["wrinkling"] / 2, rel=1e-9)
    assert check(square, "wrinkling").value == square.loads[0].skin_stress.max()


def test_core_shear_by_hand(square):
    found = check(square, "core shear")
    assert found.value.m_as("Pa") == pytest.approx(by_hand()["shear"], rel=6e-3)
    assert found.limit.m_as("MPa") == pytest.approx(0.95 / 2)                       # guaranteed minimum 0.95 MPa (R2)


def test_core_crushing_by_hand():
    found = check(study("locker_lid"), "crushing")
    assert found.value.m_as("Pa") == pytest.approx(883 * 2 / 0.08**2)
    assert found.limit.m_as("MPa") == pytest.approx(1.15 / 2)                       # guaranteed minimum 1.15 MPa (R2)


def test_mass_by_hand(square):
    """Two plies with their resin, 10 mm of 80 kg/m3, 0.18 kg/m2 of resin on each face of it; 0.8 kg of hinges."""
    area = 1.2 * 0.8
    assert check(square, "mass").value.m_as("kg") == pytest.approx(0.8 + area * (2 * mat_ply()[3] + 0.8 + 0.36), rel=1e-9)


# (a/b, alpha of Roark Table 11.4 case 1a, printed, R)
@pytest.mark.parametrize("ratio, alpha", [(1.0, 0.0444), (1.2, 0.0616), (1.6, 0.0906), (2.0, 0.1110), (3.0, 0.1335)])
def test_a_solid_laminate_is_roarks_plate(ratio, alpha):
    found = study("locker_lid", {**MAT, "layup.lid.core": None, "brief.loads": [load(length=f"{0.3 * ratio} m", width="0.3 m", pressure="1 kPa")]})
    t, e, nu, _ = mat_ply()
    rigidity = e * (2 * t) ** 3 / 12 / (1 - nu**2)
    assert found.worst.deflection.m_as("m") == pytest.approx(alpha / 10.92 * 1000 * 0.3**4 / rigidity, rel=6e-3)
    assert found.sweep is None and [item.what.split()[0] for item in found.checks] == ["deflection", "skin", "skin", "skin", "mass"]
    assert found.worst.bending_share == 1.0


def test_solid_skin_stress_is_six_m_over_t_squared():
    """Roark beta 0.2874 at a/b = 1 (R): sigma = beta q b^2/t^2 at nu 0.3, so (1 + nu)/1.3 of it here."""
    found = study("locker_lid", {**MAT, "layup.lid.core": None, "brief.loads": [load(length="0.3 m", width="0.3 m", pressure="1 kPa")]})
    t, _, nu, _ = mat_ply()
    assert found.loads[0].skin_stress.max().m_as("Pa") == pytest.approx(0.2874 * 1000 * 0.3**2 / (2 * t) ** 2 * (1 + nu) / 1.3, rel=6e-3)


# --- published cases through the study ------------------------------------------------------------------------------


def test_sw_35_infused_panel():
    """SW-35 (O), exact 3-D series: 1.09714 mm; 5.2773 MPa in the middle of a skin; core shear 0.09195 MPa at the long edge.

    Tolerances as the reference suggests. The series has 5.8891 MPa in the outer face: a skin also bends by itself as
    the core shears, which the study leaves out and says so.
    """
    part = changed("locker_lid", {"brief.loads": [load(length="0.9 m", width="0.6 m", pressure="10 kPa")]})
    (one,) = zone_loads(part, "lid")
    panel = Sandwich.from_si(outer_skin_thickness=2e-3, inner_skin_thickness=2e-3, outer_skin_modulus=20e9, inner_skin_modulus=20e9,
                             core_thickness=25e-3, core_modulus=70.2e6, core_shear_modulus=27e6, poisson=0.25, core_poisson=0.3)
    every_way = SandwichPanel(panel, panel, Ratios(0.25, 1.0, 0.375))
    use = panel_use(every_way, one, Limits((((1.0, 1.0),) * 2,) * 2, 1.0, 70.2e6, 1e6, 1e6))
    assert use["deflection"] * one.limit * 1e3 == pytest.approx(1.09714, rel=5e-3)
    face = np.max(every_way.skin_stress(one.moments(every_way))) / 1e6
    assert face * 13.5 / 14.5 == pytest.approx(5.2773, rel=1.5e-2)                  # face to middle of the skin, a straight line
    assert 0.95 < face / 5.8891 < 1
    assert "4 % of the stress" in skin_sizing_words.ASSUMED
    assert use["core shear"] == pytest.approx(0.09195, rel=3.5e-2)                  # of 1 MPa
    assert "core crushing" not in use


# SW-17, LR guidance notes Ch. 4 (R): 700 mm shell panel under 50 kN/m2, core shear at most 0.30 of its strength
@pytest.mark.parametrize("core, thickness, accepted", [
    ("pvc-200", "20 mm", True), ("pvc-160", "20 mm", False), ("pvc-100", "50 mm", True), ("pvc-80", "50 mm", False)])
def test_sw_17_core_choice(core, thickness, accepted):
    found = study("locker_lid", {"shape.zones.lid": LARGE, "brief.strength_factor": "3.33333333", "layup.lid.core.core": core, "layup.lid.core.thickness": thickness,
                                 "brief.loads": [load(length="2 m", width="0.7 m", pressure="50 kPa")]})
    assert check(found, "core shear").passed is accepted


# --- 0/90 cloth against lamination theory of the whole stack and first-order plate theory (own reference) --------------

FULL = [("fen_punt", "bottom"), ("fen_punt", "ends"), ("locker_lid", "lid"), ("shelter_roof", "shell")]


def whole_stack(build):
    """D11, D12, D22, D66 of skins and core as one laminate, the neutral plane where it falls [N*m]."""
    core = build.panel.along.si
    foam = Ply.from_si(name="core", thickness=core.core_thickness, e1=core.core_modulus, e2=core.core_modulus,
                       g12=core.core_modulus / 2.6, nu12=0.3)
    stack = Laminate([*build.outer.plies, foam, *build.inner.plies],
                     Q_([*build.outer.angles.magnitude, 0.0, *build.inner.angles.magnitude], "rad"))
    d = np.linalg.inv(np.linalg.inv(stack.abd)[3:, 3:])
    return d[0, 0], d[0, 1], d[1, 1], d[2, 2]


@pytest.mark.parametrize("name, zone", FULL)
def test_a_panel_of_cloth_is_that_of_first_order_theory(name, zone):
    """Sag and the larger moment to 2 %: what the skins' ratios and the core's shear taken by itself may cost."""
    build = study(name, zone=zone).build
    loads = [one for one in zone_loads(changed(name), zone) if one.patch_pressure is None]
    stiff, panel = whole_stack(build), build.panel
    assert loads and panel.d11 == pytest.approx(stiff[0], rel=2e-2)
    for one in loads:
        length, width = one.sizes[:2]
        whole = orthotropic_panel.si(*stiff, panel.shear_rigidity, panel.shear_rigidity, length, width, one.total / (length * width))
        assert one.deflection(panel.ratios, panel.d11, panel.shear_rigidity) == pytest.approx(whole.deflection.magnitude, rel=2e-2)
        assert max(one.moments(panel)) == pytest.approx(max(whole.moment_x.magnitude, whole.moment_y.magnitude), rel=2e-2)


def test_the_punt_bottom_of_the_review():
    """24.7 mm under 5 kPa by first-order theory with the skins' twist (own review), where an even sheet gave 17.5."""
    water = next(case for case in study("fen_punt").loads if "water" in case.name)
    assert water.deflection.m_as("mm") == pytest.approx(24.7, rel=1e-2)


def test_cloth_at_45_degrees_is_stiffer_in_twist_than_at_0():
    turned = [{"fabric": "glass-biax-450", "angle": "45 deg"}]
    straight = study("locker_lid").build.panel.ratios
    found = study("locker_lid", {"layup.lid.outside": turned, "layup.lid.inside": turned}).build.panel.ratios
    assert straight.twist < 0.5 < 1 < found.twist and found.d22 == pytest.approx(1)


def test_plies_along_the_length_make_it_stiff_lengthwise():
    uni = [{"fabric": "glass-uni-300"}]
    turned = [{"fabric": "glass-uni-300", "angle": "90 deg"}]
    sizes = load(length="1.2 m", width="0.5 m", pressure="2 kPa")
    along, across = (study("locker_lid", {"layup.lid.outside": plies, "layup.lid.inside": plies, "brief.loads": [sizes]}) for plies in (uni, turned))
    assert across.loads[0].deflection < along.loads[0].deflection          # the short way carries: fibres belong across
    assert along.build.panel.ratios.d22 == pytest.approx(1 / across.build.panel.ratios.d22)
    round_ = load(length="0.5 m", width="1.2 m", pressure="2 kPa")
    other = study("locker_lid", {"layup.lid.outside": turned, "layup.lid.inside": turned, "brief.loads": [round_]})
    assert other.loads[0].deflection.m_as("mm") == pytest.approx(along.loads[0].deflection.m_as("mm"), rel=1e-6)


def test_core_shear_of_a_foot_is_taken_near_the_edge():
    """Larger than in the middle of the panel, by about the 1.35 that the review found 40 to 50 mm from the edge (own)."""
    build = study("locker_lid").build
    (foot,) = [one for one in zone_loads(changed("locker_lid"), "lid") if one.patch_pressure is not None]
    ratios = build.panel.ratios
    sizes = foot.sizes
    middle = max(edge_shear(*sizes, ratios.d22, ratios.twist), edge_shear(sizes[1], sizes[0], *sizes[2:], 1 / ratios.d22, ratios.twist / ratios.d22))
    near = max(foot.shear_forces(build.panel))
    assert near / (foot.patch_pressure * middle) == pytest.approx(1.35, rel=5e-2)


# --- OWN: what must hold for any part --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", demo_parts())
def test_every_loaded_zone_of_the_demo_parts(name):
    for zone in FILES[name].part.structural_zones:
        found = study(name, zone=zone)
        assert found.zone == zone and len(found.loads) == sum(one.zone == zone for one in FILES[name].part.brief.loads)
        assert 4 <= len(found.working) <= 12 and found.cautions and found.guesses
        assert "none" not in fingerprint(FILES[name].part, FILES[name].catalogue, found.rests_on).values()
        for item in found.checks:
            if getattr(item, "beyond", False) or item.limit.check("kg"):
                continue   # the value is a floor there; mass and flotation are of the whole part
            share = max(use for case in found.loads for way, use in case.use.items() if _same(item.what, way))
            assert (item.value / item.limit).m_as("") == pytest.approx(share, rel=1e-9), item.what


def _same(what, way):
    return all(word in what for word in {"deflection": ["deflection"], "skin tension": ["tension"], "skin compression": ["compression"],
                                         "skin wrinkling": ["wrinkling"], "core shear": ["core shear"], "skin shear": ["sheared"], "core crushing": ["crushing"],
                                         "skin under patch": ["under the patch"], "skin dimpling": ["dimpling"]}[way])


def test_the_demo_punt_starts_failing_and_the_known_mend_holds():
    mend = {"layup.bottom.core.thickness": "25 mm", "layup.bottom.inside": [{"fabric": "basalt-twill-300"}] * 2,
            "layup.side.core.thickness": "15 mm", "layup.ends.core.thickness": "15 mm"}
    assert study("fen_punt").failed
    for zone in FILES["fen_punt"].part.structural_zones:
        assert not study("fen_punt", mend, zone).failed, study("fen_punt", mend, zone).verdict
    assert study("fen_punt", mend).part_mass.m_as("kg") == pytest.approx(33.46, abs=0.05)


@pytest.mark.parametrize("name, mend", [
    ("locker_lid", {"layup.lid.core.thickness": "30 mm"}),
    ("shelter_roof", {"layup.shell.core.thickness": "20 mm"}),
])
def test_a_thicker_sheet_alone_mends_the_other_demo_parts(name, mend):
    assert study(name).failed and not study(name, mend).failed, study(name, mend).verdict


def test_a_sag_beyond_the_theory_shows_no_wild_figure():
    found = study("locker_lid", {"layup.lid.core": None})
    item = check(found, "deflection")
    assert found.worst.deflection > 3 * found.build.thickness and item.beyond and not item.passed
    assert item.value <= 2 * item.limit and "far beyond what this small-deflection theory can tell" in item.sentence()
    assert item.reserve == pytest.approx((found.worst.deflection_limit / found.worst.deflection).m_as(""))
    floppy = study("locker_lid", {"layup.lid.core.thickness": "3 mm", "layup.lid.outside": [{"fabric": "glass-biax-800"}] * 2,
                                  "layup.lid.inside": [{"fabric": "glass-biax-800"}] * 2, "brief.deflection_share": "0.001"})
    assert "far beyond what this small-deflection theory can tell" in floppy.verdict
    thin = study("locker_lid", {"layup.lid.core": None, "brief.deflection_share": "0.05", "brief.loads": [load(pressure="3 Pa")]})
    deep = check(thin, "deflection")
    assert deep.beyond and deep.passed and "overstates so deep a sag" in deep.verdict
    assert any(isinstance(step.result, str) and "beyond this theory" in step.result for step in found.working)
    assert not check(study("locker_lid", {"layup.lid.core.thickness": "30 mm"}), "deflection").beyond


def test_a_core_without_shear_modulus_stops_mechanics_only():
    part = changed("locker_lid", {"layup.lid.core.core": "pmi-75"})
    build = part_build(part, FILES["locker_lid"].catalogue)["lid"]
    assert build.mass.m_as("kg") > 0 and build.bulk_density.m_as("kg/m^3") > 0 and build.resin_per_area.magnitude > 0
    with pytest.raises(PartFileError, match="cannot be sized"):
        _ = build.panel


def test_the_sweep_runs_through_the_study_and_its_band_holds():
    light = {"brief.mass_target": "33 kg"}    # so that the band ends before the sweep does
    swept = study("fen_punt", light).sweep
    for index in (0, 30, 74):
        thick = swept.core_thickness[index].m_as("mm")
        one = study("fen_punt", {**light, "layup.bottom.core.thickness": f"{thick:.9g} mm"})
        assert one.shares == pytest.approx((swept.deflection[index], swept.skins[index], swept.core[index], swept.mass[index], swept.flotation[index]), rel=1e-6)
    low, high = swept.fits
    for thick, holds in ((low, True), (high, True), (low - Q_(0.5, "mm"), False), (high + Q_(0.5, "mm"), False)):
        assert (not study("fen_punt", {**light, "layup.bottom.core.thickness": f"{thick.m_as('mm'):.9g} mm"}).failed) is holds


@pytest.mark.parametrize("cut", ["plain", "grooved", "perforated", "slit"])
def test_the_sweep_carries_the_resin_in_the_cuts(cut):
    swept = study("shelter_roof", {"layup.shell.core.cut": cut}).sweep
    thick = study("shelter_roof", {"layup.shell.core.cut": cut, "layup.shell.core.thickness": "40 mm"})
    assert swept.mass[-1] == pytest.approx(thick.shares[3], rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(demo_parts()), st.floats(3, 60), st.floats(0.01, 30))
def test_a_thicker_core_never_sags_more_nor_weighs_less(name, thickness, more):
    zone = FILES[name].part.structural_zones[0]
    thin, thick = (study(name, {f"layup.{zone}.core.thickness": f"{value:.9g} mm"}) for value in (thickness, thickness + more))
    for one, other in zip(thin.loads, thick.loads, strict=True):
        assert other.deflection < one.deflection
        assert other.use["core shear"] < one.use["core shear"] and other.use["skin wrinkling"] < one.use["skin wrinkling"]
    assert thick.part_mass > thin.part_mass


def test_a_load_twice_as_large_uses_twice_the_share():
    once, twice = (study("locker_lid", {"brief.loads": [load(force="400 N", patch="80 mm", factor=factor)]}) for factor in ("1", "2"))
    for way, use in once.loads[0].use.items():
        assert twice.loads[0].use[way] == pytest.approx(2 * use)


def test_a_panel_turned_round_sags_the_same():
    one, other = (study("locker_lid", {"brief.loads": [load(length=a, width=b, pressure="2 kPa")]}) for a, b in (("1.2 m", "0.7 m"), ("0.7 m", "1.2 m")))
    assert one.loads[0].use == pytest.approx(other.loads[0].use)


def test_either_skin_may_be_the_squeezed_one():
    """A thin skin outside or inside: the worst figures do not care which way round the panel lies."""
    thick, thin = [{"fabric": "glass-biax-450"}] * 3, [{"fabric": "carbon-twill-200"}]
    one, other = (study("locker_lid", {"layup.lid.outside": a, "layup.lid.inside": b}) for a, b in ((thick, thin), (thin, thick)))
    assert [item.value.magnitude for item in one.checks] == pytest.approx([item.value.magnitude for item in other.checks])
    assert [item.limit.magnitude for item in one.checks] == pytest.approx([item.limit.magnitude for item in other.checks])


def test_the_most_delicate_cloth_of_a_skin_sets_its_strain():
    found = study("locker_lid", {"layup.lid.outside": [{"fabric": "glass-biax-450"}, {"fabric": "glass-mat-300"}], "layup.lid.inside": [{"fabric": "glass-mat-300"}] * 3})
    assert "design strain 0.40%" in check(found, "compression").source


def test_a_skin_without_fibre_across_is_held_to_the_resins_strain():
    uni = [{"fabric": "glass-uni-300"}]
    found = study("locker_lid", {"layup.lid.outside": uni, "layup.lid.inside": uni})
    assert f"{CROSS_FIBRE_STRAIN:.2%}" in check(found, "tension").source and any("no fibre along" in text for text in found.guesses)
    crossed = [*uni, {"fabric": "glass-uni-300", "angle": "90 deg"}]
    held = study("locker_lid", {"layup.lid.outside": crossed, "layup.lid.inside": crossed})
    assert "1.46%" in check(held, "tension").source


UNI, ACROSS = {"fabric": "glass-uni-300"}, {"fabric": "glass-uni-300", "angle": "90 deg"}


@pytest.mark.parametrize("outside, inside, said", [
    ([UNI, UNI], [UNI], "all plies run lengthwise; a UD cloth has almost nothing across"),
    ([ACROSS], [ACROSS], "all plies run crosswise; a UD"),
    ([UNI], [{"fabric": "glass-biax-450"}], "all plies of the outer skin run lengthwise; a UD"),
    ([{"fabric": "glass-uni-300", "angle": "30 deg"}] * 2, [{"fabric": "glass-uni-300", "angle": "210 deg"}], "all plies lie at 30°; a UD"),
    ([UNI], [ACROSS], "all plies of the outer skin and all plies of the inner skin each run one way; a UD"),
    ([UNI, ACROSS], [UNI, ACROSS], ""), ([{"fabric": "glass-biax-450"}], [{"fabric": "glass-biax-450"}], "")])
def test_cloth_that_lies_one_way_only_is_said(outside, inside, said):
    found = study("locker_lid", {"layup.lid.outside": outside, "layup.lid.inside": inside}).one_way
    assert found.startswith(said) and bool(found) is bool(said)


def test_a_solid_of_cloth_that_lies_one_way_is_said():
    assert study("locker_lid", {"layup.lid.core": None, "layup.lid.outside": [UNI], "layup.lid.inside": [UNI]}).one_way.startswith("all plies run lengthwise")


@pytest.mark.parametrize("thickness", ["3 mm", "10 mm", "23 mm", "25 mm", "200 mm"])
def test_the_next_sheet_sold(thickness):
    found = study("locker_lid", {"layup.lid.core.thickness": thickness})
    sold = [sheet for sheet in found.build.core.thicknesses.m_as("mm") if sheet >= float(thickness.split()[0]) - 1e-6]
    assert found.next_sheet is None if not sold else found.next_sheet.m_as("mm") == pytest.approx(min(sold))


def test_balsa_lends_no_bending_stiffness_in_its_plane():
    """Its printed 4 GPa stand on end: counting them in the plane would make this panel several times too stiff."""
    t, e, nu, _ = biaxial_ply()
    found = study("locker_lid", {"layup.lid.core.core": "balsa-153", "layup.lid.core.thickness": "20 mm"})
    thin = e * t * (0.020 + t) ** 2 / 2 / (1 - nu**2)
    assert found.build.plate_rigidity.m_as("N*m") == pytest.approx(thin, rel=1e-3)


def test_overbuilt_is_said_when_everything_holds_twice_over():
    heavy = {"layup.lid.core.thickness": "40 mm", "layup.lid.core.core": "pvc-200", "layup.lid.outside": [{"fabric": "glass-biax-800"}] * 4,
             "layup.lid.inside": [{"fabric": "glass-biax-800"}] * 4}
    found = study("locker_lid", heavy)
    assert found.overbuilt and "room to trim" in check(found, "deflection").verdict and not study("locker_lid").overbuilt


def test_the_reserve_beside_is_the_one_of_the_buoyancy_study():
    file = FILES["fen_punt"]
    figures = part_figures(file.part, file.catalogue)
    assert figures.reserve.m_as("kg") == pytest.approx(buoyancy(file.part, file.catalogue).swamped.reserve.m_as("kg"), rel=1e-12)
    assert part_figures(FILES["locker_lid"].part, FILES["locker_lid"].catalogue).reserve is None
    found = skin_sizing(changed("fen_punt", {"layup.bottom.core.thickness": "20 mm"}), file.catalogue, saved=figures)
    area, density = found.build.zone.area.m_as("m^2"), found.build.core.si.density
    assert f"+{area * density * 0.01:.2f} kg" in found.knock_on and "swamped" in found.knock_on


def test_nothing_hangs_on_the_name_of_a_zone():
    text = FILES["locker_lid"].part.to_json().replace('"lid"', '"hatch"')
    found = skin_sizing(Part.from_plain(json.loads(text)), FILES["locker_lid"].catalogue)
    assert found.zone == "hatch" and found.verdict == study("locker_lid").verdict


def test_a_core_without_crushing_strength_is_said_to_be_unchecked():
    found = study("locker_lid", {"layup.lid.core.core": "pet-115"})
    assert not [item for item in found.checks if "crushing" in item.what]
    assert any(text.startswith("Not checked: crushing") for text in found.cautions)


def test_honeycomb_is_said_to_fill_with_resin():
    assert any("fill with resin" in text for text in study("locker_lid", {"layup.lid.core.core": "honeycomb-aramid-3mm-48"}).cautions)


def test_figures_stay_finite_at_the_ends():
    for thickness in ("0.01 mm", "0.7 m"):
        found = study("locker_lid", {"layup.lid.core.thickness": thickness})
        assert all(math.isfinite(use) for case in found.loads for use in case.use.values())
        assert np.isfinite(found.part_mass.magnitude)


OWN_BAD = [
    ({"layup.lid.core.thickness": "1 m"}, None, RangeError, ["1000 mm", "800 mm", "a block, not a panel"]),
    ({"brief.loads": [load(pressure="1 kPa", edges="glued")]}, None, PartFileError, ["edges", "glued", "long edges clamped", "supported"]),
    ({}, "rim", PartFileError, ["rim", "no load of the brief", "lid"]),
    ({"brief.deflection_share": "0"}, None, PartFileError, ["deflection_share", "from 0.0001 to 0.05"]),
    ({"brief.loads": [load(force="100 N", patch="810 mm")]}, None, RangeError, ['load "a load"', "larger than the panel"]),
    ({"brief.loads": [load(force="100 N", patch="1 mm")]}, None, RangeError, ['load "a load"', "larger patch"]),
    ({"brief.loads": [load(length="1.3 m", width="0.8 m", pressure="1 kPa")]}, None, PartFileError,
     ['load "a load"', "1300 mm by 800 mm", 'zone "lid"', "1200 mm by 800 mm"]),
    ({"brief.loads": [load(length="0.9 m", width="0.9 m", pressure="1 kPa")]}, None, PartFileError, ["900 mm by 900 mm", "larger than zone"]),
    ({"layup.lid.core.core": "pmi-75"}, None, PartFileError, ["pmi-75", "cannot be sized"]),
    ({"layup.lid.outside": [{"fabric": "no-such-cloth"}]}, None, CompositeKitError, ["no-such-cloth"]),
]


@pytest.mark.parametrize("changes, zone, kind, said", OWN_BAD, ids=[item[3][0] for item in OWN_BAD])
def test_bad_input_is_said_in_our_words(changes, zone, kind, said):
    with pytest.raises(kind) as caught:
        study("locker_lid", changes, zone)
    assert all(text in str(caught.value) for text in said), caught.value


def test_a_cloth_without_design_strain_is_refused(tmp_path):
    own = tmp_path / "fabrics.csv"
    own.write_text("key,title,fibre,form,direction,areal_weight_g_m2,fibre_fraction,crimp_factor,source\n"
                   "own-cloth,own cloth,e-glass,plain weave,balanced,400,0.5,0.95,shop scale\n", "utf-8")
    part = changed("locker_lid", {"layup.lid.inside": [{"fabric": "own-cloth"}]})
    with pytest.raises(PartFileError, match=r"own-cloth.*design strain"):
        skin_sizing(part, FILES["locker_lid"].catalogue.with_own(own))


def test_a_honeycomb_is_checked_for_dimpling_and_its_working_can_be_followed():
    """Zenkert eq. 6.32 (read second-hand): 2 E/(1 - nu^2) (t/s)^2 over cells of 9.5 mm, from the step's own inputs."""
    found = study("locker_lid", {"layup.lid.core.core": "honeycomb-aramid-10mm-48"})
    (step,) = [step for step in found.working if "dimples" in step.what]
    inputs = step.inputs
    by_hand = 2 * inputs["E"] / (1 - inputs["ν"] ** 2) * (inputs["t"] / inputs["s, across a cell"]) ** 2
    assert step.result.m_as("MPa") == pytest.approx(by_hand.m_as("MPa")) and inputs["s, across a cell"].m_as("mm") == pytest.approx(9.5)
    item = check(found, "dimpling")
    share = max(case.use["skin dimpling"] for case in found.loads)
    assert (item.value / item.limit).m_as("") == pytest.approx(share) and "catalogue.core.honeycomb-aramid-10mm-48.cell_size" in found.rests_on
    assert item.limit.m_as("MPa") <= step.result.m_as("MPa") / FILES["locker_lid"].part.brief.strength_factor.m_as("") * (1 + 1e-9)


def test_what_the_core_bears_under_a_patch_by_hand():
    """Working's own D, Ec, Gc, c and p through the public function give the figure of the check."""
    found = study("locker_lid")
    (step,) = [step for step in found.working if step.what.startswith("what of it the core bears")]
    build, inputs = found.build, step.inputs
    nu, load = build.panel.along.si.poisson, next(case for case in found.loads if case.core_pressure is not None)
    modulus = 12 * inputs["D"] * (1 - nu**2) / build.outer.thickness**3
    side = Q_(80, "mm")
    _, pressure, _ = patch_indentation(load.patch_pressure * side**2, side / np.pi**0.5, build.outer.thickness, modulus, inputs["c"], inputs["Ec"], inputs["Gc"], nu)
    assert pressure.m_as("MPa") == pytest.approx(step.result.m_as("MPa")) == pytest.approx(check(found, "crushing").value.m_as("MPa"))


def test_a_part_that_would_sink_when_swamped_does_not_hold_here_either():
    """The page's own check is the buoyancy study's verdict for people holding on, turned into a share."""
    heavy = {"layup.bottom.core": None, "layup.bottom.outside": [{"fabric": "basalt-twill-300"}] * 6, "layup.bottom.inside": []}
    for changes in ({}, heavy):
        part = FILES["fen_punt"].part.changed(changes)
        (check,) = [check for check in skin_sizing(part, FILES["fen_punt"].catalogue, "bottom").checks if "flotation" in check.what]
        reserve = buoyancy(part, FILES["fen_punt"].catalogue).swamped.reserve
        assert (check.limit - check.value).m_as("kg") == pytest.approx(reserve.m_as("kg"), abs=1e-6)
        assert check.passed is (reserve.magnitude >= 0)
    assert not [check for check in study("locker_lid").checks if "flotation" in check.what], "a lid need not float"
