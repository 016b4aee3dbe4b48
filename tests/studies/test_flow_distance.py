"""Flow distance of a part: hand calculation, trade facts (common practice, no source), and what each choice does."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compositekit.catalogue import add_own
from compositekit.errors import CompositeKitError, PartFileError, RangeError
from compositekit.infusion.darcy import fill_time_zones
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.shape.laid_flat import laid_flat
from compositekit.studies.flow_distance import flow_distance
from compositekit.studies.flow_paths import LAYOUTS, feed_map
from compositekit.studies.flow_stack import Course, fronts_along
from compositekit.units import Q_, write

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}
CATALOGUE = FILES["fen_punt"].catalogue
PUNT, LID, ROOF = (FILES[name].part for name in ("fen_punt", "locker_lid", "shelter_roof"))
R = 8.314462618

# A bare laminate fed through a hose that loses nothing, at sea level with the bucket level with the part.
PLAIN = {"layup.lid": {"outside": [{"fabric": "glass-biax-450"}] * 2}, "feed.feed_hose": "1 mm", "feed.feed_bore": "50 mm", "feed.pot_below": "0 m",
         "workshop.altitude": "0 m", "workshop.bag_pressure": "25 mbar", "workshop.temperature": "20 degC"}


def lid(length=1.2, width=0.8, **changes):
    outline = [[0, 0], [length, 0], [length, width], [0, width]]
    return LID.changed({**PLAIN, "shape.zones": {"lid": outline}, **changes})


def box_hull(half=0.45, side=0.4, length=3.0):
    row = {"keel": [0, 0], "chine": [half, 0], "gunwale": [half, side]}
    return PUNT.changed({"shape.stations": [{"x": "0 m", "offsets": row}, {"x": f"{length} m", "offsets": row}], "feed.feed_hose": "1 mm", "feed.feed_bore": "50 mm",
                         "feed.layout": "centre line"})


def minutes(quantity):
    return quantity.m_as("min")


# --- hand calculation: catalogue figures of the starter rows, relations as cited ------------------------------------

POT_LIFE_20 = 150 * math.exp(55e3 / R * (1 / 293.15 - 1 / 298.15))    # min, 150 min at 25 degC (from memory), PR-R14


def aged(fresh):
    """FL-R16 (own reference): clock minutes from fresh minutes, viscosity doubling in a pot life."""
    return -POT_LIFE_20 / math.log(2) * math.log(1 - fresh * math.log(2) / POT_LIFE_20)


def test_one_laminate_by_hand():
    """FL-R01 (read): t = phi mu L^2/(2 K P) with K 9.1e-11 m2, Vf 0.53, mu 550 mPa s at 20 degC, P 1013.25 - 25 mbar."""
    found = flow_distance(lid(**{"feed.layout": "centre line"}), CATALOGUE)
    fresh = 0.47 * 0.55 * 0.4**2 / (2 * 9.1e-11 * 98825) / 60
    assert minutes(found.fill_time) == pytest.approx(aged(fresh), rel=1e-4)
    assert found.viscosity.m_as("mPa*s") == pytest.approx(550) and found.pressure.m_as("Pa") == pytest.approx(98825)
    assert minutes(found.gel_time) == pytest.approx(POT_LIFE_20) and minutes(found.time_allowed) == pytest.approx(POT_LIFE_20 / 2)
    assert found.distance.m_as("m") == pytest.approx(0.4)
    reach = math.sqrt(2 * 9.1e-11 * 98825 / (0.47 * 0.55) * 60 * POT_LIFE_20 / math.log(2) * (1 - 2**-0.5))
    assert found.farthest.m_as("m") == pytest.approx(reach, rel=2e-3)    # read off a polyline


def test_the_band_goes_with_permeability():
    """Catalogue range 3.7e-11 to 2.2e-10 m2 (from memory): fresh time goes with 1/K."""
    found = flow_distance(lid(**{"feed.layout": "rungs", "feed.rungs": 3}), CATALOGUE)
    fresh = 0.47 * 0.55 * 0.2**2 / (2 * 98825) / 60
    assert minutes(found.fill_time_low) == pytest.approx(aged(fresh / 2.2e-10), rel=1e-4)
    assert minutes(found.fill_time_high) == pytest.approx(aged(fresh / 3.7e-11), rel=1e-4)


def test_core_face_and_zones_in_a_row():
    """FL-R06 (own reference) with the resin a cut face drinks: s = 0.5 h + 0.4/1125 m, c = 9.5e-11 h, h = w/(rho_f Vf).

    Head FL-R07 (own reference): bucket 0.5 m below, and the box stands 0.4 m high.
    """
    hull = box_hull()
    fabric = {f"layup.{zone}": {"outside": [{"fabric": "basalt-twill-300"}] * plies, "core": {"core": "pet-recycled-100", "thickness": "10 mm"},
                                "inside": [{"fabric": "basalt-twill-300"}] * plies} for zone, plies in (("bottom", 2), ("side", 1), ("ends", 2))}
    found = flow_distance(hull.changed({**fabric, "feed.flow_mesh": False, "feed.layout": "rungs", "feed.rungs": 8}), CATALOGUE)
    assert found.arrives
    front = max(found.fronts, key=lambda front: front.run.distance)
    thick = 0.3 / (2650 * 0.5)
    uptake = 0.4 / 1125
    lengths, plies = zip(*[(length, {"bottom": 2, "ends": 2, "side": 1}[zone]) for zone, length in front.run.legs], strict=True)
    carry = [9.5e-11 * n * thick for n in plies]
    storage = [0.5 * n * thick + uptake for n in plies]
    pressure = 101325 * (1 - 0.0065 * 10 / 288.15) ** 5.255876 - 2000 - 1125 * 9.80665 * (0.5 + 0.4)
    time, resistance = 0.0, 0.0
    for length, c, s in zip(lengths, carry, storage, strict=True):
        time += 0.55 * s / pressure * (length * resistance + length**2 / (2 * c))
        resistance += length / c
    assert front.reach.time == pytest.approx(time + minutes(found.hose_delay) * 60, rel=1e-6)
    assert front.reach.time == pytest.approx(fill_time_zones(Q_(np.array(lengths), "m"), Q_(np.array(carry) / 1e-3, "m^2"), np.array(storage) / 1e-3, Q_(0.55, "Pa*s"), Q_(pressure, "Pa"))
                                             .m_as("s")[-1] + minutes(found.hose_delay) * 60, rel=1e-6)


def test_mesh_over_joined_skins_by_hand():
    """FL-R09 (own reference): the far skin is wet at X when [U + S X + C X^2/2]/P is over.

    The mesh ends 50 mm short of the vent (read), 0.35 m along the run of 0.4 m; from there FL-R06 (own reference).
    """
    part = lid(**{"layup.lid": {"outside": [{"fabric": "glass-biax-450"}], "core": {"core": "pvc-80", "thickness": "10 mm", "cut": "perforated"},
                                "inside": [{"fabric": "glass-biax-450"}]}, "feed.flow_mesh": True, "feed.layout": "centre line"})
    found = flow_distance(part, CATALOGUE)
    mesh, store = 3.2e-9 * 1e-3, 0.85e-3                                # from memory
    skins = 2 * 0.45 / (2560 * 0.53)
    pores = 0.47 * skins + 2 * 0.18 / 1125 + math.pi / 4 * 2e-3**2 / 20e-3**2 * 10e-3
    plies, through = 9.1e-11 * skins, 1.7e-12
    a = store / (pores / skins)
    mu, pressure, under, bare = 0.55, 98825, 0.35, 0.05
    u = mu * pores * skins / (2 * through)
    s = mu * pores / through * math.sqrt(through / mesh * (a + 2 * skins / 3)) * mesh / (mesh + plies)
    c = mu * (store + pores) / (mesh + plies)
    assert found.slowest.reach.time - minutes(found.hose_delay) * 60 == pytest.approx(
        (u + s * under + c * under**2 / 2 + mu * pores * (bare * under / (mesh + plies) + bare**2 / (2 * plies))) / pressure, rel=1e-6)


def test_hose_by_hand():
    """FL-R15a (own reference): 128 mu l/(pi d^4) V/P on the fresh time."""
    slow, quick = (flow_distance(lid(**{"feed.layout": "centre line", "feed.feed_bore": bore, "feed.feed_hose": "2 m"}), CATALOGUE) for bore in ("6 mm", "50 mm"))
    volume = 1.2 * 0.8 * 2 * 0.45 / (2560 * 0.53) * 0.47
    assert slow.pore_volume.m_as("m^3") == pytest.approx(volume, rel=1e-6)
    assert slow.slowest.reach.time - quick.slowest.reach.time == pytest.approx(128 * 0.55 * 2 / (math.pi * 98825) * volume * (6e-3**-4 - 0.05**-4), rel=1e-6)


def test_share_drawn_of_a_level_front():
    """FL-R01 (read): a straight front has drawn half the resin after a quarter of the (fresh) time."""
    found = flow_distance(lid(**{"feed.layout": "rungs", "feed.rungs": 6}), CATALOGUE)
    assert found.resin_in_front(found.fill_time / 4) == pytest.approx(0.5, abs=0.02)
    assert (found.share_drawn[0], found.share_drawn[-1]) == pytest.approx((0, 1)) and np.all(np.diff(found.share_drawn) > 0)


# --- trade facts: common practice, no source --------------------------------------------------------------------------

def slow_resin(folder):
    """The starter epoxy with the longest pot life of its range (300 min at 25 degC, from memory): it still flows after six hours."""
    path = folder / "resins.csv"
    path.write_text("key,density_liquid_kg_m3,density_cured_kg_m3,modulus_GPa,poisson,viscosity_20c_mPas,viscosity_25c_mPas,viscosity_30c_mPas,pot_life_min,hardener_parts,source\n"
                    "slow-epoxy,1125,1150,3.1,0.36,550,300,200,300,30,own case\n", "utf-8")
    return add_own(path)


def flax_sheet(layout, length=5.0):
    return lid(length, 0.75, resin="slow-epoxy", **{"layup.lid": {"outside": [{"fabric": "flax-twill-360"}] * 2}, "feed.layout": layout})


def flax_permeability(catalogue):
    """Permeability at which the weave runs 0.75 m in 40 min: fresh time goes with 1/K."""
    first = flow_distance(flax_sheet("side to side"), catalogue)
    doubling = minutes(first.doubling_time)
    fresh = doubling / math.log(2) * (1 - 2 ** (-40 / doubling))
    return catalogue.fabric("flax-twill-360").permeability * (first.slowest.reach.time / 60 / fresh)


def test_flax_weave_runs_three_quarters_of_a_metre_in_forty_minutes_and_stalls_down_five(tmp_path):
    """Common practice, no source: open flax weave about 0.75 m in 40 min; the same feed down a 5 m part stands near the middle after 6 h."""
    catalogue = slow_resin(tmp_path)
    measured = {"measured_permeability": {"flax-twill-360": write(flax_permeability(catalogue))}}
    across = flow_distance(flax_sheet("side to side").changed(measured), catalogue)
    assert minutes(across.fill_time) == pytest.approx(40, rel=1e-3) and across.thumb.passed
    along = flow_distance(flax_sheet("end to end").changed(measured), catalogue)
    middle = along.wet_at(Q_(6, "hour")).m_as("m").max()
    assert 0.30 * 5 < middle < 0.70 * 5
    assert not along.arrives and not along.checks[0].passed
    assert middle < along.stops_at.m_as("m") < 5


def test_centre_out_and_edge_in_take_the_same_in_a_long_part():
    """Common practice, no source. F-21 (own reference): whole rim fed, 0.4 x 1.6 m, 314.572 s at phi mu/(K P) = 15789.474 s/m2."""
    out, rim = (flow_distance(lid(1.6, 0.4, **{"feed.layout": layout}), CATALOGUE) for layout in ("centre line", "rim to centre"))
    assert minutes(out.fill_time) == pytest.approx(minutes(rim.fill_time), rel=1e-9)
    whole_rim = 314.572 / 15789.474 * 0.47 * 0.55 / (9.1e-11 * 98825)
    assert whole_rim < rim.slowest.reach.time < 1.006 * whole_rim    # a strip's closed form is a little cautious


def test_rule_of_thumb_by_fibre():
    """Common practice, no source: 0.5 m in glass, carbon, aramid; about 0.75 m in an open flax weave."""
    assert flow_distance(LID, CATALOGUE).thumb.limit.m_as("m") == 0.5
    assert flow_distance(ROOF, CATALOGUE).thumb.limit.m_as("m") == 0.75


# --- layouts ----------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("layout,longest", [("centre line", 0.4), ("rim to centre", 0.4), ("side to side", 0.8), ("end to end", 1.2), ("rungs", 0.2)])
def test_longest_run_of_a_flat_part(layout, longest):
    plan = feed_map(LID.geometry, layout, 3)
    assert max(run.distance for run in plan.runs) == pytest.approx(longest)
    assert sum(run.strip * run.distance for run in plan.runs) == pytest.approx(0.96)


def test_lines_of_a_flat_part():
    lengths = {layout: feed_map(LID.geometry, layout, 3).feed_length for layout in LAYOUTS}
    assert lengths == pytest.approx({"centre line": 1.2, "rim to centre": 4.0, "side to side": 1.2, "end to end": 0.8, "rungs": 2.4}, rel=1e-3)


def test_a_box_hull_is_crossed_from_keel_to_gunwale():
    plan = feed_map(box_hull().geometry, "centre line")
    longest = max(plan.runs, key=lambda run: run.distance)
    assert longest.legs == (("bottom", pytest.approx(0.45)), ("side", pytest.approx(0.4)))
    ends = {zone for run in plan.runs for zone, _ in run.legs}
    assert ends == {"bottom", "side", "ends"}
    along = max(feed_map(box_hull().geometry, "end to end").runs, key=lambda run: run.distance)
    assert along.distance == pytest.approx(3.0 + 2 * 0.4)


def test_a_hull_laid_flat_keeps_its_area():
    flat = laid_flat(PUNT.geometry)
    for name, zone in PUNT.geometry.zones.items():
        assert flat[name].area == pytest.approx(zone.si.area, rel=0.03)    # a girth laid straight, not a true flat pattern


def test_a_turned_part_is_the_same_part():
    turn = math.radians(30)
    outline = [[x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)] for x, y in ((0, 0), (1.2, 0), (1.2, 0.8), (0, 0.8))]
    turned = flow_distance(LID.changed({"shape.zones": {"lid": outline}, "feed.layout": "centre line"}), CATALOGUE)
    assert minutes(turned.fill_time) == pytest.approx(minutes(flow_distance(LID.changed({"feed.layout": "centre line"}), CATALOGUE).fill_time), rel=1e-6)


def test_a_uni_runs_slower_across_its_fibre():
    """Cross ratio 0.33 of the catalogue (from memory): across the fibre the same run takes three times as long when fresh."""
    uni = [lid(1.0, 1.0, **{"layup.lid": {"outside": [{"fabric": "glass-uni-300", "angle": angle}] * 2}, "feed.layout": "centre line"}) for angle in ("0 deg", "90 deg")]
    slow, quick = (flow_distance(part, CATALOGUE).slowest.reach.time for part in uni)
    assert slow / quick == pytest.approx(1 / 0.33, rel=1e-3)


# --- what each choice does ----------------------------------------------------------------------------------------------

def cut(part, name):
    return part.changed({f"layup.{zone}.core.cut": name for zone in part.layup})


def test_mesh_does_not_reach_through_an_uncut_core():
    bare, mesh = (flow_distance(LID.changed({"feed.layout": "centre line", "feed.flow_mesh": on}), CATALOGUE) for on in (False, True))
    assert minutes(mesh.fill_time) == pytest.approx(minutes(bare.fill_time), rel=0.2) and "mould-side" in mesh.paths[0].words
    assert "bag-side skin only" in mesh.hint and not bare.hint
    holes = flow_distance(cut(LID.changed({"feed.layout": "centre line", "feed.flow_mesh": True}), "perforated"), CATALOGUE)
    assert minutes(holes.fill_time) < minutes(mesh.fill_time) / 4 and not holes.hint


def test_punt_along_stalls_and_in_short_runs_with_mesh_and_holes_fills():
    along = flow_distance(PUNT, CATALOGUE)
    assert not along.arrives and along.stops_at < along.distance and "gels on its way" in along.verdict
    across = flow_distance(cut(PUNT.changed({"feed.layout": "rungs", "feed.rungs": 6, "feed.flow_mesh": True}), "perforated"), CATALOGUE)
    assert across.arrives and across.checks[0].passed
    assert [path.zone for path in across.paths] == sorted((p.zone for p in across.paths), key=lambda z: {p.zone: p.distance for p in across.paths}[z])


# --- the cautious end, and the shop's own figures ------------------------------------------------------------------------

def test_the_cautious_checks_move_one_guess_at_a_time():
    """Catalogue, from memory: pot life 60 (typical 150) min at 25 degC, permeability 3.7e-11 (typical 9.1e-11) m2; FL-R16 (own reference)."""
    found = flow_distance(lid(**{"feed.layout": "rungs", "feed.rungs": 3}), CATALOGUE)
    typical, tight, quick = found.checks
    fresh = 0.47 * 0.55 * 0.2**2 / (2 * 98825) / 60
    short = POT_LIFE_20 * 60 / 150
    assert "typical" in typical.what and minutes(typical.value) == pytest.approx(aged(fresh / 9.1e-11), rel=1e-4)
    assert "tightest fabric, cautious end" in tight.what and minutes(tight.value) == pytest.approx(aged(fresh / 3.7e-11), rel=1e-4)
    assert minutes(tight.limit) == minutes(typical.limit) == pytest.approx(POT_LIFE_20 / 2)
    assert "shortest pot life, cautious end" in quick.what and minutes(quick.limit) == pytest.approx(short / 2)
    assert minutes(quick.value) == pytest.approx(-short / math.log(2) * math.log(1 - fresh / 9.1e-11 * math.log(2) / short), rel=1e-4)
    assert "trial panel" in tight.remedy and "your own data sheet" in quick.remedy


def test_the_shops_own_figures_take_the_cautious_checks_away(tmp_path):
    part = lid(**{"feed.layout": "rungs", "feed.rungs": 3})
    measured = part.changed({"measured_permeability": {"glass-biax-450": "9.1e-11 m^2"}})
    assert [check.what for check in flow_distance(measured, CATALOGUE).checks if "tightest" in check.what] == []
    own = flow_distance(measured.changed({"resin": "slow-epoxy"}), slow_resin(tmp_path))
    assert len(own.checks) == 1 and own.fill_time_high == own.fill_time_low == own.fill_time


def test_a_measured_permeability_is_read_said_and_watched():
    part = lid(**{"feed.layout": "centre line"})
    twice = part.changed({"measured_permeability": {"glass-biax-450": "1.82e-10 m^2"}})
    before, after = (flow_distance(p, CATALOGUE) for p in (part, twice))
    assert before.slowest.reach.time / after.slowest.reach.time == pytest.approx(2, rel=1e-6)    # FL-R01 (read): time goes with 1/K
    assert any("measured on a trial panel, 1.8e-10" in guess for guess in after.guesses)
    assert "measured_permeability" in before.rests_on and part.value_at("measured_permeability") != twice.value_at("measured_permeability")


BAD_MEASURED = [({"glass-biax-450": "0 m^2"}, "above 0"), ({"glass-biax-450": "-1e-10 m^2"}, "above 0"), ({"glass-biax-450": "5 mm"}, "wants"),
                ({"glass-biax-450": "nan m^2"}, "number"), ({"glass-biax-450": 1e-10}, "text with its unit")]


@pytest.mark.parametrize("value,words", BAD_MEASURED)
def test_bad_measured_permeability_is_refused(value, words):
    with pytest.raises(PartFileError, match=words):
        LID.changed({"measured_permeability": value})


def test_an_unknown_fabric_cannot_have_been_measured():
    with pytest.raises(PartFileError, match="measured_permeability"):
        LID.changed({"measured_permeability": {"no-such-cloth": "1e-10 m^2"}}).check_names(CATALOGUE)


def test_the_part_has_to_be_climbed():
    """FL-R07 (own reference): p = rho g H; the roof of the demo stands 0.25 m high, the lid lies flat."""
    level = [flow_distance(part, CATALOGUE).pressure.m_as("Pa") for part in (ROOF, ROOF.changed({"feed.pot_below": "0 m"}))]
    density, drop = CATALOGUE.resin(ROOF.resin).si.density_liquid, ROOF.feed.pot_below.m_as("m")
    assert level[1] - level[0] == pytest.approx(density * 9.80665 * drop)
    air = 101325 * (1 - 0.0065 * 200 / 288.15) ** 5.255876
    assert level[1] == pytest.approx(air - 3000 - density * 9.80665 * 0.25, rel=1e-5)


def test_colder_room_and_worse_vacuum_are_slower():
    warm = flow_distance(lid(**{"feed.layout": "centre line"}), CATALOGUE)
    cold = flow_distance(lid(**{"feed.layout": "centre line", "workshop.temperature": "15 degC"}), CATALOGUE)
    assert minutes(warm.colder.fill_time) == pytest.approx(minutes(cold.fill_time), rel=1e-6)
    assert minutes(warm.colder.time_allowed) == pytest.approx(minutes(cold.time_allowed), rel=1e-9)
    leaky = flow_distance(lid(**{"feed.layout": "centre line", "workshop.bag_pressure": "200 mbar"}), CATALOGUE)
    assert cold.fill_time > warm.fill_time and leaky.fill_time > warm.fill_time


def test_safe_share_moves_the_limit():
    part = lid(**{"feed.layout": "centre line"})
    half, third = (flow_distance(part, CATALOGUE, safe_share=share) for share in (0.5, 1 / 3))
    assert third.time_allowed.m / half.time_allowed.m == pytest.approx(2 / 3) and third.farthest < half.farthest


@pytest.mark.parametrize("name", demo_parts())
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_demo_part_and_layout_answers(name, layout):
    part = FILES[name].part.changed({"feed.layout": layout})
    found = flow_distance(part, CATALOGUE)
    assert {path.zone for path in found.paths} == set(part.layup)
    assert 4 <= len(found.working) <= 11 and all(step.source for step in found.working)
    assert any("prove it on a trial panel" in guess for guess in found.guesses) and found.cautions
    for path in found.rests_on:
        assert path.startswith("catalogue.") or part.value_at(path) != "none", path


OWN = [
    ({"workshop.bag_pressure": "1013 mbar"}, PartFileError, "nothing drives the resin"),
    ({"feed.pot_below": "12 m"}, PartFileError, "raise the bucket"),
]


@pytest.mark.parametrize("changes,error,words", OWN)
def test_impossible_feeds_are_said(changes, error, words):
    with pytest.raises(error, match=words):
        flow_distance(LID.changed(changes), CATALOGUE)


@pytest.mark.parametrize("share", [0, -1, 1.5, float("nan")])
def test_safe_share_out_of_range(share):
    with pytest.raises(PartFileError, match="safe_share"):
        flow_distance(LID, CATALOGUE, safe_share=share)


def test_unknown_layout_and_no_rungs():
    with pytest.raises(RangeError, match="not known"):
        feed_map(LID.geometry, "spiral")
    with pytest.raises(RangeError, match="at least 1"):
        feed_map(LID.geometry, "rungs", 0)


def test_rows_without_figures_are_asked_for(tmp_path):
    fabric, resin = tmp_path / "fabrics.csv", tmp_path / "resins.csv"
    fabric.write_text("key,fibre,direction,areal_weight_g_m2,fibre_fraction,crimp_factor,source\nours,e-glass,balanced,300,0.5,0.9,own case\n", "utf-8")
    resin.write_text("key,density_liquid_kg_m3,density_cured_kg_m3,modulus_GPa,poisson,source\nour-resin,1100,1150,3,0.35,own case\n", "utf-8")
    own = add_own(fabric, resin)
    with pytest.raises(PartFileError, match="has no permeability"):
        flow_distance(LID.changed({"layup.lid.outside": [{"fabric": "ours"}]}), own)
    with pytest.raises(CompositeKitError, match="has no viscosity"):
        flow_distance(LID.changed({"resin": "our-resin"}), own)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_joined_zone_shares_its_carry_and_its_resin_between_two_skins(order):
    """Own edge case: two like skins joined by holes over half a run fill as two like skins all the way, mu s L^2/(2 c P)."""
    skin = Course("skin", 2e-13, 1e-3, 1e-3, 1e-12)
    courses = {"joined": (Course("both", 4e-13, 2e-3, 2e-3, 1e-12),), "apart": (skin, skin)}
    legs = [[("joined", 0.3), ("apart", 0.4)][k] for k in order]
    for way in fronts_along(legs, courses, 0.3, 9e4):
        assert way.time == pytest.approx(0.3 * 1e-3 * 0.7**2 / (2 * 2e-13 * 9e4), rel=1e-9)
        assert way.stored[way.vent] == pytest.approx(0.7 * 1e-3)
