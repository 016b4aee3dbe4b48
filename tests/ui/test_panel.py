"""The panel without a kernel or a browser, on an invented study (OWN cases only: there is nothing published to meet)."""

from __future__ import annotations

import asyncio
import base64
import io
import re

import numpy as np
import pytest
from demo_panel import SagPanel
from PIL import Image

from compositekit.errors import RangeError
from compositekit.ui.panel import REST, Panel
from compositekit.ui.picture import OFF, Picture


@pytest.fixture
def panel():
    return SagPanel()


def pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=int)


def page(panel):
    return panel.page


def test_a_moved_control_changes_number_picture_and_alt_text(panel):
    before, png = page(panel), panel.png
    panel.controls["thickness"].value = 40
    assert panel.result.sag.m_as("mm") == pytest.approx(25.0)
    assert panel.png != png
    alt = re.search(r'alt="([^"]*)"', page(panel))[1]
    assert "sag 25.0 mm" in alt and "holds" in alt and alt not in before


def test_blitted_picture_equals_a_fresh_full_drawing(panel):
    panel.controls["thickness"].value = 33

    class Whole(SagPanel):
        redraw = True
    whole = Whole()
    whole.controls["thickness"].value = 33
    drawn, full = pixels(panel.png), pixels(whole.png)
    assert drawn.shape == full.shape
    assert np.mean(abs(drawn - full) > 8) < 0.002    # own tolerance: only where a line crosses a spine may they differ


def test_limits_changed_in_draw_repaint_the_still_part(panel):
    axes = panel.figure.axes[0]
    before = pixels(panel.png)
    axes.set_xlim(0, 6)
    panel.refresh()
    strip = slice(int(before.shape[0] * 0.88), None)   # the tick labels under the axes
    assert np.any(before[strip] != pixels(panel.png)[strip])


def test_draw_may_hand_back_new_artists_and_the_old_ones_go():
    class Bars(SagPanel):
        def draw(self, result):
            super().draw(result)
            count = int(result.span.m_as("m")) + 1
            bars = self.figure.axes[0].bar(range(count), [-0.1] * count)
            return [self.curve, self.note, *bars.patches]
    bars = Bars()
    assert len(bars.figure.axes[0].patches) == 2
    bars.controls["span"].value = 2500
    assert len(bars.figure.axes[0].patches) == 3
    assert all(patch.get_animated() for patch in bars.figure.axes[0].patches)


def test_package_error_is_said_in_the_page_and_controls_survive(panel):
    png = panel.png
    panel.controls["thickness"].value = 0
    assert isinstance(panel.error, RangeError) and panel.result is None
    assert "No answer with these inputs" in page(panel) and "thickness is 0.0 mm, but must be above" in page(panel)
    assert 'class="ck-old"' in page(panel) and base64.b64encode(png).decode() in page(panel)
    assert "<table" not in page(panel)          # no verdict of the inputs before may stand
    assert "no answer: " in repr(panel)
    panel.controls["thickness"].value = 10
    assert panel.error is None and "sag 100.0 mm" in page(panel)


def test_any_other_error_is_shown_and_raised(panel):
    def broken(result):
        raise ZeroDivisionError("own fault <b>")
    panel.draw = broken
    with pytest.raises(ZeroDivisionError):
        panel.controls["span"].value = 1200
    assert "A fault in this page, ZeroDivisionError: own fault &lt;b&gt;" in page(panel)


def test_page_holds_verdict_cautions_and_guesses_escaped(panel):
    text = page(panel)
    assert "sag &lt;at midspan&gt;" in text and "Stand clear &amp; wear gloves." in text and "the 1000 is made up" in text
    assert text.count("<script") == 0


def test_working_is_written_only_while_open(panel):
    assert panel._steps.value == ""
    panel.working.selected_index = 0
    assert "L² / (1000 t)" in panel._steps.value and "50.0 mm" in panel._steps.value
    panel.controls["thickness"].value = 40
    assert "25.0 mm" in panel._steps.value
    panel.working.selected_index = None
    panel.controls["thickness"].value = 50
    assert "25.0 mm" in panel._steps.value       # stale but shut; opening it again writes it anew
    panel.working.selected_index = 0
    assert "20.0 mm" in panel._steps.value


def test_put_refreshes_once(panel):
    seen = []
    compute = panel.compute
    panel.compute = lambda **values: seen.append(values) or compute(**values)
    panel.put(thickness=30, span=1500)
    assert [(values["thickness"], values["span"]) for values in seen] == [(30, 1500)]


def test_a_control_without_a_description_is_refused():
    class Mute(SagPanel):
        def make_controls(self):
            controls = super().make_controls()
            controls["span"].description = ""
            return controls
    with pytest.raises(ValueError, match="'span' has no description"):
        Mute()


def test_still_picture_and_sentence_for_readers_without_a_kernel(panel):
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == "SagPanel: sag 50.0 mm"
    assert Image.open(io.BytesIO(base64.b64decode(bundle["image/png"]))).size == (600, 300)


def test_a_page_that_lacks_a_hook_is_refused_by_name():
    class Unfinished(Panel):
        def make_controls(self):
            return {}

    with pytest.raises(TypeError, match=r"Unfinished.*build.*compute.*draw.*headline"):
        Unfinished()


# --- several pictures, and tables that wait for the hand to rest ---

class Bar(Picture):
    label = "As a bar"

    def build(self, fig):
        axes = fig.subplots()
        axes.set(xlim=(0, 0.2), ylabel="sag, m")
        self.bar = axes.barh([0], [0])[0]
        return [self.bar]

    def draw(self, result):
        self.bar.set_width(result.sag.m_as("m"))
        self.bar.set_facecolor("#156b55" if result.sag.m_as("mm") < 50 else "#8c2510")

    def alt(self, result):
        return f"a bar as long as {result.sag.m_as('mm'):.1f} mm"


class TwoPictures(SagPanel):
    def views(self):
        return [Bar()]


def test_a_button_chooses_the_picture_without_a_new_computation():
    panel = TwoPictures()
    png, result = panel.png, panel.result
    panel.view.value = "As a bar"
    assert panel.png != png and panel.result is result
    assert 'alt="a bar as long as 50.0 mm"' in panel.page
    panel.controls["thickness"].value = 40
    assert 'alt="a bar as long as 25.0 mm"' in panel.page
    panel.view.value = "Overview"
    assert 'alt="sag 25.0 mm' in panel.page


def test_a_colour_the_last_palette_lacks_makes_a_new_one():
    panel = TwoPictures()
    panel.view.value = "As a bar"
    green = (21, 107, 85)
    assert not near(green, panel.png), "it starts over the limit, and red"
    panel.controls["thickness"].value = 40
    assert near(green, panel.png)


def near(wanted, png):
    return any(np.abs(np.subtract(colour, wanted)).max() < OFF for colour in colours(png))


def colours(png):
    image = Image.open(io.BytesIO(png)).convert("RGB")
    return {colour for count, colour in image.getcolors(10_000) if count > 50}


def test_the_tables_follow_the_last_of_several_changes():
    panel = SagPanel()

    async def hand_on_the_slider():
        for value in (30, 40, 50):
            panel.controls["thickness"].value = value
        moving = panel.page
        await asyncio.sleep(2 * REST)
        return moving

    moving = asyncio.run(hand_on_the_slider())
    assert panel.result.sag.m_as("mm") == pytest.approx(20)
    assert 'alt="sag 20.0 mm' in moving and "50.0 mm</td>" in moving and ">20.0 mm</td>" not in moving
    assert ">20.0 mm</td>" in panel.page
