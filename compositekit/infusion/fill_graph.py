"""The graph that a front marches over: mesh nodes, with the nodes of each feed line made one, channels and hoses added."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from ..errors import RangeError, ShapeError
from .feed import STANDARD_GRAVITY
from .fill_lines import chain_lengths, node_numbers, require_one_piece
from .flow_matrix import along_edges, assemble, merged


@dataclass(frozen=True, eq=False)
class FillGraph:
    """What the march needs, in SI.

    matrix, storage, head, line_of, bleeds  of each graph node, see ``march``
    node_head  (n,) head of resin at each mesh node [Pa]
    group   (n,) graph node of each mesh node, -1 where resin cannot go
    edges   (e, 2) pairs of mesh nodes that resin can run between;  room  (n,) storage of each mesh node [m^3]
    feeds   names;  vents  (name, kind, mesh nodes) or None where the whole surface is a vent
    """

    matrix: object
    storage: object
    head: object
    line_of: object
    bleeds: object
    node_head: object
    group: object
    edges: object
    room: object
    feeds: tuple
    vents: tuple | None


def build_graph(nodes, triangles, tensor, thickness, porosity, feeds, vents, channels, resin_density):
    """FillGraph of a mesh with its lines; ShapeError or RangeError for lines and regions that cannot be."""
    n = len(nodes)
    solid = np.einsum("eii->e", tensor) == 0
    open_triangles = triangles[~solid]
    matrix, room = assemble(nodes, open_triangles, tensor[~solid], thickness[~solid], porosity[~solid])
    used = room > 0
    joined = _edge_keys(open_triangles, n)
    group, line_of_node, extra = np.arange(n), {}, []
    extra_room = np.zeros(n + len(feeds))
    taken = {}
    for k, feed in enumerate(feeds):
        numbers = node_numbers(feed, "feed", n, used)
        _claim(taken, numbers, f'feed "{feed.name}"')
        if feed.bore is None:
            require_one_piece(feed, numbers, nodes, joined)
            group[numbers] = numbers[0]
        else:
            _run_along(extra, extra_room, numbers, chain_lengths(feed, "feed", numbers, nodes, joined),
                       np.pi * feed.si.bore**4 / 128, np.pi * feed.si.bore**2 / 4)
        entry = numbers[0]
        if feed.hose_bore is not None:
            extra.append(([n + k], [entry], np.array([np.pi * feed.si.hose_bore**4 / 128 / feed.si.hose_length])))
            extra_room[n + k] = np.pi * feed.si.hose_bore**2 / 4 * feed.si.hose_length
            entry = n + k
        line_of_node[entry] = k
    for channel in channels:
        numbers = node_numbers(channel, "channel", n, used)
        _run_along(extra, extra_room, numbers, chain_lengths(channel, "channel", numbers, nodes, joined),
                   channel.si.area * channel.si.permeability, channel.si.area)
    read_vents = None if vents is None else tuple((v.name, v.kind, node_numbers(v, "vent", n, used)) for v in vents)
    for name, _, numbers in read_vents or ():
        _claim(taken, numbers, f'vent "{name}"', against="feed")
    # --- one graph of all that
    total = n + len(feeds)
    matrix = csr_array((matrix.data, matrix.indices, np.append(matrix.indptr, np.full(len(feeds), matrix.nnz))), shape=(total, total))
    for first, second, conductance in extra:
        matrix = matrix + along_edges(total, first, second, conductance)
    storage = np.append(room, np.zeros(len(feeds))) + extra_room
    height = nodes[:, 2] * (0.0 if resin_density is None else resin_density * STANDARD_GRAVITY)
    group = np.append(group, np.arange(n, total))
    alive = storage > 0
    kept = np.unique(group[alive])
    number = np.full(total, -1)
    number[kept] = np.arange(len(kept))
    matrix, gathered = merged(csr_array(matrix[alive][:, alive]), storage[alive], number[group[alive]])
    entry_height = np.array([height[np.atleast_1d(feed.nodes)[0]] for feed in feeds])
    head = np.append(height, entry_height)[kept]
    line_of = np.full(len(kept), -1)
    for entry, k in line_of_node.items():
        line_of[number[group[entry]]] = k
    bleeds = np.zeros(len(kept), bool)
    for _, kind, numbers in read_vents or ():
        if kind == "bleeds":
            bleeds[number[group[numbers[used[numbers]]]]] = True
    place = np.where(used, number[group[:n]], -1)
    _require_reached(matrix, line_of, place, nodes, room)
    edges = np.stack([joined // n, joined % n], axis=1)
    return FillGraph(matrix, gathered, head, line_of, bleeds, height, place, edges, storage[:n],
                     tuple(feed.name for feed in feeds), read_vents)


def _edge_keys(triangles, n):
    ends = np.sort(np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2), axis=1).astype(np.int64)
    return np.unique(ends[:, 0] * n + ends[:, 1])


def _run_along(extra, extra_room, numbers, lengths, conductance, area):
    extra.append((numbers[:-1], numbers[1:], conductance / lengths))
    np.add.at(extra_room, numbers[:-1], area * lengths / 2)
    np.add.at(extra_room, numbers[1:], area * lengths / 2)


def _claim(taken, numbers, who, against=""):
    for number in numbers.tolist():
        if number in taken and taken[number] != who and taken[number].startswith(against):
            raise RangeError(f"{who} and {taken[number]} share node {number}; a node can be fed or vented by one line only, so move "
                             "one of them at least one edge away.")
        taken.setdefault(number, who)


def _require_reached(matrix, line_of, place, nodes, room):
    """ShapeError where a piece of the part hangs together with no feed."""
    if not np.any(line_of >= 0):
        return
    _, label = connected_components(matrix, directed=False)
    fed = np.unique(label[line_of >= 0])
    lost = (place >= 0) & ~np.isin(label[place], fed)
    if lost.any():
        at = nodes[np.flatnonzero(lost)[0]]
        raise ShapeError(f"a region of {lost.sum()} nodes ({1000 * room[lost].sum():.3g} L of resin) about "
                         f"({', '.join(f'{v:.4g}' for v in at)}) m is cut off from every feed; lay a feed line there, join its "
                         "nodes to the rest of the mesh, or leave it out of the mesh.")
