"""Lists for the day: what to make ready, and a card for every bucket."""

from __future__ import annotations

from dataclasses import dataclass

from ..units import Q_, say


@dataclass(frozen=True)
class Task:
    """One line of the check list: where it belongs, what to do or to have, how much."""

    group: str
    what: str
    much: str = ""


@dataclass(frozen=True)
class Card:
    """One bucket as it stands on the bench: grams to the step of the scale, minutes from opening the clamp."""

    number: int
    mix_at: Q_
    ready_at: Q_
    used_up_by: Q_
    life: Q_
    resin: Q_
    hardener: Q_


def cards(budget) -> tuple[Card, ...]:
    """A card for every batch of the resin page."""
    return tuple(Card(batch.number, batch.mix_at.to("min"), batch.ready_at.to("min"), batch.used_up_by.to("min"), batch.life.to("min"),
                      batch.resin.to("g"), batch.hardener.to("g")) for batch in budget.batches)


def tasks(part, budget, cut, damp) -> tuple[Task, ...]:
    """What to make ready, in the order of the day, with amounts from the cut list, the feed plan and the resin page."""
    shop, feed = part.workshop, part.feed
    resin, hardener = budget.resin_to_have
    film = next(supply for supply in cut.supplies if supply.what == "bag film")
    found = [
        Task("mould", "cleaned, no dust, no old resin on the flange; tape line wiped with solvent"),
        Task("mould", "release agent on as its maker says, flange masked where the tape will stick"),
        Task("mould", "at room temperature, so that the first resin does not chill", say(shop.temperature)),
    ]
    if damp.fabrics:
        found.append(Task("cloth", "dried and weighed until steady, bagged at once", f"{say(damp.cloth, 'kg')} of dry cloth"))
    found += [Task("cloth and core", f"cut {zone}", f"{sum(piece.pieces for piece in cut.of_zone(zone))} pieces (cut list on the build sheet)") for zone in part.layup]
    found += [Task("bench", supply.what, say(supply.amount)) for supply in cut.supplies if supply is not film]
    found += [
        Task("bench", film.what, f"{say(film.amount)}; {film.reckoned.split(': ')[-1]}"),
        Task("bench", "resin, high case with reserve", say(resin, "kg")), Task("bench", "hardener, high case with reserve", say(hardener, "kg")),
        Task("bench", "buckets, one for each batch, and the reserve weighed out but not mixed", f"{len(budget.batches)} + 1"),
        Task("bench", "inlets (hose and connector)", f"{budget.inlets.hoses} of {say(feed.feed_bore, 'mm')} bore"),
        Task("bench", "scale, checked with a known weight", f"steps of {say(shop.scale_step, 'g')}"),
        Task("bench", "catch pot made for vacuum, absolute gauge, clamps on every hose, clock, thermometer, log"),
        Task("people", "a second person for the buckets; gloves, eye protection, air moving; shallow metal trays outdoors for what is left"),
        Task("before the clamp opens", "drop test passed, room warm and steady, bucket level below the part", say(feed.pot_below, "m")),
    ]
    return tuple(found)
