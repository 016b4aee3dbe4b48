"""Help with the lines: both buttons answer in words, table and picture; a stop keeps what was done; the page stays alive meanwhile."""

from __future__ import annotations

import asyncio
import threading

import pytest

from compositekit.errors import PartFileError
from compositekit.part import PartFile, demo_parts
from compositekit.part.folders import DEMO
from compositekit.ui.flow_layouts import FeedHelpPanel
from compositekit.ui.flow_words import SAID_EDGE
from compositekit.ui.long_task import LongTask
from compositekit.units import Q_

COARSE = Q_(0.12, "m")


def opened(tmp_path, name="locker_lid"):
    return PartFile.read(DEMO / name / "part.json", save_to=tmp_path / name / "part.json")


@pytest.fixture
def panel(tmp_path):
    return FeedHelpPanel(opened(tmp_path), runs=12, size=COARSE)


@pytest.mark.parametrize("name", demo_parts())
def test_both_buttons_answer_on_every_demo_part(tmp_path, name):
    panel = FeedHelpPanel(opened(tmp_path, name), runs=4, size=COARSE)
    assert "press a button" in repr(panel)
    panel.compare.button.click()
    panel.scatter.button.click()
    assert panel.compare.error is None and panel.scatter.error is None
    page = panel.layouts_html.value
    for words in ("(today)", "ladder of 6", "herring-bone", "Order:", "Layouts, best first", "<img", "alt=", "Take care"):
        assert words in page
    page = panel.chance_html.value
    for words in ("of 4 fills", "Fill times; without scatter", "<img", "fills that leave a dry spot", "own judgement"):
        assert words in page
    assert panel.compare.bar.value == panel.compare.bar.max == len(panel.layouts.rows) and panel.scatter.bar.value == 4
    assert panel.layouts.how_far in repr(panel) and panel.chance.said[0] in repr(panel)
    assert not panel.compare.button.disabled and panel.compare.stop_button.disabled and "done: 4 of 4 fills" in panel.scatter.words.value


def test_each_control_changes_what_is_found(panel):
    panel.scatter.start()
    before = panel.chance_html.value
    for control, value in ((panel.race_chance, 50), (panel.edge_gap, "square"), (panel.edge_gap, "none"), (panel.flow_mesh, True)):
        control.value = value
        panel.scatter.start()
        assert panel.chance_html.value != before
        before = panel.chance_html.value
    assert panel.part().feed.flow_mesh and not panel.file.part.feed.flow_mesh


def test_layouts_are_compared_with_the_edge_that_is_chosen_and_the_caption_says_so(panel):
    spots = {}
    for words, name in SAID_EDGE.items():
        panel.edge_gap.value = name
        panel.compare.start()
        assert all(row.fill.edge_gap == name for row in panel.layouts.rows) and f"edge of the core, all round: {words}" in panel.layouts_html.value
        spots[name] = sum(len(row.fill.pockets) for row in panel.layouts.rows)
    assert spots["none"] == 0 < spots["bevelled"] < spots["square"]


def test_without_an_open_edge_none_races(panel):
    panel.edge_gap.value = "none"
    panel.scatter.start()
    assert panel.chance.all_shut[0] == panel.chance.runs


def test_fills_are_tried_with_the_layout_chosen(panel):
    panel.scatter.start()
    assert "Lines: today, without flow mesh" in panel.chance_html.value and panel.chance.unfilled == panel.chance.runs   # the lid's own lines stall
    panel.compare.start()
    panel.scatter.start()
    assert f"Lines: {panel.layouts.simplest.name}" in panel.chance_html.value and panel.chance.unfilled < panel.chance.runs


def test_stop_keeps_the_layouts_that_were_done(panel):
    """Stop pressed while the bar stands at two; today's layout is always among the rows."""
    task = panel.compare
    task.bar.observe(lambda change: task.stop_button.click() if change["new"] == 2 else None, "value")
    task.start()
    assert not task.running and task.bar.bar_style == "warning" and "stopped: 2 of 11 layouts" in task.words.value
    assert len(panel.layouts.rows) == 3 and not panel.layouts.complete and "only the first 3 layouts (stopped)" in panel.layouts_html.value


def test_a_stop_before_both_skins_were_filled_says_so(panel):
    panel.flow_mesh.value = True
    panel.scatter.bar.observe(lambda change: panel.scatter.stop() if change["new"] == 1 else None, "value")
    panel.scatter.start()
    assert panel.chance is None and "stopped before both skins" in panel.scatter.words.value and panel.scatter.bar.bar_style == "danger"


def test_stop_of_scattered_fills_says_how_many_were_done(panel):
    panel.runs = 60
    panel.scatter.bar.observe(lambda change: panel.scatter.stop() if change["new"] == 8 else None, "value")
    panel.scatter.start()
    assert panel.chance.runs == 8 and panel.chance.wanted == 60 and "It was stopped there; 60 were asked for" in panel.chance_html.value


def test_the_page_stays_alive_and_widgets_change_in_their_own_thread(panel):
    """In a running loop the work goes on beside it: the loop turns meanwhile, and every change comes from the loop's thread."""
    threads, turns = set(), 0
    for widget in (panel.compare.bar, panel.compare.words, panel.layouts_html):
        widget.observe(lambda change: threads.add(threading.get_ident()), "value")

    async def press():
        nonlocal turns
        panel.compare.button.click()
        assert panel.compare.running and panel.compare.button.disabled and panel.layouts is None
        panel.compare.button.click()          # a second press does nothing
        while panel.compare.running:
            turns += 1
            await asyncio.sleep(0.005)

    asyncio.run(press())
    assert panel.layouts.complete and turns > 0 and threads == {threading.get_ident()}


def test_stop_in_a_running_loop_ends_it_soon(panel):
    panel.runs = 5000

    async def press():
        panel.scatter.start()
        while panel.scatter.bar.value < 3:
            await asyncio.sleep(0.005)
        panel.scatter.stop_button.click()
        assert "stopping" in panel.scatter.words.value
        for _ in range(400):
            await asyncio.sleep(0.01)
            if not panel.scatter.running:
                return
        pytest.fail("still running 4 s after Stop")

    asyncio.run(press())
    assert 3 <= panel.chance.runs < 5000


def test_a_layout_is_recorded_and_holds_in_the_part_file(panel):
    with pytest.raises(PartFileError, match="compare the layouts first"):
        panel.offer()
    panel.compare.start()
    row = panel.layouts.rows[panel.keep.value]
    assert row is panel.layouts.simplest
    ribbed = next(n for n, other in enumerate(panel.layouts.rows) if other.name.startswith("herring-bone"))
    panel.keep.value = ribbed
    panel.record.reason.value, panel.record.who.value = "one bucket", "A. Builder"
    panel.record.button.click()
    assert "✓ Recorded" in panel.record.said.value
    feed = panel.file.part.feed
    assert feed.layout == "drawn" and len(feed.lines) == 3 and panel.file.part.decisions[-1].choice.startswith("herring-bone")
    panel.compare.start()
    assert panel.layouts.today.name == "lines as drawn"


def test_our_own_errors_are_said_and_others_are_raised():
    def refuses(progress, keep_going):
        raise PartFileError("no <vent>")

    task = LongTask("Try", "fills", refuses, print)
    task.start()
    assert "no &lt;vent&gt;" in task.words.value and isinstance(task.error, PartFileError) and not task.running and task.bar.bar_style == "danger"

    def breaks(progress, keep_going):
        raise KeyError("x")

    task = LongTask("Try", "fills", breaks, print)
    with pytest.raises(KeyError):
        task.start()
    assert "A fault in this page, KeyError" in task.words.value
