"""What a build sheet is made of: headed sections of sentences, tables, lists and pictures, in plain text without markup."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ..units import Q_
from .build import ZoneBuild
from .findings import Finding


@dataclass(frozen=True)
class Text:
    """One paragraph. ``loud`` is printed large: nobody may miss it."""

    words: str
    loud: bool = False


@dataclass(frozen=True)
class Table:
    """A captioned table; the first cell of a row names the row. Columns in ``figures`` line up on the right."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: tuple[int, ...] = ()


@dataclass(frozen=True)
class Items:
    """A list of sentences; ``caution`` marks what somebody could be hurt by."""

    items: tuple[str, ...]
    caution: bool = False


@dataclass(frozen=True)
class Blanks:
    """Lines to fill in with a pen on the printed sheet."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class Picture:
    """A PNG with the words for somebody who cannot see it, and its width as a share of the page."""

    png: bytes = field(repr=False)
    alt: str
    width: float = 1.0


Block = Text | Table | Items | Blanks | Picture


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it; ``key`` stays the same whatever the heading says."""

    key: str
    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Gathered:
    """One study as the sheet found it: its finding, or the sentence that says why there is none."""

    name: str
    finding: Finding | None
    fault: str = ""


@dataclass(frozen=True, kw_only=True)
class BuildSheet(Finding):
    """Everything known about the part, in the order in which it is built.

    part_name, title    as the part file has them
    revision, decided   of the part file, and the date of the last decision in words
    invented            whether the part is a demonstration
    sections            in order, the verdict first
    gathered            every study, also those that gave no answer
    builds              what the layup makes, by zone; empty where it could not be computed
    part_mass           of the finished part; None where it could not be computed
    """

    part_name: str
    title: str
    revision: int
    decided: str
    invented: bool
    sections: tuple[Section, ...]
    gathered: tuple[Gathered, ...]
    builds: dict[str, ZoneBuild] = field(default_factory=dict)
    part_mass: Q_ | None = None

    @property
    def not_computed(self) -> tuple[Gathered, ...]:
        return tuple(study for study in self.gathered if study.finding is None)

    @property
    def ready(self) -> bool:
        """Whether every check holds and every study gave an answer."""
        return bool(self.checks) and not self.failed and not self.not_computed

    @property
    def verdict(self) -> str:
        """All checks of all studies in one sentence; what could not be computed is counted too."""
        return verdict(self.checks, self.not_computed)

    def section(self, key: str) -> Section:
        """The section with that key; KeyError without one."""
        return next(section for section in self.sections if section.key == key)

    def study(self, name: str) -> Finding | None:
        """What that study found; None if it gave no answer or was not asked."""
        return next((study.finding for study in self.gathered if study.name == name), None)

    def blocks(self) -> Iterator[Block]:
        for section in self.sections:
            yield from section.blocks

    def with_pictures(self, pictures: dict[str, tuple[Picture, ...]]) -> BuildSheet:
        """The same sheet with pictures put at the head of the sections of these keys."""
        return replace(self, sections=tuple(
            replace(section, blocks=(*pictures.get(section.key, ()), *section.blocks)) for section in self.sections))


def verdict(checks, not_computed) -> str:
    """One sentence over all checks: how many fail, the worst, and how much could not be computed at all."""
    lost = f"{len(not_computed)} of the studies gave no answer ({', '.join(study.name for study in not_computed)})" if not_computed else ""
    found = Finding(checks=tuple(checks)).verdict
    return f"{lost}; {found}" if lost else f"{found[0].upper()}{found[1:]}"
