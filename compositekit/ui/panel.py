"""The panel every page is built on: controls beside one picture, verdicts in words below, the working on demand."""

from __future__ import annotations

import base64
import html
import io
import threading
from abc import ABCMeta, abstractmethod
from contextlib import contextmanager

import ipywidgets as w
import numpy as np
from matplotlib.figure import Figure
from PIL import Image

from ..errors import CompositeKitError
from . import style, tables
from .quick_text import QuickCanvas

_DRAW = threading.RLock()    # matplotlib is not thread safe, and a front end may run callbacks on a second thread
SHADES = 128
PIXELS_PER_INCH = 80         # as shown on the page; drawn at `dpi`
GUESSED = "These inputs are remembered or judged, not measured"
CAUTION = "Take care"


class _Abstract(type(w.VBox), ABCMeta):
    """Lets a widget have abstract methods: a page that lacks one is refused by name when its panel is made."""


class Panel(w.VBox, metaclass=_Abstract):
    """Controls -> pure ``compute`` -> one picture with alt text and a headline in words.

    A page's panel fills in make_controls, build, compute, draw and headline; alt, extra_html and make_record are
    optional. An error of this package is shown in the page and kept as ``panel.error``, since what a person dials in
    can cause it; any other error is a fault of ours and is shown and raised.
    """

    figsize = (8, 4)
    dpi = 100
    over = ()         # still artists that lie over the moving ones: a legend on the curves
    redraw = False    # True: draw the whole figure each time (about 50 ms), for pictures that cannot be blitted

    # --- what a page fills in ---

    @abstractmethod
    def make_controls(self) -> dict[str, w.Widget]:
        """Widgets by argument name of compute; a name beginning with "_" is shown but not passed on."""

    @abstractmethod
    def build(self, fig) -> list:
        """Make axes and everything that stays; return the artists that move."""

    @abstractmethod
    def compute(self, **values):
        """The study's Finding for these control values; nothing is drawn or stored here."""

    @abstractmethod
    def draw(self, result) -> list | None:
        """Put new data into the artists; return a list only when artists were replaced."""

    @abstractmethod
    def headline(self, result) -> str:
        """The answer in one sentence with its number."""

    def alt(self, result) -> str:
        """What the picture shows, for somebody who cannot see it."""
        return f"{self.headline(result)}. {result.verdict}"

    def extra_html(self, result) -> str:
        """More under the picture, e.g. ``tables.rows(...)``."""
        return ""

    def make_record(self) -> w.Widget | None:
        """The box that records the decision; it reads ``panel.result`` when pressed."""
        return None

    # --- how it works ---

    def __init__(self, part=None):
        super().__init__()
        self.add_class("ck-panel")
        self.part, self.result, self.error, self.png, self._held = part, None, None, None, False
        self.controls = self.make_controls()
        self._make_picture()
        self._top, self._below, self._steps = w.HTML(), w.HTML(), w.HTML()
        self.working = w.Accordion([self._steps], titles=("Show the working",), selected_index=None)
        self.working.observe(self._show_working, "selected_index")
        for name, control in self.controls.items():
            self._dress(name, control)
        left = w.VBox([*self.controls.values()], layout=w.Layout(width="300px", flex="0 0 300px"))
        left.add_class("ck-controls")
        right = w.VBox([self._top, self._below], layout=w.Layout(flex="1 1 480px", min_width="0"))
        row = w.HBox([left, right], layout=w.Layout(flex_flow="row wrap", grid_gap="16px"))
        self.refresh()
        record = self.make_record()
        self.children = [w.HTML(tables.CSS), row, self.working, *([record] if record else [])]

    def _dress(self, name, control):
        if name.startswith("_"):
            return
        if not getattr(control, "description", ""):
            raise ValueError(f"control {name!r} has no description; it is the only name a reader gets")
        control.layout.width = control.layout.width or "290px"
        control.observe(self._changed, "value")

    def _make_picture(self):
        self.figure = Figure(figsize=self.figsize, dpi=self.dpi, layout="constrained")
        self._canvas = QuickCanvas(self.figure)
        with _DRAW, style.plain():
            self._artists = self.build(self.figure)
            self.figure.draw_without_rendering()     # lay out once with everything in it, then freeze
            self.figure.set_layout_engine("none")
            self._animate()
        self._limits = None

    def _animate(self):
        for artist in self._artists:
            artist.set_animated(not self.redraw)

    def repaint(self) -> None:
        """Call from draw after changing something that stays still (a title, a tick label)."""
        self._limits = None

    def _render(self):
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
        raw = io.BytesIO()
        picture = Image.fromarray(np.asarray(self._canvas.buffer_rgba())).convert("RGB")
        # a palette holds all our flat colours, and packs in half the time to less than half the size
        picture.quantize(SHADES, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(raw, "PNG", compress_level=1)
        return raw.getvalue()

    def _redraw(self, result):
        with _DRAW, style.plain():
            artists = self.draw(result)
            if artists is not None:
                for old in self._artists:
                    if old not in artists and old.figure is not None:
                        old.remove()
                self._artists = artists
                self._animate()
            return self._render()

    def _changed(self, change=None):
        if not self._held:
            self.refresh()

    def refresh(self) -> None:
        """Compute and show again with the controls as they stand."""
        self.result, self.error = None, None
        try:
            result = self.compute(**self.values)
            self.png = self._redraw(result)
            self._top.value = self._top_html(result)      # sent first: the picture need not wait for the tables
            self._below.value = self._below_html(result)
            self.result = result
        except Exception as err:       # JupyterLab shows nothing of an error in a callback
            self.error = err
            self._top.value, self._below.value = self._error_html(err), ""
            if not isinstance(err, CompositeKitError):
                raise
        finally:
            self._show_working()

    @property
    def values(self) -> dict:
        """The control values that compute is given."""
        return {name: control.value for name, control in self.controls.items() if not name.startswith("_")}

    def put(self, **values) -> None:
        """Set several controls with one refresh at the end."""
        with self.holding():
            for name, value in values.items():
                self.controls[name].value = value

    @contextmanager
    def holding(self):
        """Change controls freely inside; the panel refreshes once afterwards."""
        self._held = True
        try:
            yield
        finally:
            self._held = False
        self.refresh()

    # --- what it says ---

    @property
    def page(self) -> str:
        """All that the page says beside its controls, as HTML."""
        return self._top.value + self._below.value

    def _top_html(self, result):
        said = f'<p class="ck-headline">{html.escape(self.headline(result))}</p>'
        return f'<div class="ck-page">{said}{self._img(self.alt(result))}</div>'

    def _below_html(self, result):
        return "".join([
            '<div class="ck-page">', tables.checks(result.checks), tables.bullets(result.cautions, CAUTION, "ck-caution"),
            self.extra_html(result), tables.bullets(result.guesses, GUESSED), "</div>"])

    def _error_html(self, err):
        kind = "" if isinstance(err, CompositeKitError) else f"A fault in this page, {type(err).__name__}: "
        old = self._img("The picture before this change, greyed out", "ck-old") if self.png else ""
        return (f'<div class="ck-page"><div class="ck-stop" role="alert">{tables.FAILS} <strong>No answer with these '
                f"inputs.</strong> {kind}{html.escape(str(err))}</div>{old}</div>")

    def _img(self, alt, css=""):
        width, height = (round(side * PIXELS_PER_INCH) for side in self.figsize)
        data = base64.b64encode(self.png).decode()
        return (f'<img class="{css}" width="{width}" height="{height}" alt="{html.escape(alt)}" '
                f'src="data:image/png;base64,{data}">')

    def _show_working(self, change=None):
        if self.working.selected_index is None:
            return                     # closed: nobody reads it, and the slider stays quick
        steps = tables.working(self.result.working) if self.result else ""
        self._steps.value = f'<div class="ck-page">{steps or "No working to show."}</div>'

    def __repr__(self):
        said = self.headline(self.result) if self.result is not None else f"no answer: {self.error}"
        return f"{type(self).__name__}: {said}"

    def _repr_mimebundle_(self, **kwargs):
        still = {"image/png": base64.b64encode(self.png).decode()} if self.png else {}   # bytes would spoil the file
        return {**super()._repr_mimebundle_(**kwargs), "text/plain": repr(self), **still}
