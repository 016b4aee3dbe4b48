"""How sure a fill is: the part filled many times with scattered cloth and edges that race by chance, and where a dry spot stays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from scipy.stats import fisher_exact

from ..errors import RangeError
from ..infusion.ageing import clock_or_never, fresh_time
from ..infusion.fill_scatter import FillScatter, chance_range, scatter_fills
from ..infusion.filling import FillModel
from ..units import Q_, say
from .build import part_build
from .feed_layouts import minutes
from .findings import Check, Finding
from .flow_notes import flow_cautions, flow_rests_on
from .flow_stack import HIGH, LOW
from .race_edges import PIECE, RaceEdge, race_edges
from .surface_fill import AIR_ONLY, SMALLEST, feeds_and_vents, fill_ground, least_air_left, run_ground, surface_fill
from .surface_lines import EDGE_GAPS, flat_net
from .surface_words import surface_guesses, what_to_do

PATCH = Q_(0.3, "m")      # of cloth that is alike (own judgement: about as far as a crease or a tight spot reaches)
RACE_CHANCE = 0.1         # that one piece of edge stays open (own judgement: one in ten is fitted badly)
LEAST_SPREAD = 0.1        # of ln K that always remains, even with a trial's own figure (own judgement)
RANGE_SPREADS = 4.0       # standard deviations from the catalogue's low to its high (own judgement: nineteen in twenty lie between)
ACCEPTED = 0.05           # chance of a dry spot that a builder may live with (own judgement)
PLAIN = 0.01              # an edge is blamed when chance alone would show as much less often than this (Fisher's exact test)
BESIDE = 0.05             # m: a spot nearer to a vent than this lies beside it (own judgement)
TOGETHER = 6              # fills of one skin before the other skin has its turn


@dataclass(frozen=True, kw_only=True, eq=False)
class FillChance(Finding):
    """Many fills of a part's surface, both skins of a fill counted together.

    mesh, lines    TriangleMesh and SurfaceLine tuple;  edges  RaceEdge of everything that may race
    runs, wanted   fills done and asked for;  dry, unfilled  in how many a dry spot stayed, in how many the resin gelled first
    dry_chance, dry_chance_range   share, and the interval that so few fills allow (95 %)
    fill_times     of each fill, infinite where it gels;  plain_time  of the fill without scatter
    node_chance    share of fills in which each mesh node lay in a region closed off from every vent, of the worse skin
    stays_dry      share of such a region that the air left under the bag is pressed into, at least
    worst_place    where that is most often, on the part laid flat [m], worst_zone; None where no dry spot stayed
    all_shut       fills in which every edge was shut, and how many of them had a dry spot
    blamed         RaceEdge that goes with dry spots more than chance would, with counts (open, dry of them, shut, dry of them)
    said           what was found, what helps, sentence by sentence
    """

    mesh: object
    lines: tuple
    edges: tuple[RaceEdge, ...]
    runs: int
    wanted: int
    dry: int
    unfilled: int
    dry_chance: float
    dry_chance_range: tuple[float, float]
    fill_times: object
    plain_time: object
    gel_time: object
    time_allowed: object
    node_chance: np.ndarray
    stays_dry: float
    worst_place: object
    worst_zone: str | None
    all_shut: tuple[int, int]
    blamed: tuple
    spread: float
    said: tuple[str, ...]

    def fill_time_within(self, share):
        """Fill time that this share of the fills keeps within; infinite where too few get full."""
        return Q_(float(np.quantile(self.fill_times.m_as("min"), share, method="inverted_cdf")), "min")


def fill_chance(part, catalogue, size=None, edge_gap="square", vent_kind=AIR_ONLY, runs=200, seed=0, race_chance=RACE_CHANCE, spread=None, patch=PATCH,
                workers=2, client=None, progress=None, keep_going=None) -> FillChance:
    """Chance of a dry spot on a part, and where.

    size, vent_kind  as in surface_fill
    edge_gap     "bevelled" or "square": what an edge is like that stays open
    runs, seed, workers, client, progress, keep_going  as in scatter_fills
    race_chance  that one piece of edge stays open
    spread       standard deviation of ln K; left out: from the catalogue's low and high, taken as two on either side
    patch        a length: cloth within it is alike
    Returns FillChance. Raises PartFileError, RangeError, ShapeError.
    Valid: both skins of a fill have the same scatter and the same open edges; see scatter_fills and surface_fill.
    """
    if edge_gap not in EDGE_GAPS[1:]:
        raise RangeError(f'edge_gap is "{edge_gap}"; give "bevelled" or "square", what an open edge is like, and race_chance 0 for edges that never race.')
    plain = surface_fill(part, catalogue, size, "none", vent_kind)
    ground = fill_ground(part, catalogue, size, "none", vent_kind=vent_kind)
    spread = _spread(part, catalogue, ground, size) if spread is None else spread
    edges = race_edges(ground.mesh, {name: build.core_thickness for name, build in part_build(part, catalogue).items()}, edge_gap, 1 / len(ground.layers))
    draw = dict(spread=spread, patch=patch.m_as("m"), races=[edge.channel for edge in edges], race_chance=race_chance, seed=seed, workers=workers,
                client=client, smallest_share=SMALLEST / ground.mesh.area.m_as("m^2"))
    skins = _filled(ground, draw, runs, progress, keep_going)
    return _told(part, ground, plain, edges, skins, spread, race_chance, edge_gap, vent_kind)


def _spread(part, catalogue, ground, size):
    """Standard deviation of ln K, mean over the surface of the first skin, from the low and the high permeability."""
    low, high = (fill_ground(part, catalogue, size, case=case).layers[0].along for case in (LOW, HIGH))
    areas = ground.mesh.si.areas
    return max(LEAST_SPREAD, float(areas @ np.log(high / low) / areas.sum()) / RANGE_SPREADS)


def _filled(ground, draw, runs, progress, keep_going) -> list[FillScatter]:
    """Every skin's fills, the skins in turn so that a stop leaves both with the same; skins alike are filled once."""
    layers = [layer for n, layer in enumerate(ground.layers) if not any(layer.fills_as(other) for other in ground.layers[:n])]
    feeds, vents = feeds_and_vents(ground)
    step = runs if len(layers) == 1 or draw["client"] is not None else TOGETHER
    found, going = [[] for _ in layers], True

    def go_on():
        nonlocal going
        going = going and (keep_going is None or bool(keep_going()))
        return going

    def done_by(before):
        return None if progress is None else lambda done, of: progress((before + done) // len(layers), runs)

    for first in range(0, runs, step):
        many = min(step, runs - first)
        for n, layer in enumerate(layers):
            if not going:
                break
            found[n].append(scatter_fills.si(
                FillModel.from_si(ground.mesh, layer.storage, 1.0), layer.along, ground.room.viscosity, feeds, vents, permeability_across=layer.across,
                direction=layer.direction, doubling_time=ground.room.doubling_time, gel_time=ground.room.pot_life, runs=many, first=first,
                progress=done_by(first * len(layers) + n * many), keep_going=go_on, **draw))
        if not going:
            break
    if not all(found):
        raise RangeError("the fills were stopped before both skins of a single one were done; start again.")
    return [FillScatter.of(parts, runs) for parts in found]


def _told(part, ground, plain, edges, skins, spread, race_chance, edge_gap, vent_kind):
    numbers = skins[0].numbers
    for skin in skins[1:]:
        numbers = np.intersect1d(numbers, skin.numbers)
    if not numbers.size:
        raise RangeError("the fills were stopped before both skins of a single one were done; start again.")
    rows = [np.isin(skin.numbers, numbers) for skin in skins]
    dry = np.any([skin.dry_spot[row] for skin, row in zip(skins, rows, strict=True)], axis=0)
    times = np.max([skin.times[row] for skin, row in zip(skins, rows, strict=True)], axis=0)
    times = _with_lag(ground, times, plain)
    node_chance = np.max([skin.node_chance for skin in skins], axis=0)
    mesh, count, runs = ground.mesh, int(dry.sum()), len(dry)
    place = zone = None
    if count:
        worst = int(np.argmax(node_chance))
        place, zone = flat_net(mesh).place_of(worst), str(mesh.zones[np.argmax((mesh.si.triangles == worst).any(1))])
    raced = skins[0].raced[rows[0]]
    blamed, shut = _blamed(edges, raced, dry), ~raced.any(1)
    low, high = chance_range(count, runs)
    facts = dict(runs=runs, wanted=skins[0].wanted, dry=count, unfilled=int(np.isinf(times).sum()), dry_chance=count / runs, dry_chance_range=(low, high),
                 fill_times=Q_(times / 60, "min"), plain_time=plain.fill_time, gel_time=plain.gel_time, time_allowed=plain.time_allowed, node_chance=node_chance, stays_dry=least_air_left(part, ground),
                 worst_place=None if place is None else Q_(place, "m"), worst_zone=zone, blamed=blamed, all_shut=(int(shut.sum()), int((dry & shut).sum())), spread=spread)
    late = float(np.mean(times > plain.time_allowed.m_as("s")))
    checks = (
        Check("fills that leave a dry spot", Q_(100 * count / runs, "percent"), Q_(100 * ACCEPTED, "percent"), "at most", "one in twenty, own judgement",
              "see what helps below; then count again"),
        Check("fills that take longer than allowed, or gel first", Q_(100 * late, "percent"), Q_(100 * ACCEPTED, "percent"), "at most", "one in twenty, own judgement",
              "a layout with more lines, flow mesh, or a slower resin"))
    guesses = (*surface_guesses(plain.flow, "none", vent_kind),
               f"scatter: ln K has a standard deviation of {spread:.2g}, the catalogue's low and high taken as two of them on either side (own judgement), half of its "
               f"variance shared by the whole part, the rest by patches of {say(PATCH)} (own judgement)",
               f"edges: each piece of up to {PIECE:g} m along the rim and between zones stays open with a chance of {race_chance:.0%}, as a {edge_gap} edge (own judgement)",
               "both skins of one fill have the same scatter and the same open edges; the far skin's lag is that of the plain fill")
    return FillChance(**facts, mesh=mesh, lines=ground.lines, edges=edges, said=_said(facts, ground, edge_gap), checks=checks, cautions=flow_cautions(part), guesses=guesses,
                      rests_on=flow_rests_on(part))


def _with_lag(ground, times, plain):
    """Fill times [s] later by the lag that the far skin has at the end of the plain fill; infinite after gel."""
    room, end = ground.room, plain.fill_time.m_as("s")
    bare = max(run_ground(ground, layer).si.fill_time for layer in ground.layers)
    if not np.isfinite([bare, end]).all():
        return times
    lag = fresh_time.si(end, room.doubling_time) - fresh_time.si(bare, room.doubling_time)
    reached = np.isfinite(times)
    late = clock_or_never(fresh_time.si(np.where(reached, times, 0.0), room.doubling_time) + lag, room.doubling_time)
    return np.where(reached & (late <= room.pot_life), late, np.inf)


def _blamed(edges, raced, dry):
    """Edges whose being open goes with dry spots more often than chance would have it, the clearest first."""
    found = []
    for edge, was_open in zip(edges, raced.T, strict=True):
        counts = tuple(int(part.sum()) for part in (was_open, dry & was_open, ~was_open, dry & ~was_open))
        table = [[counts[1], counts[0] - counts[1]], [counts[3], counts[2] - counts[3]]]
        odds = float(fisher_exact(table, alternative="greater").pvalue) * len(edges)      # as many tries as there are edges
        if odds < PLAIN:
            found.append((odds, edge, counts))
    return tuple((edge, counts) for _, edge, counts in sorted(found, key=lambda row: row[0]))


def _at_the_place(place, ground, edge_gap):
    """Advice for the spot; beside a vent it was the vent that resin reached too soon."""
    near = {line.name: shapely.LineString(line.points).distance(shapely.Point(place)) for line in ground.lines if line.kind == "vent"}
    vent = min(near, key=near.get)
    if near[vent] > BESIDE:
        return what_to_do(place, ground.lines, edge_gap)
    return (f"the spot lies {'on' if near[vent] < 5e-3 else f'{1e3 * near[vent]:.0f} mm from'} {vent}, where resin gets to the vent before the cloth beside it is wet: "
            "keep the vent clear of gaps and of mesh, and lead resin more slowly there")


def _said(facts, ground, edge_gap):
    runs, dry, (low, high) = facts["runs"], facts["dry"], facts["dry_chance_range"]
    stopped = "" if runs == facts["wanted"] else f" It was stopped there; {facts['wanted']} were asked for."
    if not dry:
        said = [f"In none of {runs} fills a dry spot stayed; with so few fills the chance may still be up to {high:.0%}.{stopped}"]
    else:
        place = facts["worst_place"].m_as("m")
        share = float(facts["node_chance"].max())
        said = [f"In {dry} of {runs} fills a dry spot stayed ({low:.0%} to {high:.0%} in the long run): mostly in {facts['worst_zone']}, about ({place[0]:.2f}, {place[1]:.2f}) m "
                f"on the part laid flat, closed off from every vent there in {share:.0%} of the fills.{stopped}",
                f"The air in a spot is pressed together: at least {facts['stays_dry']:.0%} of its area stays dry for good, more the farther it is from the feed, and the rest fills late."]
        for edge, (was_open, dry_open, was_shut, dry_shut) in facts["blamed"][:3]:
            said.append(f"With the {edge.words} left open {dry_open} of {was_open} fills had a dry spot, with it shut {dry_shut} of {was_shut}: bevel that edge, "
                        "or close it with a strip, before anything else.")
        if not facts["blamed"]:
            said.append("No single edge goes with dry spots more often than chance would have it.")
        shut, dry_shut = facts["all_shut"]
        if 0 < shut < runs:
            said.append(f"Of the {shut} fills with every edge shut {dry_shut} had a dry spot{': the scatter of the cloth alone can leave one' if dry_shut else ''}.")
        said.append(f"What helps at the place itself: {_at_the_place(place, ground, edge_gap if facts['blamed'] else 'none')}.")
    gelled = f"In {facts['unfilled']} of {runs} fills the resin gelled before the part was full"
    if 2 * facts["unfilled"] > runs:
        return (f"{gelled}; mend that first, with another layout, flow mesh or a slower resin.", *said)
    half, most = (minutes(Q_(float(np.quantile(facts["fill_times"].m_as("min"), share, method="inverted_cdf")), "min")) for share in (0.5, 0.9))
    said.append(f"Half of the fills are full within {half}, nine in ten within {most}; allowed are {minutes(facts['time_allowed'])}.".replace("nine in ten within never", "but not nine in ten"))
    return (*said, *([f"{gelled}."] if facts["unfilled"] else []))
