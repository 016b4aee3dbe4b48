"""The refresh script: fixed ids, a still picture, no widget id, and a second run changes nothing."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import nbformat
from refresh_notebooks import METADATA, ROOT, WIDGET, main

CELLS = ["import sys\nsys.path.insert(0, 'TESTS')", "import os\nos.environ.get('COMPOSITEKIT_PART')",
         "from demo_panel import SagPanel\nSagPanel()"]


def test_second_run_changes_nothing_and_check_sees_a_change(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COMPOSITEKIT_PART", "somebody's own part")
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    page = tmp_path / "07_trial.ipynb"
    cells = [{"cell_type": "code", "metadata": {"scrolled": True}, "execution_count": 9, "outputs": [], "id": f"x{n}",
              "source": source.replace("TESTS", str(ROOT / "tests"))} for n, source in enumerate(CELLS)]
    page.write_text(json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}))
    assert main([str(page)]) == 0
    notebook = nbformat.read(page, as_version=4)
    assert [cell["id"] for cell in notebook.cells] == ["07-000", "07-001", "07-002"]
    assert notebook.metadata == METADATA and all(cell.metadata == {} for cell in notebook.cells)
    assert [cell.execution_count for cell in notebook.cells] == [1, 2, 3]
    assert notebook.cells[1].outputs == []          # the person's own part is not in the clean room
    data = notebook.cells[2].outputs[0].data
    assert data["text/plain"] == "SagPanel: sag 50.0 mm" and "image/png" in data and WIDGET not in data
    assert main(["--check", str(page)]) == 0        # pictures included, on one machine
    page.write_text(page.read_text().replace("sag 50.0 mm", "sag 51.0 mm"))
    assert main(["--check", str(page)]) == 1
    assert "changed 07_trial.ipynb" in capsys.readouterr().out


def test_this_session_is_a_clean_room():
    assert "COMPOSITEKIT_PART" not in os.environ
    assert os.path.isdir(os.environ["COMPOSITEKIT_PARTS"]) and not os.environ["COMPOSITEKIT_PARTS"].startswith(str(ROOT))


def test_script_says_what_it_does():
    said = subprocess.run([sys.executable, "tests/refresh_notebooks.py", "--help"], cwd=ROOT, capture_output=True, text=True)
    assert said.returncode == 0 and "--check" in said.stdout
