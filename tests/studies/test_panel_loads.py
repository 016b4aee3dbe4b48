"""Loads of the brief on panels with supported and clamped edges, through the studies.

Grades: R2 read second-hand; M from memory; O own reference. Everything under OWN is an own case.
"""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import PartFileError, RangeError
from compositekit.mechanics.panel_peaks import EDGES, edge_panel
from compositekit.part import open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build
from compositekit.studies.panel_limits import SHEAR_STRAIN, Limits, panel_use, skin_shear_strain
from compositekit.studies.panel_loads import ZoneLoad, patch_places, unit_load, zone_loads
from compositekit.studies.panel_stiffness import Ratios, SolidPanel
from compositekit.studies.skin_sizing import skin_sizing

LID = open_part(DEMO / "locker_lid" / "part.json")
EVEN = Ratios(0.3, 1.0, 0.35)


def lid(**load):
    one = {"name": "a load", "zone": "lid", "panel_length": "0.8 m", "panel_width": "0.6 m", "source": "test", **load}
    return LID.part.changed({"brief.loads": [one]})


def zone_load(edges, length=1.0, width=1.0, patch=None):
    sizes = (length, width, *(patch or (length, width)))
    return ZoneLoad("a load", "", sizes[2] * sizes[3], 1.0, 1.0 if patch else None, sizes, edges)


def plate(d11=1.0, shear_rigidity=np.inf, thickness=1e-2):
    return SolidPanel(thickness, (1e9, 1e9), EVEN, d11, shear_rigidity)


# SW-24, SW-25 (R2 and M, T&W-K Table 35, Roark case 8a): clamped, even pressure, nu 0.3: alpha, largest moment 6 M = beta1; 1 % and 0.3 %
@pytest.mark.parametrize("ratio, alpha, beta", [(1.0, 0.00126, 0.3078), (1.4, 0.0226 / 10.92, 0.4356), (2.0, 0.0277 / 10.92, 0.4974)])
def test_clamped_plates_come_through(ratio, alpha, beta):
    load = zone_load("clamped", ratio)
    assert load.deflection(EVEN, 1.0) == pytest.approx(alpha, rel=1e-2)
    assert 6 * max(load.moments(plate())) == pytest.approx(beta, rel=3e-3)


# SW-34 (O): clamped square with a core, theta = D/(S b^2); tolerance 1e-4
@pytest.mark.parametrize("theta, kappa", [(0.01, 0.0020631), (0.05, 0.0050480), (0.2, 0.0161127)])
def test_clamped_sandwich_comes_through(theta, kappa):
    assert zone_load("clamped").deflection(EVEN, 1.0, 1 / theta) == pytest.approx(kappa, rel=1e-4)
    assert zone_load("clamped").deflection(EVEN, np.ones(3), 1 / theta) == pytest.approx([kappa] * 3, rel=1e-4)


# --- OWN -----------------------------------------------------------------------------------------------------------------


def test_a_load_says_how_its_edges_are_held():
    assert zone_loads(lid(pressure="2 kPa"), "lid")[0].edges == "supported"
    for edges in EDGES:
        (load,) = zone_loads(lid(pressure="2 kPa", edges=edges), "lid")
        assert load.edges == edges and edges in load.words
    assert "edges" not in LID.part.value_at("brief.loads")        # a file that does not say so reads as before: no decision goes stale


def test_supported_edges_said_or_unsaid_are_the_same():
    one, other = (skin_sizing(lid(pressure="2 kPa", **edges), LID.catalogue) for edges in ({}, {"edges": "supported"}))
    assert one.loads[0].use == other.loads[0].use


def test_clamping_trades_sag_for_moment_at_the_edge():
    """The lid, 0.8 by 0.6 m: less sag; of a square the moment 7 % and the core's shear up to 30 % above the supported one's, as the page says."""
    free, held = (skin_sizing(lid(pressure="2 kPa", edges=edges), LID.catalogue).loads[0] for edges in ("supported", "clamped"))
    assert held.deflection < free.deflection
    square = {edges: zone_load(edges) for edges in ("supported", "clamped")}
    moment = {edges: max(load.moments(plate())) for edges, load in square.items()}
    assert moment["clamped"] / moment["supported"] == pytest.approx(1.07, abs=5e-3)
    shear = {edges: max(load.shear_forces(plate())) for edges, load in square.items()}
    assert shear["clamped"] / shear["supported"] == pytest.approx(1.30, rel=1.1e-2)    # as near as shear forces are claimed


@pytest.mark.parametrize("edges", EDGES)
@pytest.mark.parametrize("patch", [None, (0.2, 0.2)])
def test_arrays_broadcast_and_match_one_by_one(edges, patch):
    load = zone_load(edges, 1.2, 0.8, patch)
    d, s = np.geomspace(10, 1e4, 4)[:, None], np.geomspace(1e3, 1e6, 3)
    panel = plate(d, s)
    grid = load.deflection(EVEN, d, s), *load.moments(panel), *load.shear_forces(panel)
    whole = [np.broadcast_to(value, (4, 3)) for value in grid]
    for i in range(4):
        for j in range(3):
            single = plate(float(d[i, 0]), float(s[j]))
            each = load.deflection(EVEN, single.d11, single.shear_rigidity), *load.moments(single), *load.shear_forces(single)
            assert [value[i, j] for value in whole] == pytest.approx([float(value) for value in each], rel=1e-12)
    use = panel_use(panel, load, Limits((((1e-3, 1e-3),) * 2,), 1.0))
    assert all(np.broadcast_shapes(np.shape(value), (4, 3)) == (4, 3) for value in use.values())


def test_a_patch_is_tried_beside_every_kind_of_edge():
    assert patch_places(1.2, 0.8, 0.2, 0.2, "clamped") == [(0.6, 0.4), pytest.approx((0.2, 0.4)), pytest.approx((0.6, 0.2))]
    assert len(patch_places(1.2, 0.8, 0.2, 0.2, "one long edge clamped")) == 4          # the two long edges differ
    assert patch_places(1.2, 0.8, 1.2, 0.8, "clamped") == [(0.6, 0.4)]
    foot, spread = zone_load("clamped", patch=(0.2, 0.2)), [edge_panel.si(1.0, 0.3, 1.0, 0.35, 1e30, 1e30, 1.0, 1.0, 1.0, "clamped", 0.2, 0.2, x, 0.5) for x in (0.5, 0.2)]
    worst = [max(one.moment_x.magnitude for one in spread), max(one.moment_y.magnitude for one in spread)]
    assert max(foot.moments(plate())) == pytest.approx(max(worst), rel=1e-4)


def test_what_one_newton_does_for_the_working():
    unit = zone_load("clamped").unit(EVEN)
    assert (unit.bending, unit.shear) == pytest.approx((0.001265, 0.07367), rel=1e-3)    # SW-24 (O), SW-28 (R2)


@pytest.mark.parametrize("edges", ["supported", "clamped", "one long edge clamped"])
def test_the_working_follows_by_hand(edges):
    found = skin_sizing(lid(force="800 N", patch="150 mm", edges=edges), LID.catalogue)
    (sag,) = [step for step in found.working if step.what.startswith("deflection")]
    given = sag.inputs
    held = given["load W, with its factor"] * given["α"] / given["D11"]
    shear = 0 if edges != "supported" else given["load W, with its factor"] * given["β"] / given["S"]
    assert (held + shear).m_as("mm") == pytest.approx(found.loads[0].deflection.m_as("mm"), rel=1e-6)
    assert any("clamped edges are rare" in text.lower() and "supported is safe only where" in text for text in found.cautions)


def test_bad_loads():
    with pytest.raises(PartFileError, match="edges") as caught:
        lid(pressure="2 kPa", edges="glued")
    assert '"glued"' in str(caught.value) and "one long edge clamped" in str(caught.value)
    with pytest.raises(PartFileError, match="edges"):
        lid(pressure="2 kPa", edges=3)
    thick = lid(pressure="2 kPa").changed({"layup.lid.core.thickness": "0.6 m"})
    with pytest.raises(RangeError, match="a block, not a panel"):
        zone_loads(thick, "lid")


# --- supported panels of unlike ways on a soft core: bending and shear together, against waves solved one by one (own reference) ----------


def by_waves(load, panel, waves=199):
    """Sag and moments in the middle, each wave's three equations of first-order shear theory solved by numpy; SI."""
    a, b, u, v = load.sizes
    odd = np.arange(1, waves, 2)
    m, n = (np.pi * odd / a)[:, None], (np.pi * odd / b)[None, :]
    pressure = load.total / (u * v) * 16 / np.pi**2 / np.outer(odd, odd) * np.sin(m * u / 2) * np.sin(n * v / 2)
    d11, s = float(panel.d11), float(panel.shear_rigidity)
    d12, d22, d66 = (ratio * d11 for ratio in panel.ratios)
    m, n = np.broadcast_arrays(m, n)
    rows = np.empty((*m.shape, 3, 3))     # unknowns w, phi_x, phi_y with gamma = grad w + phi
    rows[..., 0, :] = np.stack([s * (m**2 + n**2), s * m, s * n], -1)
    rows[..., 1, :] = np.stack([s * m, d11 * m**2 + d66 * n**2 + s, (d12 + d66) * m * n], -1)
    rows[..., 2, :] = np.stack([s * n, (d12 + d66) * m * n, d66 * m**2 + d22 * n**2 + s], -1)
    w, turn_x, turn_y = np.moveaxis(np.linalg.solve(rows, np.stack([pressure, 0 * m, 0 * m], -1)[..., None])[..., 0], -1, 0)
    return tuple(float(abs(part.sum()))     # sin(m pi/2) of the load's place times that of the middle is 1 for every odd wave
                 for part in (w, d11 * m * turn_x + d12 * n * turn_y, d12 * m * turn_x + d22 * n * turn_y))


UNLIKE = [("carbon-uni-300", angle, core) for angle in ("0 deg", "90 deg") for core in ("pet-recycled-65", "pvc-200")]


@pytest.mark.parametrize("fabric, angle, core", UNLIKE)
def test_a_panel_of_unlike_ways_bends_and_shears_together(fabric, angle, core):
    plies = [{"fabric": fabric, "angle": angle}] * 2
    file = open_part(DEMO / "fen_punt" / "part.json")
    part = file.part.changed({"layup.bottom.outside": plies, "layup.bottom.inside": plies, "layup.bottom.core.core": core, "layup.bottom.core.thickness": "30 mm"})
    panel = part_build(part, file.catalogue)["bottom"].panel
    for load in zone_loads(part, "bottom"):
        sag, *moments = by_waves(load, panel)
        assert load.deflection(panel.ratios, panel.d11, panel.shear_rigidity) == pytest.approx(sag, rel=2e-3)
        told = load.moments(panel)
        assert np.all(np.array(told) > 0.995 * np.array(moments)), "never less than in the middle; the smaller one may peak elsewhere"
        assert max(told) < 1.05 * max(moments)


def test_apart_they_would_have_told_less():
    """Why: on a soft core the two ways share the moment anew, and the way that bends alone takes half as much again."""
    plies = [{"fabric": "carbon-uni-300", "angle": "90 deg"}] * 2
    file = open_part(DEMO / "fen_punt" / "part.json")
    part = file.part.changed({"layup.bottom.outside": plies, "layup.bottom.inside": plies, "layup.bottom.core.core": "pet-recycled-65", "layup.bottom.core.thickness": "30 mm"})
    panel, load = part_build(part, file.catalogue)["bottom"].panel, zone_loads(part, "bottom")[0]
    apart = unit_load(*load.sizes, panel.ratios)
    assert load.moments(panel)[0] > 1.5 * load.total * apart.moment_x
    assert load.deflection(panel.ratios, panel.d11, panel.shear_rigidity) > 1.15 * load.total * (apart.bending / panel.d11 + apart.shear / panel.shear_rigidity)


def test_a_honeycomb_is_as_stiff_in_shear_as_its_softer_way():
    core = LID.catalogue.core("honeycomb-aramid-3mm-48")
    assert core.shear_modulus_w < core.shear_modulus
    panel = part_build(LID.part.changed({"layup.lid.core.core": core.key}), LID.catalogue)["lid"].panel
    assert panel.along.si.core_shear_modulus == core.design_value("shear_modulus_w")[0].m_as("Pa") == core.design_shear_modulus()[0].m_as("Pa")
    assert "softer way" in core.design_shear_modulus()[1]


# --- strains of both moments, twist in the corners ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("angle, fabric", [(0, "glass-biax-450"), (45, "glass-biax-450"), (0, "glass-uni-300"), (90, "glass-uni-300")])
def test_strains_are_those_of_the_whole_section(angle, fabric):
    """Skins' largest strain each way and in shear against lamination theory of skins and core under the same moments, a percent, on a core
    slack in its plane; a foam is shared out as the skins are, which tells a corner's shear 3 % low at 45 degrees and 7 % high at 0."""
    plies = [{"fabric": fabric, "angle": f"{angle} deg"}]
    part = lid(pressure="2 kPa").changed({"layup.lid.outside": plies, "layup.lid.inside": plies, "layup.lid.core.core": "balsa-150", "layup.lid.core.thickness": "30 mm"})
    found = skin_sizing(part, LID.catalogue)
    case, whole = found.loads[0], np.abs(found.margins.whole_strain)
    assert whole[0, ..., :2].max() == pytest.approx(case.skin_strain[:2].max(), rel=1e-2)
    assert whole[1, ..., 2].max() == pytest.approx(case.skin_strain[2].max(), rel=1e-2)


def test_a_corner_twists_as_the_books_have_it():
    """Roark/T&W-K, from memory: a square under even pressure, nu 0.3, presses 0.065 q a^2 on each corner, and that is 2 Mxy."""
    load = zone_load("supported")
    assert 2 * 0.35 * load.curvatures(plate())[2] == pytest.approx(0.065, rel=5e-3)


def test_what_shears_a_ply_at_an_angle():
    cloths = {angle: LID.part.changed({"layup.lid.outside": [{"fabric": "glass-biax-450", "angle": f"{angle} deg"}]}) for angle in (0, 45)}
    builds = {angle: part_build(part, LID.catalogue)["lid"] for angle, part in cloths.items()}
    limit = LID.catalogue.fabric("glass-biax-450").si
    allowed = {angle: skin_shear_strain(LID.catalogue, build.outer, build.outer_keys) for angle, build in builds.items()}
    assert allowed[0] == pytest.approx(SHEAR_STRAIN)
    assert allowed[45] == pytest.approx(2 * min(limit.strain_limit_tension, limit.strain_limit_compression))


def test_clamped_all_round_nothing_twists_in_a_corner():
    assert zone_load("clamped").curvatures(plate())[2] == 0 and zone_load("one long edge clamped").curvatures(plate())[2] > 0
