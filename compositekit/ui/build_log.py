"""Buttons that write what happened into the build log of the part file, with the time and a remark."""

from __future__ import annotations

import html
from collections.abc import Callable

import ipywidgets as w

from ..errors import CompositeKitError
from ..part import PartFile


class BuildLog(w.VBox):
    """A box of buttons under a panel; each writes one line into the part file.

    part_file  the open part
    entries    button text -> function that returns (what, values, note); it raises an error of ours where there is nothing to write
    written    called after a line was written, so that the page shows it
    """

    def __init__(self, part_file: PartFile, entries: dict[str, Callable], written: Callable):
        self.part_file, self.written = part_file, written
        self.remark = w.Text(placeholder="who, and anything odd", description="remark", layout=w.Layout(width="100%"))
        self.buttons = {text: w.Button(description=text, layout=w.Layout(width="auto")) for text in entries}
        for text, button in self.buttons.items():
            button.on_click(lambda _, entry=entries[text]: self._write(entry))
        self.said = w.HTML()
        super().__init__([w.HTML("<b>Write it in the build log</b> (kept in the part file, with date and hour)"), self.remark,
                          w.HBox([*self.buttons.values()], layout=w.Layout(flex_flow="row wrap")), self.said])
        self.add_class("ck-record")
        self._show("")

    def _write(self, entry):
        try:
            what, values, note = entry()
            self.part_file.log(what, values, "; ".join(text for text in (note, self.remark.value.strip()) if text))
        except CompositeKitError as err:
            self._show(f"✗ Nothing was written. {err}")
            return
        self.remark.value = ""
        self._show(f'✓ Written: {what}, {", ".join(f"{name} {value}" for name, value in values.items())}.')
        self.written()

    def _show(self, message):
        lines = len(self.part_file.part.build_log)
        self.said.value = f'<div role="status">{html.escape(message)} The build log has {lines} line{"" if lines == 1 else "s"}.</div>'

    def __repr__(self):
        return f"BuildLog: {len(self.part_file.part.build_log)} lines"
