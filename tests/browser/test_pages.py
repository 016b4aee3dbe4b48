"""A person opens a page in JupyterLab, moves a slider and sees picture and verdict change."""

from __future__ import annotations

import json
import statistics

import pytest
from refresh_notebooks import PAGES

pytestmark = pytest.mark.browser

INSIDE, THICKNESS = 1, 2    # sliders of the skin sizing page, counted from the top


def test_a_thicker_core_changes_picture_and_verdict(open_page, capsys):
    page = open_page("03_skin_sizing")
    headline, verdicts, (picture, alt) = page.headline(), page.verdicts(), page.picture()
    assert "checks fail" in headline, "the demo part starts with something to decide"
    page.drag(40, slider=THICKNESS)
    assert page.headline() != headline
    assert page.verdicts() != verdicts
    assert page.picture()[0] != picture and page.picture()[1] != alt
    page.settle()
    times = page.redraw_ms(key="ArrowRight", slider=THICKNESS)
    with capsys.disabled():
        print(f"\nskin sizing, key to picture: median {statistics.median(times):.0f} ms, slowest {max(times):.0f} ms")
    assert page.open_working().startswith("The working")
    assert not page.view.query_selector_all(".ck-stop")


def test_what_is_recorded_on_one_page_reaches_the_others(open_page, lab):
    page = open_page("03_skin_sizing")
    page.drag(40, slider=INSIDE)
    box = page.view.locator(".ck-record").first
    box.locator("textarea").fill("stiff enough underfoot")
    box.locator("input[type=text]").fill("a test")
    box.get_by_role("button", name="Record this decision").click()
    box.get_by_text("as revision 1 of").wait_for()
    _, tree = lab
    part = json.loads((tree.parent / "parts" / "fen_punt" / "part.json").read_text("utf-8"))
    assert part["decisions"][0]["reason"] == "stiff enough underfoot"
    for name in ("00_brief_and_shape", "05_resin_budget", "06_buoyancy"):    # mass, resin and flotation follow the skin
        committed = (PAGES / f"{name}.ipynb").read_text("utf-8")
        assert open_page(name).headline() not in committed, f"{name} still shows the part as it was"


@pytest.mark.parametrize("name", [path.stem for path in sorted(PAGES.glob("*.ipynb"))])
def test_every_page_runs_without_a_fault(open_page, name):
    page = open_page(name)
    assert page.headline()
