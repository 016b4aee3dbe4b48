"""What a study finds: checks with a margin and a verdict in words, and the steps an apprentice can follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..errors import RangeError, UnitError
from ..units import Q_, say

SLIM = 0.10    # own judgement: less in hand than this and the verdict says so
AMPLE = 1.00   # own judgement: more in hand than this and the verdict asks whether the part is overbuilt


@dataclass(frozen=True)
class Check:
    """One figure against its limit.

    what    what is checked, in words
    value   the figure found, a quantity
    limit   the figure allowed, a quantity of the same dimension, not nought
    sense   "at most" or "at least"
    source  where the limit comes from, with its grade, or "common practice, no source", or "brief"
    remedy  what to change if it fails
    trim    whether plenty in hand is waste (a skin) rather than safety to keep (flotation)
    """

    what: str
    value: Q_
    limit: Q_
    sense: str
    source: str
    remedy: str = ""
    trim: bool = False

    def __post_init__(self):
        if self.sense not in ("at most", "at least"):
            raise RangeError(f'{self.what}: sense is "{self.sense}", but must be "at most" or "at least".')
        if not self.limit.check(self.value.dimensionality):
            raise UnitError(f"{self.what}: the value {self.value:~P} and the limit {self.limit:~P} cannot be compared.")
        if self.limit.magnitude == 0:
            raise RangeError(f"{self.what}: a limit of nought gives no margin; compare two figures instead.")

    @property
    def margin(self) -> float:
        """Share of the limit left over; negative when the check fails."""
        ratio = (self.value / self.limit).m_as("")
        return 1.0 - ratio if self.sense == "at most" else ratio - 1.0

    @property
    def reserve(self) -> float:
        """How many times the figure could grow (or shrink) before the limit is met."""
        ratio = (self.value / self.limit).m_as("")
        if self.sense == "at least":
            return ratio
        return float("inf") if ratio <= 0 else 1.0 / ratio

    @property
    def passed(self) -> bool:
        return self.margin >= 0

    @property
    def found(self) -> str:
        """The figure found, in words."""
        return say(self.value, f"{self.limit.units}")

    @property
    def verdict(self) -> str:
        """The verdict in words, with the margin."""
        if not self.passed:
            if self.sense == "at least":
                if self.reserve < 0:
                    return "FAILS: below nought"
                return f"FAILS: {self.reserve:.{0 if self.reserve < 0.985 else 1}%} of what is needed"
            over = 1 / self.reserve
            return f"FAILS: {over - 1:.1%} over the limit" if over < 1.1 else f"FAILS: {f'{over:.2g}' if over < 99.5 else f'{over:,.0f}'} times the limit"
        if self.margin < 0.005:
            return "holds, with nothing in hand"
        if self.margin < SLIM:
            return f"holds, but only {self.margin:.0%} in hand"
        if self.trim and self.reserve > 1 + AMPLE:
            return f"holds {self.reserve:.2g} times over: room to trim"
        return f"holds, {self.margin:.0%} in hand"

    def sentence(self) -> str:
        """One line for a headline, an alt text or a record."""
        return f"{self.what}: {self.found} ({self.sense} {say(self.limit)}), {self.verdict}"


@dataclass(frozen=True)
class Step:
    """One line of working: the relation, the numbers put in, the result, and where the relation comes from."""

    what: str
    formula: str
    inputs: Mapping[str, Q_ | float | str]
    result: Q_ | float | str
    source: str


@dataclass(frozen=True, kw_only=True)
class Finding:
    """Base of every study's result.

    checks    each figure against its limit
    working   the steps behind the figures
    cautions  sentences to show beside the numbers where somebody could be hurt
    guesses   inputs that are remembered or judged rather than read or measured, in words
    rests_on  part-file and catalogue paths whose change makes a decision on this result stale
    """

    checks: tuple[Check, ...] = ()
    working: tuple[Step, ...] = ()
    cautions: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = field(default=())

    @property
    def failed(self) -> tuple[Check, ...]:
        return tuple(check for check in self.checks if not check.passed)

    @property
    def tally(self) -> str:
        """How many checks fail, of how many."""
        return f"{len(self.failed)} of {len(self.checks)} checks {'fails' if len(self.failed) == 1 else 'fail'}"

    @property
    def verdict(self) -> str:
        """All checks in one sentence: the worst first."""
        if not self.checks:
            return "nothing to check here"
        worst = min(self.checks, key=lambda check: check.reserve)
        if self.failed:
            return f"{self.tally}; worst: {worst.sentence()}"
        return f"all {len(self.checks)} checks hold; tightest: {worst.sentence()}"
