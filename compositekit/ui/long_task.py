"""A long computation behind a button: a bar, words on how far it is, and a button that stops it, while the page stays alive."""

from __future__ import annotations

import asyncio
import html
import threading
import time

import ipywidgets as w

from ..errors import CompositeKitError
from . import tables

TELL = 0.1     # s between two words on how far it is


class LongTask(w.VBox):
    """Starts ``work(progress, keep_going)`` on a thread of its own; ``show(result)`` is called back where the page lives.

    Without a running loop (a script, a test) the work is done at once. ``error`` keeps what went wrong.
    """

    def __init__(self, label, counted, work, show):
        self.counted, self.work, self.show = counted, work, show
        self.result = self.error = self._loop = None
        self._stop = threading.Event()
        self.running = False
        self.button = w.Button(description=label, layout=w.Layout(width="auto"))
        self.stop_button = w.Button(description="Stop", disabled=True, layout=w.Layout(width="70px"), tooltip=f"Stops {label.lower()}; what was done is kept")
        self.bar = w.IntProgress(value=0, min=0, max=1, layout=w.Layout(width="180px"))
        self.words = w.HTML()
        self.button.on_click(lambda _: self.start())
        self.stop_button.on_click(lambda _: self.stop())
        super().__init__([w.HBox([self.button, self.stop_button, self.bar, self.words], layout=w.Layout(flex_flow="row wrap", align_items="center", grid_gap="8px"))])

    def start(self):
        """Begin, unless it runs already."""
        if self.running:
            return
        self.running, self.result, self.error = True, None, None
        self._stop.clear()
        self._begun, self._told = time.monotonic(), 0.0
        self.button.disabled, self.stop_button.disabled = True, False
        self.bar.value, self.bar.max, self.bar.bar_style = 0, 1, ""
        self._say("starting")
        try:
            self._loop = asyncio.get_running_loop()
        except RuntimeError:
            self._loop = None
        if self._loop is None:
            self._run()
        else:
            threading.Thread(target=self._run, name="long task", daemon=True).start()

    def stop(self):
        """Ask it to stop after what it is at; what was done is shown."""
        self._stop.set()
        if self.running:
            self._say("stopping")

    def _run(self):
        try:
            result = self.work(self._progress, lambda: not self._stop.is_set())
        except Exception as err:
            self._there(self._failed, err)
        else:
            self._there(self._done, result)

    def _there(self, step, *args):
        """Do a step in the kernel's own loop: widgets and pictures belong to one thread."""
        if self._loop is None:
            step(*args)
        elif not self._loop.is_closed():
            self._loop.call_soon_threadsafe(step, *args)

    def _progress(self, done, many):
        now = time.monotonic()
        if done == many or now - self._told > TELL or self._loop is None:
            self._told = now
            self._there(self._show_progress, done, many, now - self._begun)

    def _show_progress(self, done, many, elapsed):
        self.bar.max, self.bar.value = many, done
        left = f", about {elapsed / done * (many - done):.0f} s to go" if 0 < done < many else ""
        self._say(f"{done} of {many} {self.counted}, {elapsed:.0f} s{left}")

    def _done(self, result):
        stopped = self._stop.is_set()
        self._end("warning" if stopped else "success", f"{'stopped' if stopped else 'done'}: {self.bar.value} of {self.bar.max} {self.counted} in {time.monotonic() - self._begun:.0f} s")
        self.result = result
        try:
            self.show(result)
        except Exception as err:       # JupyterLab shows nothing of an error in a callback
            self._failed(err)

    def _failed(self, err):
        self._end("danger", f'<span role="alert">{tables.FAILS} {"" if isinstance(err, CompositeKitError) else f"A fault in this page, {type(err).__name__}: "}{html.escape(str(err))}</span>')
        self.error = err
        if not isinstance(err, CompositeKitError):
            raise err

    def _end(self, bar_style, said):
        self.running, self.button.disabled, self.stop_button.disabled = False, False, True
        self.bar.bar_style = bar_style
        self.words.value = said

    def _say(self, words):
        self.words.value = html.escape(words)
