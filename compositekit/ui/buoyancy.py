"""The part in the water: what a person loads it with, and what keeps it up when it is full."""

from __future__ import annotations

import ipywidgets as w

from ..shape import HullShape
from ..studies.buoyancy import CREW, KIT, buoyancy
from ..units import Q_, say
from . import tables
from .buoyancy_pictures import Balance, Offcuts, Section
from .panel import Panel
from .record import RecordDecision

SUBJECT = "load and flotation"
KIT_OPTIONS = {"is tied in and sinks": "sinks", "floats by itself or drifts off": "floats"}
assert set(KIT_OPTIONS.values()) == set(KIT)


class BuoyancyPanel(Panel):
    """Load and water beside a section of the hull and the swamped balance; a part that never floats shows its offcuts."""

    def __init__(self, file):
        self.file = file
        self.hull = file.part.geometry if isinstance(file.part.geometry, HullShape) else None
        if not file.part.brief.floats:
            self.pictures = [Offcuts(list(file.part.layup))]
        else:
            self.pictures = [*([Section(self.hull)] if self.hull else []), Balance()]
        self.figsize = (9.5, 3.6) if len(self.pictures) == 2 else (7.5, 2.6)
        super().__init__(file.part)

    def make_controls(self):
        brief = self.file.part.brief
        water = w.Dropdown(options={"fresh": "fresh", "salt, open sea": "salt"}, value=brief.water, description="water")
        if not brief.floats:
            return {"water": water}
        freeboard = brief.freeboard.m_as("mm") if brief.freeboard else 0.0
        kit, height = brief.kit_mass.m_as("kg"), brief.load_height.m_as("m")
        return {
            "persons": w.IntSlider(value=brief.persons, min=0, max=max(10, 2 * brief.persons),
                                   description=f"people aboard, {say(brief.person_mass, 'kg')} each"),
            "kit_mass": w.FloatSlider(value=kit, min=0, max=max(200, 2 * kit), step=5, description="kit aboard, kg"),
            "load_height": w.FloatSlider(value=height, min=min(0, height), max=max(1.5, height), step=0.05,
                                         description="height of people and kit above the lowest point, m"),
            "freeboard": w.FloatSlider(value=freeboard, min=0, max=max(500, freeboard), step=10,
                                       description="least freeboard wanted, mm (0: none)"),
            "water": water,
            "crew": w.Dropdown(options=list(CREW), description="swamped, people are"),
            "kit": w.Dropdown(options=KIT_OPTIONS, description="swamped, the kit"),
        }

    def build(self, fig):
        columns = fig.subplots(1, len(self.pictures), width_ratios=[1, 1.1] if len(self.pictures) == 2 else [1], squeeze=False)[0]
        return [artist for picture, axes in zip(self.pictures, columns, strict=True) for artist in picture.build(axes)]

    def compute(self, water, persons=None, kit_mass=None, load_height=None, freeboard=None, crew="holding on", kit="sinks"):
        if persons is None:
            return buoyancy(self.tried(water=water), self.file.catalogue)
        changed = self.tried(water=water, load_height=f"{load_height:g} m", freeboard=f"{freeboard:g} mm" if freeboard else None)
        return buoyancy(changed, self.file.catalogue, persons, Q_(kit_mass, "kg"), crew, kit)

    def tried(self, **brief):
        """The part with these brief values, where they differ from what is recorded."""
        changes = {f"brief.{name}": value for name, value in brief.items()
                   if value != getattr(self.file.part.brief, name) and not _same(value, getattr(self.file.part.brief, name))}
        return self.file.part.changed(changes) if changes else self.file.part

    def draw(self, result):
        for picture in self.pictures:
            picture.draw(result)

    def headline(self, result):
        if not result.needed:
            return f"No buoyancy is needed. {result.note}"
        return f"{self._loaded(result)} {self._swamped(result)}"

    def _loaded(self, r):
        aboard = f"With {_people(r.persons)} and {say(r.kit_mass)} of kit"
        if r.afloat:
            return f"{aboard} it floats {say(r.draught, 'mm')} deep and keeps {say(r.freeboard, 'mm')} of side above the water."
        return f"{aboard} water comes over the gunwale." if r.carried else f"{aboard} it weighs {say(r.total_mass)}."

    def _swamped(self, r):
        reserve, who = r.swamped.reserve, f"Swamped, with {_people(r.persons)} {r.crew},"
        if not r.swamped.floats:
            return f"{who} it is {say(-reserve)} short: it needs {say(r.swamped.foam_volume, 'L', 2)} of foam, a thicker core or less kit."
        if r.thirsty and not r.thirsty.floats:
            return f"{who} it stays up with {say(reserve)} to spare, but is {say(-r.thirsty.reserve)} short if its core faces drink much resin."
        return f"{who} it stays up with {say(reserve)} to spare."

    def alt(self, result):
        if not result.needed:
            return f"Bars of panel density against that of water. {self._offcuts(result)}"
        seen = "Section of the hull in the water, and bars" if self.hull else "Bars"
        return f"{seen} of what the swamped part lifts and must carry. {self.headline(result)} {result.verdict}"

    def _offcuts(self, result):
        return " ".join(f"An offcut of {panel.zone} {'floats' if panel.floats else 'sinks'}: {say(panel.bulk_density, digits=3)} against "
                        f"{say(result.water_density, digits=3)} of the water." for panel in result.panels)

    def extra_html(self, result):
        panels = tables.rows([{
            "zone": panel.zone, "density as one solid": panel.bulk_density,
            "an offcut": f"floats, {panel.share_under:.0%} under water" if panel.floats else "sinks",
            "carries, pushed under": panel.net_lift} for panel in result.panels],
            f"Panels in {result.water} water ({say(result.water_density, digits=4)})")
        return self._afloat_rows(result) + self._spread(result) + panels

    def _spread(self, result):
        """What core faces that drink little or much resin do to mass and swamped flotation."""
        low, typical, high = result.masses
        if low == high:
            return ""
        spare = [result.swamped.reserve + typical - mass if result.swamped else None for mass in result.masses]
        rows = [{"core faces take": words, "finished part": mass, "left over when swamped": left and left.to("kg")}
                for words, mass, left in zip(("little resin", "what is usual", "much resin"), result.masses, spare, strict=True)]
        return tables.rows(rows, "Mass over the catalogue's range of resin in core faces: weigh a trial panel to narrow it")

    def _afloat_rows(self, result):
        if not result.afloat:
            return ""
        water, heel = result.afloat.water, result.afloat.heel
        figures = [("boat, people and kit", result.total_mass), ("draught", water.draught.to("mm")),
                   ("least freeboard", water.freeboard.to("mm")), ("each 10 mm deeper carries", (water.mass_per_immersion * Q_(10, "mm")).to("kg")),
                   ("centre of buoyancy, KB", water.centre_of_buoyancy.to("mm")), ("metacentric radius, BM", water.metacentric_radius.to("mm")),
                   ("centre of gravity, KG", result.afloat.centre_of_gravity.to("mm")), ("metacentric height, GM", result.gm.to("mm")),
                   ("heel when one person moves 100 mm sideways", heel and heel.to("deg")), *_standing(result.standing),
                   ("people the swamped part holds up", str(result.swamped.persons_supported))]
        return tables.rows([{"figure": name, "found": value} for name, value in figures], "Afloat, level, in calm water")

    def make_record(self):
        return RecordDecision(self.file, SUBJECT, self.offer)

    def offer(self):
        """What the record box writes: the load and the water that were tried, and how the other ways come out."""
        if self.result is None:
            raise self.error
        result, values = self.result, self.values
        if not result.needed:
            return dict(choice="no buoyancy needed", changes={"brief.water": values["water"]}, numbers=[self._offcuts(result)],
                        rests_on=result.rests_on)
        changes = {"brief.persons": values["persons"], "brief.kit_mass": f"{values['kit_mass']:g} kg",
                   "brief.load_height": f"{values['load_height']:g} m", "brief.water": values["water"],
                   "brief.freeboard": f"{values['freeboard']:g} mm" if values["freeboard"] else None}
        others = [self.compute(**values | {"crew": crew}) for crew in CREW if crew != values["crew"]]
        return dict(
            choice=f"{_people(result.persons)} and {say(result.kit_mass)} of kit in {result.water} water; swamped, people {result.crew}",
            changes=changes, alternatives=[self._swamped(other) for other in others],
            numbers=[check.sentence() for check in result.checks], rests_on=result.rests_on)


def _standing(up):
    return [] if up is None else [
        ("everybody standing, weight centre 760 mm up: GM", up.metacentric_height.to("mm")),
        ("everybody standing: heel when one person steps 100 mm sideways", up.heel and up.heel.to("deg")),
        ("everybody standing straight, weight centre 1 m up: GM", up.upright.to("mm"))]


def _same(text, quantity):
    return hasattr(quantity, "units") and text is not None and abs(Q_(text) - quantity) <= 1e-9 * abs(quantity)


def _people(number):
    return "nobody" if number == 0 else "one person" if number == 1 else f"{number} people"
