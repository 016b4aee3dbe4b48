"""One page opened in JupyterLab: run it, read it, move its controls, time its pictures."""

from __future__ import annotations

import json

# The toolbar says "idle" before the session is attached, so ask the session itself.
IDLE = """() => { const c = window.jupyterapp?.shell?.currentWidget?.sessionContext, k = c?.session?.kernel;
  return c?.isReady && k?.connectionStatus === 'connected' && k.status === 'idle' }"""
RUN_ALL = """() => { window.ckRan = false;
  window.jupyterapp.commands.execute('notebook:run-all-cells').then(() => { window.ckRan = true }) }"""
FAULTS = """() => Array.from(window.jupyterapp.shell.currentWidget.content.model.cells)
  .flatMap(c => c.type === 'code' ? c.outputs.toJSON() : [])
  .filter(o => o.output_type === 'error' || o.name === 'stderr').map(o => o.evalue || o.text)"""
# Wait until no new picture has loaded for half a second, else a late drag frame answers for the key.
SETTLE = """async n => { const p = document.querySelectorAll('.ck-panel')[n]; let t = performance.now();
  const f = () => { t = performance.now() }; p.addEventListener('load', f, true);
  while (performance.now() - t < 500) await new Promise(r => setTimeout(r, 50)); p.removeEventListener('load', f, true) }"""
REDRAW = """async ([n, slider, key]) => { const p = document.querySelectorAll('.ck-panel')[n];
  const h = p.querySelectorAll('.noUi-handle')[slider]; h.focus(); const t0 = performance.now();
  const done = new Promise((ok, no) => { p.addEventListener('load', ok, {once: true, capture: true});
    setTimeout(() => no(Error('no redraw')), 5000) });
  h.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
  await done; await new Promise(requestAnimationFrame); return performance.now() - t0 }"""


class LabPage:
    def __init__(self, view, address):
        self.view, self.console = view, []
        view.on("pageerror", lambda error: self.console.append(str(error)))
        view.set_default_timeout(60_000)
        view.goto(address)
        view.wait_for_function(IDLE)

    def run_all(self):
        """Run every cell; an error, a warning or a panel without an answer fails the test."""
        self.view.evaluate(RUN_ALL)    # not awaited: a dialog in its way would hold the promise for ever, a wait has its limit
        self.view.wait_for_function("() => window.ckRan")
        self.view.wait_for_function(IDLE)
        faults = self.view.evaluate(FAULTS)
        assert not faults, f"the page ran with faults: {faults}"
        self.view.wait_for_selector(".ck-panel img")
        assert not self.view.query_selector_all(".ck-stop"), self.view.inner_text(".ck-stop")
        assert not self.console, self.console

    def panel(self, number=0):
        return self.view.locator(".ck-panel").nth(number)

    def headline(self, panel=0):
        return self.panel(panel).locator(".ck-headline").inner_text()

    def verdicts(self, panel=0):
        """The whole table of checks as text."""
        return self.panel(panel).locator("table.ck").first.inner_text()

    def picture(self, panel=0):
        """The picture as data address, with its alt text."""
        image = self.panel(panel).locator(".ck-page img").first
        return image.get_attribute("src"), image.get_attribute("alt")

    def settle(self, panel=0):
        self.view.evaluate(SETTLE, panel)

    def drag(self, by, slider=0, panel=0):
        """Drag a slider's handle by so many pixels, then wait for what the page says last."""
        shown = f"document.querySelectorAll('.ck-panel')[{panel}].querySelector('.ck-page').innerHTML"
        before = self.view.evaluate(f"() => {shown}")
        handle = self.panel(panel).locator(".noUi-handle").nth(slider)
        handle.scroll_into_view_if_needed()
        box = handle.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        mouse = self.view.mouse
        mouse.move(x, y)
        mouse.down()
        mouse.move(x + by, y, steps=6)
        mouse.up()
        self.view.wait_for_function(f"before => {shown} !== before", arg=before)
        self.settle(panel)

    def redraw_ms(self, key="ArrowLeft", presses=15, slider=0, panel=0):
        """Milliseconds from key to painted picture, each from rest; one way only, since a value that returns makes no event."""
        times = []
        for _ in range(presses):
            times.append(self.view.evaluate(REDRAW, [panel, slider, key]))
            self.view.wait_for_timeout(300)      # until the tables have followed
        return times

    def open_working(self, panel=0):
        """Open "Show the working" and return what it says."""
        self.panel(panel).locator(".jupyter-widget-Collapse-header").first.click()
        table = self.panel(panel).locator(".jupyter-widget-Collapse table.ck").first
        table.wait_for()
        return table.inner_text()


def write_notebook(path, *cells):
    """A notebook of code cells for trying the machinery itself."""
    code = [{"cell_type": "code", "id": f"c{n}", "metadata": {}, "execution_count": None, "outputs": [], "source": text}
            for n, text in enumerate(cells)]
    kernel = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
    path.write_text(json.dumps({"cells": code, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}))
