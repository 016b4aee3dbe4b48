"""The panel every page is built on: controls beside one picture, verdicts in words below, the working on demand."""

from __future__ import annotations

import asyncio
import base64
import html
from abc import ABCMeta, abstractmethod
from contextlib import contextmanager

import ipywidgets as w

from ..errors import CompositeKitError
from . import tables
from .picture import PIXELS_PER_INCH, Picture

REST = 0.15        # s without a further change before the tables follow the picture: a hand on a slider reads one thing at a time
GUESSED = "These inputs are remembered or judged, not measured"
CAUTION = "Take care"


class _Abstract(type(w.VBox), ABCMeta):
    """Lets a widget have abstract methods: a page that lacks one is refused by name when its panel is made."""


class Panel(w.VBox, Picture, metaclass=_Abstract):
    """Controls -> pure ``compute`` -> one picture with alt text and a headline in words.

    A page's panel fills in make_controls, build, compute, draw and headline; alt, extra_html, views and make_record are
    optional. An error of this package is shown in the page and kept as ``panel.error``, since what a person dials in
    can cause it; any other error is a fault of ours and is shown and raised.
    """

    label = "Overview"

    # --- what a page fills in ---

    @abstractmethod
    def make_controls(self) -> dict[str, w.Widget]:
        """Widgets by argument name of compute; a name beginning with "_" is shown but not passed on."""

    @abstractmethod
    def compute(self, **values):
        """The study's Finding for these control values; nothing is drawn or stored here."""

    @abstractmethod
    def headline(self, result) -> str:
        """The answer in one sentence with its number."""

    def alt(self, result) -> str:
        """What the picture shows, for somebody who cannot see it."""
        return f"{self.headline(result)}. {result.verdict}"

    def views(self) -> list[Picture]:
        """Further pictures of the same result; a row of buttons chooses the one that is drawn."""
        return []

    def first_html(self, result) -> str:
        """What a reader wants right under the picture, before the checks."""
        return ""

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
        self.part, self.result, self.error, self.png, self._held, self._rest = part, None, None, None, False, None
        self.controls = self.make_controls()
        self.make()
        self.by_title = {picture.label: picture for picture in (self, *self.views())}
        self.view = w.ToggleButtons(options=list(self.by_title), tooltips=list(self.by_title), description="Show")
        self.view.style.button_width = "auto"
        self.view.observe(self._show_picture, "value")
        self._top, self._below, self._steps = w.HTML(), w.HTML(), w.HTML()
        self.working = w.Accordion([self._steps], titles=("Show the working",), selected_index=None)
        self.working.observe(self._show_working, "selected_index")
        for name, control in self.controls.items():
            self._dress(name, control)
        left = w.VBox([*self.controls.values()], layout=w.Layout(width="300px", flex="0 0 300px"))
        left.add_class("ck-controls")
        chooser = [self.view] if len(self.by_title) > 1 else []
        right = w.VBox([*chooser, self._top, self._below], layout=w.Layout(flex="1 1 480px", min_width="0"))
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

    def _changed(self, change=None):
        if not self._held:
            self.refresh(rest=REST)

    def refresh(self, rest: float = 0) -> None:
        """Compute and show again with the controls as they stand; the tables follow after ``rest`` seconds without another."""
        self.result, self.error = None, None
        if self._rest is not None:
            self._rest.cancel()
        try:
            self.result = self.compute(**self.values)
            self._show_picture()
            self._after(rest, self._show_tables)
        except Exception as err:       # JupyterLab shows nothing of an error in a callback
            self._stop(err)

    def _after(self, rest, step):
        """Do a step when the kernel's own loop has rested; at once where there is none, or nothing to wait for."""
        try:
            loop = asyncio.get_running_loop() if rest else None
        except RuntimeError:
            loop = None
        if loop is None:
            step()
        else:
            self._rest = loop.call_later(rest, self._watched, step)

    def _watched(self, step):
        try:
            step()
        except Exception as err:
            self._stop(err)

    def _show_picture(self, change=None):
        if self.result is not None:
            self.png = self.by_title[self.view.value].drawn(self.result)
            self._top.value = self._top_html(self.result)

    def _show_tables(self):
        self._below.value = self._below_html(self.result)
        self._show_working()

    def _stop(self, err):
        self.result, self.error = None, err
        self._top.value, self._below.value = self._error_html(err), ""
        self._show_working()
        if not isinstance(err, CompositeKitError):
            raise err

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
        return f'<div class="ck-page">{said}{self._img(self.by_title[self.view.value].alt(result))}</div>'

    def _below_html(self, result):
        return "".join([
            '<div class="ck-page">', self.first_html(result), tables.checks(result.checks), tables.bullets(result.cautions, CAUTION, "ck-caution"),
            self.extra_html(result), tables.bullets(result.guesses, GUESSED), "</div>"])

    def _error_html(self, err):
        kind = "" if isinstance(err, CompositeKitError) else f"A fault in this page, {type(err).__name__}: "
        old = self._img("The picture before this change, greyed out", "ck-old") if self.png else ""
        return (f'<div class="ck-page"><div class="ck-stop" role="alert">{tables.FAILS} <strong>No answer with these '
                f"inputs.</strong> {kind}{html.escape(str(err))}</div>{old}</div>")

    def _img(self, alt, css=""):
        width, height = (round(side * PIXELS_PER_INCH) for side in self.by_title[self.view.value].figsize)
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
