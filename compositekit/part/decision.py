"""Decisions kept beside the numbers they rested on, and whether they still stand."""

from __future__ import annotations

import json
from dataclasses import dataclass

from pydantic import Field

from ..errors import CatalogueError
from ..units import write
from .shapes import Strict

MOST = 4    # changes named before "and so many more"


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
        return f"{self.path.replace('.', ' ')} was {self.old}, is now {self.new}"


def fingerprint(part, catalogue, paths) -> dict[str, str]:
    """The value now at each path; ``catalogue.core.pet-100.shear_modulus`` looks into the catalogue."""
    return {path: _look_up(part, catalogue, path) for path in paths}


def changes_since(decision: Decision, part, catalogue) -> tuple[Change, ...]:
    """Inputs that differ from those the decision rested on; none means that it still stands."""
    now = fingerprint(part, catalogue, decision.rests_on)
    return tuple(change for path, old in decision.rests_on.items() if now[path] != old for change in _leaves(path, _plain(old), _plain(now[path])))


def replaced_by(decision: Decision, part) -> Decision | None:
    """The newest later decision on the same subject, which took this one's place; None if there is none."""
    place = next(i for i, one in enumerate(part.decisions) if one is decision)
    later = [one for one in part.decisions[place + 1:] if one.subject == decision.subject]
    return later[-1] if later else None


def state(decision: Decision, part, catalogue) -> str:
    """Whether a decision of this part stands, was replaced, or went stale and by what, in words."""
    newer = replaced_by(decision, part)
    if newer is not None:
        return f"replaced on {newer.when}"
    changes = [change.sentence() for change in changes_since(decision, part, catalogue)]
    more = [f"and {len(changes) - MOST} more"] if len(changes) > MOST else []
    return "STALE: " + "; ".join(changes[:MOST] + more) if changes else "stands"


def _plain(text):
    """What a fingerprint's text says: a sub-tree of the part, or the text itself."""
    return json.loads(text) if text[:1] in "{[" else text


def _leaves(path, old, new):
    """The places inside two sub-trees that differ, each as one Change."""
    if isinstance(old, dict) and isinstance(new, dict):
        for name in sorted(old.keys() | new.keys()):
            yield from _leaves(f"{path}.{name}", old.get(name, "none"), new.get(name, "none"))
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for place, (a, b) in enumerate(zip(old, new, strict=True), 1):
            yield from _leaves(f"{path}.{place}", a, b)
    elif old != new:
        yield Change(path, _brief(old), _brief(new))


def _brief(value):
    if isinstance(value, list):
        return f"{len(value)} entries"
    return "set otherwise" if isinstance(value, dict) else str(value)


def _look_up(part, catalogue, path):
    if not path.startswith("catalogue."):
        return part.value_at(path)
    _, kind, key, field = path.split(".", 3)
    try:
        value = getattr(getattr(catalogue, kind)(key), field)
    except CatalogueError:
        return "no longer in the catalogue"
    return write(value) if hasattr(value, "units") else str(value)
