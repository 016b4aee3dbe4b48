"""Every page runs top to bottom on every demo part, and answers: no error, no panel left without a result."""

from __future__ import annotations

import os
from unittest import mock

import nbclient
import nbformat
import pytest
from refresh_notebooks import PAGES

from compositekit.part import demo_parts

OTHERS = [name for name in demo_parts() if name != "fen_punt"]    # the pages as committed already run on the punt


@pytest.mark.parametrize("part", OTHERS)
@pytest.mark.parametrize("page", sorted(PAGES.glob("*.ipynb")), ids=lambda path: path.stem)
def test_page_runs_on_part(page, part):
    with mock.patch.dict(os.environ, COMPOSITEKIT_PART=part):
        notebook = nbclient.NotebookClient(nbformat.read(page, as_version=4), timeout=120, kernel_name="python3",
                                           resources={"metadata": {"path": str(page.parent)}}).execute()
    said = [output["data"].get("text/plain", "") for cell in notebook.cells for output in cell.get("outputs", []) if "data" in output]
    assert any("Panel" in text for text in said), "a page shows at least one panel"
    assert not [text for text in said if "no answer:" in text]
