"""The traveller for the day: check list, drop test, dry cloth, buckets, the front as it runs, cure, and the weight in the end."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import RangeError
from ..infusion.vacuum import DropTest, drop_test, pressure_after, standard_atmosphere
from ..units import Q_, Spec, say
from .build import part_mass
from .cut_list import cut_list
from .day_cure import CureClock, cure_clock
from .day_damp import Damp, damp
from .day_front import FrontWatch, watch_front
from .day_lists import Card, Task, cards, tasks
from .day_log import Built, built, logged_weight
from .day_words import cautions, checks, guesses, rests_on, working
from .findings import Finding
from .resin_budget import ResinBudget, resin_budget

CURE_TEMPERATURE, ABOVE_NOUGHT = Spec.of("K in 253..400"), Spec.of("s > 0")
HIGHEST = Q_(1100.0, "mbar")      # more than air ever presses at the ground


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
    planned  calculated mass of the finished part; weighed what the scale or the log said, None before
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


def build_day(part, catalogue, drop: tuple | None = None, readings=None, weighed=None, cure_temperature=None, cure_time=None,
              gel_seen=None, filed=None, budget: ResinBudget | None = None) -> BuildDay:
    """The day of a part.

    drop              (pressure at the start, at the end, time between) of the drop test, absolute
    readings          FrontLog of the front on the slowest way, the clock started when the clamp was opened
    weighed           mass of the finished part, trimmed, with fittings; the newest in the build log if left out
    cure_temperature  of the part while it cures; the room's if left out
    cure_time         how long until somebody wants to demould; if left out nothing is checked, and the day says how long it takes
    gel_seen          time in which a thin film of the day's resin gelled in the room
    filed             the part as its file has it, where ``part`` has another room dialled: the room that was planned
    budget            resin budget of this very part, where it is at hand already
    Raises PartFileError, RangeError, UnitError, UnknownMaterial.
    """
    budget = budget or resin_budget(part, catalogue)
    flow, builds, shop = budget.flow, budget.flow.builds, part.workshop
    front = watch_front(flow, readings)
    wet = damp(part, catalogue, builds)
    room = shop.temperature.m_as("K")
    oven = room if cure_temperature is None else CURE_TEMPERATURE.read(cure_temperature, "cure_temperature")
    hours = None if cure_time is None else ABOVE_NOUGHT.read(cure_time, "cure_time") / 3600
    gelled = None if gel_seen is None else ABOVE_NOUGHT.read(gel_seen, "the time in which a thin film gelled")
    weighed = logged_weight(part) if weighed is None else weighed
    if weighed is not None:
        Spec.of("kg > 0").read(weighed, "the finished weight")
    clock = cure_clock(catalogue.resin(part.resin), room, oven, hours, gelled)
    buckets = cards(budget)
    leak = None if drop is None else _leak(part, drop, min(front.finish, flow.gel_time.m_as("s")))
    planned = part_mass(part, builds)
    facts = dict(leak=leak, damp=wet, front=front, cure=clock, planned=planned, weighed=weighed, budget=budget,
                 hours_asked=cure_time is not None, room=Q_(room, "K").to("degC"))
    return BuildDay(
        **{name: fact for name, fact in facts.items() if name != "hours_asked"}, tasks=tasks(part, budget, cut_list(part, catalogue, budget), wet), cards=buckets,
        built=built(filed or part, planned, flow, buckets),
        checks=checks(part, facts), working=working(part, catalogue, facts), cautions=cautions(facts),
        guesses=guesses(part, catalogue, facts), rests_on=rests_on(part, budget))


def _leak(part, drop, until):
    start, end, time = drop
    for pressure, when in ((start, "start"), (end, "end")):
        if not Q_(0.0, "mbar") <= pressure <= HIGHEST:
            raise RangeError(f"drop test: the pressure at the {when} is given as {say(pressure, 'mbar')}, but an absolute pressure lies between nought (a perfect "
                             f"vacuum) and {say(HIGHEST, 'mbar')}. Where the gauge reads below the air outside, write the barometer less that reading.")
    test = drop_test(start, end, time)
    air = standard_atmosphere.si(part.workshop.altitude.m_as("m"))
    begins = start.m_as("Pa")
    after = float(pressure_after.si(begins, test.si.rise, until, air))
    return Leak(test, start.to("mbar"), end.to("mbar"), time.to("min"), Q_(until / 60, "min"), Q_(after, "Pa").to("mbar"), (after - begins) / (air - begins))
