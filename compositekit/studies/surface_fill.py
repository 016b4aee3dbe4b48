"""The part's real surface filled: when the front is where, which spots it closes off, and how much each line lets in.

``fill_ground`` lays mesh, stack and lines ready and ``run_ground`` fills them; layouts compared and fills repeated with
scatter go through the same two.
"""

from __future__ import annotations

import functools
import json
from dataclasses import dataclass, field, replace

import numpy as np
from scipy.spatial import cKDTree

from ..errors import RangeError
from ..infusion.ageing import clock_or_never, fresh_time
from ..infusion.fill_result import FillResult
from ..infusion.filling import FeedLine, FillModel, VentLine
from ..infusion.front_speed import air_left_in_pocket
from ..units import Q_
from .build import part_build
from .flow_distance import COLDER, SAFE_SHARE, Colder, driving_pressure, flow_distance
from .flow_drawn import feed_plan, line_names, lines_of
from .flow_notes import fabrics_known, flow_cautions, flow_rests_on
from .flow_stack import HIGH, LOW, TYPICAL, flow_mesh
from .room_resin import RoomResin, room_resin
from .surface_lines import EDGE_GAPS, SurfaceLine, core_edges, flat_net, lined_up, near_vents, part_mesh, place_lines
from .surface_results import LineInflow, Pocket, SkinFill, SurfaceFill
from .surface_stack import SkinStack, surface_layers
from .surface_words import surface_checks, surface_guesses, surface_working, what_to_do

AIR_ONLY = "microporous"     # the other kinds of VentLine: "closes", "bleeds"
SMALLEST = 20e-4         # m^2: smaller dry spots are below what the mesh can tell (own judgement)
STEPS = 61


@dataclass(frozen=True, eq=False)
class FillGround:
    """All that a fill needs: mesh, lines, skins, channels along the core's edge, driving pressure [Pa], each skin's hose [m], resin in this room."""

    mesh: object
    lines: tuple[SurfaceLine, ...]
    layers: tuple[SkinStack, ...]
    channels: tuple
    pressure: float
    hose_length: float
    hose_bore: float
    room: RoomResin
    covered: np.ndarray
    vent_kind: str


def fill_ground(part, catalogue, size=None, edge_gap="none", case=TYPICAL, vent_kind=AIR_ONLY) -> FillGround:
    """Mesh, skins and lines of a part, ready to be filled.

    size      [m] of triangle sides; left out: about 3,000 nodes
    edge_gap  "none", "bevelled" or "square": the gap along the core's edge that resin may race through
    case      LOW, TYPICAL or HIGH permeability
    vent_kind  of a VentLine: what a vent does when resin reaches it
    Raises RangeError, PartFileError, ShapeError.
    """
    if edge_gap not in EDGE_GAPS:
        raise RangeError(f'edge_gap is "{edge_gap}"; give {", ".join(EDGE_GAPS)}.')
    mesh, plan, builds = part_mesh(part, size), feed_plan(part), part_build(part, catalogue)
    drawn = lines_of(plan, part)
    lines = place_lines(mesh, drawn, line_names(drawn))
    mesh = lined_up(mesh, lines)
    covered = np.full(len(mesh.zones), bool(part.feed.flow_mesh))
    if part.feed.flow_mesh:
        covered &= ~near_vents(mesh, lines, flow_mesh(catalogue).stop)
    layers = surface_layers(part, catalogue, mesh, builds, plan.direction, covered, case)
    channels = core_edges(mesh, {name: build.core_thickness for name, build in builds.items()}, edge_gap, 1 / len(layers))
    room = room_resin(catalogue.resin(part.resin), part.workshop.temperature.m_as("K"))
    hose = hose_of_a_skin(part.feed.feed_hose.m_as("m"), part.feed.feed_bore.m_as("m"), len(layers))
    return FillGround(mesh, lines, layers, channels, driving_pressure(part, catalogue)[0], *hose, room, covered, vent_kind)


def hose_of_a_skin(hose_length, hose_bore, skins):
    """Length and bore [m] of the hose that stands for a skin's share of one: n times its resistance, one n-th of what it holds.

    Relation: L'/b'^4 = n L/b^4 and L' b'^2 = L b^2/n give b' = b n^(-1/3), L' = L n^(-1/3)
    """
    share = skins ** (-1 / 3)
    return hose_length * share, hose_bore * share


def feeds_and_vents(ground: FillGround):
    """FeedLine and VentLine lists of the lines laid."""
    feeds = [FeedLine.from_si(name=line.name, nodes=line.nodes, pressure=ground.pressure, opens=line.opens, closes=line.closes, bore=None,
                              hose_length=ground.hose_length, hose_bore=ground.hose_bore) for line in ground.lines if line.kind == "feed"]
    return feeds, [VentLine(line.name, line.nodes, ground.vent_kind) for line in ground.lines if line.kind == "vent"]


def run_ground(ground: FillGround, layer: SkinStack, channels=None):
    """FillResult of one skin.

    channels  EdgeChannel list in place of the ground's own
    """
    model = FillModel.from_si(ground.mesh, layer.storage, 1.0)
    return FillModel.fill.si(model, layer.along, ground.room.viscosity, *feeds_and_vents(ground), permeability_across=layer.across, direction=layer.direction,
                             channels=ground.channels if channels is None else channels, doubling_time=ground.room.doubling_time, gel_time=ground.room.pot_life)


def surface_fill(part, catalogue, size=None, edge_gap="none", vent_kind=AIR_ONLY, safe_share: float = SAFE_SHARE) -> SurfaceFill:
    """Fill of the part's real surface from its own feed and vent lines.

    size        [m] of triangle sides, a quantity; left out: about 3,000 nodes, where a fill takes some 20 ms
    edge_gap    "none", "bevelled" or "square": the gap along the core's edge that resin may race through
    vent_kind   of a VentLine: "microporous" passes air only, "closes" is clamped as soon as resin shows, "bleeds" stays open into the catch pot
    safe_share  share of the gel time that a fill may use
    Returns SurfaceFill; the same inputs give the same object.
    Raises PartFileError, UnknownMaterial, RangeError, ShapeError.
    Relation: div(K h grad p)/mu = s ds/dt on triangles, K h and s of each zone's plies, core faces, cuts and mesh.
    Valid: stiff stack; flow in the plane. Under flow mesh the far skin lags behind the front: the lag of FL-R09 is added at the
    length that a straight front would have run in the local arrival time. Mesh nodes are drawn on to the lines where that leaves good
    triangles; elsewhere a line lies up to half a triangle side off. Every feed line has its own hose. As in flow_distance
    the whole climb from the bucket is taken off the driving pressure, because the part file does not say which way up the mould stands.
    """
    return _surface_fill(_Inputs.of(part, catalogue, None if size is None else float(size.m_as("m")), edge_gap, vent_kind, safe_share))


@dataclass(frozen=True)
class _Inputs:
    """What a fill rests on, as text to compare; the part itself goes along."""

    text: str
    geometry: object
    catalogue: object
    size: float | None
    edge_gap: str
    vent_kind: str
    safe_share: float
    part: object = field(compare=False)

    @classmethod
    def of(cls, part, catalogue, size, edge_gap, vent_kind, safe_share):
        shop, plain = part.workshop, part.model_dump(mode="json", include={"layup", "feed", "resin", "measured_permeability"})
        text = json.dumps([plain, shop.temperature.m_as("K"), shop.bag_pressure.m_as("Pa"), shop.altitude.m_as("m")])
        return cls(text, part.geometry, catalogue, size, edge_gap, vent_kind, safe_share, part)


@functools.lru_cache(maxsize=24)
def _surface_fill(inputs) -> SurfaceFill:
    part, catalogue, edge_gap, safe_share = inputs.part, inputs.catalogue, inputs.edge_gap, inputs.safe_share
    size = None if inputs.size is None else Q_(inputs.size, "m")

    def ground_of(case):
        return fill_ground(part, catalogue, size, edge_gap, case, inputs.vent_kind)

    flow = flow_distance(part, catalogue, safe_share)
    ground = ground_of(TYPICAL)
    runs = _runs(ground)
    end = min(max(float(_clocked(ground, layer, run.si.full_at).max()) for layer, run in zip(ground.layers, runs, strict=True)), ground.room.pot_life)
    share = least_air_left(part, ground)
    skins = tuple(_skin(ground, layer, run, share, edge_gap, end) for layer, run in zip(ground.layers, runs, strict=True))
    tight, easy = (_slowest(ground_of(case)) for case in (LOW, HIGH))
    arrival = np.max([skin.arrival.m_as("s") for skin in skins], axis=0)
    full = np.max([skin.full_at.m_as("s") for skin in skins], axis=0)
    mesh, nodes = ground.mesh, ground.mesh.si.triangles
    weight = _node_areas(mesh)
    fill = float(full.max())
    pockets = _named([pocket for skin in skins for pocket in skin.pockets])
    stalled = max(float(weight[~np.isfinite(skin.arrival.magnitude)].sum()) for skin in skins)
    facts = dict(
        layout=part.feed.layout, mesh=mesh, lines=ground.lines, skins=skins, arrival=Q_(arrival / 60, "min"),
        zones=tuple((name, Q_(float(full[np.unique(nodes[mesh.zones == name])].max()) / 60, "min")) for name in mesh.zone_names),
        fill_time=Q_(fill / 60, "min"), fill_time_low=Q_(easy / 60, "min"), fill_time_high=Q_(tight / 60, "min"), gel_time=flow.gel_time, time_allowed=flow.time_allowed,
        pockets=pockets, stalled_area=Q_(stalled, "m^2"), area=mesh.area, inflow=_inflow(ground, runs, end), edge_gap=edge_gap, flow=flow,
        colder=_colder(part, catalogue, ground, runs, safe_share), drawn_off=sum(skin.drawn_off for skin in skins), resin_density=Q_(catalogue.resin(part.resin).si.density_liquid, "kg/m^3"))
    tightest = None if fabrics_known(part, catalogue) else Q_(tight / 60, "min")
    return SurfaceFill(**facts, checks=surface_checks(facts, tightest, safe_share, SMALLEST), cautions=flow_cautions(part), guesses=surface_guesses(flow, edge_gap, inputs.vent_kind),
                       rests_on=flow_rests_on(part), working=surface_working(ground, facts))


def _named(pockets):
    """Dry spots, the largest first, lettered; one that both skins share is told once."""
    found = []
    for pocket in sorted(pockets, key=lambda pocket: -pocket.area.magnitude):
        twin = next((n for n, other in enumerate(found) if other.nodes.size == pocket.nodes.size and np.array_equal(other.nodes, pocket.nodes)), None)
        if twin is None:
            found.append(replace(pocket, name=f"dry spot {chr(65 + len(found) % 26)}"))
        else:
            found[twin] = replace(found[twin], skin="both skins")
    return tuple(found)


def _node_areas(mesh):
    return np.bincount(mesh.si.triangles.ravel(), np.repeat(mesh.si.areas / 3, 3), len(mesh.si.nodes))


def _clocked(ground, layer, clock):
    """Times on the clock with the lag of the far skin; infinite after gel."""
    room, fresh = ground.room, np.full(len(clock), np.inf)
    reached = np.isfinite(clock)
    fresh[reached] = fresh_time.si(clock[reached], room.doubling_time)
    late = clock_or_never(fresh + _lag(ground, layer, fresh), room.doubling_time)
    return np.where(late <= room.pot_life, late, np.inf)


def _lag(ground, layer, fresh):
    """Lag of the far skin behind mesh and cuts at each node [s]; a bare strip keeps the lag of the mesh beside it."""
    mesh, lag = ground.mesh, np.zeros(len(fresh))
    lagging = np.zeros(len(fresh), bool)
    reached = np.isfinite(fresh)
    for (zone, meshed), course in layer.courses.items():
        nodes = np.unique(mesh.si.triangles[(mesh.zones == zone) & (ground.covered == meshed)])
        nodes = nodes[reached[nodes]]
        if not course.runner_carry or not nodes.size:
            continue
        carry, storage = course.carry + course.runner_carry, course.storage + course.runner_storage
        length = np.sqrt(2 * carry * ground.pressure * fresh[nodes] / (ground.room.viscosity * storage))
        lag[nodes] = np.maximum(lag[nodes], course.lag(length, ground.room.viscosity, ground.pressure))
        lagging[nodes] = True
    bare = reached & ~lagging
    if lagging.any() and bare.any():
        near = cKDTree(mesh.si.nodes[lagging]).query(mesh.si.nodes[bare])[1]
        lag[bare] = lag[lagging][near]
    return lag


def _skin(ground, layer, run, share, edge_gap, end) -> SkinFill:
    full, mesh = _clocked(ground, layer, run.si.full_at), ground.mesh
    weight, net = _node_areas(mesh), flat_net(mesh)
    zone_of = np.empty(len(mesh.si.nodes), dtype=object)
    zone_of[mesh.si.triangles.ravel()] = np.repeat(mesh.zones, 3)
    found = []
    for region in run.trapped:
        area, closes = float(weight[region.nodes].sum()), region.closes.m_as("s")
        if area < SMALLEST or closes >= ground.room.pot_life:
            continue
        place = net.place_of(region.nodes[0])
        zone = max(set(zone_of[region.nodes]), key=list(zone_of[region.nodes]).count)
        found.append(Pocket("dry spot", layer.words, str(zone), Q_(place, "m"), Q_(1e4 * area, "cm^2"), Q_(closes / 60, "min"),
                            Q_(1e4 * area * share, "cm^2"), region.nodes, what_to_do(place, ground.lines, edge_gap)))
    return SkinFill(layer.words, Q_(_clocked(ground, layer, run.si.arrival) / 60, "min"), Q_(full / 60, "min"), Q_(float(full.max()) / 60, "min"), tuple(found),
                    run.complete, run.reason, run.mass_error, Q_(1e3 * float(np.interp(run.resin.fluid_time(end), run.run.times, run.run.let_out)), "L"))


def least_air_left(part, ground) -> float:
    """Share of a dry spot that stays dry, at least: the resin round it presses with all of the feed's pressure."""
    bag = part.workshop.bag_pressure.m_as("Pa")
    return air_left_in_pocket.si(bag, bag + ground.pressure)


def _colder(part, catalogue, ground, runs, safe_share) -> Colder:
    """The same fill in a colder room: the front takes the same way, on another clock."""
    room = room_resin(catalogue.resin(part.resin), ground.room.temperature - COLDER, steps=False)
    cold = replace(ground, room=room)
    ends = [_clocked(cold, layer, FillResult.with_resin.si(run, room.viscosity, room.doubling_time, room.pot_life).si.full_at).max()
            for layer, run in zip(ground.layers, runs, strict=True)]
    return Colder(Q_(room.temperature, "K").to("degC"), Q_(float(max(ends)) / 60, "min"), Q_(safe_share * room.pot_life / 60, "min"))


def _slowest(ground) -> float:
    """Fill time of the slowest skin [s]."""
    return max(float(_clocked(ground, layer, run.si.full_at).max()) for layer, run in zip(ground.layers, _runs(ground), strict=True))


def _runs(ground):
    """The fill of every skin; skins alike are filled once."""
    found = []
    for n, layer in enumerate(ground.layers):
        like = next((m for m, other in enumerate(ground.layers[:n]) if layer.fills_as(other)), None)
        found.append(run_ground(ground, layer) if like is None else found[like])
    return found


def _inflow(ground, runs, end):
    times = end * np.linspace(1e-6, 1, STEPS) ** 2
    found = []
    for line in ground.lines:
        if line.kind != "feed":
            continue
        volume = sum(type(run).volume_in.si(run, times, line.name) for run in runs)
        rate = np.diff(volume) / np.diff(times)
        found.append(LineInflow(line.name, Q_(times / 60, "min"), Q_(1e3 * volume, "L"), Q_(6e4 * rate, "L/min"), Q_(6e4 * float(rate.max()), "L/min")))
    return tuple(found)
