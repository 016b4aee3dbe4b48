"""Decisions kept beside the numbers they rested on, and whether they still stand."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import Field

from ..errors import CatalogueError
from ..units import write
from .shapes import Strict


class Decision(Strict):
    """What was chosen, against what, why, by whom, and exactly what it rested on."""

    subject: str = Field(min_length=1)
    choice: str = Field(min_length=1)
    alternatives: list[str] = Field(default_factory=list)
    numbers: list[str] = Field(default_factory=list, description="the figures and verdicts seen when it was made")
    reason: str = Field(min_length=1)
    who: str = Field(min_length=1)
    when: str
    rests_on: dict[str, str] = Field(default_factory=dict, description="each input by its path, with the value it had")


@dataclass(frozen=True)
class Change:
    """One input of a decision that is no longer what it was."""

    path: str
    old: str
    new: str

    def sentence(self) -> str:
        return f"{self.path} was {self.old}, is now {self.new}"


def fingerprint(part, catalogue, paths) -> dict[str, str]:
    """The value now at each path; ``catalogue.core.pet-100.shear_modulus`` looks into the catalogue."""
    return {path: _look_up(part, catalogue, path) for path in paths}


def changes_since(decision: Decision, part, catalogue) -> tuple[Change, ...]:
    """Inputs that differ from those the decision rested on; none means that it still stands."""
    now = fingerprint(part, catalogue, decision.rests_on)
    return tuple(Change(path, old, now[path]) for path, old in decision.rests_on.items() if now[path] != old)


def _look_up(part, catalogue, path):
    if not path.startswith("catalogue."):
        return part.value_at(path)
    _, kind, key, field = path.split(".", 3)
    try:
        value = getattr(getattr(catalogue, kind)(key), field)
    except CatalogueError:
        return "no longer in the catalogue"
    return write(value) if hasattr(value, "units") else str(value)
