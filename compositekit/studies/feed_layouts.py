"""Which layout of feed and vent lines suits a part: each is filled on the real surface, then they are ranked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from ..errors import CompositeKitError, PartFileError
from ..units import Q_, say
from .findings import Check, Finding
from .flow_checks import REMEDY, told_once
from .flow_drawn import DRAWN, feed_plan, lines_of
from .flow_notes import flow_cautions, flow_rests_on
from .flow_paths import feed_map
from .surface_fill import AIR_ONLY, surface_fill
from .surface_results import SurfaceFill

RUNGS = range(1, 7)
RIB_STEP = 0.5      # m from rib to rib (as the rule of thumb from feed to vent: common practice, no source)
RIB_REACH = 0.5     # share of the way from the keel to the rim that a rib goes (own judgement)
RIB_CLEAR = 0.06    # m that a rib keeps from the rim (own judgement, twice what a vent needs)
ALIKE = 0.05        # fill times so near to one another count as equal (own judgement)
ORDER = (f"Order: layouts that leave nothing dry first; of those, the ones within the time allowed, with the tightest fabric too before typical figures only; then the shortest fill, where times within "
         f"{ALIKE:.0%} count as equal; then the fewest inlets and the least line. Of layouts that leave something dry, the smallest dry area first.")


@dataclass(frozen=True, eq=False)
class LayoutRow:
    """One layout on the part: ``changes`` make the part file hold it; infinite times mean that the resin gels first.

    dry_area  closed off from every vent, or still dry at gel;  inlets  feed lines with a hose each
    feed_length, vent_length  of line on the part laid flat;  fill  the SurfaceFill, None where the layout cannot be laid
    """

    name: str
    changes: dict
    fill_time: object
    time_allowed: object
    dry_area: object
    feed_length: object
    vent_length: object
    inlets: int
    lines: int
    verdict: str
    holds: bool
    today: bool
    fill: SurfaceFill | None

    @property
    def line_length(self):
        """Of all lines together."""
        return self.feed_length + self.vent_length


@dataclass(frozen=True, kw_only=True, eq=False)
class FeedLayouts(Finding):
    """Layouts compared, best first; ``today`` is the part's own. ``how_far`` says in words how far it is from the best.

    simplest  the one with the fewest inlets, then the least line, among those that hold; None where none does
    """

    rows: tuple[LayoutRow, ...]
    best: LayoutRow
    simplest: LayoutRow | None
    today: LayoutRow
    how_far: str
    order: str
    complete: bool


def candidates(part) -> list[tuple[str, dict]]:
    """Layouts to try, by name, with what they change in the part file; today's own is among them."""
    found = [("keel feed, rim vent", {"feed.layout": "centre line"}), ("rim feed, keel vent", {"feed.layout": "rim to centre"}),
             ("side to side", {"feed.layout": "side to side"}), ("end to end", {"feed.layout": "end to end"})]
    found += [(f"ladder of {count}" if count > 1 else "one line across", {"feed.layout": "rungs", "feed.rungs": count}) for count in RUNGS]
    ribbed = herring_bone(part.geometry)
    ribs = sum((len(line["points"]) - 2) // 4 for line in ribbed if line["kind"] == "feed")
    found.append((f"herring-bone, {ribs} ribs", {"feed.layout": DRAWN, "feed.lines": ribbed}))
    if not any(_is_today(part, changes) for _, changes in found):
        found.insert(0, (_own_name(part.feed), {}))
    return found


def herring_bone(geometry) -> list[dict]:
    """Lines of a keel feed with ribs to both sides, each drawn out and back so that keel and ribs are one line, and vents along the rim."""
    plan = feed_map(geometry, "centre line")
    whole = shapely.union_all(list(plan.polygons.values()))
    lines = []
    for line in lines_of(plan):
        if line["kind"] == "vent":
            lines.append(line)
            continue
        (x0, y), (x1, _) = line["points"][0], line["points"][-1]
        count = max(1, round(abs(x1 - x0) / RIB_STEP))
        points = [[x0, y]]
        for x in x0 + (x1 - x0) * (np.arange(count) + 0.5) / count:
            low, high = _rib(whole, float(x), y)
            points += [[round(float(x), 5), round(place, 5)] for place in (y, high, low, y)]
        lines.append({"kind": "feed", "points": [*points, [x1, y]]})
    return lines


def _rib(whole, x, y):
    """Ends of a rib through a place on the keel."""
    _, low, _, high = whole.bounds
    across = shapely.intersection(whole, shapely.LineString([(x, low), (x, high)]))
    piece = min(getattr(across, "geoms", [across]), key=lambda part: part.distance(shapely.Point(x, y)))
    _, low, _, high = piece.bounds
    return tuple(y + np.sign(rim - y) * max(0.0, min(RIB_REACH * abs(rim - y), abs(rim - y) - RIB_CLEAR)) for rim in (low, high))


def layout_rows(part, catalogue, size=None, edge_gap="none", vent_kind=AIR_ONLY) -> Iterator[tuple[int, int, LayoutRow]]:
    """Each layout filled in turn: (how many are done, of how many, row); arguments as in surface_fill."""
    tried = candidates(part)
    for done, (name, changes) in enumerate(tried, 1):
        yield done, len(tried), _row(part, catalogue, name, changes, (size, edge_gap, vent_kind))


def feed_layouts(part, catalogue, size=None, edge_gap="none", vent_kind=AIR_ONLY, progress=None, keep_going=None) -> FeedLayouts:
    """Layouts of feed and vent lines on a part, each filled, best first.

    size, edge_gap, vent_kind  as in surface_fill, which also keeps what was filled before
    progress    called with (layouts done, of how many) after each
    keep_going  called after each; False stops, and those done until then are ranked
    Returns FeedLayouts. Raises PartFileError, also where stopped before today's layout was tried; RangeError, ShapeError.
    Valid: as surface_fill; a layout has its own vents, and each of its feed lines its own hose.
    """
    rows = []
    for done, many, row in layout_rows(part, catalogue, size, edge_gap, vent_kind):
        rows.append(row)
        if progress is not None:
            progress(done, many)
        if keep_going is not None and not keep_going():
            break
    return ranked(part, catalogue, rows, done == many, (size, edge_gap, vent_kind))


def ranked(part, catalogue, rows, complete=True, how=(None, "none", AIR_ONLY)) -> FeedLayouts:
    """Rows in order, and how far today's layout is from the best."""
    today = next((row for row in rows if row.today), None)
    if today is None:
        today = _row(part, catalogue, _own_name(part.feed), {}, how)
        rows = [*rows, today]
    rows = tuple(in_order(rows))
    best = rows[0]
    if best.fill is None:
        raise PartFileError(f"none of the {len(rows)} layouts tried can be laid on this part; the first says: {best.verdict}")
    simplest = min((row for row in rows if row.holds), key=_effort, default=None)
    tried = f"{len(rows)} layouts" if complete else f"only the first {len(rows)} layouts (stopped)"
    time = best.fill_time if np.isfinite(best.fill_time.magnitude) else best.fill.gel_time
    stays = "" if np.isfinite(best.fill_time.magnitude) else ", gels first"
    checks = told_once((Check(f"fill time of the best of {tried}, {best.name}{stays}", time, best.time_allowed, "at most", "share of the gel time, own judgement", REMEDY), *best.fill.checks[1:]))
    guesses = (*best.fill.guesses, f"layouts tried: {tried}; a herring-bone has ribs every {RIB_STEP:g} m that go {RIB_REACH:.0%} of the way to the rim (own judgement)")
    return FeedLayouts(rows=rows, best=best, simplest=simplest, today=today, how_far=_how_far(rows, today, best, simplest), order=ORDER, complete=complete, checks=checks,
                       cautions=flow_cautions(part), guesses=guesses, rests_on=flow_rests_on(part))


def in_order(rows) -> list[LayoutRow]:
    """Rows ranked as ORDER says; those that cannot be laid come last."""
    laid = sorted((row for row in rows if row.fill is not None), key=lambda row: (*_class(row), row.dry_area.magnitude, row.fill_time.magnitude))
    found = []
    while laid:
        first = laid[0]
        like = [row for row in laid if _class(row) == _class(first) and not any(_class(first)[:2]) and row.fill_time <= (1 + ALIKE) * first.fill_time] or [first]
        found += sorted(like, key=_effort)
        laid = [row for row in laid if row not in like]
    return found + [row for row in rows if row.fill is None]


def _effort(row):
    return row.inlets, row.line_length.magnitude


def _class(row):
    dry = bool(row.dry_area.magnitude > 0)
    return dry, not dry and bool(row.fill_time > row.time_allowed), not dry and not row.holds


def _is_today(part, changes):
    wanted = changes.get("feed.layout")
    return wanted == part.feed.layout and wanted != DRAWN and (wanted != "rungs" or changes["feed.rungs"] == part.feed.rungs)


def _own_name(feed):
    return "lines as drawn" if feed.layout == DRAWN else f"ladder of {feed.rungs}" if feed.layout == "rungs" else feed.layout


def _row(part, catalogue, name, changes, how):
    today = not changes or _is_today(part, changes)
    try:
        laid = part.changed(changes) if changes else part
        fill, plan = surface_fill(laid, catalogue, *how), feed_plan(laid)
    except CompositeKitError as err:
        if today:
            raise
        nothing = Q_(np.inf, "min"), Q_(np.nan, "min"), Q_(0.0, "cm^2"), Q_(0.0, "m"), Q_(0.0, "m")
        return LayoutRow(name, changes, *nothing, 0, 0, f"cannot be laid: {err}", False, today, None)
    lengths = {kind: sum(shapely.union_all([shapely.LineString(line["points"])]).length for line in lines_of(plan, laid) if line["kind"] == kind) for kind in ("feed", "vent")}
    dry = (sum((pocket.area for pocket in fill.pockets), Q_(0.0, "cm^2")) + fill.stalled_area).to("cm^2")
    verdict, holds = _verdict(fill, dry)
    return LayoutRow(name, changes, fill.fill_time, fill.time_allowed, dry, Q_(lengths["feed"], "m"), Q_(lengths["vent"], "m"), len(fill.inflow), len(fill.lines),
                     verdict, holds, today, fill)


def _verdict(fill, dry):
    if fill.stalled_area.magnitude > 0 or not fill.arrives:
        return f"stalls: {area_words(fill.stalled_area)} still dry when the resin gels" + (f", and {len(fill.pockets)} dry spot(s)" if fill.pockets else ""), False
    if fill.pockets:
        return f"leaves {len(fill.pockets)} dry spot(s), {area_words(dry)} closed off, the largest in {fill.pockets[0].zone}", False
    if fill.fill_time > fill.time_allowed:
        return f"fills, but in {minutes(fill.fill_time)} of {minutes(fill.time_allowed)} allowed", False
    full = f"full in {minutes(fill.fill_time)} of {minutes(fill.time_allowed)} allowed"
    if fill.failed:
        return f"fills with typical figures only, {full}; fails with the tightest fabric", False
    return f"holds: nothing stays dry, {full}", True


def minutes(time) -> str:
    """A fill time in words."""
    value = time.m_as("min")
    return "never" if not np.isfinite(value) else f"{value:.0f} min" if value >= 10 else f"{value:.2g} min"


def area_words(area) -> str:
    """A dry area in words: cm² while it is a spot, m² beyond."""
    return "none" if area.magnitude == 0 else say(area, "cm^2" if area.m_as("cm^2") < 500 else "m^2", 2)


def _how_far(rows, today, best, simplest):
    if simplest is None:
        edge = "close or bevel the core's edge, " if best.fill.edge_gap != "none" and any(row.fill.pockets for row in rows if row.fill is not None) else ""
        last = f" None of the layouts tried holds: {edge}lay flow mesh, cut the core, pull harder or take a slower resin, then compare again."
    elif simplest is best:
        last = " No other that holds needs fewer inlets or less line."
    else:
        last = (f" With the fewest inlets and the least line that still holds: {simplest.name}, full in {minutes(simplest.fill_time)}, {_number(simplest.inlets, 'inlet')}, "
                f"{say(simplest.line_length, 'm', 2)} of line{' (today)' if simplest is today else ''}.")
    if today is best:
        return f"Today's layout, {today.name}, ranks first of those tried: it {best.verdict}.{last}"
    gains = []
    if np.isfinite(today.fill_time.magnitude) and np.isfinite(best.fill_time.magnitude):
        less = today.fill_time - best.fill_time
        gains.append(f"{minutes(abs(less))} {'less' if less.magnitude >= 0 else 'more'}")
    more = best.inlets - today.inlets
    gains.append(f"{_number(abs(more), 'inlet')} {'more' if more > 0 else 'fewer'}" if more else "as many inlets")
    longer = best.line_length - today.line_length
    gains.append(f"{say(abs(longer), 'm', 2)} {'more' if longer.magnitude >= 0 else 'less'} line")
    if today.dry_area.magnitude or best.dry_area.magnitude:
        gains.append(f"left dry: {area_words(best.dry_area)} instead of {area_words(today.dry_area)}")
    return f"Today's layout, {today.name}, {today.verdict}. The one that ranks first, {best.name}, {best.verdict}: {', '.join(gains)}.{last}"


def _number(count, word):
    return f"{count} {word}{'' if count == 1 else 's'}"
