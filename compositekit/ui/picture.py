"""One picture of a panel: a frozen figure whose moving artists are drawn over a kept background, and packed small."""

from __future__ import annotations

import io
import threading
from abc import ABC, abstractmethod

import numpy as np
from matplotlib.figure import Figure
from PIL import Image

from . import style
from .quick_text import QuickCanvas

_DRAW = threading.RLock()    # matplotlib is not thread safe, and a front end may run callbacks on a second thread
SHADES = 128
OFF = 10                     # of 255: a colour further from its own than that counts as strayed
MORE = 3e-4                  # of the picture may stray beyond what did when the palette was made: a short thin line
PIXELS_PER_INCH = 80         # as shown on the page; drawn at `dpi`


class Picture(ABC):
    """A picture that follows a result: ``build`` once, ``draw`` at every step.

    label  what the button that shows it is called, where a panel has several
    Draw into artists made once in ``build``; return new ones from ``draw`` only when their number changes.
    """

    label = ""
    figsize = (8, 4)
    dpi = 100
    over = ()         # still artists that lie over the moving ones: a legend on the curves
    redraw = False    # True: draw the whole figure each time (about 50 ms), for pictures that cannot be blitted

    @abstractmethod
    def build(self, fig) -> list:
        """Make axes and everything that stays; return the artists that move."""

    @abstractmethod
    def draw(self, result) -> list | None:
        """Put new data into the artists; return a list only when artists were replaced."""

    @abstractmethod
    def alt(self, result) -> str:
        """What the picture shows, in words and numbers."""

    def make(self) -> None:
        """Lay the figure out once with everything in it, then freeze it."""
        self.figure = Figure(figsize=self.figsize, dpi=self.dpi, layout="constrained")
        self._canvas = QuickCanvas(self.figure)
        with _DRAW, style.plain():
            self._artists = self.build(self.figure)
            self.figure.draw_without_rendering()
            self.figure.set_layout_engine("none")
            self._animate()
        self._limits, self._palette = None, None

    def repaint(self) -> None:
        """Call from draw after changing something that stays still (a title, a tick label)."""
        self._limits = None

    def drawn(self, result) -> bytes:
        """The picture of a result; made on first use."""
        if not hasattr(self, "figure"):
            self.make()
        with _DRAW, style.plain():
            artists = self.draw(result)
            if artists is not None:
                for old in self._artists:
                    if old not in artists and old.figure is not None:
                        old.remove()
                self._artists = artists
                self._animate()
            return self._pack(self._pixels())

    def _animate(self):
        for artist in self._artists:
            artist.set_animated(not self.redraw)

    def _pixels(self):
        limits = [(*axes.get_xlim(), *axes.get_ylim()) for axes in self.figure.axes]
        if self.redraw or limits != self._limits:
            self._canvas.draw()
            self._still, self._limits = self._canvas.copy_from_bbox(self.figure.bbox), limits
            self._cover = [self._canvas.copy_from_bbox(artist.get_window_extent()) for artist in self.over if artist.get_visible()]
        if not self.redraw:
            self._canvas.restore_region(self._still)
            for artist in sorted(self._artists, key=lambda artist: artist.zorder):
                self.figure.draw_artist(artist)
            for patch in self._cover:
                self._canvas.restore_region(patch)
        return np.asarray(self._canvas.buffer_rgba())

    def _pack(self, pixels):
        """A PNG with a palette: all our flat colours in less than half the size, and the last picture's palette mostly still does."""
        picture = Image.fromarray(pixels).convert("RGB")
        small = None if self._palette is None else picture.quantize(palette=self._palette, dither=Image.Dither.NONE)
        if small is None or _strays(small, pixels) > self._strayed + MORE:
            self._palette = small = picture.quantize(SHADES, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
            self._strayed = _strays(small, pixels)
        raw = io.BytesIO()
        small.save(raw, "PNG", compress_level=1)
        return raw.getvalue()


def _strays(small, pixels):
    """Share of the pixels looked at whose colour is off."""
    colours = np.array(small.getpalette(), dtype=np.int16).reshape(-1, 3)
    every_fourth = (slice(None, None, 4),) * 2
    return np.mean(np.abs(colours[np.asarray(small)[every_fourth]] - pixels[every_fourth][..., :3]).max(axis=-1) > OFF)
