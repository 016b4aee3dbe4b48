"""What to cut and lay out before the build: plies, core, peel ply, mesh, bag, tape and tubes, as rectangles."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely

from ..errors import CompositeKitError
from ..shape.laid_flat import laid_flat
from ..units import Q_, say
from .findings import Finding, Step
from .flow_distance import flow_distance
from .flow_drawn import feed_plan
from .resin_budget import EDGE, resin_budget

LAP = 0.05          # m where two widths of cloth meet, common practice, no source
ROLL = 1.25         # m of usable cloth on a roll, common practice, no source
BAG_MARGIN = 0.15   # m past the part all round for flange and tape, own judgement
PLEATS = 0.25       # share of bag film on top, both ways, for pleats, own judgement
TUBE_SPARE = 0.10   # share of spiral tube on top for ends and bends, own judgement

RECTANGLES = ("Rectangles only: each is the smallest that covers one piece of the zone laid flat, with the allowance on "
              "every edge. Flat patterns come later; until then lay the rectangle on the mould and cut to it.")
EDGES = (f"{EDGE * 1e3:.0f} mm is added on every edge (own judgement): trimmed off at a free edge; where zones meet both run over, "
         f"so that they lap by {2 * EDGE * 1e3:.0f} mm.")
ROLLS = (f"Cloth is taken as {ROLL * 1e3:.0f} mm wide between its edges, widths lapping {LAP * 1e3:.0f} mm "
         "(common practice, no source): measure your own roll, and stagger the laps from ply to ply.")


@dataclass(frozen=True)
class CutPiece:
    """A ply, a core or a peel ply of one zone.

    zone, place    where it goes; place is "outside 1" for the outermost ply, "core", "peel ply"
    material       readable name
    angle          of the cloth's length to the long way of the zone; None for core
    pieces         how many alike
    length, width  of one piece, allowances included
    """

    zone: str
    place: str
    material: str
    angle: Q_ | None
    pieces: int
    length: Q_
    width: Q_

    @property
    def area(self) -> Q_:
        """Of all pieces together."""
        return (self.pieces * self.length * self.width).to("m^2")


@dataclass(frozen=True)
class Supply:
    """What to have on the bench: how much, how that was reckoned, and where the allowance comes from."""

    what: str
    amount: Q_
    reckoned: str
    source: str


@dataclass(frozen=True, kw_only=True)
class CutList(Finding):
    """What to cut, piece by piece, and what to buy in all."""

    pieces: tuple[CutPiece, ...]
    supplies: tuple[Supply, ...]
    notes: tuple[str, ...]

    def of_zone(self, zone: str) -> tuple[CutPiece, ...]:
        return tuple(piece for piece in self.pieces if piece.zone == zone)


def cut_list(part, catalogue, budget=None) -> CutList:
    """Cut list of the whole part.

    budget  resin budget of this very part, where it is at hand already: it counts the feed hoses
    Raises PartFileError, ShapeError, UnknownMaterial.
    """
    zones = part.geometry.zones
    pieces = tuple(piece for name, layup in part.layup.items() for piece in _zone(zones[name], layup, catalogue))
    flat = _flat_size(part.geometry)
    supplies = (*_bought(pieces, catalogue), *_mesh(part, zones, catalogue, budget), *_bag(flat), *_tubes(part, *_hoses(part, catalogue, budget)))
    guesses = (f"cut list: {EDGES}", f"cut list: {ROLLS}",
               "cut list: waste shares are those of wind-turbine blades, by others; margin and pleats of the bag, spare spiral tube and hose on the vent "
               "side are own judgement")
    return CutList(pieces=pieces, supplies=supplies, notes=(RECTANGLES, EDGES, ROLLS, *_sheets(part, catalogue)), guesses=guesses,
                   working=_working(pieces, zones, flat), rests_on=("shape", "layup", "feed"))


def _zone(zone, layup, catalogue):
    outside = [("outside", ply) for ply in layup.outside]
    inside = [("inside", ply) for ply in layup.inside]
    for face, plies in (("outside", outside), ("inside", inside)):
        for number, (_, ply) in enumerate(plies, start=1):
            angle = ply.angle.to("deg")
            yield _ply(zone, f"{face} {number}", catalogue.fabric(ply.fabric).name, angle)
        if face == "outside" and layup.core is not None:
            yield CutPiece(zone.name, "core", f"{catalogue.core(layup.core.core).name}, {say(layup.core.thickness, 'mm')}, {layup.core.cut}",
                           None, zone.pieces, zone.length.to("mm"), zone.widest.to("mm"))
    yield _ply(zone, "peel ply", "peel ply", Q_(0.0, "deg"))


def _ply(zone, place, material, angle):
    """Strips run the way the cloth lies nearest to: along the zone up to 45 degrees, across it beyond."""
    along, across = zone.si.length + 2 * EDGE, zone.si.widest + 2 * EDGE
    if 45 < angle.m_as("deg") % 180 < 135:
        along, across = across, along
    strips = max(1, math.ceil((across - LAP) / (ROLL - LAP) - 1e-9))
    width = (across + (strips - 1) * LAP) / strips
    return CutPiece(zone.name, place, material, angle, zone.pieces * strips, Q_(along, "m").to("mm"), Q_(width, "m").to("mm"))


def _bought(pieces, catalogue):
    """Area of each material with its waste; what stands in the catalogue as waste comes on top of what is cut."""
    waste = {"core": catalogue.consumable("core-waste"), "peel ply": catalogue.consumable("peel-ply-waste")}
    cloth = catalogue.consumable("fabric-waste")
    for material in dict.fromkeys(piece.material for piece in pieces):
        same = [piece for piece in pieces if piece.material == material]
        row = waste.get(same[0].place, cloth)
        cut = sum(piece.area.m_as("m^2") for piece in same)
        share = row.value.m_as("")
        yield Supply(material, Q_(cut * (1 + share), "m^2"), f"{say(Q_(cut, 'm^2'))} cut, and {share:.0%} waste",
                     f"waste of {row.title}, {row.source} ({row.grade})")


def _mesh(part, zones, catalogue, budget):
    if not part.feed.flow_mesh:
        return
    stop, row = catalogue.consumable("flow-mesh-stop"), catalogue.consumable("flow-mesh-waste")
    covered, share = (budget.flow if budget else flow_distance(part, catalogue)).mesh_share, row.value.m_as("")
    area = sum(zones[name].si.area for name in part.layup) * covered
    yield Supply("flow mesh", Q_(area * (1 + share), "m^2"), f"{covered:.0%} of the part, {say(Q_(area, 'm^2'))}, and {share:.0%} waste; it ends {say(stop.value, 'mm')} short of the vent",
                 f"{stop.source} ({stop.grade}); {row.source} ({row.grade})")


def _flat_size(geometry):
    """Length and width [m] of the whole part laid flat."""
    x0, y0, x1, y1 = shapely.union_all(list(laid_flat(geometry).values())).bounds
    return x1 - x0, y1 - y0


def _bag(flat):
    length, width = ((side + 2 * BAG_MARGIN) * (1 + PLEATS) for side in flat)
    how = (f"part laid flat {flat[0]:.2f} × {flat[1]:.2f} m, {BAG_MARGIN * 1e3:.0f} mm all round, {PLEATS:.0%} on top both ways for pleats: "
           f"one film of {length:.2f} × {width:.2f} m, two widths taped together where your roll is narrower")
    yield Supply("bag film", Q_(length * width, "m^2"), how, "own judgement; a deep mould takes more pleats")
    yield Supply("sealant tape", Q_(2 * (length + width), "m"), "once round the film's edge, which the pleats have lengthened", "own judgement")


def _hoses(part, catalogue, budget):
    """Feed hoses of the resin page, and how they were counted; without a budget at least one to each line."""
    try:
        inlets = (budget or resin_budget(part, catalogue)).inlets
    except CompositeKitError:
        return len(feed_plan(part).feeds), "one to each line; the resin page cannot say whether the mass wants more"
    return inlets.hoses, f"the greater of one to each of {inlets.lines} line{'s' if inlets.lines > 1 else ''} and {inlets.by_mass} by the mass of resin"


def _tubes(part, hoses, counted):
    lines = feed_plan(part)
    for what, length, ends in (("feed", lines.feed_length, len(lines.feeds)), ("vent", lines.vent_length, len(lines.vents))):
        yield Supply(f"spiral tube, {what} lines", Q_(length * (1 + TUBE_SPARE), "m"),
                     f"{ends} line{'s' if ends > 1 else ''}, {length:.2f} m in all on the part laid flat, {TUBE_SPARE:.0%} on top", "own judgement")
        number, why = (hoses, counted) if what == "feed" else (ends, "one to each line")
        yield Supply(f"hose, {what} side", number * part.feed.feed_hose.to("m"), f"{number} × the {say(part.feed.feed_hose, 'm')} of the feed plan: {why}",
                     "feed plan" if what == "feed" else "as long as the feed hose, own judgement: measure to your catch pot")


def _sheets(part, catalogue):
    """Cores that are not listed as sold in this thickness."""
    for zone, layup in part.layup.items():
        core = layup.core and catalogue.core(layup.core.core)
        if core and core.thicknesses is not None and not any(abs(sheet - layup.core.thickness).m_as("mm") < 0.05 for sheet in core.thicknesses):
            yield (f"{zone}: {core.name} is not listed in {say(layup.core.thickness, 'mm')}; listed are "
                   f"{', '.join(f'{sheet:g}' for sheet in core.thicknesses.m_as('mm'))} mm. Ask your supplier.")


def _working(pieces, zones, flat):
    first = pieces[0]
    zone = zones[first.zone]
    bag = [(side + 2 * BAG_MARGIN) * (1 + PLEATS) for side in flat]
    return (
        Step(f"length of a ply of {first.zone}", "zone + 2 edge", {"zone": zone.length.to("mm"), "edge": Q_(EDGE, "m").to("mm")},
             Q_(zone.si.length + 2 * EDGE, "m").to("mm"), "allowance: own judgement"),
        Step(f"width of a ply of {first.zone}", "widest + 2 edge", {"widest": zone.widest.to("mm"), "edge": Q_(EDGE, "m").to("mm")},
             Q_(zone.si.widest + 2 * EDGE, "m").to("mm"), "allowance: own judgement"),
        Step("widths of cloth for one ply", "n = (width − lap)/(roll − lap), rounded up", {
            "width": Q_(zone.si.widest + 2 * EDGE, "m").to("mm"), "roll": Q_(ROLL, "m").to("mm"), "lap": Q_(LAP, "m").to("mm")},
             first.pieces // zone.pieces, "geometry; laps and roll are common practice, no source"),
        Step("sealant tape", "2 (length + width) of the film", {"length": Q_(bag[0], "m"), "width": Q_(bag[1], "m")},
             Q_(2 * sum(bag), "m"), "geometry; pleats are own judgement"))
