"""The palette against a published contrast rule, and apart in grey print."""

from __future__ import annotations

from itertools import pairwise

import pytest
from matplotlib.colors import to_rgb

from compositekit.ui import style

# WCAG 2.1 (W3C Recommendation 2018): relative luminance as its glossary gives it; success criterion 1.4.11, graphical
# objects need a contrast of at least 3:1 against what is beside them; 1.4.3, text at least 4.5:1. Grade: from memory.
GRAPHICS, TEXT = 3.0, 4.5


def luminance(colour):
    parts = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one, other):
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def lightness(colour):
    """CIE 1976 L* of a colour (CIE 15, from memory)."""
    y = luminance(colour)
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


@pytest.mark.parametrize("colour", style.COLOURS)
def test_every_line_colour_stands_out_from_paper(colour):
    assert contrast(colour, style.PAPER) >= GRAPHICS


@pytest.mark.parametrize("colour", [style.INK, style.QUIET])
def test_text_stands_out_from_paper(colour):
    assert contrast(colour, style.PAPER) >= TEXT


def test_colours_stay_apart_in_grey_print():
    levels = sorted(map(lightness, style.COLOURS))
    assert min(b - a for a, b in pairwise(levels)) >= 7    # own judgement


def test_no_two_lines_differ_by_colour_alone():
    looks = [style.line(n, marker=True) for n in range(len(style.COLOURS))]
    assert len({str(look["linestyle"]) for look in looks}) == len({look["marker"] for look in looks}) == len(looks)
