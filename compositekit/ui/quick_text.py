"""A canvas that keeps the words it has drawn: shaping a label costs a millisecond, putting its picture down again a tenth."""

from __future__ import annotations

import functools

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg

KEPT = 2000     # pictures of words, a few kilobytes each


@functools.lru_cache(KEPT)
def _picture(words, font, angle, colour, dpi):
    """Pixels (rows from the bottom up) of some words, and where their lower left corner lies from the anchor (right, up)."""
    letter = font.get_size_in_points() * dpi / 72
    along = 1.1 * len(words) * letter * np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    left, down = (int(2 * letter - min(end, 0)) for end in along)        # room on all sides of the anchor
    right, up = (int(2 * letter + max(end, 0)) for end in along)
    slate = RendererAgg(left + right, down + up, dpi)
    pen = slate.new_gc()
    pen.set_foreground(colour, isRGBA=True)
    slate.draw_text(pen, left, up, words, font, angle)
    pixels = np.asarray(slate.buffer_rgba())[::-1]
    rows, columns = (np.flatnonzero(pixels[..., 3].any(axis)) for axis in (1, 0))
    if not rows.size:
        return None
    found = pixels[rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1].copy()
    return found, columns[0] - left, rows[0] - down


class _Renderer(RendererAgg):
    def draw_text(self, gc, x, y, s, prop, angle, ismath=False, mtext=None):
        if ismath or gc.get_alpha() != 1:
            return super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)
        kept = _picture(s, prop, angle, tuple(gc.get_rgb()), self.dpi)
        if kept is not None:
            pixels, right, up = kept
            self.draw_image(gc, round(x) + right, self.height - round(y) + up, pixels)


class QuickCanvas(FigureCanvasAgg):
    """An Agg canvas for pictures that are drawn again and again."""

    def get_renderer(self):
        if not isinstance(getattr(self, "renderer", None), _Renderer):
            width, height = self.get_width_height(physical=True)
            self.renderer = _Renderer(width, height, self.figure.dpi)
        return self.renderer
