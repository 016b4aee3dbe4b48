"""How far the resin runs before it gels, and whether the feed layout stays inside that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import PartFileError
from ..infusion.ageing import clock_or_never, fresh_time
from ..infusion.feed import hydrostatic_head, line_delay
from ..infusion.vacuum import standard_atmosphere
from ..shape.curved import CurvedShape
from ..shape.mesh_shape import MeshShape
from ..shape.stations import HullShape
from ..units import Q_, say
from .build import part_build
from .findings import Check, Finding
from .flow_checks import fill_checks, filled, reach_after
from .flow_drawn import feed_plan
from .flow_notes import fabrics_known, flow_cautions, flow_guesses, flow_rests_on, flow_working
from .flow_paths import FeedMap, Run
from .flow_stack import HIGH, JOINING, LOW, PIECES, TYPICAL, Reach, flow_mesh, fronts_along, meshed_legs, zone_courses
from .room_resin import RoomResin, cautious_room, room_resin

SAFE_SHARE = 0.5            # own judgement: share of the gel time a fill may use
COLDER = 5.0                # K, for the what-if
PLANT_FAMILIES = ("flax", "hemp", "jute", "sisal", "plant")
THUMB, THUMB_PLANT = 0.5, 0.75   # m between feed and vent, common practice, no source


@dataclass(frozen=True)
class FlowPath:
    """One zone: how far the resin has run when the zone is wet, when that is, and what slows it.

    fill_time is infinite where the resin gels first.
    """

    zone: str
    words: str
    distance: object
    fill_time: object


@dataclass(frozen=True)
class Front:
    """Runs that are alike, the width of part they stand for together [m], and the front of each skin along them.

    legs are those of the runs, cut where the mesh ends: ((zone, under mesh), length).
    """

    runs: tuple[Run, ...]
    legs: tuple[tuple[tuple[str, bool], float], ...]
    skins: tuple[Reach, ...]

    @property
    def run(self) -> Run:
        """One of them."""
        return self.runs[0]

    @property
    def weight(self) -> float:
        return sum(run.strip for run in self.runs)

    @property
    def reach(self) -> Reach:
        """The slowest skin."""
        return max(self.skins, key=lambda way: way.time)

    def wet(self, fresh):
        """Distance wetted after a fresh time [m], at most to the vent."""
        return min(float(np.interp(np.sqrt(fresh), np.sqrt(self.reach.times), self.reach.distances)), self.run.distance)


@dataclass(frozen=True)
class Colder:
    """The same fill in a colder room."""

    temperature: object
    fill_time: object
    time_allowed: object

    @property
    def holds(self) -> bool:
        return self.fill_time <= self.time_allowed


@dataclass(frozen=True, kw_only=True)
class FlowDistance(Finding):
    """Runs, times and the reach of the resin; quantities. Infinite times mean that the resin gels first.

    paths          one FlowPath per zone, in order of wetting
    fill_time      of the whole part; fill_time_low and fill_time_high with the easiest and the tightest fabric
    distance       longest way of the slowest run; farthest  how far that run gets in the time allowed
    stops_at       distance at which the slowest run gels, None where it arrives
    hint           what stands in the way, in words; empty where nothing does
    thumb          the trade's rule of thumb as a check, for information only
    times, share_drawn   resin drawn into the part against time, share of the whole [s], [1]
    """

    layout: str
    paths: tuple[FlowPath, ...]
    fill_time: object
    fill_time_low: object
    fill_time_high: object
    distance: object
    farthest: object
    stops_at: object
    viscosity: object
    doubling_time: object
    gel_time: object
    time_allowed: object
    pressure: object
    colder: Colder
    hint: str
    thumb: Check
    builds: dict
    plan: FeedMap
    fronts: tuple[Front, ...]
    slowest: Front
    slowest_band: tuple[Reach, Reach]
    times: object
    share_drawn: np.ndarray
    pore_volume: object
    hose_delay: object

    @property
    def mesh_share(self) -> float:
        """Share of the part that flow mesh lies on."""
        pieces = [(front.weight * length, meshed) for front in self.fronts for (_, meshed), length in front.legs]
        return sum(area for area, meshed in pieces if meshed) / sum(area for area, _ in pieces)

    @property
    def arrives(self) -> bool:
        """Whether the whole part is wet before the resin gels."""
        return bool(np.isfinite(self.fill_time.magnitude))

    def resin_in_front(self, time):
        """Share of the part's resin drawn in after a time."""
        return np.interp(time.m_as("s"), self.times.m_as("s"), self.share_drawn)

    def reach_at(self, time, case="typical"):
        """Distance of the slowest front after times, going on past the vent [m]; case is "typical", "low" or "high" permeability."""
        way = {"typical": self.slowest.reach, "low": self.slowest_band[0], "high": self.slowest_band[1]}[case]
        fresh = fresh_time.si(np.minimum(time.m_as("s"), self.gel_time.m_as("s")), self.doubling_time.m_as("s"))
        return Q_(np.interp(np.sqrt(fresh), np.sqrt(way.times), way.distances), "m")

    def wet_at(self, time):
        """Distance wetted on each front after a time, in their order [m]; nothing moves after gel."""
        fresh = fresh_time.si(min(time.m_as("s"), self.gel_time.m_as("s")), self.doubling_time.m_as("s"))
        return Q_(np.array([front.wet(fresh) for front in self.fronts]), "m")


def driving_pressure(part, catalogue):
    """Air outside less what is left under the bag and the head up from the bucket to the part's top [Pa]. Raises PartFileError at nought."""
    shop = part.workshop
    air = standard_atmosphere.si(shop.altitude.m_as("m"))
    head = hydrostatic_head.si(catalogue.resin(part.resin).si.density_liquid, part.feed.pot_below.m_as("m") + climb(part.geometry))
    pressure = air - shop.bag_pressure.m_as("Pa") - head
    if pressure <= 0:
        raise PartFileError(f"nothing drives the resin: the air outside is {air / 100:.0f} mbar, the bag keeps {say(shop.bag_pressure, 'mbar')} "
                            f"and lifting the resin costs {head / 100:.0f} mbar. Pull a better vacuum or raise the bucket.")
    return pressure, air, head


def climb(geometry) -> float:
    """Height of the part [m]: the front may have to climb all of it, whichever way the mould stands (cautious)."""
    if isinstance(geometry, HullShape):
        return float(np.ptp(geometry.offsets[..., 1]))
    if isinstance(geometry, MeshShape):
        return float(geometry.extent.m_as("m")[2])
    return geometry.rise.m_as("m") if isinstance(geometry, CurvedShape) else 0.0


def flow_distance(part, catalogue, safe_share: float = SAFE_SHARE) -> FlowDistance:
    """Fill times and reach of the part's feed plan.

    safe_share  share of the gel time that a fill may use
    Permeability the shop measured (measured_permeability of the part file) takes the place of the catalogue's.
    Raises PartFileError, UnknownMaterial, RangeError.
    """
    if not 0 < safe_share <= 1:
        raise PartFileError(f"safe_share is {safe_share}; give a share of the gel time above 0 and up to 1.")
    resin = catalogue.resin(part.resin)
    room = room_resin(resin, part.workshop.temperature.m_as("K"))
    pressure, air, head = driving_pressure(part, catalogue)
    plan = feed_plan(part)
    builds = part_build(part, catalogue)
    mesh = flow_mesh(catalogue) if part.feed.flow_mesh else None

    def courses(case):
        return {(name, meshed): zone_courses(build, part.layup[name], catalogue, resin.si.density_liquid, plan.direction,
                                             mesh if meshed else None, case, part.measured_permeability)
                for name, build in builds.items() for meshed in ((True, False) if mesh else (False,))}

    typical = courses(TYPICAL)
    cut = [(runs, meshed_legs(runs[0].legs, mesh)) for runs in _alike(plan.runs)]
    bare = [Front(runs, legs, fronts_along(legs, typical, room.viscosity, pressure)) for runs, legs in cut]
    pores = sum(front.weight * way.stored[way.vent] for front in bare for way in front.skins)
    hose = (pressure, part.feed.feed_hose.m_as("m"), part.feed.feed_bore.m_as("m"), room.viscosity)
    delay = float(line_delay.si(pores / max(len(plan.feeds), 1), *hose))    # a hose to each feed line, as the budget and the cut list count
    fronts = tuple(Front(front.runs, front.legs, tuple(way.delayed(delay) for way in front.skins)) for front in bare)
    slowest = max(fronts, key=lambda front: front.reach.time)
    band = tuple(max(fronts_along(slowest.legs, courses(case), room.viscosity, pressure), key=lambda way: way.time).delayed(delay)
                 for case in (LOW, HIGH))
    gel, allowed = room.pot_life, safe_share * room.pot_life
    fill = filled(slowest.reach, room)
    farthest, at_gel = (reach_after(slowest.reach, room, time) for time in (allowed, gel))
    tight = None if fabrics_known(part, catalogue) else band[0]
    times, share = _drawn(fronts, room, min(fill, gel))
    stops = None if np.isfinite(fill) else Q_(at_gel, "m")
    zones = tuple(sorted((_zone_path(name, fronts, room) for name in builds), key=lambda path: path.distance))
    facts = dict(
        layout=part.feed.layout, paths=zones, fill_time=_minutes(fill), fill_time_low=_minutes(filled(band[1], room)),
        fill_time_high=_minutes(filled(band[0], room)), distance=Q_(slowest.run.distance, "m"), farthest=Q_(farthest, "m"),
        stops_at=stops, viscosity=Q_(room.viscosity, "Pa*s").to("mPa*s"), doubling_time=_minutes(room.doubling_time),
        gel_time=_minutes(gel), time_allowed=_minutes(allowed), pressure=Q_(pressure, "Pa").to("mbar"),
        colder=_colder(resin, room, slowest.reach, safe_share), hint=_hint(part), thumb=_thumb(part, catalogue, plan), builds=builds, plan=plan, fronts=fronts,
        slowest=slowest, slowest_band=band, times=Q_(times, "s"), share_drawn=share, pore_volume=Q_(pores, "m^3").to("L"),
        hose_delay=_minutes(delay))
    return FlowDistance(
        **facts, checks=fill_checks(slowest.reach, tight, room, cautious_room(resin, room.temperature), safe_share), cautions=flow_cautions(part),
        guesses=flow_guesses(part, catalogue),
        rests_on=flow_rests_on(part), working=flow_working(part, room, facts, typical, air, head, safe_share))


def _minutes(seconds):
    return Q_(float(seconds) / 60, "min")


def _alike(runs):
    """Runs that cross the same zones by the same lengths, taken together, so that each is worked out once."""
    found = {}
    for run in runs:
        found.setdefault(tuple((zone, round(length, 4)) for zone, length in run.legs), []).append(run)
    return tuple(map(tuple, found.values()))


def _zone_path(name, fronts, room):
    """The last of a zone to be wet, over all runs and skins."""
    ends = [(way.times[end], way.distances[end], front, way, number) for front in fronts for number, (zone, _) in enumerate(front.legs, 1)
            if zone[0] == name for way in front.skins for end in (number * PIECES,)]
    if not ends:
        raise PartFileError(f'no run of the feed layout crosses zone "{name}"; choose another layout.')
    fresh, distance, front, way, number = max(ends, key=lambda found: found[0])
    route = " > ".join(dict.fromkeys(zone for (zone, _), _ in front.legs[:number]))
    time = float(clock_or_never(fresh, room.doubling_time))
    return FlowPath(name, f"{route}; last: {way.words}", Q_(float(distance), "m"), _minutes(time if time <= room.pot_life else np.inf))


def _drawn(fronts, room, end):
    """Clock times [s] and the share of the part's resin drawn by then."""
    times = end * np.linspace(0, 1, 61) ** 2
    fresh = fresh_time.si(times, room.doubling_time)
    full = drawn = 0.0
    for front in fronts:
        for way in front.skins:
            upto = slice(0, way.vent + 1)
            full = full + front.weight * way.stored[way.vent]
            drawn = drawn + front.weight * np.interp(fresh, way.times[upto], way.stored[upto])
    return times, drawn / full


def _colder(resin, room: RoomResin, way, safe_share):
    cold = room_resin(resin, room.temperature - COLDER, steps=False)
    fresh = way.time * cold.viscosity / room.viscosity
    time = float(clock_or_never(fresh, cold.doubling_time))
    time = time if time <= cold.pot_life else float("inf")
    return Colder(Q_(cold.temperature, "K").to("degC"), _minutes(time), _minutes(safe_share * cold.pot_life))


def _hint(part):
    """The mesh lies on the bag side: say where it cannot help."""
    apart = [zone for zone, layup in part.layup.items() if layup.core and layup.core.cut not in JOINING]
    if part.feed.flow_mesh and apart:
        return (f"The flow mesh feeds the bag-side skin only: in {', '.join(apart)} no holes or slits lead through the core, so the mould-side "
                "skin still fills from its edge.")
    return ""


def _thumb(part, catalogue, plan):
    fibres = {catalogue.fibre(catalogue.fabric(ply.fabric).fibre).family for layup in part.layup.values() for ply in (*layup.outside, *layup.inside)}
    plant = fibres <= set(PLANT_FAMILIES)
    words = "open plant-fibre weave (known for flax)" if plant else "glass, carbon, aramid and the like"
    return Check(f"longest run from feed to vent, {words}", Q_(max(run.distance for run in plan.runs), "m"), Q_(THUMB_PLANT if plant else THUMB, "m"),
                 "at most", "common practice, no source; knows neither your resin nor your mesh")
