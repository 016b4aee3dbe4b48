"""The first page: which part, what it is for, how big it is, and what it may weigh."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np

from ..errors import CompositeKitError
from ..part import current_part, open_part, set_current_part
from ..part.decision import state
from ..part.folders import all_parts
from ..studies.brief_and_shape import brief_and_shape
from ..studies.material_rows import HOW_FAR
from ..units import say
from . import style, tables
from .in_space import InSpace, zone_colours
from .panel import Panel
from .record import RecordDecision
from .steps import next_step

RESTS_ON = ("brief.purpose", "brief.mass_target", "shape")    # a target does not rest on the layup that is meant to meet it
SUBJECT = "mass target"


class MassBars:
    """Mass of each zone, the fittings and the whole, against the target."""

    def __init__(self, study):
        colours = zone_colours([row.zone for row in study.rows])
        rows = [(row.zone, row.mass, colours[row.zone]) for row in study.rows]
        rows += [("fittings", study.fittings_mass, style.PAPER), ("whole part", study.part_mass, "#d9d9d9")]
        self.names, masses, self.colours = zip(*rows, strict=True)
        self.masses = [mass.m_as("kg") for mass in masses]

    def build(self, axes):
        places = np.arange(len(self.names))[::-1]
        axes.barh(places, self.masses, height=0.6, color=self.colours, edgecolor=style.INK, linewidth=0.8)
        axes.set(yticks=places, yticklabels=self.names, ylim=(-0.8, len(places) + 0.2), xlabel="mass, kg", xlim=(0, 1.25 * self.masses[-1]))
        for place, mass in zip(places, self.masses, strict=True):
            axes.text(mass, place, f" {mass:.1f} kg", va="center", fontsize=10)
        (self.line,) = axes.plot([], [], **style.LIMIT)
        self.word = axes.text(0, len(places) - 0.3, "", ha="right", fontsize=10)
        self.axes = axes
        return [self.line, self.word]

    def draw(self, target):
        kilograms = target.m_as("kg") if target is not None else 0.0
        self.axes.set_xlim(0, 0.99 * next_step(1.15 * max(self.masses[-1], 0.95 * kilograms)))    # no label at the very edge
        self.line.set_data([kilograms] * 2 if kilograms else [], self.axes.get_ylim() if kilograms else [])
        self.word.set_x(kilograms)
        self.word.set_text(f"target {kilograms:g} kg " if kilograms else "")


class BriefAndShapePanel(Panel):
    """The part in space beside its mass budget."""

    figsize = (9.5, 4.2)

    def __init__(self, file):
        self.file = file
        self.in_space = InSpace(file.part.geometry)
        self.bars = MassBars(brief_and_shape(file.part, file.catalogue))
        super().__init__(file.part)

    def make_controls(self):
        target = self.file.part.brief.mass_target
        kilograms = target.m_as("kg") if target is not None else 0.0
        return {
            "turn": w.IntSlider(value=35, min=-180, max=180, step=5, description="turn, degrees"),
            "tilt": w.IntSlider(value=30, min=-90, max=90, step=5, description="look from above (+) or below (−), degrees"),
            "mass_target": w.FloatSlider(value=kilograms, min=0, max=2 * max(kilograms, np.ceil(self.bars.masses[-1])), step=0.5,
                                         description="mass target, kg (0: none)"),
        }

    def build(self, fig):
        space, bars = fig.subplots(1, 2, width_ratios=[1.1, 1])
        return [*self.in_space.build(space), *self.bars.build(bars)]

    def compute(self, turn, tilt, mass_target):
        wanted, part = f"{mass_target:g} kg" if mass_target else None, self.file.part
        if mass_target != (part.brief.mass_target.m_as("kg") if part.brief.mass_target is not None else 0.0):
            part = part.changed({"brief.mass_target": wanted})
        return brief_and_shape(part, self.file.catalogue)

    def draw(self, result):
        self.in_space.look(self.controls["turn"].value, self.controls["tilt"].value)
        self.bars.draw(result.mass_target)

    def headline(self, result):
        said = f"{result.title}: {', '.join(result.size[:3])}; finished it weighs {say(result.part_mass)}"
        if result.mass_target is None:
            return f"{said}; the brief sets no mass target."
        spare = result.mass_target - result.part_mass
        return f"{said}, {say(abs(spare))} {'under' if spare.magnitude >= 0 else 'OVER'} its target of {say(result.mass_target)}."

    def alt(self, result):
        zones = "; ".join(f"{row.zone} {say(row.area)}, {say(row.mass)}" for row in result.rows)
        return f"The part in space with its zones, and bars of their masses. {self.headline(result)} Zones: {zones}."

    def extra_html(self, result):
        words = f"<p>{html.escape(result.purpose)}</p><p>Size: {html.escape(', '.join(result.size))}.</p>"
        zones = tables.rows([{
            "zone": row.zone, "area": row.area, "pieces": row.pieces, "layup, outside / core / inside": row.layup,
            "mass per area": row.areal_mass, "mass": row.mass} for row in result.rows], "Zones", {"mass": "kg"})
        fittings = tables.rows([{"fitting": name, "mass": mass} for name, mass in result.fittings], "Fittings", {"mass": "kg"})
        materials = tables.rows([{
            "material": row.name, "key": row.key, "how far to trust it": HOW_FAR[row.grade], "from": row.source}
            for row in result.materials], "Materials, and how far to trust their figures")
        return words + zones + fittings + tables.bullets(result.loads, "What it must carry") + materials

    def make_record(self):
        self.record = RecordDecision(self.file, SUBJECT, self.offer)
        return self.record

    def offer(self):
        """What the record box writes: the mass target as it stands on the slider."""
        if self.result is None:
            raise self.error
        target = self.result.mass_target
        before = self.file.part.brief.mass_target
        return dict(choice="no mass target" if target is None else f"at most {say(target)}",
                    changes={"brief.mass_target": None if target is None else f"{target.m_as('kg'):g} kg"},
                    alternatives=[] if before is None or before == target else [f"the {say(before)} of before"],
                    numbers=[check.sentence() for check in self.result.checks], rests_on=RESTS_ON)


class ChoosePart(w.VBox):
    """Which part all pages open, its brief and shape, and the decisions taken on it so far."""

    def __init__(self, file):
        super().__init__()
        names = all_parts()
        here = file.path.parent.name if file.path.parent.name in names else None
        options = [*([] if here else [("opened by its path", None)]), *((name, name) for name in names)]
        self.choice = w.Dropdown(options=options, value=here, description="part that all pages open",
                                 style={"description_width": "initial"}, layout=w.Layout(width="420px"))
        self.said, self.decisions = w.HTML(), w.HTML()
        self._show(file)
        self.choice.observe(self._chosen, "value")

    def _chosen(self, change):
        try:
            file = open_part(change["new"])
            set_current_part(change["new"])
        except CompositeKitError as err:
            self.said.value = f'<div class="ck-page"><div class="ck-stop" role="alert">{tables.FAILS} {html.escape(str(err))}</div></div>'
            return
        self._show(file)
        opens = current_part()
        self.said.value = f'<div role="status">{html.escape(self._told(change["new"], opens))}</div>'

    def _told(self, chosen, opens):
        if opens != chosen:
            return f"Other pages still open {opens}: COMPOSITEKIT_PART names it where JupyterLab was started."
        return f"Every page opens {chosen} from now on; run the first cell of a page again that is already open."

    def _show(self, file):
        self.file, self.panel = file, BriefAndShapePanel(file)
        self.panel.record.button.on_click(lambda _: self._show_decisions())
        self._show_decisions()
        self.children = [self.choice, self.said, self.panel, self.decisions]

    def _show_decisions(self):
        rows = [{"on": d.subject, "chosen": d.choice, "because": d.reason, "by": d.who, "when": d.when,
                 "does it stand?": state(d, self.file.part, self.file.catalogue)} for d in self.file.part.decisions]
        table = tables.rows(rows, "Decisions so far") or "<p>No decision on this part is recorded yet.</p>"
        self.decisions.value = f'<div class="ck-page">{table}</div>'

    def __repr__(self):
        return f"ChoosePart: {len(self.file.part.decisions)} decisions recorded; {self.panel!r}"

    def _repr_mimebundle_(self, **kwargs):
        return {**self.panel._repr_mimebundle_(**kwargs), **super()._repr_mimebundle_(**kwargs), "text/plain": repr(self)}
