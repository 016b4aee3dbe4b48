"""What a committed page must be: run top to bottom, free of faults and machine traces, readable without a kernel."""

from __future__ import annotations

import json
import re
from pathlib import Path

import nbformat
import pytest
from refresh_notebooks import METADATA, PAGES, ROOT, WIDGET, cell_id

FOUND = sorted(PAGES.glob("*.ipynb"))
TRACES = re.compile(r"/(?:work|tmp|root|home|Users)/|[A-Z]:\\\\Users")
PICTURE = re.compile(r'"image/png": "[^"]*"')     # chance letters of a picture are not a path
SEE_CODE = re.compile(r"\b(?:interact|interactive|interactive_output|Output)\(")


def faults_of(path: Path) -> list[str]:
    """Every way in which a page is not fit to commit, in words."""
    text = path.read_text(encoding="utf-8")
    notebook = nbformat.reads(text, as_version=4)
    nbformat.validate(notebook)
    code = [cell for cell in notebook.cells if cell.cell_type == "code" and cell.source.strip()]
    first = notebook.cells[0] if notebook.cells else None
    faults = []
    if first is None or first.cell_type != "markdown" or not first.source.startswith("# "):
        faults.append('the first cell is not a heading "# ..."')
    if [cell.execution_count for cell in code] != list(range(1, len(code) + 1)):
        faults.append("it was not run once from top to bottom (the strict test would compare nothing)")
    if notebook.metadata != METADATA:
        faults.append("the metadata holds more than kernel and language")
    if [cell.get("id") for cell in notebook.cells] != [cell_id(path.stem, n) for n in range(len(notebook.cells))]:
        faults.append("cell ids are not the fixed ones")
    for number, cell in enumerate(notebook.cells):
        faults += [f"cell {number}: {fault}" for fault in cell_faults(cell)]
    if len(text) > 1_000_000:
        faults.append(f"the file has {len(text):,} characters, more than a million")
    if trace := TRACES.search(PICTURE.sub("", text)):
        faults.append(f'a path of one machine stands in it near "{trace[0]}"')
    if str(ROOT) in text:
        faults.append("the folder it was made in stands in it")
    return faults


def cell_faults(cell):
    source = cell.source.strip()
    if not source:
        yield "is empty"
    if cell.cell_type != "code":
        return
    if source.endswith(";"):
        yield 'ends with ";", which the notebook test prints in spite of it'
    if SEE_CODE.search(source):
        yield "uses an output-capturing widget, whose errors are hidden; use a Panel"
    for output in cell.outputs:
        wanted = "raises-exception" in cell.metadata.get("tags", [])
        if output.output_type == "error" and not wanted:
            yield f"failed with {output.ename}"
        if output.get("name") == "stderr":
            yield "wrote a warning"
        if WIDGET in output.get("data", {}):
            yield "holds a widget id that dies with the kernel"
        if ": no answer: " in "".join(output.get("data", {}).get("text/plain", "")):
            yield "shows a panel that has no answer"


def test_there_are_pages():
    assert FOUND, f"no page in {PAGES.name}/"


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_page_is_fit_to_commit(path):
    faults = faults_of(path)
    assert not faults, f"{path.name} (cure most with python tests/refresh_notebooks.py):\n" + "\n".join(faults)


def good_page():
    cell = {"cell_type": "code", "id": "00-001", "metadata": {}, "execution_count": 1, "source": "1 + 1", "outputs": [
        {"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": {"text/plain": "2"}}]}
    head = {"cell_type": "markdown", "id": "00-000", "metadata": {}, "source": "# Start"}
    return {"cells": [head, cell], "metadata": METADATA, "nbformat": 4, "nbformat_minor": 5}


def spoil(change):
    page = json.loads(json.dumps(good_page()))
    change(page["cells"][1], page)
    return page


OWN_SPOILT = [
    (lambda cell, page: page["cells"].pop(0), "heading"),
    (lambda cell, page: cell.update(execution_count=None), "not run once"),
    (lambda cell, page: cell.update(source="plot();"), 'ends with ";"'),
    (lambda cell, page: cell.update(source="interact(f, x=1)"), "output-capturing"),
    (lambda cell, page: cell.update(id="random"), "cell ids"),
    (lambda cell, page: page["metadata"].update(widgets={}), "metadata"),
    (lambda cell, page: cell["outputs"][0]["data"].update({WIDGET: {"model_id": "x"}}), "widget id"),
    (lambda cell, page: cell["outputs"][0]["data"].update({"text/plain": "SagPanel: no answer: t"}), "no answer"),
    (lambda cell, page: cell["outputs"][0]["data"].update({"text/plain": "'/home/me/x'"}), "path of one machine"),
    (lambda cell, page: cell.update(outputs=[{"output_type": "stream", "name": "stderr", "text": "w"}]), "warning"),
    (lambda cell, page: cell.update(
        outputs=[{"output_type": "error", "ename": "KeyError", "evalue": "", "traceback": []}]), "KeyError"),
]


@pytest.mark.parametrize(("change", "word"), OWN_SPOILT, ids=[word for _, word in OWN_SPOILT])
def test_the_hygiene_test_sees_every_fault(tmp_path, change, word):
    path = tmp_path / "00_start.ipynb"
    path.write_text(json.dumps(good_page()))
    assert faults_of(path) == []
    path.write_text(json.dumps(spoil(change)))
    assert any(word in fault for fault in faults_of(path))
