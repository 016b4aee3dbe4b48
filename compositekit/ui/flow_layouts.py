"""Help with the lines on page 04: layouts compared on the real surface, and many fills with scatter, both while the page stays alive."""

from __future__ import annotations

import base64
import html

import ipywidgets as w
import numpy as np

from ..errors import PartFileError
from ..studies.feed_layouts import FeedLayouts, area_words, feed_layouts, minutes
from ..studies.fill_chance import RACE_CHANCE, FillChance, fill_chance
from ..studies.flow_notes import flow_guesses
from . import tables
from .flow_layouts_pictures import ChanceMap, LayoutBars
from .flow_words import SAID_EDGE, said_edge
from .long_task import LongTask
from .panel import CAUTION, GUESSED
from .picture import PIXELS_PER_INCH
from .record import RecordDecision

INTRO = ('<div class="ck-page"><h4>Which lines, and how sure is the fill?</h4><p>Both buttons work on the part as it was last saved. The first fills the real surface with one layout after '
         "the other. There the edge of the core is all round as chosen here. The second fills it many times with today's lines, or after comparing with the layout chosen there: cloth a little tighter or looser each time, and only here and there a piece of the core's edge open as chosen here.</p></div>")


class FeedHelpPanel(w.VBox):
    """Two buttons on the saved part: compare layouts, and try many scattered fills; results in words, a table and a picture.

    file  PartFile
    runs  how many scattered fills
    size  of triangle sides, a length; left out: about 3,000 nodes
    """

    def __init__(self, file, runs=200, size=None):
        self.file, self.runs, self.size = file, runs, size
        self.layouts: FeedLayouts | None = None
        self.chance: FillChance | None = None
        wide = w.Layout(width="320px")
        self.flow_mesh = w.Checkbox(value=file.part.feed.flow_mesh, description="flow mesh over the part", layout=wide)
        self.edge_gap = w.Dropdown(options=SAID_EDGE, value="bevelled", description="edge of the core", layout=wide)
        self.race_chance = w.IntSlider(value=round(100 * RACE_CHANCE), min=0, max=50, description="pieces of edge left open, %", layout=wide)
        self.compare = LongTask("Compare layouts", "layouts", self._compare, self._show_layouts)
        self.scatter = LongTask(f"Try {runs} scattered fills", "fills", self._scatter, self._show_chance)
        self.bars, self.map = LayoutBars(), ChanceMap(file.part.geometry)
        self.layouts_html, self.chance_html = w.HTML(), w.HTML()
        self.keep = w.Dropdown(options=[], description="layout to try and to keep", layout=w.Layout(width="560px"), style={"description_width": "initial"})
        self.record = RecordDecision(file, "feed layout", self.offer)
        self.keeping = w.VBox([self.keep, self.record], layout=w.Layout(display="none"))
        controls = w.VBox([self.flow_mesh, self.edge_gap, self.race_chance])
        controls.add_class("ck-controls")
        super().__init__([w.HTML(tables.CSS + INTRO), controls, self.compare, self.layouts_html, self.keeping, self.scatter, self.chance_html])
        self.add_class("ck-help")

    @property
    def chosen(self):
        """The layout chosen after comparing, None before."""
        return None if self.layouts is None or self.keep.value is None else self.layouts.rows[self.keep.value]

    def changes_of(self, row):
        """What a compared layout changes in the saved part, with the mesh as it was compared."""
        mesh = bool(row.fill.flow.mesh_share > 0)
        return row.changes | ({} if mesh == self.file.part.feed.flow_mesh else {"feed.flow_mesh": mesh})

    # --- work, on a thread of its own ---

    def part(self):
        """The part as last saved, with or without mesh."""
        part = self.file.part
        return part if self.flow_mesh.value == part.feed.flow_mesh else part.changed({"feed.flow_mesh": self.flow_mesh.value})

    def _compare(self, progress, keep_going):
        return feed_layouts(self.part(), self.file.catalogue, self.size, self.edge_gap.value, progress=progress, keep_going=keep_going)

    def _scatter(self, progress, keep_going):
        row, part = self.chosen, self.part()
        part = part.changed(row.changes) if row is not None and row.changes else part
        lines = f"{'today' if row is None else row.name}, {'with' if part.feed.flow_mesh else 'without'} flow mesh"
        shut = self.edge_gap.value == "none"      # then no piece of edge ever races
        return lines, fill_chance(part, self.file.catalogue, self.size, "bevelled" if shut else self.edge_gap.value, runs=self.runs,
                                  race_chance=0.0 if shut else self.race_chance.value / 100, progress=progress, keep_going=keep_going)

    # --- what is shown ---

    def _show_layouts(self, found):
        self.layouts = found
        rows = tables.rows([{
            "layout": row.name + (" (today)" if row.today else ""), "full after": minutes(row.fill_time), "left dry": area_words(row.dry_area),
            "feed": row.feed_length.to("m"), "vents": row.vent_length.to("m"), "inlets": row.inlets, "verdict": f"{tables.HOLDS if row.holds else tables.FAILS} {row.verdict}"}
            for row in found.rows], f"Layouts, best first; edge of the core, all round: {said_edge(found.best.fill.edge_gap)}")
        self.layouts_html.value = self._page(self.bars, found, found.how_far, f"<p>{html.escape(found.order)}</p>{rows}")
        self.keep.options = [(f"{row.name}: {row.verdict}", n) for n, row in enumerate(found.rows) if row.fill is not None]
        self.keep.value = next(n for n, row in enumerate(found.rows) if row is (found.simplest or found.best))
        self.keeping.layout.display = ""

    def _show_chance(self, told):
        lines, self.chance = told
        found, (first, *more) = self.chance, self.chance.said
        times = [{"of the fills": words, "are full within": minutes(found.fill_time_within(share))} for words, share in (("one in ten", 0.1), ("half", 0.5), ("nine in ten", 0.9))]
        plain = minutes(found.plain_time)
        table = tables.rows(times, f"Fill times; without scatter {plain}, allowed {minutes(found.time_allowed)}")
        self.chance_html.value = self._page(self.map, found, f"Lines: {lines}. {first}", "".join(f"<p>{html.escape(text)}</p>" for text in more) + table)

    def _page(self, picture, found, headline, more):
        width, height = (round(side * PIXELS_PER_INCH) for side in picture.figsize)
        shared = flow_guesses(self.file.part, self.file.catalogue)     # said by the panel above already
        guesses = [guess for guess in found.guesses if guess not in shared]
        data = base64.b64encode(picture.drawn(found)).decode()
        return (f'<div class="ck-page"><p class="ck-headline">{html.escape(headline)}</p>'
                f'<img width="{width}" height="{height}" alt="{html.escape(picture.alt(found))}" src="data:image/png;base64,{data}">'
                f'{more}{tables.checks(found.checks)}{tables.bullets(found.cautions, CAUTION, "ck-caution")}{tables.bullets(guesses, f"{GUESSED}, beside those told above")}</div>')

    # --- record ---

    def offer(self):
        """The layout chosen to keep, as a decision."""
        row = self.chosen
        if row is None:
            raise PartFileError("compare the layouts first, then choose the one to keep.")
        changes = self.changes_of(row)
        mesh = changes.get("feed.flow_mesh", self.file.part.feed.flow_mesh)
        time = minutes(row.fill_time) if np.isfinite(row.fill_time.magnitude) else "not before it gels"
        return dict(choice=f"{row.name} {'with' if mesh else 'without'} flow mesh", changes=changes,
                    alternatives=[f"{other.name}: {other.verdict}" for other in self.layouts.rows if other is not row],
                    numbers=[f"fill of the real surface: {time}, allowed {minutes(row.time_allowed)}", f"left dry: {area_words(row.dry_area)}", f"edge of the core, all round: {said_edge(row.fill.edge_gap)}"],
                    rests_on=self.layouts.rests_on)

    def __repr__(self):
        said = [found.how_far if isinstance(found, FeedLayouts) else found.said[0] for found in (self.layouts, self.chance) if found is not None]
        return f"FeedHelpPanel: {' '.join(said) or 'press a button'}"

    def _repr_mimebundle_(self, **kwargs):
        return {**super()._repr_mimebundle_(**kwargs), "text/plain": repr(self)}
