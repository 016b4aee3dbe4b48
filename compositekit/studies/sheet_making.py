"""Sections of the build sheet on how it is made: what to cut, how resin is fed, how much to mix, what the trial told."""

from __future__ import annotations

import re

import numpy as np

from ..units import say
from .sheet import Items, Section, Table, Text

LAYOUTS = {
    "centre line": "Resin is fed along the middle and drawn off along both long edges.",
    "rim to centre": "Resin is fed all round the rim and drawn off along the middle.",
    "side to side": "Resin is fed along one long edge and drawn off along the other.",
    "end to end": "Resin is fed at one end and drawn off at the other.",
    "rungs": "Resin is fed by lines across the part and drawn off at both ends and between the lines.",
    "drawn": "Feed and vent lines lie as drawn on the part laid flat, page 04.",
}


def cutting(cut, part, catalogue) -> Section:
    """Pieces by zone, and what to buy."""
    tables = [Table(f"Cut for zone {zone}", ("place", "material", "angle", "pieces", "length × width of one", "area of all"), tuple(
        (piece.place, piece.material, "–" if piece.angle is None else f"{piece.angle.m_as('deg'):.3g}°", str(piece.pieces),
         f"{piece.length.m_as('mm'):.0f} × {piece.width.m_as('mm'):.0f} mm", say(piece.area, "m^2")) for piece in cut.of_zone(zone)),
        figures=(2, 3, 4, 5)) for zone in part.layup]
    supplies = Table("Have on the bench, allowances included", ("what", "how much", "how it was reckoned", "allowance from"), tuple(
        (supply.what, say(supply.amount), supply.reckoned, supply.source) for supply in cut.supplies), figures=(1,))
    keys = dict.fromkeys(key for supply in cut.supplies for key in re.findall(r"\b[A-Z]{3,}\d\d\b", supply.source))
    cited = tuple(f"{key}: {catalogue.source(key).citation}" for key in keys)
    return Section("cut_list", "Cut list", (Items(cut.notes), *tables, supplies, Items(cited)))


def feeding(found, part, filled=None) -> Section:
    """Where resin comes in and goes out, how far it runs and how long it may take; ``filled`` the SurfaceFill, where there is one."""
    feed, shop = part.feed, part.workshop
    words = f"{LAYOUTS[feed.layout]} " + (f"{feed.rungs} feed line{'s' if feed.rungs > 1 else ''} across. " if feed.layout == "rungs" else "")
    words += "Flow mesh is laid under the bag." if feed.flow_mesh else "No flow mesh."
    rows = [("room", say(shop.temperature)), ("absolute pressure kept under the bag, at the vent", say(shop.bag_pressure, "mbar")),
            ("pressure that drives the resin", say(found.pressure, "mbar")), ("viscosity of fresh resin", say(found.viscosity)),
            ("longest way of the slowest run", say(found.distance, "m")), ("distance that run gets in the time allowed", say(found.farthest, "m")),
            ("fill time of the whole part", minutes(found.fill_time)), ("time allowed for filling", minutes(found.time_allowed)),
            ("gel time in the bucket's data sheet, this room", minutes(found.gel_time)),
            ("feed hose", f"{say(feed.feed_hose, 'm')} of {say(feed.feed_bore, 'mm')} bore, bucket {say(feed.pot_below, 'm')} below the part")]
    paths = Table("Zone by zone, in the order they get wet", ("zone", "resin has run", "wet after", "way and what is slowest"), tuple(
        (path.zone, say(path.distance, "m"), minutes(path.fill_time), path.words) for path in found.paths), figures=(1, 2))
    surface = () if filled is None else (Text(_surface(filled)), *([Items(tuple(f"{spot.name}, {spot.zone}, {say(spot.area)}: {spot.advice}" for spot in filled.pockets))] if filled.pockets else []))
    return Section("feed", "Feed plan", (Text(words), Table("Flow", ("what", "figure"), tuple(rows), figures=(1,)), paths, *surface))


def _surface(filled) -> str:
    """The fill of the real surface in a sentence."""
    spots = "no dry spot is closed off" if not filled.pockets else f"{len(filled.pockets)} dry spot{'s are' if len(filled.pockets) > 1 else ' is'} closed off"
    end = f"{filled.wet_words} after {minutes(filled.fill_time)}" if filled.arrives else "the resin gels before it is wet"
    return f"The real surface, triangle by triangle: {end}; {spots}."


def minutes(time) -> str:
    """A time on the shop's clock; infinite means that the resin sets on its way."""
    value = time.m_as("min")
    if not np.isfinite(value):
        return "never: gels on its way"
    return say(time, "hour") if value >= 600 else say(time, "min")


def trials(findings) -> Section:
    """What each trial panel told, or what a trial should be."""
    blocks = []
    for found in findings:
        if found.trial is None:
            blocks += [Text("No trial panel is recorded. Make one of this size before the part:"), _trial_size(found)]
            continue
        tried = found.trial
        rows = tuple((row.what, say(row.measured, row.unit), say(row.expected, row.unit), f"{row.ratio:.2f}") for row in found.compared)
        head = f'Measured on trial "{tried.name}" beside what the catalogue promised for {"that panel" if found.other else "it"}'
        blocks += [Text(f'Trial "{tried.name}" of zone {tried.zone}, {say(tried.temperature)}. {tried.note}'.strip()),
                   *([Text(found.other, loud=True)] if found.other else []), Table(head, ("what", "measured", "expected", "ratio"), rows, figures=(1, 2, 3))]
        blocks += [Text(found.few)] if found.few else []
        if found.other:
            blocks += [Text("What was checked on that panel; it speaks for the shop on that day and does not count towards the verdict on this part:"),
                       Items(tuple(check.sentence() for check in found.checks)), Text("A trial of the layup as it is now should be of this size:"), _trial_size(found)]
    return Section("trials", "Trial panels", tuple(blocks))


def _trial_size(found):
    rows = tuple((row["what"], say(row["size"], "mm"), row["why"]) for row in found.plan.rows())
    return Table(f"Trial panel of zone {found.zone}", ("what", "size", "why"), rows, figures=(1,))


def mixing(found) -> Section:
    """How much resin to have, where it goes, and a card for every bucket."""
    demand = found.demand
    rows = [(item.what, *(grams(mass) for mass in (item.low, item.typical, item.high)), "in the part" if item.stays_in_part else "thrown away",
             f"{item.source} ({item.grade})") for item in demand.items]
    rows += [(what, *(grams(mass) for mass in sums), "", "") for what, sums in
             (("stays in the part", demand.in_part), ("thrown away", demand.thrown_away), ("all together", demand.total))]
    resin, hardener = found.resin_to_have
    have = (f"Have at least {say(resin, 'kg')} of resin and {say(hardener, 'kg')} of hardener in the shop: the high case with the reserve. "
            f"The label's ratio comes first; this sheet mixes {100 * found.hardener_share / (1 - found.hardener_share):.3g} parts of hardener to 100 of resin by weight.")
    inlets = found.inlets
    hoses = (f"Feed hoses: {inlets.hoses}, the greater of {inlets.by_mass} by the trade's rule of mass per connector (common practice, no source) and "
             f"one to each of {inlets.lines} feed line{'s' if inlets.lines > 1 else ''}.")
    return Section("resin", "Resin and mixing cards", (
        Text(have), Table("Resin by item, g", ("what", "low", "typical", "high", "where it ends", "from"), tuple(rows), figures=(1, 2, 3)),
        *_cards(found), Text(hoses)))


def grams(mass) -> str:
    """To the nearest gram, as a scale shows it."""
    return f"{mass.m_as('g'):.0f}"


def _cards(found):
    if not found.batches:
        return (Text(f"THERE IS NO MIXING PLAN. {found.no_plan}", loud=True),)
    said = (Text(found.void, loud=True),) if found.void else ()
    rows = tuple((f"bucket {batch.number}", _clock(batch.mix_at), _clock(batch.ready_at), f"{grams(batch.resin)} g", f"{grams(batch.hardener)} g", f"{grams(batch.mass)} g",
                  _clock(batch.used_up_by), minutes(batch.life), "☐") for batch in found.batches)
    resin, hardener = found.spare
    return (*said, Table("Mixing cards, in minutes from opening the clamp", (
        "card", "start mixing", "ready", "resin", "hardener", "together", "used up by", "working life of this bucket", "done"), rows, figures=(1, 2, 3, 4, 5, 6, 7)),
        Text(f"The lives of these buckets rest on {found.life_basis}."),
        Text(f"Spare, weighed out but mixed only if it is wanted: {grams(resin)} g of resin and {grams(hardener)} g of hardener."))


def _clock(time):
    value = time.m_as("min")
    return f"{abs(value):.0f} min before" if value < -0.5 else f"{abs(value):.0f} min"


def day(found, cut) -> Section:
    """What to make ready, when to demould, and what the part should weigh; supplies stand in the cut list already."""
    listed = {supply.what for supply in cut.supplies} if cut else set()
    rows = tuple((task.what, task.much or "–", task.group, "☐") for task in found.tasks if task.what not in listed)
    log = tuple((row.when, row.what, row.planned or "–", row.built, row.note or "–") for row in found.built)
    return Section("day", "On the day", (
        Table("Make ready and tick off", ("what", "how much", "where", "done"), rows), Text(_demould(found)),
        Text(f"Trimmed and with its fittings the part should weigh {say(found.planned, 'kg')}."
             + (f" It was weighed at {say(found.weighed, 'kg')}." if found.weighed is not None else "")),
        *([Table("Planned and built", ("when", "what", "planned", "built", "note"), log)] if log else [])))


def _demould(found):
    clock, room = found.cure, f"at this room temperature, {say(found.room)}"
    if clock is None:
        return "There is no cure clock for this resin: demould by its data sheet."
    quick, slow = (f"{np.ceil(hours):.0f} h" if np.isfinite(hours) else "more than two weeks" for hours in clock.when)
    if not np.isfinite(clock.not_before):
        return f"DO NOT DEMOULD within two weeks {room}: it is too cold for the resin to harden surely. Warm the part in the mould."
    return (f"Do not demould before {slow} after the fill {room}, and only when hardness has stopped rising. An estimate, with the longest pot life listed; "
            f"with the usual one it takes {quick}.")

