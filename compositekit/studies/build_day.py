"""The traveller for the day: check list, drop test, dry cloth, buckets, the front as it runs, cure, and the weight in the end."""

from __future__ import annotations

from dataclasses import dataclass

from ..infusion.vacuum import DropTest, drop_test, pressure_after, standard_atmosphere
from ..units import Q_, Spec
from .build import part_mass
from .cut_list import cut_list
from .day_cure import CureClock, cure_clock
from .day_damp import Damp, damp
from .day_front import FrontWatch, watch_front
from .day_lists import Card, Task, cards, tasks
from .day_log import Built, built
from .day_words import cautions, checks, guesses, rests_on, working
from .findings import Finding
from .resin_budget import ResinBudget, resin_budget

CURE_TEMPERATURE, ABOVE_NOUGHT = Spec.of("K in 253..400"), Spec.of("s > 0")
CURE_HOURS = Q_(48.0, "hour")     # where the cure clock looks unless asked elsewhere


@dataclass(frozen=True)
class Leak:
    """The drop test, and what its leak does by the end of the fill if the vent is clamped off."""

    test: DropTest
    start: Q_
    end: Q_
    time: Q_
    until: Q_
    pressure_at_end: Q_
    drive_lost: float


@dataclass(frozen=True, kw_only=True)
class BuildDay(Finding):
    """Everything for the day; ``leak`` is None before a drop test, ``cure`` is None for a resin without a clock.

    tasks    check list; cards  one per bucket
    front    prediction and readings
    planned  calculated mass of the finished part; weighed what the scale said, None before
    built    planned beside built, from the build log in the part file
    """

    tasks: tuple[Task, ...]
    cards: tuple[Card, ...]
    leak: Leak | None
    damp: Damp
    front: FrontWatch
    cure: CureClock | None
    planned: Q_
    weighed: Q_ | None
    built: tuple[Built, ...]
    budget: ResinBudget
    room: Q_

    @property
    def fill(self) -> Q_:
        """When the part is full, as seen where there are readings, as calculated before [min]; infinite where it gels."""
        return Q_(self.front.finish / 60, "min")


def build_day(part, catalogue, drop: tuple | None = None, readings=None, weighed=None, cure_temperature=None, cure_time=CURE_HOURS,
              gel_seen=None, budget: ResinBudget | None = None) -> BuildDay:
    """The day of a part.

    drop              (pressure at the start, at the end, time between) of the drop test, absolute
    readings          FrontLog of the front on the slowest way, the clock started when the clamp was opened
    weighed           mass of the finished part, trimmed, with fittings
    cure_temperature  of the part while it cures; the room's if left out
    cure_time         how long until somebody wants to demould
    gel_seen          time in which a thin film of the day's resin gelled in the room
    budget            resin budget of this very part, where it is at hand already
    Raises PartFileError, RangeError, UnitError, UnknownMaterial.
    """
    budget = budget or resin_budget(part, catalogue)
    flow, builds, shop = budget.flow, budget.flow.builds, part.workshop
    front = watch_front(flow, readings)
    wet = damp(part, catalogue, builds)
    room = shop.temperature.m_as("K")
    oven = room if cure_temperature is None else CURE_TEMPERATURE.read(cure_temperature, "cure_temperature")
    hours = ABOVE_NOUGHT.read(cure_time, "cure_time") / 3600
    gelled = None if gel_seen is None else ABOVE_NOUGHT.read(gel_seen, "gel_seen")
    if weighed is not None:
        Spec.of("kg > 0").read(weighed, "weighed")
    clock = cure_clock(catalogue.resin(part.resin), room, oven, hours, gelled)
    leak = None if drop is None else _leak(part, drop, min(front.finish, flow.gel_time.m_as("s")))
    planned = part_mass(part, builds)
    facts = dict(leak=leak, damp=wet, front=front, cure=clock, planned=planned, weighed=weighed, budget=budget,
                 room=Q_(room, "K").to("degC"))
    return BuildDay(
        **facts, tasks=tasks(part, budget, cut_list(part, catalogue, budget), wet), cards=cards(budget), built=built(part, planned, flow),
        checks=checks(part, facts), working=working(part, catalogue, facts), cautions=cautions(facts),
        guesses=guesses(part, catalogue, facts), rests_on=rests_on(part, budget))


def _leak(part, drop, until):
    start, end, time = drop
    test = drop_test(start, end, time)
    air = standard_atmosphere.si(part.workshop.altitude.m_as("m"))
    begins = start.m_as("Pa")
    after = float(pressure_after.si(begins, test.si.rise, until, air))
    return Leak(test, start.to("mbar"), end.to("mbar"), time.to("min"), Q_(until / 60, "min"), Q_(after, "Pa").to("mbar"), (after - begins) / (air - begins))
