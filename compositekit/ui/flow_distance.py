"""Feed layout on the part laid flat, the front at a chosen time, and how far it gets before the resin gels."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from ..errors import CompositeKitError
from ..shape.laid_flat import laid_flat
from ..studies.flow_distance import flow_distance
from ..studies.flow_drawn import DRAWN
from ..studies.flow_measured import measured_permeability
from ..studies.flow_paths import LAYOUTS
from ..studies.surface_fill import surface_fill
from ..units import Q_, say, write
from . import style, tables
from .flow_inflow_picture import InflowPerLine
from .flow_outline import bounds, outline, spot
from .flow_surface_pictures import FilledInSpace, FilledSurface
from .flow_words import SAID_EDGE, SAID_VENT, colder_words, fill_html, fill_sentence, minutes_said, span_said
from .line_mover import LineMover
from .panel import Panel
from .record import RecordDecision
from .steps import next_step

WET = "#c9d5ea"
PATCH = {"facecolor": style.PAPER, "edgecolor": "none", "alpha": 0.8, "pad": 1.0}
CUTS = {"as laid up": "", "uncut": "plain", "grooves to the mould": "grooved", "holes": "perforated", "slits": "slit"}


class FlowDistancePanel(Panel):
    """Layout, mesh, cuts and room against the fill of every zone."""

    label = "Straight runs"
    figsize = (9.6, 4.4)

    def __init__(self, file):
        self.file, self._kept = file, {}
        super().__init__(file.part)

    def views(self):
        return [FilledSurface(self), FilledInSpace(self), InflowPerLine(self)]

    # --- controls ---

    def make_controls(self):
        part = self.file.part
        feed, shop = part.feed, part.workshop
        warm, bag = shop.temperature.m_as("degC"), shop.bag_pressure.m_as("mbar")
        self.mover = LineMover(part)
        self._cored = [zone for zone, layup in part.layup.items() if layup.core]
        controls = {
            "layout": w.Dropdown(options=[*LAYOUTS, *([DRAWN] if feed.lines else [])], value=feed.layout, description="feed layout"),
            "rungs": w.IntSlider(value=feed.rungs, min=1, max=max(8, feed.rungs), description="feed lines across (rungs only)"),
            **self.mover.controls,
            "flow_mesh": w.Checkbox(value=feed.flow_mesh, description="flow mesh over the part"),
            "cut": w.Dropdown(options=CUTS, value="", description="cuts in the core, all zones", disabled=not self._cored),
            "edge_gap": w.Dropdown(options=SAID_EDGE, value="none", description="edge of the core, all round (filled surface only)", disabled=not self._cored),
            "vent_kind": w.Dropdown(options=SAID_VENT, value="microporous", description="when resin reaches a vent (filled surface only)"),
            "temperature": w.FloatSlider(value=warm, min=min(10, warm), max=max(35, warm), step=1, readout_format=".3g", description="room and resin, °C"),
            "bag_pressure": w.FloatSlider(value=bag, min=0, max=max(400, bag), step=5, readout_format=".3g", description="left under the bag, mbar absolute"),
            "minutes": w.IntSlider(value=20, min=1, max=400, description="front shown after, min"),
            "turn": w.IntSlider(value=35, min=-180, max=180, step=5, description="turn the part, degrees (in space only)"),
        }
        found, self.trial_said = self._trial()
        recorded = part.measured_permeability
        self.measured = {key: write(value) for key, value in {**recorded, **found}.items()}
        if self.measured:
            controls["use_trial"] = w.Checkbox(value=bool(recorded), description="permeability as the trial panel showed it")
        for name in ("layout", "rungs"):
            controls[name].observe(lambda change: self._other_lines(), "value")
        controls["rungs"].disabled = feed.layout != "rungs"
        return controls

    def _trial(self):
        try:
            return measured_permeability(self.file.part, self.file.catalogue, self.file.folder)
        except CompositeKitError as err:
            return {}, f"The trial's front log cannot be used: {err}"

    def _other_lines(self):
        self.controls["rungs"].disabled = self.controls["layout"].value != "rungs"
        held, self._held = self._held, True       # the sliders go home without a redraw of their own
        self.mover.take(self.file.part, self.controls["layout"].value, self.controls["rungs"].value)
        self._held = held

    def changes(self, layout, rungs, flow_mesh, cut, temperature, bag_pressure, use_trial=False, **_) -> dict:
        """What differs from the saved part."""
        part = self.file.part
        wanted = {"feed.layout": (layout, part.feed.layout), "feed.rungs": (rungs, part.feed.rungs), "feed.flow_mesh": (flow_mesh, part.feed.flow_mesh)}
        found = {path: new for path, (new, old) in wanted.items() if new != old}
        if cut:
            found |= {f"layup.{zone}.core.cut": cut for zone in self._cored if part.layup[zone].core.cut != cut}
        for path, new, old, unit in (("temperature", temperature, part.workshop.temperature, "degC"), ("bag_pressure", bag_pressure, part.workshop.bag_pressure, "mbar")):
            if abs(new - old.m_as(unit)) > 1e-9:
                found[f"workshop.{path}"] = f"{new:g} {unit}"
        wanted = self.measured if use_trial else {}
        if wanted != {key: write(value) for key, value in part.measured_permeability.items()}:
            found["measured_permeability"] = wanted
        lines = self.mover.moved_lines(part, layout, rungs)
        if lines is not None:
            found |= {"feed.layout": DRAWN, "feed.lines": lines}
        return found

    def compute(self, minutes, turn, **values):
        return self._once("straight", values, lambda part: flow_distance(part, self.file.catalogue))

    def fill(self):
        """SurfaceFill of the part as dialled in; kept, so that a picture may ask at every step."""
        values = {name: value for name, value in self.values.items() if name not in ("minutes", "turn")}
        return self._once("surface", values, lambda part: surface_fill(part, self.file.catalogue, edge_gap=values["edge_gap"], vent_kind=values["vent_kind"]))

    def _once(self, kind, values, study):
        """What a study finds for these values, worked out again only when they or the saved part change: the time slider moves neither."""
        saved, key = self.file.part, (repr(values), repr(self.mover.moves))
        kept = self._kept.get(kind)
        if kept is None or kept[0] is not saved or kept[1] != key:
            changes = self.changes(**values)
            kept = self._kept[kind] = saved, key, study(saved.changed(changes) if changes else saved)
        return kept[2]

    def fill_words(self, fill):
        """The fill of the real surface in one sentence."""
        return fill_sentence(fill)

    # --- picture ---

    def build(self, fig):
        flat = laid_flat(self.file.part.geometry)
        x0, y0, x1, y1 = bounds(flat)
        long_part = (x1 - x0) > 1.7 * (y1 - y0)
        self.map, self.curves = fig.subplots(1, 2, width_ratios=[1.35, 1] if long_part else [1, 1])
        pad = 0.07 * max(x1 - x0, y1 - y0)
        self.map.set(aspect="equal", xlim=(x0 - pad, x1 + pad), ylim=(y0 - 1.6 * pad, y1 + 1.6 * pad), xlabel="along the part, m", ylabel="across, laid flat, m")
        self.map.grid(False)
        edges = outline(flat)
        self.wet = PolyCollection([], facecolor=WET, edgecolor=WET, linewidth=0.6, zorder=1)
        self.map.add_collection(self.wet)
        self.wet.set_clip_path(edges, self.map.transData)
        edge = PathPatch(edges, facecolor="none", edgecolor=style.INK, linewidth=1, zorder=2)
        self.map.add_patch(edge)
        named = [self.map.text(*spot(polygon), name, ha="center", va="center", fontsize=10, color=style.INK, zorder=5, bbox=PATCH) for name, polygon in flat.items()]
        self.feeds = LineCollection([], colors=style.BLUE, linewidths=3.2, linestyles="solid", zorder=4)
        self.vents = LineCollection([], colors=style.RUST, linewidths=2.2, linestyles=[(0, (4, 2.2))], zorder=3)
        for lines in (self.feeds, self.vents):
            self.map.add_collection(lines, autolim=False)
        (feed,) = self.map.plot([], [], color=style.BLUE, linestyle="-", linewidth=3.2, label="feed line")
        (vent,) = self.map.plot([], [], color=style.RUST, linestyle=(0, (4, 2.2)), linewidth=2.2, label="vent line")
        wet = PathPatch(Path([[0, 0]]), facecolor=WET, label="wet, slowest skin")
        fig.legend(handles=[feed, vent, wet], loc="outside lower left", ncols=3, fontsize=10, frameon=False)
        self.title = self.map.set_title(" ")

        axes = self.curves
        axes.set(xlabel="minutes since the resin was mixed", ylabel="front from the feed line, m", xlim=(0, 300), ylim=(0, 1))
        axes.set_title("slowest run: front against time")
        self.band = axes.fill([0, 0, 0], [0, 0, 0], color=style.BLUE, **style.SHADE)[0]
        (self.run,) = axes.plot([], [], **style.line(0))
        (self.at,) = axes.plot([], [], "o", color=style.BLUE, markersize=8)
        (self.vent_at,) = axes.plot([], [], color=style.RUST, linestyle=(0, (4, 2.2)), linewidth=1.6)
        (self.allowed,) = axes.plot([], [], **style.LIMIT)
        (self.gel,) = axes.plot([], [], color=style.INK, linestyle="-", linewidth=2.5)
        self.words = {name: axes.text(0, 0, "", fontsize=9.5, color=colour, rotation=turn, va=va, ha=ha, bbox=PATCH) for name, colour, turn, va, ha in (
            ("vent", style.RUST, 0, "bottom", "right"), ("allowed", style.INK, 90, "top", "right"), ("gel", style.INK, 90, "top", "right"))}
        return [self.wet, edge, *named, self.feeds, self.vents, self.title, self.band, self.run, self.at, self.vent_at, self.allowed, self.gel, *self.words.values()]

    @property
    def moment(self):
        """The time the front is shown at."""
        return Q_(float(self.controls["minutes"].value), "min")

    def draw(self, result):
        strips = []
        for front, distance in zip(result.fronts, result.wet_at(self.moment).magnitude, strict=True):
            for run in front.runs:
                strips += run.boxes(distance, result.plan.direction)
        self.wet.set_verts(strips)
        self.feeds.set_segments(result.plan.feeds)
        self.vents.set_segments(result.plan.vents)
        gelled = self.moment >= result.gel_time and not result.arrives
        self.title.set_text(f"{result.layout}: wet when it gels" if gelled else f"{result.layout}: wet after {self.moment.magnitude:.0f} min")
        self._draw_curve(result)

    def _draw_curve(self, result):
        gel, allowed, length = result.gel_time.m_as("min"), result.time_allowed.m_as("min"), result.distance.m_as("m")
        wide, high = next_step(1.15 * gel), next_step(1.2 * max(length, result.farthest.m_as("m") if result.arrives else length))
        self.curves.set(xlim=(0, wide), ylim=(0, high))
        times = np.linspace(0, gel, 90)
        typical, low, high_k = (result.reach_at(Q_(times, "min"), case).m_as("m") for case in ("typical", "low", "high"))
        self.run.set_data(times, typical)
        self.band.set_xy(np.concatenate([np.column_stack([times, low]), np.column_stack([times, high_k])[::-1]]))
        now = min(self.moment.m_as("min"), gel)
        self.at.set_data([now], [np.interp(now, times, typical)])
        self.vent_at.set_data([0, wide], [length, length])
        self.allowed.set_data([allowed, allowed], [0, high])
        self.gel.set_data([gel, gel], [0, high])
        top = 0.97 if result.arrives else 0.66    # clear of the vent line
        for name, place, words in (("vent", (0.985 * wide, length + 0.02 * high), f"vent, {length:.2f} m away"), ("allowed", (allowed - 0.012 * wide, top * high), f"time allowed, {allowed:.0f} min"),
                                   ("gel", (gel - 0.012 * wide, top * high), f"gels, {gel:.0f} min")):
            self.words[name].set_position(place)
            self.words[name].set_text(words)

    # --- words ---

    def headline(self, result):
        """About what is shown: the straight runs, or the surface with the straight runs' time beside it."""
        if self.view.value == self.label:
            return self.straight_words(result)
        return f"{result.layout.capitalize()}. {self.fill_words(self.fill())} By straight runs: {minutes_said(result.fill_time)}."

    def straight_words(self, result):
        """How the straight runs come out, in one or two sentences."""
        if result.stops_at is not None:
            return (f"{result.layout.capitalize()}: stalls. The slowest front gels at {minutes_said(result.gel_time)}, {say(result.stops_at, 'm', 2)} from the feed line; "
                    f"the vent is {say(result.distance, 'm', 2)} away.")
        return (f"{result.layout.capitalize()}: full in {minutes_said(result.fill_time)} of {minutes_said(result.time_allowed)} allowed "
                f"(permeability range: {minutes_said(result.fill_time_low)} to {minutes_said(result.fill_time_high)}). The longest run is {say(result.distance, 'm', 2)}; "
                f"in the time allowed it could be {say(result.farthest, 'm', 2)}.")

    def alt(self, result):
        wet = result.wet_at(self.moment).m_as("m")
        return (f"The part laid flat with feed and vent lines, {result.layout}, and the front after {self.moment.magnitude:.0f} min: {span_said(wet)} m from the feed line. "
                f"Beside it distance against time. {self.straight_words(result)} {result.verdict}")

    def extra_html(self, result):
        wet = result.wet_at(self.moment)
        now = (f"After {self.moment.magnitude:.0f} min the front is {span_said(wet.m_as('m'))} m from the feed line and "
               f"{result.resin_in_front(min(self.moment, result.gel_time)):.0%} of the resin the part takes is in. Viscosity {say(result.viscosity)} when fresh, driven by {say(result.pressure)}.")
        said = [now, *([result.hint] if result.hint else []), *([self.trial_said] if self.trial_said else [])]
        zones = tables.rows([{"zone": path.zone, "way and skin that is last": path.words, "run": path.distance.to("m"),
                              "wet after": path.fill_time if np.isfinite(path.fill_time.magnitude) else "never: gels first"} for path in result.paths], "Zone by zone, in order of the run")
        thumb = tables.checks([result.thumb], "Rule of thumb, for information only")
        straight = "".join(f"<p>{html.escape(text)}</p>" for text in said)
        return f"{self._fill_html(result)}{self._colder_html(result)}<h4>Straight runs</h4>{straight}{zones}{thumb}"

    def _fill_html(self, result):
        try:
            return fill_html(self.fill(), result)
        except CompositeKitError as err:
            return f"<p>{html.escape(f'The real surface cannot be filled with these inputs: {err}')}</p>"

    def _colder_html(self, result):
        """Both ways of reckoning in a colder room, the surface first."""
        said = [f"by straight runs {colder_words(result.colder)}"]
        try:
            fill = self.fill()
            said.insert(0, f"on the real surface {colder_words(fill.colder, fill.wet_words)}")
        except CompositeKitError:      # said above already
            pass
        return f"<p>{html.escape(f'If the room is 5 degrees colder ({say(result.colder.temperature)}): ' + '; '.join(said))}.</p>"

    # --- record ---

    def make_record(self):
        return RecordDecision(self.file, "feed layout", self.offer)

    def _layout_alone(self, values, layout):
        changes = {path: value for path, value in self.changes(**values).items() if path != "feed.lines"}
        return flow_distance(self.file.part.changed(changes | {"feed.layout": layout}), self.file.catalogue)

    def offer(self):
        """The layout as dialled in, and how the other layouts come out under the same conditions."""
        if self.result is None:
            raise self.error
        values = self.values
        others = [self._layout_alone(values, layout) for layout in LAYOUTS if layout != values["layout"]]
        mesh = "with flow mesh" if values["flow_mesh"] else "without flow mesh"
        cut = f", core cut: {values['cut']}" if values["cut"] else ""
        trial = ", permeability of the trial panel" if values.get("use_trial") else ""
        rungs = f" ({values['rungs']})" if values["layout"] == "rungs" else ""
        lines = f", {self.mover.words()}" if self.mover.moves else ""
        fill = self.fill()
        return dict(
            choice=f"{values['layout']}{rungs}{lines} {mesh}{cut}{trial}, planned for {values['temperature']:g} °C and {values['bag_pressure']:g} mbar",
            changes=self.changes(**values), alternatives=[self.straight_words(other) for other in others],
            numbers=[check.sentence() for check in (*self.result.checks, *fill.checks)], rests_on=self.result.rests_on)
