"""Where parts live: the demo parts that ship with the project, and the shop's own beside them."""

from __future__ import annotations

import os
from pathlib import Path

from ..errors import PartFileError
from .file import PartFile

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "data_demo"
FIRST = "fen_punt"


def own_folder() -> Path:
    """The shop's own parts: ``my_parts`` beside the notebooks, or the folder named in COMPOSITEKIT_PARTS."""
    return Path(os.environ.get("COMPOSITEKIT_PARTS") or ROOT / "my_parts")


def demo_parts() -> tuple[str, ...]:
    """Names of the demo parts."""
    return tuple(sorted(p.parent.name for p in DEMO.glob("*/part.json")))


def all_parts() -> tuple[str, ...]:
    """Names that ``open_part`` knows: the shop's own first, then demo parts not yet copied."""
    own = sorted(p.parent.name for p in own_folder().glob("*/part.json"))
    return (*own, *(name for name in demo_parts() if name not in own))


def current_part() -> str:
    """The part that pages open when none is named: COMPOSITEKIT_PART, else the one chosen on the first page."""
    chosen = own_folder() / "current.txt"
    name = os.environ.get("COMPOSITEKIT_PART") or (chosen.read_text("utf-8").strip() if chosen.exists() else FIRST)
    return name if name in all_parts() else FIRST


def set_current_part(name: str) -> None:
    """Let every page open this part from now on. Raises PartFileError for an unknown name."""
    _known(name)
    own_folder().mkdir(parents=True, exist_ok=True)
    (own_folder() / "current.txt").write_text(f"{name}\n", "utf-8")


def open_part(name_or_path: str | Path | None = None) -> PartFile:
    """Open a part by name, by the path of its file, or the current one.

    A demo part is opened from ``data_demo`` and never written to: the first save makes the shop's own copy,
    and from then on the copy is opened. Raises PartFileError.
    """
    if name_or_path is None:
        name_or_path = current_part()
    path = Path(name_or_path)
    if path.suffix == ".json" or path.parent != Path("."):
        return PartFile.read(path / "part.json" if path.is_dir() else path)
    name = _known(str(name_or_path))
    own = own_folder() / name / "part.json"
    return PartFile.read(own) if own.exists() else PartFile.read(DEMO / name / "part.json", save_to=own)


def _known(name):
    if name not in all_parts():
        raise PartFileError(f'there is no part "{name}". Known parts: {", ".join(all_parts())}. A path ending in .json opens any other file.')
    return name
