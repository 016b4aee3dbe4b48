"""Resin budget of a part: hand calculation, balance with the layup's own masses, and a mixing plan that holds together."""

from __future__ import annotations

import math

import numpy as np
import pytest

from compositekit.catalogue import add_own
from compositekit.errors import PartFileError, RangeError
from compositekit.infusion.batches import batch_plan
from compositekit.infusion.exotherm import bucket_life
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.bucket_lives import bucket_lives
from compositekit.studies.build import part_build
from compositekit.studies.flow_distance import flow_distance
from compositekit.studies.resin_budget import resin_budget
from compositekit.units import Q_

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}
CATALOGUE = FILES["fen_punt"].catalogue


def mended(name, **changes):
    """The demo part with a feed plan that fills."""
    part = FILES[name].part
    return part.changed({"feed.layout": "centre line", "feed.flow_mesh": True, **{f"layup.{zone}.core.cut": "perforated" for zone in part.layup}, **changes})


LID = mended("locker_lid")
FAST = mended("locker_lid", **{"feed.layout": "rungs", "feed.rungs": 3})


def item(found, what):
    return next(row for row in found.demand.items if row.what == what).si


# --- by hand ------------------------------------------------------------------------------------------------------------

def test_lid_by_hand():
    """0.96 m2 lid: two biaxials 450 g/m2 at Vf 0.53 (rho 2560), two cut faces of 180 g/m2, 2 mm holes every 20 mm in 10 mm core."""
    found = resin_budget(LID, CATALOGUE)
    assert item(found, "fibre plies").typical == pytest.approx(1150 * 0.9 / 2560 * 0.47 / 0.53 * 0.96, rel=1e-6)
    assert item(found, "cut faces of the core").typical == pytest.approx(2 * 0.18 * 0.96)
    assert (item(found, "cut faces of the core").low, item(found, "cut faces of the core").high) == pytest.approx((2 * 0.10 * 0.96, 2 * 0.30 * 0.96))
    assert item(found, "grooves, slits and holes").typical == pytest.approx(math.pi / 4 * 2e-3**2 / 20e-3**2 * 10e-3 * 1150 * 0.96)
    assert item(found, "peel ply").typical == pytest.approx(0.04 * 0.96)
    assert item(found, "flow mesh").typical == pytest.approx(0.35 / 0.4 * 0.85 * 0.96)
    line = math.pi / 4 * 8e-3**2 * 1125
    assert item(found, "hoses from the bucket").typical == pytest.approx(found.inlets.hoses * 1.5 * line) and found.inlets.hoses == 2
    assert item(found, "feed line and the gap round it").typical == pytest.approx(1.5 * 1.2 * line)
    assert item(found, "trim and seams").typical == pytest.approx(4.0 * 0.025 * 1150 * 0.9 / 2560 * 0.47 / 0.53, rel=1e-6)
    assert (item(found, "heel of the bucket").typical, item(found, "catch pot").typical) == (0.3, 0.1)
    rows = [row.si.typical for row in found.demand.items]
    assert rows[-1] == pytest.approx(0.10 * sum(rows[:-1])) and found.demand.total[1].m_as("kg") == pytest.approx(sum(rows))


def test_hardener_by_the_label():
    """30 parts per 100 by weight (from memory): 30/130 of the mix, to the step of the scale."""
    found = resin_budget(LID, CATALOGUE)
    for batch in found.batches:
        assert batch.hardener.m_as("g") == pytest.approx(batch.mass.m_as("g") * 30 / 130, abs=0.5 + 1e-6)
        assert batch.resin.m_as("g") == pytest.approx(round(batch.resin.m_as("g")), abs=1e-6)
    assert found.spare[1] / sum(found.spare) == pytest.approx(30 / 130)
    assert sum(found.resin_to_have).m_as("kg") == pytest.approx(found.demand.total[2].m_as("kg"))


def test_inlets_both_ways():
    """One 6 mm connector per 2 kg: common practice, no source. Tube flow FL-R11 (from memory, standard)."""
    found = resin_budget(mended("fen_punt"), CATALOGUE)
    assert found.inlets.by_mass == math.ceil(found.mixed.m_as("kg") / 2)
    flow = found.flow
    tenth = flow.fill_time / 10
    rate = flow.resin_in_front(tenth) * flow.pore_volume.m_as("m^3") / tenth.m_as("s")
    lost = 128 * 0.55 * 2 * rate / (math.pi * 0.01**4)
    assert found.inlets.by_pressure == math.ceil(lost / (0.1 * flow.pressure.m_as("Pa")))
    assert found.inlets.lost.m_as("Pa") == pytest.approx(lost)


@pytest.mark.parametrize("name", demo_parts())
def test_what_stays_is_what_the_layup_weighs(name):
    """Balance: resin in the part is that of studies.build, which the part's mass is made of."""
    part = mended(name)
    builds = part_build(part, CATALOGUE)
    weighed = sum(build.resin_per_area.m_as("kg/m^2") * build.zone.si.area for build in builds.values())
    assert resin_budget(part, CATALOGUE).demand.in_part[1].m_as("kg") == pytest.approx(weighed, rel=1e-9)


# --- batches --------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", demo_parts())
@pytest.mark.parametrize("fills", [True, False])
def test_batches_cover_the_demand_exactly_once(name, fills):
    part = mended(name) if fills else FILES[name].part
    found = resin_budget(part, CATALOGUE)
    batches, step = found.batches, part.workshop.scale_step.m_as("kg")
    typical = found.demand.total[1].m_as("kg") - item(found, "reserve").typical
    assert typical <= sum(batch.mass.m_as("kg") for batch in batches) < typical + step + 1e-9
    assert [batch.number for batch in batches] == list(range(1, len(batches) + 1))
    assert batches[0].si.drawn_from == 0 and batches[-1].si.used_up_by == pytest.approx(found.fill_time.m_as("s"))
    drawn = 0.0
    for batch, after in zip(batches, (*batches[1:], None), strict=True):
        drawn += batch.mass.m_as("kg")
        assert np.interp(batch.si.used_up_by, found.times.m_as("s"), found.drawn.m_as("kg")) == pytest.approx(drawn, abs=2 * step)
        assert batch.mass <= part.workshop.largest_batch * (1 + 1e-9) and batch.si.ready_at <= batch.si.drawn_from + 1e-6
        if after is not None:
            assert after.si.drawn_from == pytest.approx(batch.si.used_up_by) and after.si.mix_at >= batch.si.ready_at - 1e-6
    assert all(batch.share_used <= 0.5 + 1e-9 for batch in batches)


def test_life_read_from_the_grid_is_that_of_the_bucket():
    """C-R6 (own reference) through infusion.exotherm: the grid between points within 0.1 %; planned on the row's shortest pot life, 60 min (from memory),
    and never longer than the 100 g of the data sheet last at 20 degC (PR-R14, derived).
    """
    found = resin_budget(mended("fen_punt"), CATALOGUE)
    assert "shortest" in found.life_basis
    for batch in found.batches:
        life = bucket_life(batch.mass, Q_(20, "degC"), Q_(60, "min"))
        cup = 3600 * math.exp(55e3 / 8.314462618 * (1 / 293.15 - 1 / 298.15))
        assert batch.life.m_as("s") == pytest.approx(min(life.m_as("s"), cup), rel=1e-3)
    assert bucket_life(max(batch.mass for batch in found.batches), Q_(20, "degC"), Q_(60, "min")) < Q_(cup, "s")    # a full bucket is below the cap


def test_no_bucket_lives_longer_than_the_cup_of_the_data_sheet():
    """PR-R14 (derived): 150 min at 25 degC is exp((55000/R)(1/T - 1/298.15)) times as long at T."""
    for kelvin in (278.15, 288.15, 293.15, 298.15, 308.15):
        typical, short = bucket_lives(CATALOGUE.resin("epoxy-infusion"), kelvin)
        cup = 150 * math.exp(55e3 / 8.314462618 * (1 / kelvin - 1 / 298.15))
        for kilograms in (0.1, 0.2, 0.5, 3.0):
            assert typical(Q_(kilograms, "kg")).m_as("min") <= cup * (1 + 1e-9) and short(Q_(kilograms, "kg")) < typical(Q_(kilograms, "kg"))


def test_small_batches_live_longer_and_come_in_greater_number():
    few, many = (resin_budget(mended("fen_punt", **{"workshop.largest_batch": size}), CATALOGUE) for size in ("5 kg", "1.2 kg"))
    assert len(many.batches) > len(few.batches) and min(b.si.life for b in many.batches) > min(b.si.life for b in few.batches)


def test_a_coarse_scale_fails_and_a_fine_one_holds():
    """PR-R04 (own judgement): one step of the scale at most 1 % of the hardener."""
    coarse, fine = (resin_budget(mended("locker_lid", **{"workshop.scale_step": step}), CATALOGUE) for step in ("5 g", "0.1 g"))
    scale = [next(check for check in found.checks if "scale" in check.what) for found in (coarse, fine)]
    assert not scale[0].passed and scale[1].passed


def test_no_plan_is_a_check_that_fails():
    part = mended("fen_punt", **{"feed.layout": "rungs", "feed.rungs": 8, "workshop.largest_batch": "10 g"})
    found = resin_budget(part, CATALOGUE)
    assert found.batches == () and found.flow.arrives and "no batch plan" in found.no_plan
    assert "buckets in a mixing plan" in found.failed[0].what and "checks fail" in found.verdict


def test_a_plan_past_the_safe_share_is_no_card_to_mix_by():
    """A mixing time that eats more than half of a bucket's life and less than all of it."""
    found = resin_budget(FAST.changed({"workshop.mixing_time": "100 min", "workshop.largest_batch": "4 kg"}), CATALOGUE)
    assert found.batches and found.plan_share > found.safe_share and "typical" in found.life_basis
    assert found.void.startswith("Do not mix to these cards") and found.cautions[0] == found.void and not found.checks[0].passed
    assert not resin_budget(FAST, CATALOGUE).void


def test_the_plan_is_no_older_than_its_number_of_buckets_asks():
    shares = {name: resin_budget(mended(name, **{"feed.layout": "rungs", "feed.rungs": 8}), CATALOGUE).plan_share for name in FILES}
    assert all(share <= 0.5 for share in shares.values()) and min(shares.values()) < 0.4


def test_the_cautious_bucket_check_goes_with_the_shops_own_pot_life(tmp_path):
    path = tmp_path / "resins.csv"
    path.write_text("key,density_liquid_kg_m3,density_cured_kg_m3,modulus_GPa,poisson,viscosity_20c_mPas,pot_life_min,hardener_parts,source\nours,1100,1150,3,0.35,500,120,30,own case\n", "utf-8")
    own, listed = resin_budget(FAST.changed({"resin": "ours"}), add_own(path)), resin_budget(FAST, CATALOGUE)
    assert [check.what for check in own.checks if "pot life" in check.what] == [] and own.life_basis == "your own pot life"
    typical, short = (check for check in listed.checks if "pot life" in check.what)
    assert "typical" in typical.what and "cautious end" in short.what and short.margin < typical.margin


def test_a_catalysed_resin_is_warned_of_and_measured_by_volume():
    found = resin_budget(FAST.changed({"resin": "vinyl-ester"}), CATALOGUE)
    assert found.cautions[0].startswith("CATALYSED RESIN") and "by volume" in found.cautions[0]
    assert not any("scale" in check.what for check in found.checks) and not any("CATALYSED" in caution for caution in resin_budget(FAST, CATALOGUE).cautions)
    cup = 20 * math.exp(55e3 / 8.314462618 * (1 / 293.15 - 1 / 298.15))    # shortest of the row, from memory; PR-R14 (derived)
    _, short = bucket_lives(CATALOGUE.resin("vinyl-ester"), 293.15)
    assert all(short(Q_(mass, "kg")).m_as("min") <= cup * (1 + 1e-9) for mass in (0.01, 0.05, 0.3, 3.0))


def test_the_early_rate_is_what_the_hoses_are_judged_by():
    """FL-R01 (read): a level front has drawn sqrt(0.1) of the resin after a tenth of the (fresh) time."""
    part = FAST.changed({"layup.lid": {"outside": [{"fabric": "glass-biax-450"}]}, "feed.flow_mesh": False, "feed.feed_hose": "1 mm", "feed.feed_bore": "50 mm"})
    found = resin_budget(part, CATALOGUE)
    mean = found.flow.pore_volume / found.flow.fill_time
    assert (found.inlets.flow_rate / mean).m_as("") == pytest.approx(10 * math.sqrt(0.1), rel=0.03)


def test_mesh_is_one_figure_for_flow_and_budget():
    """It ends 50 mm short of each vent (read): length under mesh over all runs, and the area that holds resin."""
    found = resin_budget(mended("fen_punt"), CATALOGUE)
    runs = [(front.weight, meshed, length) for front in found.flow.fronts for (_, meshed), length in front.legs]
    under = sum(weight * length for weight, meshed, length in runs if meshed) / sum(weight * length for weight, _, length in runs)
    area = sum(build.zone.si.area for build in found.flow.builds.values())
    whole = sum(weight * sum(length for _, length in front.legs) for front in found.flow.fronts for weight in [front.weight])
    bare = sum(0.05 * front.weight for front in found.flow.fronts)
    assert under == pytest.approx(1 - bare / whole) and item(found, "flow mesh").typical / (0.85 * area) == pytest.approx(under)


def test_a_measured_permeability_reaches_the_budget():
    quick = FAST.changed({"measured_permeability": {"glass-biax-450": "1.82e-10 m^2"}})
    assert resin_budget(quick, CATALOGUE).fill_time < resin_budget(FAST, CATALOGUE).fill_time
    assert "measured_permeability" in resin_budget(quick, CATALOGUE).rests_on


def test_no_plan_is_said_not_raised():
    found = resin_budget(FILES["fen_punt"].part.changed({"workshop.temperature": "35 degC", "workshop.mixing_time": "90 min"}), CATALOGUE)
    assert found.batches == () and "no batch plan" in found.no_plan and found.cautions[1].startswith("Do not mix")
    assert "gels before the part is full" in found.cautions[0]


def test_reserve_goes_with_the_share():
    none, much = (resin_budget(LID, CATALOGUE, contingency=share) for share in (0.0, 0.25))
    assert (much.demand.total[1] / none.demand.total[1]).m_as("") == pytest.approx(1.25)
    assert much.mixed == none.mixed    # the reserve stays unmixed


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_answers_with_working_and_cautions(name):
    part = FILES[name].part
    found = resin_budget(part, CATALOGUE)
    assert 4 <= len(found.working) <= 10 and found.checks and any("heats itself" in caution for caution in found.cautions)
    assert any("enter your own data sheet first" in guess for guess in found.guesses)
    for path in found.rests_on:
        assert path.startswith("catalogue.") or part.value_at(path) != "none", path


# --- the curve the batches follow ----------------------------------------------------------------------------------------------

PLAN = dict(resin_mass=Q_(4, "kg"), fill_time=Q_(40, "min"), life_of=lambda mass: Q_(3, "hour"), mixing_time=Q_(5, "min"), largest_batch=Q_(1.5, "kg"),
            scale_resolution=Q_(1, "g"), mix_ratio=0.3)


def test_a_straight_front_given_as_a_curve_is_the_straight_front():
    times = 2400 * np.linspace(0, 1, 4001) ** 2
    curve = batch_plan(**PLAN, draw=(times, np.sqrt(times / 2400)))
    plain = batch_plan(**PLAN)
    assert [b.mass for b in curve.batches] == [b.mass for b in plain.batches]
    assert [b.si.used_up_by for b in curve.batches] == pytest.approx([b.si.used_up_by for b in plain.batches], abs=1e-3)


OWN = [(([0, 2400], [0]), "two lists"), (([0, 1200, 600], [0, 0.5, 1]), "both rising"), (([0, 1000], [0, 1]), "fill time")]


@pytest.mark.parametrize("draw,words", OWN)
def test_a_curve_that_cannot_be(draw, words):
    with pytest.raises(RangeError, match=words):
        batch_plan(**PLAN, draw=draw)


def test_bad_input():
    with pytest.raises(RangeError, match="contingency"):
        resin_budget(LID, CATALOGUE, contingency=-0.1)
    with pytest.raises(RangeError, match="contingency"):
        resin_budget(LID, CATALOGUE, contingency=float("nan"))


def test_a_resin_without_hardener_parts_is_asked_for(tmp_path):
    path = tmp_path / "resins.csv"
    path.write_text("key,density_liquid_kg_m3,density_cured_kg_m3,modulus_GPa,poisson,viscosity_20c_mPas,pot_life_min,source\nours,1100,1150,3,0.35,500,120,own case\n", "utf-8")
    own = add_own(path)
    assert flow_distance(LID.changed({"resin": "ours"}), own).arrives    # one viscosity is enough for the flow
    with pytest.raises(PartFileError, match="hardener parts"):
        resin_budget(LID.changed({"resin": "ours"}), own)
