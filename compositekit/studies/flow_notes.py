"""What stands beside the flow figures: the working, the cautions, what is guessed and what they rest on."""

from __future__ import annotations

import numpy as np

from ..infusion.darcy import fill_time_zones
from ..shape.mesh_shape import MeshShape
from ..shape.unfolding import unfolded
from ..units import Q_, say
from .cautions import SENSITISING, VACUUM_POT
from .findings import Step


def flow_working(part, room, facts, courses, air, head, safe_share):
    """Steps from the room to the fill time of the slowest run; an apprentice can follow them by hand calculator."""
    front, slowest_skin = facts["slowest"], facts["slowest"].reach.words
    legs = front.legs
    chosen = [next((c for c in courses[place] if c.words == slowest_skin), courses[place][-1]) for place, _ in legs]
    ways = max(len(courses[place]) for place, _ in legs)
    shares = [len(courses[place]) / ways for place, _ in legs]      # a zone that is joined gives half to each skin
    lengths, carry, storage = [length for _, length in legs], *zip(*[
        (share * (c.carry + c.runner_carry), share * (c.storage + c.runner_storage)) for c, share in zip(chosen, shares, strict=True)], strict=True)
    pressure = facts["pressure"].m_as("Pa")
    level = fill_time_zones.si(lengths, carry, storage, room.viscosity, pressure)[-1]
    fresh = front.reach.time
    minutes = lambda value: Q_(float(value), "s").to("min")  # noqa: E731
    inputs = {"μ": facts["viscosity"], "P": facts["pressure"]}
    for number, ((zone, meshed), length) in enumerate(legs, 1):
        inputs |= {f"L{number} ({zone}{', under mesh' if meshed else ''})": Q_(length, "m"), f"s{number}": Q_(storage[number - 1], "m").to("mm"),
                   f"c{number}": Q_(carry[number - 1], "m^3")}
    ends, (last_zone, _) = len(chosen) - 1, legs[-1][0]
    widest = next((number for number, (place, _) in enumerate(legs) if place[0] == last_zone), ends)
    last = chosen[widest]
    steps = [
        *room.steps,
        Step("driving pressure", "P = air − bag − ρ g H", {"air at this altitude": Q_(air, "Pa").to("mbar"),
             "left under the bag": part.workshop.bag_pressure.to("mbar"), "head up from the bucket to the top of the part": Q_(head, "Pa").to("mbar")},
             facts["pressure"], "standard atmosphere, C-V7 (read); head, FL-R07 (own reference)"),
        Step(f"what the resin runs through in {last_zone} ({last.words})", "c = Σ K h, s = Σ (1 − Vf) h + uptake of the core face (+ mesh and cuts)",
             {"plies, Σ K h": Q_(last.carry, "m^3"), "mesh and cuts, K h": Q_(last.runner_carry, "m^3"),
              "plies and core face": Q_(last.storage, "m").to("mm"), "mesh and cuts": Q_(last.runner_storage, "m").to("mm")},
             f"c = {carry[widest]:.3g} m³, s = {storage[widest] * 1e3:.3g} mm{', half of all that for each skin' if shares[widest] < 1 else ''}", "layers side by side, FL-R08 (own reference)"),
        Step("slowest run, level front, resin fresh", "t = Σ (μ sᵢ/P)(Lᵢ Rᵢ + Lᵢ²/(2 cᵢ)), Rᵢ = Σ Lⱼ/cⱼ of the zones before", inputs, minutes(level),
             "Darcy's law, zones in a row, FL-R06 (own reference)")]
    if any(c.runner_carry for c in chosen):
        steps.append(Step("the far skin lags behind mesh or cuts", "U + S L for every zone, on top of the level front", {}, minutes(fresh - level - facts["hose_delay"].m_as("s")),
                                "flow mesh over a laminate, FL-R09 (own reference)"))
    steps += [
        Step("the hose adds", "R V/P, R = 128 μ l/(π d⁴), a hose to each feed line with an equal share of V",
             {"l": part.feed.feed_hose.to("m"), "d": part.feed.feed_bore.to("mm"), "V, all lines": facts["pore_volume"], "feed lines": float(len(facts["plan"].feeds))},
             facts["hose_delay"], "FL-R15a (own reference)"),
        Step("the resin thickens meanwhile", "t = −(td/ln 2) ln(1 − τ ln 2/td)", {"τ, resin fresh": minutes(fresh), "td, viscosity doubles": facts["doubling_time"]},
             facts["fill_time"] if np.isfinite(facts["fill_time"].magnitude) else "never: gels first", "FL-R16 with FL-R15b (own reference)"),
        Step("time allowed", "share × gel time", {"share": safe_share, "gel time = life of 100 g": facts["gel_time"]}, facts["time_allowed"],
             "own judgement; a thin layer in the part lives longer than 100 g in a cup, so this is cautious"),
    ]
    return tuple(steps)


def flow_cautions(part):
    """What can hurt somebody at an infusion."""
    return (SENSITISING, VACUUM_POT,
            "These figures plan a trial. Run the trial panel with the same stack before the part, and keep a second person at the feed.")


def _fabrics(part):
    return tuple(dict.fromkeys(ply.fabric for layup in part.layup.values() for ply in (*layup.outside, *layup.inside)))


def fabrics_known(part, catalogue) -> bool:
    """Whether the shop knows the permeability of every fabric: measured on a trial, or in its own rows."""
    return all(key in part.measured_permeability or catalogue.fabric(key).grade == "shop" for key in _fabrics(part))


def flow_guesses(part, catalogue):
    """Inputs that nobody measured, in words."""
    said, measured = [], part.measured_permeability
    for key in _fabrics(part):
        fabric = catalogue.fabric(key)
        if key in measured:
            said.append(f"{fabric.name}: permeability measured on a trial panel, {measured[key].m_as('m^2'):.2g} m²; one panel, one laminate")
        elif fabric.grade != "shop":
            low, typical, high = (value.m_as("m^2") for value in fabric.range("permeability"))
            said.append(f"{fabric.name}: permeability {typical:.2g} m² ({low:.2g} to {high:.2g}) is {fabric.permeability_grade or fabric.grade}; prove it on a trial panel")
    resin = catalogue.resin(part.resin)
    if resin.grade != "shop":
        said.append(f"{resin.name}: viscosity and pot life are {resin.grade}; enter your own data sheet first")
    for core in dict.fromkeys(layup.core.core for layup in part.layup.values() if layup.core):
        record = catalogue.core(core)
        if record.si.uptake and record.grade != "shop":
            said.append(f"{record.name}: resin drawn into each cut face, {say(record.uptake, 'g/m^2')}, is {record.uptake_grade or record.grade}")
    cuts = {layup.core.cut for layup in part.layup.values() if layup.core} - {"plain"}
    if cuts:
        said.append(f"cuts in the core ({', '.join(sorted(cuts))}): size and pitch are common practice, no source; slits count as open, with half "
                    "that width for the slow case, and can shut altogether on a flat panel; grooves are taken to run lengthwise: across them they only hold resin")
    if part.feed.flow_mesh:
        said.append("flow mesh: permeability, thickness and porosity are from memory; time a strip of it on the trial panel. It is taken to end short of the vent, at the share of every run that the catalogue gives as cover")
    said.append(f"what the peel ply drinks, {say(catalogue.consumable('peel-ply-resin').typical, 'g/m^2')}, is counted in the budget but not in the flow: under thin "
                "skins the bag side fills about a tenth later than told")
    if isinstance(part.geometry, MeshShape):
        flat = unfolded(part.geometry.mesh)
        said.append(f"the surface from the mesh file is laid flat like a cloth: lengths on the flat picture, and so the straight runs and what is counted from them, are "
                    f"{flat.stretch:.1%} off in the mean and {flat.greatest:.0%} at the worst spot; the fill itself runs on the true surface. The part is taken to stand as the file has it, z upward")
    said.append("assumed: the feed line opens into both skins; an uncut core keeps them apart; grooves face the mould, the mesh lies on the bag side; "
                "0° plies lie along the part; gel time is the pot life of 100 g, and viscosity doubles in that time; the resin has to climb the whole height of the part")
    return tuple(said)


def flow_rests_on(part):
    """Paths whose change makes a decision on the feed stale."""
    fabrics = [f"catalogue.fabric.{key}.permeability" for key in _fabrics(part)]
    resin = [f"catalogue.resin.{part.resin}.{name}" for name in ("viscosity_20c", "viscosity_25c", "viscosity_30c", "pot_life")]
    return ("shape", "layup", "resin", "feed", "workshop.temperature", "workshop.bag_pressure", "workshop.altitude", "measured_permeability", *fabrics, *resin)
