"""The failure map of a zone: the same figures as skin sizing, cell by cell; local checks by hand; mass; bad input."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from compositekit.errors import PartFileError, RangeError
from compositekit.mechanics.indentation import patch_indentation
from compositekit.mechanics.sandwich_failure import dimpling_stress
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build
from compositekit.studies.failure_map import CORES, SKINS, failure_map
from compositekit.studies.panel_limits import core_limits, panel_limits, panel_use, worst_use
from compositekit.studies.panel_loads import zone_loads
from compositekit.studies.skin_sizing import skin_sizing
from compositekit.units import Q_

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}
ZONES = [(name, zone) for name, file in FILES.items() for zone in file.part.structural_zones]
LID = "locker_lid", "lid"
CORE = np.array([6e-3, 12e-3, 25e-3])
TIMES = np.array([0.5, 1.0, 2.0, 3.0])


def parts(name, zone, changes=None):
    part, catalogue = FILES[name].part.changed(changes or {}), FILES[name].catalogue
    build = part_build(part, catalogue)[zone]
    return part, catalogue, build


def mapped(name, zone, changes=None, **grid):
    part, catalogue, _ = parts(name, zone, changes)
    return failure_map(part, catalogue, zone, **grid)


@pytest.mark.parametrize("name, zone", ZONES)
def test_the_grid_is_the_scalar_functions_cell_by_cell(name, zone):
    part, catalogue, build = parts(name, zone)
    whole = failure_map(part, catalogue, zone, CORE, TIMES)
    loads, limits, now = zone_loads(part, zone), panel_limits(part, catalogue, build), build.panel.along.si
    for row, times in enumerate(TIMES):
        for column, core in enumerate(CORE):
            panel = build.panel.on(core_thickness=core, outer_skin_thickness=now.outer_skin_thickness * times,
                                   inner_skin_thickness=now.inner_skin_thickness * times)
            use = worst_use([panel_use(panel, load, limits) for load in loads])
            for mode in whole.names:
                assert whole.use[mode][row, column] == pytest.approx(use[mode], rel=1e-9)
            assert whole.worst[row, column] == pytest.approx(max(use[mode] for mode in whole.names), rel=1e-9)


@pytest.mark.parametrize("name, zone", ZONES)
def test_todays_point_is_what_skin_sizing_says(name, zone):
    part, catalogue, build = parts(name, zone)
    point = failure_map(part, catalogue, zone).point
    sized = worst_use([case.use for case in skin_sizing(part, catalogue, zone).loads])
    assert set(point.use) == set(sized)             # the map names no mode that the check table lacks
    for mode, share in sized.items():
        assert point.use[mode] == pytest.approx(share)
    assert point.areal_mass.magnitude == pytest.approx(build.areal_mass.magnitude)
    assert (point.core_thickness + point.skin_thickness).m_as("m") == pytest.approx(build.thickness.m_as("m"))
    assert point.use[point.governing] >= 0.95 * max(point.use.values())


def test_two_of_each_ply_is_twice_the_skin():
    """Laid up anew with every ply doubled, the panel is the map's row at two, in use and in mass."""
    part, _, build = parts(*LID)
    layup = part.layup["lid"]

    def doubled(face):
        return [{"fabric": ply.fabric, "angle": f"{ply.angle.m_as('deg')} deg"} for ply in face for _ in range(2)]
    changes = {"layup.lid.outside": doubled(layup.outside), "layup.lid.inside": doubled(layup.inside)}
    core = np.array([build.core_thickness, 2 * build.core_thickness])
    thick, now = mapped(*LID, changes, core_thicknesses=core, multipliers=np.array([1.0, 2.0])), mapped(
        *LID, core_thicknesses=core, multipliers=np.array([1.0, 2.0]))
    for mode in now.names:
        np.testing.assert_allclose(now.use[mode][1], thick.use[mode][0], rtol=1e-6)
    np.testing.assert_allclose(now.areal_mass.magnitude[1], thick.areal_mass.magnitude[0])
    assert now.plies[1] == len(build.plies) * 2
    assert now.areal_mass.magnitude[0, 0] == pytest.approx(build.areal_mass.magnitude)


@pytest.mark.parametrize("name, zone", ZONES)
def test_the_lightest_that_holds(name, zone):
    whole = mapped(name, zone)
    part, catalogue, build = parts(name, zone)
    core, times, mass, outside, inside = whole.lightest
    sold = build.core.thicknesses
    assert core.m_as("mm") == pytest.approx(round(core.m_as("mm"))) if sold is None else np.isclose(sold.m_as("mm"), core.m_as("mm")).any()
    layup = part.layup[zone]
    now = {face: [{"fabric": ply.fabric, "angle": f"{ply.angle.m_as('deg')} deg"} for ply in getattr(layup, face)] for face in ("outside", "inside")}
    faces = {f"layup.{zone}.{face}": [now[face][0]] * count for face, count in (("outside", outside), ("inside", inside))}
    sized = skin_sizing(part.changed({**faces, f"layup.{zone}.core.thickness": f"{core.m_as('mm'):.9g} mm"}), catalogue, zone)
    assert sized.build.areal_mass.magnitude == pytest.approx(mass.magnitude) and max(max(case.use.values()) for case in sized.loads) <= 1
    assert (outside, inside) == (len(now["outside"]) * times, len(now["inside"]) * times)
    assert whole.worst.shape == (SKINS.size, CORES.size) == whole.governing.shape == whole.areal_mass.shape


def test_nothing_holds_on_too_small_a_grid():
    assert mapped(*LID, core_thicknesses=np.array([1e-3, 2e-3]), multipliers=np.array([0.05, 0.1])).lightest is None


def test_thicker_skins_and_cores_never_sag_more():
    sag = mapped(*LID).use["deflection"]
    assert np.all(np.diff(sag, axis=0) < 0) and np.all(np.diff(sag, axis=1) < 0)


def test_the_mode_that_governs_changes_over_the_map():
    whole = mapped(*LID)
    named = {whole.names[index] for index in np.unique(whole.governing)}
    assert {"deflection", "core shear", "skin compression"} <= named


# --- local checks by hand --------------------------------------------------------------------------------------------------------

def heel(side):
    load = next(load for load in zone_loads(FILES["locker_lid"].part, "lid") if load.patch_pressure is not None)
    length, width, *_ = load.sizes
    return replace(load, patch_pressure=load.total / side**2, sizes=(length, width, side, side))


def test_under_a_heel():
    part, catalogue, build = parts(*LID)
    load, limits, panel = heel(10e-3), panel_limits(part, catalogue, build), build.panel
    use, si = panel_use(panel, load, limits), panel.along.si
    modulus = min(panel.moduli[way][0] for way in range(2))
    assert si.outer_skin_thickness == si.inner_skin_thickness       # so either skin will do
    _, pressure, bending = patch_indentation(Q_(load.total, "N"), Q_(10e-3 / np.pi**0.5, "m"), Q_(si.outer_skin_thickness, "m"), Q_(modulus, "Pa"),
                                             Q_(si.core_thickness, "m"), Q_(limits.core_modulus, "Pa"), Q_(si.core_shear_modulus, "Pa"), si.poisson)
    assert use["core crushing"] == pytest.approx(pressure.m_as("Pa") / limits.crushing)
    own = bending.m_as("Pa") / modulus
    strains = panel.strains(load.curvatures(panel))
    whole = max((strains[way][skin] + own) / limits.skins[skin][way][1] for way in range(2) for skin in range(2))
    assert use["skin under patch"] == pytest.approx(whole)
    assert use["skin under patch"] > use["skin compression"]
    stiff = panel.on(outer_skin_thickness=5 * si.outer_skin_thickness, inner_skin_thickness=5 * si.inner_skin_thickness)
    assert panel_use(stiff, load, limits)["core crushing"] < 0.5 * load.patch_pressure / limits.crushing   # a thick skin spreads a heel


def test_thin_skins_spread_no_heel_and_a_dents_rim_presses_harder():
    """The load over its patch is the sum for a wide heel, and up to an eighth low where the dent's rim holds the skin up: never the safe one."""
    part, catalogue, build = parts(*LID)
    limits, panel = panel_limits(part, catalogue, build), build.panel
    soft = panel.on(core_shear_modulus=1e3)         # springs that hardly shear overshoot most
    ratios = {name: [panel_use(one, heel(side), limits)["core crushing"] * limits.crushing / heel(side).patch_pressure for side in np.geomspace(5e-3, 0.2, 40)]
              for name, one in (("foam", panel), ("soft", soft))}
    assert ratios["foam"][-1] == pytest.approx(1, abs=1e-3) and ratios["foam"][0] < 0.95
    assert 1.05 < max(ratios["soft"]) < 1.13


def test_dimpling_over_cells():
    part, catalogue, build = parts(*LID)
    load, limits, panel = heel(100e-3), panel_limits(part, catalogue, build), build.panel
    si, stress = panel.along.si, panel.skin_stress(load.moments(panel))
    found = panel_use(panel, load, limits._replace(cell_size=20e-3))["skin dimpling"]
    by_hand = max(stress[way][skin] * limits.factor / dimpling_stress(
        Q_(panel.moduli[way][skin], "Pa"), Q_(si.outer_skin_thickness, "m"), Q_(20, "mm"), si.poisson).m_as("Pa") for way in range(2) for skin in range(2))
    assert found == pytest.approx(by_hand)
    assert panel_use(panel, load, limits._replace(cell_size=40e-3))["skin dimpling"] == pytest.approx(4 * found)
    assert "skin dimpling" not in panel_use(panel, load, limits)


def honeycombs():
    catalogue = FILES["locker_lid"].catalogue
    return {key: catalogue.core(key) for key in catalogue.cores().index if catalogue.core(key).family == "honeycomb"}


def test_cell_sizes_of_the_catalogue():
    sizes = {key: core_limits(core, 2.0)[-1] for key, core in honeycombs().items()}
    assert sum(np.isfinite(size) for size in sizes.values()) > 20 and np.isnan(sizes["honeycomb-aluminium-50"])
    assert sizes["honeycomb-aramid-3mm-48"] == pytest.approx(3.2e-3) and sizes["honeycomb-aluminium-46"] == pytest.approx(9.5e-3)
    assert core_limits(parts(*LID)[2].core, 2.0)[-1] == 0


def test_a_honeycomb_lid_is_mapped_with_dimpling():
    whole = mapped(*LID, {"layup.lid.core.core": "honeycomb-aramid-10mm-48"})
    assert "skin dimpling" in whole.names
    thin = mapped(*LID, {"layup.lid.core.core": "honeycomb-aramid-10mm-48"}, multipliers=np.array([0.02, 0.04]))
    assert "skin dimpling" in {thin.names[index] for index in np.unique(thin.governing)}


# --- bad input --------------------------------------------------------------------------------------------------------------------

OWN = [
    ({}, dict(core_thicknesses=np.array([5e-3, 4e-3])), RangeError, "core_thicknesses must be a rising row"),
    ({}, dict(core_thicknesses=np.array([5e-3])), RangeError, "at least two"),
    ({}, dict(multipliers=np.array([0.0, 1.0])), RangeError, "multipliers must be a rising row"),
    ({}, dict(multipliers=np.array([1.0, np.nan])), RangeError, "multipliers"),
    ({}, dict(core_thicknesses=np.array([5.0, 40.0])), RangeError, "wide; plate theory.*Check the units"),
    ({"layup.lid.core": None}, {}, PartFileError, "has no core"),
]


@pytest.mark.parametrize("changes, grid, error, words", OWN)
def test_bad_input(changes, grid, error, words):
    with pytest.raises(error, match=words):
        mapped(*LID, changes, **grid)


def test_a_zone_without_load():
    with pytest.raises(PartFileError, match="no load of the brief stands on zone"):
        failure_map(FILES["locker_lid"].part, FILES["locker_lid"].catalogue, "deck")


def test_a_core_whose_strength_nobody_read_is_said_so():
    catalogue = FILES["locker_lid"].catalogue
    bare = next(key for key in catalogue.cores().index for core in [catalogue.core(key)] if core.design_compressive_strength()[0] is None
                and core.design_value("compressive_modulus")[0] is not None and core.design_value("shear_modulus")[0] is not None
                and core.family != "honeycomb")
    whole = mapped(*LID, {"layup.lid.core.core": bare})
    assert "core crushing" not in whole.names and "skin under patch" in whole.names and any("core crushing" in line for line in whole.left_out)
    assert np.all(np.isfinite(whole.worst))


def test_a_honeycomb_whose_cells_nobody_measured_is_said_so():
    bare = {"layup.lid.core.core": "honeycomb-aluminium-50"}
    whole, (part, catalogue, _) = mapped(*LID, bare), parts(*LID, bare)
    assert "skin dimpling" not in whole.names and any("skin dimpling" in line for line in whole.left_out)
    found = skin_sizing(part, catalogue)
    assert any(text.startswith("Not checked: dimpling") for text in found.cautions) and not any("dimpling" in check.what for check in found.checks)
