"""Record this decision: what was chosen and why, saved in the part file beside the numbers it rested on."""

from __future__ import annotations

import html

import ipywidgets as w

from ..errors import CompositeKitError
from ..part import PartFile
from ..part.decision import state


class RecordDecision(w.VBox):
    """A box under a panel that writes its choice, with reason and name, into the part file.

    part_file  the open part
    subject    what is decided, e.g. "skins of the bottom"
    offer      called when the button is pressed; returns the keyword arguments ``choice``, ``changes``,
               ``alternatives``, ``numbers`` and ``rests_on`` of PartFile.record
    """

    def __init__(self, part_file: PartFile, subject: str, offer):
        self.part_file, self.subject, self.offer = part_file, subject, offer
        wide = w.Layout(width="100%")
        self.reason = w.Textarea(placeholder="because …", description="reason", rows=2, layout=wide)
        self.who = w.Text(placeholder="your name", description="decided by")
        self.button = w.Button(description="Record this decision", button_style="", layout=w.Layout(width="200px"))
        self.button.on_click(self._press)
        self.said = w.HTML()
        super().__init__([w.HTML(f"<b>Record this decision: {html.escape(subject)}</b>"), self.reason,
                          w.HBox([self.who, self.button]), self.said])
        self.add_class("ck-record")
        self._show("")

    def _press(self, _):
        try:
            decision = self.part_file.record(subject=self.subject, reason=self.reason.value, who=self.who.value, **self.offer())
        except CompositeKitError as err:
            self._show(f"✗ {err}")
            return
        self.reason.value = ""
        self._show(f'✓ Recorded "{decision.choice}" as revision {self.part_file.part.revision} of '
                   f'"{self.part_file.path.parent.name}/{self.part_file.path.name}". Pages run after this one use it.')

    def _show(self, message):
        rows = [self._line(d) for d in self.part_file.part.decisions if d.subject == self.subject]
        earlier = f"<ul>{''.join(rows)}</ul>" if rows else "<div>No decision on this is recorded yet.</div>"
        self.said.value = f'<div role="status">{html.escape(message)}</div>{earlier}'

    def _line(self, decision):
        return (f"<li><b>{html.escape(decision.choice)}</b> ({html.escape(decision.when)}, {html.escape(decision.who)}): "
                f"{html.escape(decision.reason)} <i>{html.escape(state(decision, self.part_file.part, self.part_file.catalogue))}</i></li>")

    def __repr__(self):
        known = [d for d in self.part_file.part.decisions if d.subject == self.subject]
        return f"RecordDecision: {self.subject}; {len(known)} recorded"
