"""What did the small sample tell: a weighed, timed and bent trial panel beside what the catalogue promised for it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import numpy as np

from ..errors import PartFileError
from ..flotation import water_density
from ..infusion.vacuum import DropTest, drop_test
from ..part.model import Trial
from ..part.tables import read_front, read_strips
from ..trial import characteristic_value
from ..units import say
from .build import zone_build
from .findings import Finding
from .trial_compare import SAME_LAYUP, Compared, compare, sag_growth
from .trial_front import TrialFront, read_trial_front
from .trial_part import other_panel, trial_part
from .trial_plan import TrialPlan, trial_plan
from .trial_strips import Strip, reduce_strips
from .trial_weights import TrialWeights, weigh
from .trial_words import cautions, checks, guesses, rests_on, working


@dataclass(frozen=True, kw_only=True)
class TrialPanel(Finding):
    """A trial panel read. Without a trial in the part file only ``zone`` and ``plan`` are given.

    zone        zone whose layup was tried
    plan        what a trial of the layup that the part has now should be
    trial       the trial as it stands in the part file; number is its place there
    weights     fibre, resin and density from the weights
    drop        drop test, against the workshop limit
    front       flow front and permeability; None without a table
    strips      every strip; chosen are those the stiffness is taken from
    compared    measured beside expected, line by line
    other       how the panel's layup or resin differs from what the part has now, in words; empty where it does not
    growth      times that the largest sag grows with one stiffness as measured, by the name of its line
    """

    zone: str
    plan: TrialPlan
    trial: Trial | None = None
    number: int | None = None
    weights: TrialWeights | None = None
    drop: DropTest | None = None
    front: TrialFront | None = None
    strips: tuple[Strip, ...] = ()
    chosen: tuple[Strip, ...] = ()
    compared: tuple[Compared, ...] = ()
    growth: dict[str, float] = field(default_factory=dict)
    few: str = ""
    other: str = ""

    @property
    def choice(self) -> str:
        """The measured values in one line, for the record."""
        found = "; ".join(f"{row.what} {say(row.measured, row.unit)} ({row.ratio:.2f} of the catalogue's)" for row in self.compared)
        return f'trial "{self.trial.name}", {self.zone}: {found}' if self.trial else f"no trial panel of {self.zone} yet"

    def row(self, what: str) -> Compared | None:
        """The line of that name, if it was measured."""
        return next((row for row in self.compared if row.what == what), None)


def trial_panel(part, catalogue, trial: str | int | None = None, folder=None, skip_early: int = 0, viscosity_factor: float = 1.0,
                strip: str | None = None) -> TrialPanel:
    """Reduce a trial panel to properties and hold them against the catalogue.

    trial             name or number of the trial in the part file; the first if left out
    folder            where the trial's tables lie; without it only weights and drop test are read
    skip_early        readings of the front to leave out at the start
    viscosity_factor  viscosity of the resin as mixed, over the catalogue's
    strip             name of the one strip to take the stiffness from; all if left out
    Raises PartFileError, RangeError.
    """
    if not part.trials:
        zone = part.structural_zones[0]
        return TrialPanel(zone=zone, plan=trial_plan(zone_build(part, catalogue, zone)), cautions=cautions(None), rests_on=(f"layup.{zone}", "resin"))
    number = _number(part, trial)
    tried = part.trials[number]
    as_made, other = trial_part(part, tried), other_panel(part, tried, catalogue)
    build = zone_build(as_made, catalogue, tried.zone)
    weights = weigh(tried, build, catalogue.resin(as_made.resin))
    drop = drop_test(tried.drop_start, tried.drop_end, tried.drop_time)
    front = None
    if folder is not None and tried.front_log:
        front = read_trial_front(_front(*_version(Path(folder) / tried.front_log)), tried, as_made, catalogue, build, skip_early, viscosity_factor)
    strips = () if folder is None or not tried.strips else _strips(*_version(Path(folder) / tried.strips), build.sandwich is None)
    chosen = _chosen(strips, strip)
    compared = compare(build, catalogue, weights, front, chosen)
    growth = sag_growth(part, catalogue, tried.zone, compared) if weights.same_layup(SAME_LAYUP) and not other else {}
    floats = water_density(part.brief.water) if part.brief.floats and not other else None
    return TrialPanel(
        zone=tried.zone, plan=trial_plan(zone_build(part, catalogue, tried.zone)), trial=tried, number=number, weights=weights, drop=drop, front=front, strips=strips,
        chosen=chosen, compared=compared, growth=growth, few=few_strips(chosen), other=other,
        checks=checks(tried, drop, weights, compared, growth, floats, other),
        working=working(tried, drop, weights, front, chosen), cautions=cautions(tried),
        guesses=guesses(as_made, catalogue, build, weights, front), rests_on=rests_on(as_made, build, number))


def few_strips(strips: tuple[Strip, ...]) -> str:
    """What so few strips can say of the bending stiffness, in words."""
    if not strips:
        return ""
    if len(strips) < 2:
        return f"One strip ({strips[0].name}) gives a figure and no spread: nothing may be sized with it alone."
    found = characteristic_value([strip.flexural_rigidity for strip in strips])
    return (f"{found.number} strips: bending stiffness {say(found.mean, 'N*m')} per width on average, scatter {found.variation:.1%}. "
            f"Nineteen strips of twenty should lie above {say(found.value, 'N*m')} (mean less {found.factor:.2f} times the scatter, "
            f"which is so much because there are so few). {found.caution}").strip()


def _number(part, trial):
    names = [tried.name for tried in part.trials]
    if trial is None:
        return 0
    if trial in names:
        return names.index(trial)
    if isinstance(trial, int) and 0 <= trial < len(names):
        return trial
    raise PartFileError(f'there is no trial "{trial}" in this part; it has {", ".join(names)}.')


def _chosen(strips, name):
    chosen = tuple(one for one in strips if name in (None, one.name))
    if strips and not chosen:
        raise PartFileError(f'there is no strip "{name}" in this trial; it has {", ".join(one.name for one in strips)}.')
    return chosen


def _version(path):
    """The path with its age, so that a table is read again when it was changed."""
    return path, path.stat().st_mtime_ns if path.exists() else np.nan


@lru_cache(maxsize=32)
def _front(path, _age):
    return read_front(path)


@lru_cache(maxsize=32)
def _strips(path, _age, solid):
    return reduce_strips(read_strips(path), solid)
