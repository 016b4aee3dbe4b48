"""What a fill tells: arrival, pressure, volume let in, trapped regions, and why it ended."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import spsolve

from ..errors import RangeError
from ..units import Q_, checked
from .ageing import clock_or_never, fresh_time
from .march import march
from .pockets import closed_off

WALL = 0.9  # share of a node's slopes that must come from upstream for it to count as a wall (own rule, solver section 7)


@dataclass(frozen=True)
class FillResin:
    """Viscosity [Pa s] when fresh, time [s] in which it doubles, and gel time [s] on the clock; None: never. SI floats."""

    viscosity: float
    doubling_time: float | None = None
    gel_time: float | None = None

    def fluid_time(self, clock):
        """Integral of dt/viscosity [1/Pa] up to a time on the clock."""
        return (clock if self.doubling_time is None else fresh_time.si(clock, self.doubling_time)) / self.viscosity

    def clock(self, fluid_time):
        """Time on the clock [s]; infinity where the resin never gets so far."""
        fresh = np.asarray(fluid_time, dtype=float) * self.viscosity
        return fresh if self.doubling_time is None else clock_or_never(fresh, self.doubling_time)

    @property
    def last_fluid_time(self):
        if self.gel_time is not None:
            return self.fluid_time(self.gel_time)
        return np.inf if self.doubling_time is None else self.doubling_time / np.log(2) / self.viscosity


@dataclass(frozen=True, eq=False)
class TrappedRegion:
    """A dry region that the front has closed off from every vent; times, volume and place as quantities.

    closes   when it is shut off;  fills  when its last node fills, were it under full vacuum (infinity: never)
    volume   empty volume inside then;  place  where it fills last;  nodes  mesh nodes, that one first
    Air that is left in it is pressed together only: a share bag pressure/resin pressure of the volume stays dry.
    """

    closes: object
    fills: object
    volume: object
    place: object
    nodes: object


class FillResult:
    """A fill of a surface; made by ``fill`` and ``FillModel.fill``. ``si`` holds the same in SI floats.

    arrival      [s]  when resin reaches each node (n,): its control volume half full, or full where it lies at a wall
    full_at      [s]  when each node's control volume is full (n,), as textbook schemes tell it; infinity: not filled
    fill_time    [s]  when the last node is full; infinity if that never happens
    complete     whether resin would reach everything, were trapped air drawn off;  reason  why the fill ended
    filled       [1]  share of the volume that was filled by then
    mass_error   [1]  resin let in less stored and let out, over let in
    trapped      TrappedRegion list, largest first; unreached  the same for what stayed dry
    lowest_fill_factor  [1]  below -1 where the mesh suits the permeability badly (a node that owed resin for a while)
    """

    def __init__(self, graph, nodes, events, resin, run=None, why_not=""):
        self.graph, self.nodes, self.events, self.resin = graph, nodes, events, resin
        self.feeds, self.why_not = graph.feeds, why_not
        self.run = run if run is not None else self._march(resin.last_fluid_time)

    def _march(self, stop, block=64):
        events = [(self.resin.fluid_time(time), line, pressure) for time, line, pressure in self.events]
        graph = self.graph
        return march(graph.matrix, graph.storage, graph.head, graph.line_of, graph.bleeds, len(graph.feeds),
                     [] if self.why_not else events, stop, block)

    def __repr__(self):
        return f"FillResult({self.reason}; {self.si.filled:.1%} filled, {len(self.trapped)} closed off)"

    @functools.cached_property
    def si(self):
        graph, run, inside = self.graph, self.run, self.graph.group >= 0
        full, half = (np.where(inside, values[graph.group], np.nan) for values in (run.full, run.half))
        stored, let_in = float(run.fill @ graph.storage), float(run.let_in[-1].sum())
        left_over = let_in - stored - run.let_out[-1]
        return SimpleNamespace(
            full_at=self._clock(full), arrival=self._clock(read_arrival(full, half, graph.edges)),
            fill_time=float(self._clock(run.full.max())), filled=stored / graph.storage.sum(),
            mass_error=left_over / let_in if let_in > 0 else 0.0, let_in=run.let_in[-1], let_out=float(run.let_out[-1]),
            times=self._clock(run.times), history=run.let_in)

    def _clock(self, fluid_time):
        known = np.isfinite(fluid_time)
        return np.where(known, self.resin.clock(np.where(known, fluid_time, 0.0)), fluid_time)

    arrival = property(lambda self: Q_(self.si.arrival, "s"))
    full_at = property(lambda self: Q_(self.si.full_at, "s"))
    fill_time = property(lambda self: Q_(self.si.fill_time, "s"))
    filled = property(lambda self: Q_(self.si.filled, ""))
    mass_error = property(lambda self: self.si.mass_error)
    let_out = property(lambda self: Q_(self.si.let_out, "m^3"))
    lowest_fill_factor = property(lambda self: float(self.run.lowest))
    complete = property(lambda self: bool(np.isfinite(self.run.full).all()))

    @functools.cached_property
    def reason(self):
        if self.complete:
            shut = len(self.trapped)
            return f"resin would reach everything, but {_dry_regions(shut)} closed off" if shut else "everything is full"
        if self.why_not:
            return self.why_not
        if self.run.end >= self.resin.last_fluid_time:
            return (f"the resin gels after {self.resin.gel_time:.4g} s{self._never_opened()}" if self.resin.gel_time is not None else
                    "the resin thickens too fast to get any farther")
        if all(np.isnan(pressure) for pressure in dict((line, p) for _, line, p in self.events).values()):
            return "every feed is clamped before the part is full"
        if np.ptp(self.graph.head) > 0:
            return "the pressure cannot lift the resin any higher"
        return "no resin flows into what is left"

    def _never_opened(self):
        """In words, the feeds that open only when the resin has gelled."""
        opens = {line: time for time, line, pressure in reversed(self.events) if not np.isnan(pressure)}    # the earliest of each
        return "".join(f', before feed "{self.feeds[line]}" opens at {time:.4g} s' for line, time in sorted(opens.items()) if time >= self.resin.gel_time)

    @checked(time="s >= 0", returns="m^3")
    def volume_in(self, time, line=None):
        """Resin let in up to a time, by one feed line or by all.

        time  [s]  on the clock of the fill, scalar or array
        line  name of the feed; all together if left out
        Returns volume [m^3], with what fills the line, its hose and its own strip of the stack when it opens.
        """
        history = self.run.let_in.sum(1) if line is None else self.run.let_in[:, self._feed(line)]
        return np.interp(self.resin.fluid_time(time), self.run.times, history)

    def _feed(self, line):
        if line not in self.feeds:
            raise RangeError(f'no feed is called "{line}"; there are: {", ".join(self.feeds)}.')
        return self.feeds.index(line)

    @checked(time="s >= 0", returns="Pa")
    def pressure(self, time):
        """Resin pressure at each node at one time, above that of the vents; nought ahead of the front.

        time  [s]  on the clock of the fill
        Returns pressure [Pa], (n,), not a number where resin cannot go.
        """
        graph, now = self.graph, self.resin.fluid_time(time)
        wet = (self.run.full <= now) & ~graph.bleeds
        given = np.full(len(graph.feeds), np.nan)
        for start, line, value in self.events:
            if start <= time:
                given[line] = value
        p = np.full(len(graph.storage), np.nan)
        p[graph.line_of >= 0] = given[graph.line_of[graph.line_of >= 0]]
        fixed = wet & np.isfinite(p)
        p[~fixed] = 0.0
        free = np.flatnonzero(wet & ~fixed)
        if free.size and fixed.any():
            rows = graph.matrix[free]
            heads = rows @ graph.head - graph.head[free] * rows.sum(1)
            p[free] = spsolve(rows[:, free].tocsc(), -(rows @ p) - heads)
        in_line = np.where(wet[graph.group], graph.head[graph.group] - graph.node_head, 0.0)  # a sloping line has its own head
        return np.where(graph.group >= 0, p[graph.group] + in_line, np.nan)

    @checked(time="s >= 0", returns="1")
    def fill_factor(self, time):
        """Share of each node's control volume that is full at one time; marches again up to then.

        time  [s]  on the clock of the fill
        Returns fill factor [1], (n,), not a number where resin cannot go.
        """
        fill = self._march(min(self.resin.fluid_time(time), self.resin.last_fluid_time)).fill
        return np.where(self.graph.group >= 0, fill[self.graph.group], np.nan)

    # --- dry regions ------------------------------------------------------------------------------

    @functools.cached_property
    def trapped(self):
        graph = self.graph
        if graph.vents is None or self.why_not:
            return []
        inside = np.flatnonzero(graph.group >= 0)
        full = self.si.full_at[inside]
        number = np.full(len(graph.group), -1)
        number[inside] = np.arange(len(inside))
        open_until = np.full(len(inside), -1.0)
        for _, kind, nodes in graph.vents:
            nodes = number[nodes[graph.group[nodes] >= 0]]
            until = np.full(len(nodes), full[nodes].min()) if kind == "closes" else full[nodes]
            open_until[nodes] = np.maximum(open_until[nodes], until)
        regions = closed_off(full, number[graph.edges], open_until)
        found = [self._region(when, inside[part]) for when, part in regions]
        return sorted(found, key=lambda region: -region.volume.m_as("m^3"))

    def _region(self, when, nodes):
        return TrappedRegion(Q_(float(when), "s"), Q_(float(self.si.full_at[nodes[0]]), "s"),
                             Q_(float(self.graph.room[nodes].sum()), "m^3"), Q_(self.nodes[nodes[0]], "m"), nodes)

    @functools.cached_property
    def unreached(self):
        graph = self.graph
        dry = (graph.group >= 0) & ~np.isfinite(self.si.full_at)
        within = graph.edges[dry[graph.edges].all(1)]
        n = len(dry)
        links = coo_array((np.ones(len(within)), within.T), shape=(n, n))
        _, label = connected_components(links, directed=False)
        found = [self._region(np.inf, np.flatnonzero(dry & (label == one))) for one in np.unique(label[dry])]
        return sorted(found, key=lambda region: -region.volume.m_as("m^3"))

    # --- the same fill with another resin ------------------------------------------------------------

    @checked(viscosity="Pa*s > 0", doubling_time="s > 0", gel_time="s > 0")
    def with_resin(self, viscosity, doubling_time=None, gel_time=None):
        """The same fill with another resin, or in a colder room: only the clock changes, unless a line moves by the clock.

        viscosity  [Pa*s]  when fresh
        doubling_time  [s]  in which the viscosity doubles; left out: it does not rise
        gel_time  [s]  on the clock of the fill; left out: never
        Returns FillResult.
        """
        resin = FillResin(viscosity, doubling_time, gel_time)
        by_clock = any(time > 0 for time, _, _ in self.events)
        ended = self.run.end < self.resin.last_fluid_time  # of itself, not stopped by its own gel
        same = not by_clock and ended and self.run.end <= resin.last_fluid_time
        return FillResult(self.graph, self.nodes, self.events, resin, self.run if same else None, self.why_not)

    @checked(factor="1 > 0")
    def with_pressure(self, factor):
        """The same fill at a weaker or stronger vacuum: every feed's pressure times a factor.

        factor  [1]  new driving pressure over old
        Returns FillResult; the front is marched again.
        """
        events = [(time, line, pressure * factor) for time, line, pressure in self.events]
        return FillResult(self.graph, self.nodes, events, replace(self.resin), None, self.why_not)


def _dry_regions(count):
    return "1 dry region is" if count == 1 else f"{count} dry regions are"


def read_arrival(full, half, edges):
    """Arrival from half-full and full times: half, but full at a wall, whose control volume lies wholly upstream."""
    first, second = edges.T
    known = np.isfinite(full[first]) & np.isfinite(full[second])
    first, second = first[known], second[known]
    later = full[first] - full[second]
    n = len(full)
    size = np.bincount(first, np.abs(later), n) + np.bincount(second, np.abs(later), n)
    up = np.bincount(first, np.maximum(later, 0), n) + np.bincount(second, np.maximum(-later, 0), n)
    return np.where((up > WALL * size) & np.isfinite(full), full, half)
