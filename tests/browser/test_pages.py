"""A person opens a page, moves a slider and sees picture and verdict change."""

from __future__ import annotations

import statistics

import pytest
from lab_page import write_notebook

pytestmark = pytest.mark.browser

OWN_PAGE = "trial_of_the_panel"    # written by this test; the real page replaces it once it exists
OWN_CELLS = ["import sys; sys.path.insert(0, '../tests')", "from demo_panel import SagPanel\nSagPanel()"]


@pytest.fixture
def page(lab, open_page):
    _, tree = lab
    write_notebook(tree / "notebooks" / f"{OWN_PAGE}.ipynb", *OWN_CELLS)
    return open_page(OWN_PAGE)


def test_moving_a_slider_changes_picture_and_verdict(page, capsys):
    headline, verdicts, (picture, alt) = page.headline(), page.verdicts(), page.picture()
    page.drag(60)
    assert page.headline() != headline
    assert page.verdicts() != verdicts
    assert page.picture()[0] != picture and page.picture()[1] != alt
    times = page.redraw_ms()
    with capsys.disabled():
        print(f"\nkey to picture: median {statistics.median(times):.0f} ms, slowest {max(times):.0f} ms")
    assert page.open_working().startswith("The working")
    assert not page.view.query_selector_all(".ck-stop")


def test_impossible_input_is_said_in_the_page_and_mended_by_the_slider(page):
    page.drag(-400)    # core of no thickness
    stop = page.panel().locator(".ck-stop")
    assert "No answer with these inputs" in stop.inner_text()
    page.drag(150)
    assert stop.count() == 0 and "sag" in page.headline()
