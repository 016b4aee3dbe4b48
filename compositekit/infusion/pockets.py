"""Dry regions that the front closes off from every vent, told from the times at which nodes are full."""

from __future__ import annotations

import numpy as np

from .compiled import compiled


@compiled
def _root(parent, i):
    while parent[i] != i:
        parent[i] = parent[parent[i]]
        i = parent[i]
    return i


@compiled
def _join(parent, last, tail, following, full, a, b):
    """Make two regions one, under the root whose last node fills later."""
    if full[last[a]] < full[last[b]]:
        a, b = b, a
    parent[b] = a
    following[tail[a]] = b  # a root is the head of its own chain
    tail[a] = tail[b]
    return a


@compiled
def _tell(found, closed, members, root, following, when):
    closed.append(when)
    i = root
    while i >= 0:
        found.append(i)
        i = following[i]
    members.append(len(found))


@compiled
def _sweep(order, full, start, neighbour, open_until, vent_nodes):
    """Union-find from the last node to the first, telling each region as it was when its last vent went.

    open_until  time at which a node stops being a vent, -1 for no vent;  vent_nodes  those that are, latest first
    Returns the nodes of all regions one after the other, where each region ends, and when each was closed off.
    """
    n = len(full)
    parent, last, tail, following = np.arange(n), np.arange(n), np.arange(n), np.full(n, -1)
    seen, vented = np.zeros(n, np.bool_), np.zeros(n, np.bool_)
    found, members, closed = [0 for _ in range(0)], [0 for _ in range(0)], [0.0 for _ in range(0)]
    vent = 0
    for at in range(n + 1):
        now = full[order[at]] if at < n else -1.0
        while vent < len(vent_nodes) and open_until[vent_nodes[vent]] >= max(now, 0.0):
            if seen[vent_nodes[vent]]:  # the line was shut here: before that, this region had a vent
                root = _root(parent, vent_nodes[vent])
                if not vented[root]:
                    _tell(found, closed, members, root, following, open_until[vent_nodes[vent]])
                vented[root] = True
            vent += 1
        if at == n:
            break
        i = order[at]
        seen[i] = True
        opened = open_until[i] >= now
        for e in range(start[i], start[i + 1]):
            if seen[neighbour[e]]:
                opened |= vented[_root(parent, neighbour[e])]
        for e in range(start[i], start[i + 1]):
            if not seen[neighbour[e]]:
                continue
            here, there = _root(parent, i), _root(parent, neighbour[e])
            if here == there:
                continue
            if opened and not vented[there]:
                _tell(found, closed, members, there, following, now)
            here = _join(parent, last, tail, following, full, there, here)
            vented[here] = opened
        vented[_root(parent, i)] = opened
    for i in range(n):
        if parent[i] == i and not vented[i]:  # never had a vent
            _tell(found, closed, members, i, following, 0.0)
    return found, members, closed


def closed_off(full, edges, open_until):
    """Regions shut off from every vent: a list of (closing time, node numbers, latest first); SI.

    full        (n,) time at which each node is full; infinity where it stays dry
    edges       (e, 2) pairs of neighbours
    open_until  (n,) time at which the node stops being a vent; -1 where there is none
    A region that splits after it was shut off counts as one. Strips less than a cell deep are not told: each holds at least
    one node whose neighbours are all dry too.
    """
    n = len(full)
    first, second = np.concatenate([edges, edges[:, ::-1]]).T
    by_first = np.argsort(first, kind="stable")
    degree = np.bincount(first, minlength=n)
    start = np.concatenate([[0], np.cumsum(degree)])
    order = np.argsort(-full, kind="stable")
    vent_nodes = np.flatnonzero(open_until >= 0)
    vent_nodes = vent_nodes[np.argsort(-open_until[vent_nodes], kind="stable")]
    found, ends, closed = _sweep(order, full, start, second[by_first], open_until, vent_nodes)
    region = np.full(n, -1)
    if not closed:
        return []
    region[found] = np.repeat(np.arange(len(closed)), np.diff(ends, prepend=0))
    region[full <= np.array(closed)[region]] = -1  # full at that very time
    inside = region[first] == region[second]
    deep = (region >= 0) & (np.bincount(first[inside], minlength=n) == degree)
    parts = [(closed[k], np.flatnonzero(region == k)) for k in np.unique(region[deep])]
    return [(when, nodes[np.argsort(-full[nodes], kind="stable")]) for when, nodes in parts]
