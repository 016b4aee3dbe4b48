"""How much resin the part takes, where it goes, and which batches to mix when."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..errors import PartFileError, RangeError
from ..infusion import budget
from ..infusion.batches import Batch, batch_plan
from ..infusion.exotherm import bucket_life
from ..infusion.feed import MASS_PER_INLET, inlets_for_flow, inlets_needed, line_pressure_drop
from ..units import Q_, say
from .budget_notes import budget_cautions, budget_guesses, budget_rests_on, budget_working
from .findings import Check, Finding
from .flow_distance import FlowDistance, flow_distance
from .room_resin import POT_LIFE_TEMPERATURE

CONTINGENCY = 0.10        # own judgement
SAFE_SHARE = 0.5          # of a bucket's life, own judgement (PR-R27)
EDGE = 0.025              # m of cloth past every zone's edge, for trim and for seams: own judgement, half to twice as much
GAP = (1.0, 1.5, 2.0)     # times the bore: resin between feed line and bag, about the same again at most (own calculation)
LINE_SHARE = 0.10         # of the driving pressure that may be lost in the hose, own judgement
SCALE_SHARE = 0.01        # scale step over hardener, PR-R04 (own judgement)
ROUNDING = 0.02           # hardener may be off by so much through the scale, PR-R04 (own judgement)
OWN = "own judgement"


@dataclass(frozen=True)
class Inlets:
    """How many hoses: by the trade's 2 kg each, and by the pressure they may lose; ``lost`` is what one hose loses."""

    by_mass: int
    by_pressure: int
    flow_rate: object
    lost: object
    lost_share: float


@dataclass(frozen=True, kw_only=True)
class ResinBudget(Finding):
    """Resin by item, batches and inlets; quantities.

    demand      ResinDemand: items, in_part, thrown_away and total as (low, typical, high)
    mixed       what the batches hold together: the typical total without the reserve
    spare       (resin, hardener) of the reserve: weighed out, mixed only when it is wanted
    batches     Batch records in order of use; empty where no plan exists, and then ``no_plan`` says why
    plan_share  share of a bucket's life the plan had to use; safe_share  the share it may use
    times, drawn   mixed resin drawn against time from opening the clamp
    """

    demand: budget.ResinDemand
    mixed: object
    spare: tuple
    hardener_share: float
    batches: tuple[Batch, ...]
    no_plan: str
    plan_share: float
    safe_share: float
    inlets: Inlets
    fill_time: object
    times: object
    drawn: object
    flow: FlowDistance

    @property
    def resin_to_have(self):
        """Resin and hardener to have in the shop: the high case, reserve included (resin, hardener) [kg]."""
        return self.demand.total[2] * (1 - self.hardener_share), self.demand.total[2] * self.hardener_share


def resin_budget(part, catalogue, contingency: float = CONTINGENCY, safe_share: float = SAFE_SHARE) -> ResinBudget:
    """Resin demand and mixing plan of a part.

    contingency  reserve as a share of all items
    safe_share   share of its life that a bucket may have used when it runs out
    Raises PartFileError, UnknownMaterial, RangeError.
    """
    resin = catalogue.resin(part.resin)
    if not resin.si.hardener_parts:
        raise PartFileError(f'resin "{resin.key}" has no hardener parts per 100 in the catalogue; enter them from the label in your own resins.csv.')
    flow = flow_distance(part, catalogue)
    builds = flow.builds
    demand = budget.resin_demand(resin_items(part, catalogue, builds, flow), contingency)
    ratio = resin.si.hardener_parts / 100
    share = ratio / (1 + ratio)
    reserve = demand.items[-1].typical
    mixed = demand.total[1] - reserve
    fill = min(flow.fill_time, flow.gel_time)
    times = flow.times.m_as("s") * (fill / flow.times[-1]).m_as("")
    drawn = flow.share_drawn / flow.share_drawn[-1]
    life = functools.partial(_life, _lives(resin.si.pot_life, part.workshop.temperature.m_as("K")))
    batches, used_share, no_plan = _batches(part, mixed, fill, life, ratio, safe_share, (times, drawn))
    mixed = sum((batch.mass for batch in batches), Q_(0.0, "kg")) if batches else mixed
    inlets = _inlets(part, mixed, flow, fill)
    facts = dict(demand=demand, mixed=mixed, spare=(reserve * (1 - share), reserve * share), hardener_share=share, batches=batches, no_plan=no_plan,
                 plan_share=used_share, safe_share=safe_share, inlets=inlets, fill_time=fill, times=Q_(times, "s"), drawn=Q_(drawn * mixed.m_as("kg"), "kg"), flow=flow)
    return ResinBudget(**facts, checks=(*(() if flow.arrives else flow.checks), *_checks(part, facts, life, safe_share)), cautions=budget_cautions(flow, no_plan),
                       guesses=budget_guesses(part, catalogue, flow), rests_on=budget_rests_on(part, flow),
                       working=budget_working(part, catalogue, builds, facts, ratio, contingency))


# --- where it goes ---------------------------------------------------------------------------

def resin_items(part, catalogue, builds, flow) -> tuple:
    """One row per place resin goes to, all zones together."""
    resin = catalogue.resin(part.resin).si
    area = sum(build.zone.si.area for build in builds.values())
    bore, hose = part.feed.feed_bore.m_as("m"), part.feed.feed_hose.m_as("m")
    rows = [_sum("fibre plies", [row for build in builds.values() for row in _plies(build, resin.density_cured)])]
    cored = [build for build in builds.values() if build.core]
    if faces := [row for build in cored if (row := _faces(build))]:
        rows.append(_sum("cut faces of the core", faces))
    if cuts := [budget.in_cuts.si(build.cut.storage * build.zone.si.area, resin.density_cured) for build in cored if build.cut.storage]:
        rows.append(_sum("grooves, slits and holes", cuts))
    rows.append(_per_area(catalogue, "peel-ply-resin", "peel ply", area))
    if part.feed.flow_mesh:
        rows.append(_mesh(catalogue, area))
    line = budget.in_lines.si(bore, flow.plan.feed_length, resin.density_liquid).si.typical
    rows.append(_row("feed line and the gap round it", [line * gap for gap in GAP], False, "bore, length and a gap as big again at most", "own calculation"))
    rows.append(budget.in_lines.si(bore, hose, resin.density_liquid, what="hose from the bucket"))
    edge = sum(build.zone.si.perimeter * EDGE * build.per_area["resin in plies"] for build in builds.values())
    rows.append(_row("trim and seams", [edge / 2, edge, 2 * edge], False, f"{EDGE * 1e3:g} mm of cloth past every edge", OWN))
    rows += [_left(catalogue, key, what) for key, what in (("bucket-heel", "heel of the bucket"), ("catch-pot", "catch pot"))]
    return tuple(rows)


def _plies(build, density):
    for ply in build.plies:
        solid = ply.si.fibre_fraction * ply.si.thickness   # m of fibre alone, so that its density is areal weight over it
        yield budget.in_plies.si(ply.si.areal_weight, ply.si.fibre_fraction, ply.si.areal_weight / solid, density, build.zone.si.area)


def _faces(build):
    uptake = build.core.range("uptake")
    if uptake[1] is None:
        return None
    return budget.core_face.si(2 * build.zone.si.area, *(value.m_as("kg/m^2") for value in uptake))


def _row(what, masses, stays, source, grade):
    low, typical, high = masses
    return budget.ResinItem.from_si(what=what, low=low, typical=typical, high=high, stays_in_part=stays, source=source, grade=grade)


def _sum(what, rows):
    masses = np.sum([[row.si.low, row.si.typical, row.si.high] for row in rows], axis=0)
    return _row(what, (float(mass) for mass in masses), rows[0].stays_in_part, rows[0].source, rows[0].grade)


def _per_area(catalogue, key, what, area):
    record = catalogue.consumable(key)
    return budget.on_area.si(what, area, *(value.m_as("kg/m^2") for value in record.range()), False, record.title, record.grade)


def _mesh(catalogue, area):
    held, cover = (catalogue.consumable(f"flow-mesh-{what}").range() for what in ("resin", "coverage"))
    masses = [(one * two).m_as("kg/m^2") * area for one, two in zip(held, cover, strict=True)]
    return _row("flow mesh", masses, False, "resin held by the mesh, share of the part covered", "own calculation; read second-hand")


def _left(catalogue, key, what):
    record = catalogue.consumable(key)
    return budget.left_over.si(*(value.m_as("kg") for value in record.range()), what)


# --- batches ---------------------------------------------------------------------------------

@functools.lru_cache(maxsize=128)
def _lives(pot_life, temperature):
    """Bucket life against mass, worked out once on a fine grid (logarithms, so that reading between is close)."""
    masses = np.geomspace(2e-3, 200.0, 60)
    lives = bucket_life(Q_(masses, "kg"), Q_(temperature, "K"), Q_(pot_life, "s"), Q_(POT_LIFE_TEMPERATURE, "K")).m_as("s")
    return np.log(masses), np.log(lives)


def _life(table, mass):
    return Q_(float(np.exp(np.interp(np.log(mass.m_as("kg")), *table))), "s")


def _batches(part, mixed, fill, life, ratio, safe_share, draw):
    """Batches, the share of life they use at most, and why there are none.

    Tried in turn: safe share with a scale fine enough by PR-R04 (a step rounds by half), with the +-2 % it alarms at, then the whole life.
    """
    shop = part.workshop
    for share, tolerance in ((safe_share, SCALE_SHARE / 2), (safe_share, ROUNDING), (1.0, SCALE_SHARE / 2), (1.0, ROUNDING)):
        try:
            plan = batch_plan.si(mixed.m_as("kg"), fill.m_as("s"), life, shop.mixing_time.m_as("s"), shop.largest_batch.m_as("kg"),
                                 shop.scale_step.m_as("kg"), ratio, share, tolerance, draw)
        except RangeError as err:
            why = str(err)
            continue
        return plan.batches, max(batch.share_used for batch in plan.batches), ""
    return (), float("nan"), why


def _inlets(part, mixed, flow, fill):
    bore, hose = part.feed.feed_bore.m_as("m"), part.feed.feed_hose.m_as("m")
    rate = flow.pore_volume.m_as("m^3") / fill.m_as("s")
    pressure, viscosity = flow.pressure.m_as("Pa"), flow.viscosity.m_as("Pa*s")
    lost = line_pressure_drop.si(rate, hose, bore, viscosity)
    return Inlets(inlets_needed.si(mixed.m_as("kg")), inlets_for_flow.si(rate, LINE_SHARE * pressure, hose, bore, viscosity),
                  Q_(rate, "m^3/s").to("mL/min"), Q_(lost, "Pa").to("mbar"), float(lost / pressure))


def _checks(part, facts, life, safe_share):
    shop, batches = part.workshop, facts["batches"]
    source = "share of a bucket's life, own judgement"
    remedy = "fill faster (page 04), mix smaller batches, work cooler or take a slower hardener"
    if not batches:
        smallest = life(Q_(0.1, "kg"))
        return (Check("time the fill takes, against the safe life of the smallest bucket (100 g)", facts["fill_time"].to("min"),
                      (safe_share * smallest).to("min"), "at most", source, remedy),)
    oldest = max(batches, key=lambda batch: batch.share_used)
    smallest = min(batches, key=lambda batch: batch.si.hardener)
    return (
        Check(f"age of bucket {oldest.number} when it is used up", (oldest.used_up_by - oldest.mix_at).to("min"), (safe_share * oldest.life).to("min"),
              "at most", f"{safe_share:.0%} of the life of {say(oldest.mass, 'kg')}; {source}", remedy),
        Check(f"scale step over the hardener of bucket {smallest.number}", (shop.scale_step / smallest.hardener).to("percent"), Q_(100 * SCALE_SHARE, "percent"),
              "at most", "1 % of the hardener, PR-R04 (own judgement)", "weigh the hardener on a finer scale, or mix larger batches"),
    )


INLET_RULE = f"one 6 mm connector per {MASS_PER_INLET:g} kg: common practice, no source"
