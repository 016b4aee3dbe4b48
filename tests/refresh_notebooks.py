"""Run every page and write its outputs: the only way outputs get into the repository.

    python tests/refresh_notebooks.py            run and write all pages (or those named)
    python tests/refresh_notebooks.py --check    run all, write none, and fail when one would change

Ids are fixed, widget state and timings are dropped, so a second run changes nothing. The text of outputs is held by
the notebook tests; --check also compares pictures, which may differ between machines, so it is advisory.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

import nbclient
import nbformat

ROOT = Path(__file__).resolve().parent.parent
PAGES = ROOT / "notebooks"
WIDGET = "application/vnd.jupyter.widget-view+json"     # its ids die with the kernel; picture and text stay
METADATA = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
            "language_info": {"name": "python"}}


def clean_room() -> None:
    """Parts are saved to a fresh temporary folder and every page starts on its demo part."""
    os.environ["COMPOSITEKIT_PARTS"] = tempfile.mkdtemp(prefix="compositekit-parts-")
    os.environ.pop("COMPOSITEKIT_PART", None)
    os.environ.pop("MPLBACKEND", None)


def cell_id(stem: str, number: int) -> str:
    return f"{stem[:2]}-{number:03d}"


def clean(notebook, stem: str):
    """Keep what a reader needs and nothing that changes from run to run."""
    notebook.metadata = nbformat.from_dict(METADATA)
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    for number, cell in enumerate(notebook.cells):
        cell["id"] = cell_id(stem, number)
        cell.metadata = nbformat.from_dict({k: v for k, v in cell.metadata.items() if k in ("tags", "jupyter")})
        for output in cell.get("outputs", []):
            if "metadata" in output:
                output["metadata"] = nbformat.from_dict({})
            output.get("data", {}).pop(WIDGET, None)
    return notebook


def run(path: Path) -> str:
    """The page's text after a run from top to bottom."""
    notebook = nbformat.read(path, as_version=4)
    for number, cell in enumerate(notebook.cells):
        cell["id"] = cell_id(path.stem, number)         # before the run: nbclient refuses cells without an id
    client = nbclient.NotebookClient(notebook, timeout=120, kernel_name="python3", store_widget_state=False,
                                     record_timing=False, resources={"metadata": {"path": str(path.parent)}})
    client.execute()
    return nbformat.writes(clean(notebook, path.stem)) + "\n"


def main(arguments=None) -> int:
    parser = argparse.ArgumentParser(description="Run the pages and write their outputs.")
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a page would change")
    parser.add_argument("pages", nargs="*", type=Path)
    options = parser.parse_args(arguments)
    pages = options.pages or sorted(PAGES.glob("*.ipynb"))
    changed = []
    for path in pages:
        clean_room()
        fresh = run(path.resolve())
        if fresh != path.read_text(encoding="utf-8"):
            changed.append(path.name)
            if not options.check:
                path.write_text(fresh, encoding="utf-8")
        print(f"{'changed' if path.name in changed else 'same   '} {path.name}", flush=True)
    if not pages:
        print("no pages found", file=sys.stderr)
    return 1 if not pages or (options.check and changed) else 0


if __name__ == "__main__":
    sys.exit(main())
