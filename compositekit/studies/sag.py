"""A sag against its limit, and what may be said of one that the theory of small deflections cannot tell."""

from __future__ import annotations

from dataclasses import dataclass, fields

from ..units import Q_
from .findings import Check

FOLDS = 20  # times the limit: beyond it a straight-line sum means nothing but "far too weak"
MANY = f"more than {FOLDS} times what is allowed"
SMALL = 3   # thicknesses of sag that the theory of small deflections can be stretched to, own judgement


@dataclass(frozen=True)
class SagCheck(Check):
    """A deflection against its limit; past what the theory can tell, ``value`` is a floor and ``reckoned`` the sum's own figure."""

    reckoned: Q_ | None = None

    @property
    def beyond(self) -> bool:
        return self.reckoned is not None

    @property
    def found(self):
        if not self.beyond or self.reckoned <= self.value:
            return super().found
        return MANY if self.reckoned >= FOLDS * self.limit else f"more than {self.value.m_as(self.limit.units):.3g} {self.limit.units:~P}"

    @property
    def reserve(self):
        return (self.limit / self.reckoned).m_as("") if self.beyond else super().reserve

    @property
    def verdict(self):
        if not self.beyond:
            return super().verdict
        if self.passed:
            return f"{super().verdict}, by a theory that overstates so deep a sag"
        more = "a straight-line sum gives more than that, " if self.reckoned > self.value else ""
        return f"FAILS: {more}far beyond what this small-deflection theory can tell"


class FarCheck(Check):
    """A figure so many times its limit that only this may be said of it."""

    @property
    def found(self):
        return MANY

    @property
    def verdict(self):
        return f"FAILS: more than {FOLDS} times the limit"


def capped(checks):
    """The checks, those of figures FOLDS times their limit and more without the figure, which means nothing any more."""
    return tuple(FarCheck(*(getattr(check, one.name) for one in fields(Check))) if type(check) is Check and check.reserve <= 1 / FOLDS
                 and check.sense == "at most" else check for check in checks)


def sag_floor(sag, limit, thickness):
    """What may be shown of a sag: itself, or past what the theory can tell at least so much."""
    return sag if sag <= SMALL * thickness else min(sag, max(SMALL * thickness, 2 * limit)).to(limit.units)


def sag_check(what, sag, limit, thickness, source, remedy, trim=False):
    """The check on a sag; past SMALL thicknesses of the panel a floor is shown instead of a figure that means nothing."""
    if sag <= SMALL * thickness:
        return SagCheck(what, sag, limit, "at most", source, remedy, trim)
    return SagCheck(what, sag_floor(sag, limit, thickness), limit, "at most", source, remedy, trim, reckoned=sag)
