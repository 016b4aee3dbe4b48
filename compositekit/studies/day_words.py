"""Checks, working, cautions and guesses of the build day."""

from __future__ import annotations

import numpy as np

from ..infusion.exotherm import ORDER
from ..infusion.resin import ACTIVATION_ENERGY
from ..infusion.vacuum import LIMIT_RISE
from ..units import Q_, say
from .cautions import VACUUM_POT
from .day_cure import CURVATURE, DEMOULD, FREEZE, HARD, HARDENED, LIQUID_TG, NOT_EPOXY
from .day_damp import ADVICE, LAY_UP, WINDOW_TOP
from .findings import Check, Step

DRIVE_LOST = 5.0    # percent, own judgement: vacuum a leak may eat by the end of the fill
HEAVY = 110.0       # percent of the calculated mass, own judgement


def checks(part, facts) -> tuple[Check, ...]:
    """The day's figures against their limits, in the order of the day."""
    leak, damp, cure, weighed, flow = facts["leak"], facts["damp"], facts["cure"], facts["weighed"], facts["budget"].flow
    found = []
    if damp.takes_water:
        found += [_moisture(part, damp),
                  Check(f"bag pressure, against the pressure at which the water in {_what(damp)} boils", Q_(100 * damp.margin, "percent"), Q_(100.0, "percent"),
                        "at least", "derived from the vapour pressure of water", f"dry {_what(damp)} first; less vacuum alone only hides it")]
    if leak is not None:
        found += [
            Check("bag, pressure rise with the pump off", leak.test.rise.to("mbar/min"), LIMIT_RISE, "at most", "common practice, no source",
                  "do not open the clamp: find the leak by ear or with a leak detector, press the tape down, test again"),
            Check("vacuum lost to that leak by the end of the fill, vent clamped", Q_(100 * leak.drive_lost, "percent"), Q_(DRIVE_LOST, "percent"),
                  "at most", "own judgement", "tighten the bag, or keep the pump pulling until gel")]
    found += [*_fill(facts["front"], flow), *[item for item in facts["budget"].checks if item.what not in [own.what for own in flow.checks]][:1]]
    if cure is not None and (facts["hours_asked"] or not np.isfinite(cure.when[1])):
        found.append(_demould(cure))
    if weighed is not None:
        found.append(Check("finished weight, over the calculated one", Q_(100 * (weighed / facts["planned"]).m_as(""), "percent"), Q_(HEAVY, "percent"),
                           "at most", "own judgement", "find where the resin went: weigh offcuts, look for rich corners, correct the uptake of the core"))
        if part.brief.mass_target is not None:
            found.append(Check("finished weight", weighed.to("kg"), part.brief.mass_target, "at most", "brief", "say so in the record; lighten the next one"))
    return tuple(found)


def _what(damp):
    return " and ".join(word for word, there in (("cloth", damp.fabrics), ("core", damp.cores)) if there)


def _moisture(part, damp):
    """Water in the cloth against the shop's window; the air itself where no curve is known."""
    remedy = f"dry {_what(damp)}, or dry the air and wait a day"
    if damp.moisture is not None:
        return Check("water in plant-fibre cloth in balance with this air, by dry mass", Q_(100 * damp.moisture, "percent"), Q_(100 * damp.allowed, "percent"),
                     "at most", f"balance with {WINDOW_TOP.m_as('percent'):g} % humidity; {LAY_UP}", remedy)
    return Check(f"humidity of the air that {_what(damp)} lies in", part.workshop.relative_humidity.to("percent"), WINDOW_TOP, "at most", LAY_UP, remedy)


def _demould(cure):
    """Time waited against the slow estimate; degrees where two weeks do not suffice."""
    remedy = "leave it in the mould longer, or warm it gently in the mould"
    if np.isfinite(cure.when[1]):
        return Check(f"time in the mould, until the resin is estimated to be hard up to {DEMOULD:g} °C above the room (slow case)", Q_(cure.at, "hour"),
                     Q_(cure.not_before, "hour"), "at least", "own judgement", remedy)
    return Check(f"glass transition estimated after {cure.at:.4g} h, above the room (slow case)", cure.margin, Q_(DEMOULD, "K"), "at least", "own judgement", remedy)


def _fill(front, flow):
    """The flow page's own check, until the front on the day says otherwise."""
    if not front.seen:
        return flow.checks[:1]
    remedy = "leave vents open, add an inlet ahead of the dry place if the plan has one; never raise the temperature of the bucket"
    if np.isfinite(front.finish):
        return (Check("fill time at the speed that is seen", Q_(front.finish / 60, "min"), flow.time_allowed, "at most",
                      "share of the gel time, own judgement", remedy),)
    reached = front.last[0][front.last[1] <= flow.gel_time.m_as("s")]
    return (Check("way of the front, which gels at the speed that is seen", Q_(front.run, "m"), Q_(max(float(reached[-1]), 1e-3), "m"), "at most",
                  "reach at gel, pot life of the catalogue", remedy),)


def working(part, catalogue, facts) -> tuple[Step, ...]:
    """Steps for a pocket calculator."""
    leak, damp, front, cure = facts["leak"], facts["damp"], facts["front"], facts["cure"]
    shop = part.workshop
    steps = []
    if leak is not None:
        steps += [
            Step("drop test", "rise = (p₂ − p₁)/t", {"p₁": leak.start, "p₂": leak.end, "t": leak.time}, leak.test.rise.to("mbar/min"), "PR-V01 (read)"),
            Step("bag at the end of the fill, vent clamped", "p = p₁ + rise × t", {"p₁": leak.start, "rise": leak.test.rise.to("mbar/min"), "t": leak.until}, leak.pressure_at_end,
                 "straight line, the safe choice: PR-V05 (from memory, derived)")]
    if damp.boils_at is not None:
        steps.append(Step("water boils in the bag", "below p_sat at room temperature", {"room": shop.temperature}, damp.boils_at, "Wagner and Pruss 1993, C-M1"))
    if damp.moisture is not None:
        steps += [
            Step("water in the cloth", "M of the sorption curve × dry cloth", {"humidity": shop.relative_humidity, "M": damp.moisture, "dry cloth": damp.cloth},
                 damp.water.to("g"), "PR-M15 (own judgement through read regains)"),
            Step("that water boils off", "margin = p/(h p_sat)", {"p, bag": shop.bag_pressure, "h": shop.relative_humidity, "p_sat": damp.boils_at},
                 damp.margin, "PR-M02 (derived)")]
    if front.seen:
        steps.append(Step("the front as seen", "Σ τ T/Σ T², τ read and T calculated, both for fresh resin and less the hose's share",
                          {"readings": int(front.times.size)}, f"{1 / front.ease:.3g} times the calculated time", "least squares; FL-R01 (read) in every zone"))
    steps.append(Step("part full", "calculated time to the vent, times that figure, thickening resin", {"calculated": _minutes(front.planned)},
                      _minutes(front.finish), "FL-R15b with FL-R16 (own reference)"))
    if cure is not None:
        steps += [
            Step("speed of the cure, slow case", "A, set by the pot life of 100 g at 25 °C or by a film seen to gel; da/dt = A exp(−E/RT)(1 − a)ⁿ",
                 {"E": Q_(ACTIVATION_ENERGY, "J/mol").to("kJ/mol"), "n": ORDER}, Q_(float(cure.rate_constant[1]), "1/s"), "form of C-R6 (own reference)"),
            Step(f"Tg after {cure.at:.4g} h, slow case", "Tg₀ + (Tg₁ − Tg₀) L a/(1 − (1 − L) a), but at most the cure temperature + 15 °C",
                 {"Tg₀": Q_(LIQUID_TG, "K").to("degC"), "Tg₁": catalogue.resin(part.resin).tg.to("degC"), "L": CURVATURE,
                  "a": float(np.interp(cure.at, cure.hours, cure.conversion[1]))}, Q_(cure.tg_at, "K").to("degC"),
                 f"PR-R38 (from memory); stop {FREEZE:g} K above the cure: PR-R31 (trade rule, read)")]
    return (*steps, Step("finished weight, calculated", "zones and fittings", {}, facts["planned"].to("kg"), "masses of the part"))


def _minutes(seconds):
    return Q_(seconds / 60, "min") if np.isfinite(seconds) else "never: gels on its way"


def cautions(facts) -> tuple[str, ...]:
    """What can hurt somebody on the day, the worst first."""
    budget, damp = facts["budget"], facts["damp"]
    said = list(budget.cautions)
    said.append(VACUUM_POT)
    if damp.fabrics:
        said += [f"Damp cloth: {ADVICE[0]} {ADVICE[1]} {ADVICE[2]}", ADVICE[3] + " Rags and cloth in an oven can burn: stay beside it."]
    said.append(f"The cure clock is an estimate. {HARDENED}. Post-cure and full strength by the data sheet; no load, sun or dark paint before. "
                "Lifting a part off its mould takes two people.")
    return tuple(said)


def guesses(part, catalogue, facts) -> tuple[str, ...]:
    """Inputs that nobody measured."""
    resin, damp, cure = catalogue.resin(part.resin), facts["damp"], facts["cure"]
    said = list(facts["budget"].guesses)
    if cure is None:
        said.append(NOT_EPOXY.format(name=resin.name))
    else:
        said.append(f"cure clock: pot life ({say(resin.pot_life, 'min')}, slow {say(resin.range('pot_life')[2], 'min')}) and final Tg ({HARD}; {say(resin.tg.to('degC'))}) of "
                    f"{resin.name} are {resin.grade}; Tg of the liquid and the curve from memory; a film of the day's own resin, watched until it gels, tells more. "
                    "The flow page takes the resin as stuck after its pot life, this clock as slow as that pot life allows: each errs on its own safe side")
    if damp.fabrics and damp.moisture is None:
        said.append(f"{', '.join(damp.fabrics)}: no curve of water against humidity is known; weigh a swatch before and after drying")
    elif damp.fabrics:
        said.append(f"water in {', '.join(damp.fabrics)}: shop default, own judgement drawn through figures read; hemp on the curve of flax; weigh a swatch")
    return tuple(said)


def rests_on(part, budget) -> tuple[str, ...]:
    """Inputs whose change makes the day's plan stale."""
    resin = [f"catalogue.resin.{part.resin}.{name}" for name in ("pot_life", "tg")]
    return tuple(dict.fromkeys((*budget.rests_on, "workshop", *resin)))
