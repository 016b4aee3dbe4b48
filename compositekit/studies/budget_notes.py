"""What stands beside the resin figures: the working, the cautions, what is guessed and what they rest on."""

from __future__ import annotations

from ..units import Q_, say
from .cautions import SENSITISING
from .findings import Step

CATALYST = ("CATALYSED RESIN: the bucket model of this page is one for epoxies cured by amines, and a catalysed resin runs away faster. No bucket here is planned "
            "beyond the data sheet's gel time; trust nothing past that, and try a cup first. Measure the catalyst by volume with a dispenser: grams on the card over "
            "the density on its label. Organic peroxide blinds and burns: goggles, never near the accelerator or heat, and by the supplier's data sheet.")


def budget_working(part, catalogue, builds, facts, ratio, contingency):
    """Steps from the plies to the first bucket."""
    demand, inlets = facts["demand"], facts["inlets"]
    name, build = next(iter(builds.items()))
    ply = build.plies[0]
    resin = catalogue.resin(part.resin)
    kilograms = {row.what: row.typical for row in demand.items}
    steps = [
        Step(f"resin in one ply, per area, {name}", "q = ρr (w/ρf)(1 − Vf)/Vf",
             {"w": Q_(ply.si.areal_weight, "kg/m^2").to("g/m^2"), "Vf": ply.si.fibre_fraction, "ρr": resin.density_cured,
              "ρf": Q_(ply.si.areal_weight / (ply.si.fibre_fraction * ply.si.thickness), "kg/m^3")},
             Q_((1 - ply.si.fibre_fraction) * ply.si.thickness * resin.si.density_cured, "kg/m^2").to("g/m^2"), "volume balance"),
        Step("stays in the part", "sum of plies, core faces and cuts", {row.what: row.typical for row in demand.items if row.stays_in_part}, demand.in_part[1],
             "areas from the shape, uptakes from the catalogue"),
        Step("feed line", "m = ρ π d²/4 L, and half as much again round it", {"d": part.feed.feed_bore.to("mm"), "L": Q_(facts["flow"].plan.feed_length, "m"), "ρ": resin.density_liquid},
             kilograms["feed line and the gap round it"], "geometry; gap own calculation"),
        Step("thrown away", "peel ply, mesh, lines, trim, heel, catch pot and reserve", {row.what: row.typical for row in demand.items if not row.stays_in_part}, demand.thrown_away[1],
             f"reserve {contingency:.0%} of all rows, own judgement"),
        Step("resin and hardener", "hardener = m r/(1 + r)", {"m": demand.total[1], "r": ratio}, f"{say(demand.total[1] * (1 - facts['hardener_share']), 'kg')} resin and "
             f"{say(demand.total[1] * facts['hardener_share'], 'kg')} hardener", "parts by weight of the catalogue row: read your own label"),
    ]
    if facts["batches"]:
        first = facts["batches"][0]
        steps.append(Step("life of bucket 1", "lumped bucket that heats itself, set to the pot life of 100 g at 25 °C, and no longer than those 100 g in this room", {"mass": first.mass, "pot life taken": facts["life_basis"], "pot life, typical": resin.pot_life.to("min"),
                          "room": part.workshop.temperature.to("degC")}, first.life.to("min"), "C-R6 (own reference), pot life PR-R12 (read)"))
        steps.append(Step("bucket 1 from mixing to empty", "used up − start of mixing", {"mix at": first.mix_at.to("min"), "used up by": first.used_up_by.to("min")},
                          (first.used_up_by - first.mix_at).to("min"), "demand curve of page 04"))
    steps += [
        Step("inlets by mass", "n = m / 2 kg, rounded up", {"m": facts["mixed"]}, inlets.by_mass, "one 6 mm connector per 2 kg: common practice, no source"),
        Step("inlets by pressure", "n = 128 μ l Q/(π d⁴) / (10 % of P), rounded up, Q the rate in the first tenth of the fill", {"Q": inlets.flow_rate, "μ": facts["flow"].viscosity, "l": part.feed.feed_hose.to("m"),
             "d": part.feed.feed_bore.to("mm"), "P": facts["flow"].pressure}, inlets.by_pressure, "tube flow, FL-R11 (from memory, standard); 10 % own judgement"),
    ]
    return tuple(steps)


def plan_void(flow, plan_share, safe_share) -> str:
    """Why nobody may mix to these cards; empty where they are a plan."""
    if not flow.arrives:
        return "Do not mix to these cards: as the feed plan stands the resin gels before the part is full. They run to the gel time only."
    if plan_share > safe_share * (1 + 1e-9):
        return (f"Do not mix to these cards: a bucket would be {plan_share:.0%} of its working life old when it is used up, and {safe_share:.0%} is as far as is safe. "
                "It can smoke and set in your hands. Fill faster, work cooler or take a slower hardener.")
    return ""


def budget_cautions(facts, catalyst):
    """What can hurt somebody, and what makes the plan void; the worst first."""
    flow, said = facts["flow"], []
    if not flow.arrives:
        said.append("The resin gels before the part is full (page 04): this mixing plan runs to the gel time only. Mend the feed plan before mixing anything.")
    elif facts["void"]:
        said.append(facts["void"])
    if facts["no_plan"]:
        said.append(f"Do not mix: {facts['no_plan']}")
    if catalyst:
        said.append(CATALYST)
    return (*said,
            "A full bucket heats itself and can smoke and burn. Never mix more than the plan says, never refill a warm bucket, and watch it: past the life limit it runs away within minutes.",
            "Pour what is left into shallow metal trays outdoors to cure, never into a bin; no water into a hot pot. Do not soak up hardener with sawdust: use sand.",
            SENSITISING)


def budget_guesses(part, catalogue, flow):
    """Inputs that nobody measured."""
    resin = catalogue.resin(part.resin)
    said = []
    if resin.grade != "shop":
        said.append(f"{resin.name}: {say(resin.hardener_parts, digits=2)} parts of hardener per 100, density and pot life are {resin.grade}; enter your own data sheet first, and mix by the label")
    for core in dict.fromkeys(layup.core.core for layup in part.layup.values() if layup.core):
        record = catalogue.core(core)
        if record.grade != "shop" and record.uptake is not None:
            low, typical, high = (value.m_as("g/m^2") for value in record.range("uptake"))
            said.append(f"{record.name}: each cut face takes {typical:.0f} g/m² ({low:.0f} to {high:.0f}), {record.uptake_grade or record.grade}; weigh it on the trial panel")
    if part.feed.flow_mesh:
        said.append("flow mesh: the resin it holds is an own calculation from a remembered thickness; weigh a used square on the trial panel")
    said.append("trim and seams (25 mm past every edge), the reserve, half a bucket's life and a tenth of the pressure for the hose are own judgement; heel and catch pot are from memory")
    return (*said, *(guess for guess in flow.guesses if "permeability" in guess))


def budget_rests_on(part, flow):
    """Paths whose change makes a mixing plan stale."""
    resin = [f"catalogue.resin.{part.resin}.{name}" for name in ("hardener_parts", "density_cured", "density_liquid", "heat_of_reaction")]
    cores = dict.fromkeys(layup.core.core for layup in part.layup.values() if layup.core)
    return (*flow.rests_on, "workshop.largest_batch", "workshop.mixing_time", "workshop.scale_step", *resin, *(f"catalogue.core.{key}.uptake" for key in cores))
