"""Controls that move the feed and vent lines of a layout one by one."""

from __future__ import annotations

import ipywidgets as w

from ..shape.laid_flat import laid_flat
from ..studies.flow_drawn import feed_plan, line_names, lines_of, moved
from .flow_outline import bounds

STEP = 0.01      # m


class LineMover:
    """Which line, how far along and how far across; ``moves`` keeps what each line was moved by [m]."""

    def __init__(self, part):
        x0, y0, x1, y1 = bounds(laid_flat(part.geometry))
        reach = [round(0.6 * side, 1) for side in (x1 - x0, y1 - y0)]
        self.moves = {}
        self.line = w.Dropdown(description="line to move", options=["feed 1"])
        self.line.layout.width = "290px"
        self.along = w.FloatSlider(value=0, min=-reach[0], max=reach[0], step=STEP, readout_format=".2f", description="move it along the part, m")
        self.across = w.FloatSlider(value=0, min=-reach[1], max=reach[1], step=STEP, readout_format=".2f", description="move it across the part, m")
        self.controls = {"_line": self.line, "along": self.along, "across": self.across}
        self._setting = False
        self.line.observe(lambda change: self._show(), "value")
        for slider in (self.along, self.across):
            slider.observe(lambda change: self._keep(), "value")
        self.take(part, part.feed.layout, part.feed.rungs)

    def take(self, part, layout, rungs):
        """Offer the lines of another layout, none of them moved."""
        self.moves = {}
        names = line_names(self._lines(part, layout, rungs))
        self._setting = True
        if list(self.line.options) != names:
            self.line.options = names
        self.line.value = names[0]
        self._setting = False
        self._show()

    def moved_lines(self, part, layout, rungs):
        """Drawn lines with every move, None where nothing is moved."""
        if not self.moves:
            return None
        lines = self._lines(part, layout, rungs)
        return [moved(line, *self.moves[name], part.geometry) if name in self.moves else line for name, line in zip(line_names(lines), lines, strict=True)]

    def words(self):
        """What was moved, for the record."""
        return ", ".join(f"{name} moved {along:+.2f} m along and {across:+.2f} m across" for name, (along, across) in self.moves.items())

    @staticmethod
    def _lines(part, layout, rungs):
        as_laid = part.changed({"feed.layout": layout, "feed.rungs": rungs})
        return lines_of(feed_plan(as_laid), as_laid)

    def _show(self):
        if self._setting:
            return
        self._setting = True
        self.along.value, self.across.value = self.moves.get(self.line.value, (0.0, 0.0))
        self._setting = False

    def _keep(self):
        if self._setting:
            return
        move = (self.along.value, self.across.value)
        self.moves = {name: kept for name, kept in {**self.moves, self.line.value: move}.items() if kept != (0.0, 0.0)}
