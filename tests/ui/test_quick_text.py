"""Words put down from their kept pictures, against the same words drawn straight (OWN cases: nothing published to meet)."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from compositekit.ui.quick_text import QuickCanvas

OWN = [("gely jam, 12 min", 0, "#1c1c1c"), ("upright y", 90, "#8c2510"), ("slanting to the left", 135, "#12306b"), ("down", 270, "#156b55"), (" ", 0, "k")]


def drawn(canvas, words, angle, colour, times=1):
    figure = Figure(figsize=(4, 3), dpi=100)
    page = canvas(figure)
    figure.text(0.5, 0.5, words, rotation=angle, color=colour, ha="center", va="center")
    for _ in range(times):
        page.draw()
    return np.asarray(page.buffer_rgba())[..., :3].astype(float)


@pytest.mark.parametrize(("words", "angle", "colour"), OWN)
def test_ink_lies_where_it_lies_when_drawn_straight(words, angle, colour):
    quick, straight = 255 - drawn(QuickCanvas, words, angle, colour, 2), 255 - drawn(FigureCanvasAgg, words, angle, colour)
    assert quick.sum() == pytest.approx(straight.sum(), rel=0.02)       # as much ink of each word, nothing cut off
    if straight.any():
        place = [[np.average(np.arange(size), weights=ink.sum((2, 1 - axis))) for axis, size in enumerate(ink.shape[:2])] for ink in (quick, straight)]
        assert place[0] == pytest.approx(place[1], abs=0.75)            # to the pixel: words are put down on whole ones


def test_faint_words_are_as_faint():
    inks = []
    for canvas in (QuickCanvas, FigureCanvasAgg):
        figure = Figure(figsize=(2, 1), dpi=100)
        page = canvas(figure)
        figure.text(0.2, 0.5, "faint", alpha=0.4)
        page.draw()
        inks.append((255 - np.asarray(page.buffer_rgba())[..., :3].astype(float)).sum())
    assert inks[0] == pytest.approx(inks[1], rel=0.02)
