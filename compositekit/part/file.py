"""A part file on disk: read whole or not at all, written atomically under a lock, never over somebody else's save."""

from __future__ import annotations

import json
import os
import tempfile
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock, Timeout

from ..catalogue import Catalogue
from ..errors import PartFileError, StaleRevision
from .decision import Decision, changes_since, fingerprint, replaced_by
from .model import LogEntry, Part
from .shapes import placed

LOCK_WAIT = 3.0  # seconds


@dataclass
class PartFile:
    """A part, where it was read, and where it will be saved.

    path     the file that was read
    part     what it says
    save_to  where a save goes: the same file, or the shop's own copy of a demo part
    """

    path: Path
    part: Part
    save_to: Path
    catalogue: Catalogue = field(repr=False)

    @classmethod
    def read(cls, path, save_to=None) -> PartFile:
        """Read and check a part file. Raises PartFileError; the file stays as it was."""
        path = Path(path)
        part = Part.from_plain(_json(path), f'part file "{path.name}" in folder "{path.parent.name}"', path.parent)
        catalogue = Catalogue.starter()
        for name in part.own_materials:
            catalogue = catalogue.with_own(path.parent / name)
        try:
            part.check_names(catalogue)
        except PartFileError as err:
            raise PartFileError(f'part file "{path.name}" in folder "{path.parent.name}":\n{err}') from err
        return cls(path, part, Path(save_to or path), catalogue)

    @property
    def folder(self) -> Path:
        """Where the tables that belong to the part lie."""
        return self.path.parent

    def save(self, part: Part) -> None:
        """Write ``part`` as the next revision.

        Raises StaleRevision if the file was saved by somebody else since it was read (this version is
        then kept beside it), PartFileError if the file is locked. A save that fails changes nothing.
        """
        placed(part.shape, self.folder)
        part.check_names(self.catalogue)
        self.save_to.parent.mkdir(parents=True, exist_ok=True)
        lock = FileLock(f"{self.save_to}.lock")
        try:
            with lock.acquire(timeout=LOCK_WAIT):
                self._refuse_stale(part)
                saved = part.changed({"revision": part.revision + 1})
                if self.save_to != self.path:
                    _bring_tables(part, self.path.parent, self.save_to.parent)
                elif self.save_to.exists():
                    _write(self.save_to.with_suffix(".previous.json"), self.save_to.read_text("utf-8"))
                _write(self.save_to, saved.to_json())
        except Timeout:
            raise PartFileError(
                f'"{self.save_to.name}" is being written by another notebook (lock file "{lock.lock_file}"). '
                "Nothing was saved. Try again; if no other notebook is open, delete the lock file.") from None
        self.part, self.path = saved, self.save_to

    def _refuse_stale(self, part):
        if not self.save_to.exists():
            return
        on_disk = _json(self.save_to).get("revision", 0)
        if on_disk == part.revision and self.save_to == self.path:
            return
        kept = self.save_to.with_name(f"{self.save_to.stem}.unsaved-{datetime.now():%Y%m%d-%H%M%S}.json")
        _write(kept, part.to_json())
        raise StaleRevision(
            f'"{self.save_to.name}" is at revision {on_disk}, but yours started from revision {part.revision}: somebody '
            f'saved in between. Theirs stays; yours is kept as "{kept.name}". Open the part again and repeat your change.')

    def record(self, *, subject, choice, reason, who, alternatives=(), numbers=(), rests_on=(), changes=None) -> Decision:
        """Apply ``changes`` to the part, add the decision with a fingerprint of its inputs, and save both at once."""
        faults = [f"say {words}" for text, words in ((choice, "what was chosen"), (reason, "why"), (who, "who decided")) if not str(text).strip()]
        if faults:
            raise PartFileError(f"The decision was not recorded: {' and '.join(faults)}.")
        part = self.part.changed(changes or {})
        decision = Decision(
            subject=subject, choice=choice.strip(), reason=reason.strip(), who=who.strip(), alternatives=list(alternatives),
            numbers=list(numbers), when=f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC", rests_on=fingerprint(part, self.catalogue, rests_on))
        self.save(part.changed({"decisions": [*part._plain().get("decisions", []), decision.model_dump()]}))
        return decision

    def log(self, what: str, values: dict | None = None, note: str = "") -> None:
        """Add one line to the build log and save."""
        entry = LogEntry(when=f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC", what=what, values=values or {}, note=note)
        self.save(self.part.changed({"build_log": [*self.part._plain().get("build_log", []), entry.model_dump()]}))

    def standing(self) -> list[tuple[Decision, tuple]]:
        """The newest decision on each subject with the inputs that changed since; an empty tuple means that it stands."""
        return [(d, changes_since(d, self.part, self.catalogue)) for d in self.part.decisions if replaced_by(d, self.part) is None]


def _json(path):
    try:
        text = path.read_text("utf-8")
    except FileNotFoundError:
        raise PartFileError(f'there is no part file "{path}". Check the name, or copy one of the demo parts.') from None
    except (OSError, UnicodeDecodeError) as err:
        raise PartFileError(f'part file "{path}" cannot be read ({err}). The file was not changed.') from err
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as err:
        where = "the text ends before the part does" if err.pos >= len(text.rstrip()) else f"{err.msg[0].lower()}{err.msg[1:]}"
        previous = path.with_suffix(".previous.json")
        rescue = f' The last good save is "{previous.name}".' if previous.exists() else ""
        raise PartFileError(f'part file "{path.name}", line {err.lineno}, column {err.colno}: {where}. '
                            f"Mend that line by hand; the file was not changed.{rescue}") from err
    except ValueError as err:
        raise PartFileError(f'part file "{path.name}": {err} The file was not changed.') from err
    if not isinstance(data, dict):
        raise PartFileError(f'part file "{path.name}" should start with "{{" and hold named fields. The file was not changed.')
    return data


def _no_constant(name):
    raise ValueError(f"{name} is not a number a part can be built to; write a figure.")


def _bring_tables(part, source, target):
    names = [n for t in part.trials for n in (t.front_log, t.strips) if n] + part.own_materials
    names += [part.shape.file] if part.shape.kind == "mesh" else []
    for name in names:
        if not (target / name).exists():
            (target / name).write_bytes((source / name).read_bytes())


def _write(path, text):
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
