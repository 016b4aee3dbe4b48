"""Edges of the core along which resin may race: where the part ends and where two zones' cores meet, cut to single pieces."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from ..infusion.filling import EdgeChannel
from ..units import Q_
from .surface_lines import core_edges, edge_free, flat_net

PIECE = 1.2     # m: longest edge that is fitted in one go, about a sheet of core (own judgement)


@dataclass(frozen=True, eq=False)
class RaceEdge:
    """One piece of edge: its channel, the words for it, and its middle on the part laid flat (2,) [m]."""

    channel: EdgeChannel
    words: str
    place: np.ndarray

    @property
    def name(self) -> str:
        return self.channel.name


def race_edges(mesh, core_thickness, edge_gap, share=1.0) -> tuple[RaceEdge, ...]:
    """Pieces of the core's edge along the rim and along the borders of zones.

    core_thickness  [m] by zone, nought without a core
    edge_gap        "bevelled" or "square": what an open edge is like
    share           of the gap that one skin sees
    """
    chains = [(f"rim of {channel.name.split(', ')[1].rsplit(' ', 1)[0]}", channel.nodes, channel.si.area, channel.si.permeability)
              for channel in core_edges(mesh, core_thickness, edge_gap, share)]
    for (one, other), nodes in _borders(mesh, core_thickness):
        gap = edge_free(min(core_thickness[zone] for zone in (one, other) if core_thickness[zone] > 0), edge_gap)
        chains.append((f"border of {one} and {other}", nodes, share * gap.si.area, gap.si.permeability))
    net, found = flat_net(mesh), []
    for words, nodes, area, permeability in chains:
        for piece in _cut(mesh, nodes):
            place = np.round(net.place_of(piece[len(piece) // 2]), 4) + 0.0     # no minus nought
            channel = EdgeChannel(f"edge {len(found) + 1}", piece, Q_(area, "m^2"), Q_(permeability, "m^2"))
            found.append(RaceEdge(channel, f"{words} about ({place[0]:.2f}, {place[1]:.2f}) m", place))
    return tuple(found)


def _borders(mesh, core_thickness):
    """((zone, zone), node numbers along) of every stretch where two zones meet and at least one has a core."""
    si = mesh.si
    one, other = si.shared_sides.T
    first, second = mesh.zones[one // 3], mesh.zones[other // 3]
    edges = {}
    for a, b, end in zip(first.tolist(), second.tolist(), si.sides[one].tolist(), strict=True):
        if a != b and max(core_thickness[a], core_thickness[b]) > 0:
            edges.setdefault(tuple(sorted((a, b))), []).append(end)
    for zones, pairs in edges.items():
        # node n stands at (n, n^2), so that no three are in a row and lines join at nodes only
        joined = shapely.line_merge(shapely.MultiLineString([[(n, n**2) for n in pair] for pair in pairs]))
        for line in getattr(joined, "geoms", [joined]):
            yield zones, np.array([int(x) for x, _ in line.coords])


def _cut(mesh, nodes):
    """The chain in equal pieces, none much longer than PIECE."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(mesh.si.nodes[nodes], axis=0), axis=1))])
    count = max(1, int(np.ceil(along[-1] / PIECE)))
    ends = np.unique(np.searchsorted(along, np.linspace(0, along[-1], count + 1) - 1e-9 * along[-1]))
    return [nodes[start:end + 1] for start, end in pairwise(ends)]
