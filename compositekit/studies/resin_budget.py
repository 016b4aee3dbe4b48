"""How much resin the part takes, where it goes, and which batches to mix when."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import PartFileError, RangeError
from ..infusion import budget
from ..infusion.batches import Batch, batch_plan
from ..infusion.feed import MASS_PER_INLET, inlets_for_flow, inlets_needed, line_pressure_drop
from ..units import Q_
from .bucket_lives import bucket_lives
from .budget_checks import SCALE_SHARE, bucket_checks
from .budget_notes import budget_cautions, budget_guesses, budget_rests_on, budget_working, plan_void
from .findings import Finding
from .flow_distance import FlowDistance, flow_distance
from .room_resin import catalysed

CONTINGENCY = 0.10        # own judgement
SAFE_SHARE = 0.5          # of a bucket's life, own judgement (PR-R27)
EDGE = 0.025              # m of cloth past every zone's edge, for trim and for seams: own judgement, half to twice as much
GAP = (1.0, 1.5, 2.0)     # times the bore: resin between feed line and bag, about the same again at most (own calculation)
LINE_SHARE = 0.10         # of the driving pressure that may be lost in the hose, own judgement
ROUNDING = 0.02           # hardener may be off by so much through the scale, PR-R04 (own judgement)
DISPENSER = 1e-4          # kg, to which a catalyst is taken: it is measured by volume, not on the scale (own judgement)
EARLY = 0.10              # of the fill time: the rate the hoses are judged by
OWN = "own judgement"


@dataclass(frozen=True)
class Inlets:
    """How many feed hoses.

    by_mass      by the trade's 2 kg each; lines  feed lines, each with its own
    hoses        to have: the greater of the two; the budget, the cut list and the sheet count these
    by_pressure  so many would lose a tenth of the pressure; for information, since the flow page counts what a hose to each line loses
    flow_rate    resin drawn in the first tenth of the fill, when it runs fastest; ``lost`` is what one hose alone loses then
    """

    by_mass: int
    by_pressure: int
    lines: int
    hoses: int
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
    void        why nobody may mix to the batches, in words; empty where they are a plan
    plan_share  share of a bucket's life the plan had to use; safe_share  the share it may use
    life_basis  which pot life the lives of the batches rest on, in words
    times, drawn   mixed resin drawn against time from opening the clamp
    """

    demand: budget.ResinDemand
    mixed: object
    spare: tuple
    hardener_share: float
    batches: tuple[Batch, ...]
    no_plan: str
    void: str
    plan_share: float
    life_basis: str
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
    ratio = resin.si.hardener_parts / 100
    share = ratio / (1 + ratio)
    fill = min(flow.fill_time, flow.gel_time)
    demand, inlets = _demand(part, catalogue, builds, flow, fill, contingency)
    reserve = demand.items[-1].typical
    mixed = demand.total[1] - reserve
    times = flow.times.m_as("s") * (fill / flow.times[-1]).m_as("")
    drawn = flow.share_drawn / flow.share_drawn[-1]
    typical, short = bucket_lives(resin, part.workshop.temperature.m_as("K"))
    catalyst = catalysed(resin)
    batches, basis, no_plan = _batches(part, mixed, fill, (typical,) if short is None else (short, typical), ratio, safe_share, (times, drawn), catalyst)
    used_share = max((batch.share_used for batch in batches), default=float("nan"))
    mixed = sum((batch.mass for batch in batches), Q_(0.0, "kg")) if batches else mixed
    words = "your own pot life" if short is None else "the shortest pot life of the catalogue's range" if basis is short else "the catalogue's typical pot life"
    facts = dict(demand=demand, mixed=mixed, spare=(reserve * (1 - share), reserve * share), hardener_share=share, batches=batches, no_plan=no_plan,
                 void=plan_void(flow, used_share, safe_share) if batches else "", life_basis=words, plan_share=used_share, safe_share=safe_share, inlets=inlets, fill_time=fill, times=Q_(times, "s"), drawn=Q_(drawn * mixed.m_as("kg"), "kg"), flow=flow)
    return ResinBudget(**facts, checks=(*(() if flow.arrives else flow.checks[:1]), *bucket_checks(part, facts, typical, short, catalyst)),
                       cautions=budget_cautions(facts, catalyst),
                       guesses=budget_guesses(part, catalogue, flow), rests_on=budget_rests_on(part, flow),
                       working=budget_working(part, catalogue, builds, facts, ratio, contingency))


def _demand(part, catalogue, builds, flow, fill, contingency):
    """The resin and the hoses it takes, which hold resin themselves: hoses are added until they carry what they hold too."""
    hoses = len(flow.plan.feeds)
    while True:
        demand = budget.resin_demand(resin_items(part, catalogue, builds, flow, hoses), contingency)
        inlets = _inlets(part, (demand.total[1] - demand.items[-1].typical).m_as("kg"), flow, fill)
        if inlets.hoses <= hoses:
            return demand, inlets
        hoses = inlets.hoses


# --- where it goes ---------------------------------------------------------------------------

def resin_items(part, catalogue, builds, flow, hoses: int) -> tuple:
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
        rows.append(_mesh(catalogue, area * flow.mesh_share))
    line = budget.in_lines.si(bore, flow.plan.feed_length, resin.density_liquid).si.typical
    rows.append(_row("feed line and the gap round it", [line * gap for gap in GAP], False, "bore, length and a gap as big again at most", "own calculation"))
    rows.append(budget.in_lines.si(bore, hoses * hose, resin.density_liquid, what="hoses from the bucket"))
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
    return budget.on_area.si("core faces", 2 * build.zone.si.area, *(value.m_as("kg/m^2") for value in uptake), True,
                             f"uptake of {build.core.name}, both faces", build.core.uptake_grade or build.core.grade)


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
    masses = [held.m_as("kg/m^2") * area for held in catalogue.consumable("flow-mesh-resin").range()]
    return _row("flow mesh", masses, False, "resin held by the mesh, on the share of the part that the flow page lays it on", "own calculation; read")


def _left(catalogue, key, what):
    record = catalogue.consumable(key)
    return budget.left_over.si(*(value.m_as("kg") for value in record.range()), what)


# --- batches ---------------------------------------------------------------------------------

def _batches(part, mixed, fill, lives, ratio, safe_share, draw, catalyst):
    """(batches, life they were planned on, why there are none).

    Tried in turn: on the shortest pot life and on the typical one, with a scale fine enough by PR-R04 (a step rounds by half)
    and with the +-2 % it alarms at; then on the whole of the typical life. A catalyst is measured by volume instead.
    """
    shop = part.workshop
    step = min(shop.scale_step.m_as("kg"), DISPENSER) if catalyst else shop.scale_step.m_as("kg")

    def plan(life, share, tolerance):
        return batch_plan.si(mixed.m_as("kg"), fill.m_as("s"), life, shop.mixing_time.m_as("s"), shop.largest_batch.m_as("kg"),
                             step, ratio, share, tolerance, draw).batches

    for life, share in (*((life, safe_share) for life in lives), (lives[-1], 1.0)):
        for tolerance in (SCALE_SHARE / 2, ROUNDING):
            try:
                found = plan(life, share, tolerance)
            except RangeError as err:
                why = str(err)
                continue
            return _younger(found, lambda less, life=life, share=share, tolerance=tolerance: plan(life, less * share, tolerance)), life, ""
    return (), lives[-1], why


def _younger(batches, plan):
    """The same number of buckets, but none older than it need be: nothing is planned to the limit that can be had earlier."""
    low, high = 0.4, 1.0
    for _ in range(2):
        middle = (low + high) / 2
        try:
            found = plan(middle)
        except RangeError:
            found = ()
        if 0 < len(found) <= len(batches):
            batches, high = found, middle
        else:
            low = middle
    return batches


def _inlets(part, mixed, flow, fill):
    bore, hose = part.feed.feed_bore.m_as("m"), part.feed.feed_hose.m_as("m")
    early = EARLY * fill
    rate = flow.pore_volume.m_as("m^3") * float(flow.resin_in_front(early)) / early.m_as("s")
    pressure, viscosity = flow.pressure.m_as("Pa"), flow.viscosity.m_as("Pa*s")
    lost = line_pressure_drop.si(rate, hose, bore, viscosity)
    by_mass, lines = inlets_needed.si(mixed), len(flow.plan.feeds)
    return Inlets(by_mass, inlets_for_flow.si(rate, LINE_SHARE * pressure, hose, bore, viscosity), lines, max(by_mass, lines),
                  Q_(rate, "m^3/s").to("mL/min"), Q_(lost, "Pa").to("mbar"), float(lost / pressure))


INLET_RULE = f"one 6 mm connector per {MASS_PER_INLET:g} kg: common practice, no source"
