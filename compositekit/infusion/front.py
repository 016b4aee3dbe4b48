"""The exact march of a resin front, one node a step, that keeps only the front.

The wet part only matters through the flows it sends into the front. So a node is eliminated from the linear system the
moment it fills (Cholesky in order of filling); what is left is the dense matrix S on the front, and rows for the feed
lines. Time is "fluid time" theta = integral of dt/viscosity [1/Pa], so that the march knows no viscosity.
Relation: q = -(L p) - b, f += q dtheta/m with its sign, p = 0 on the front (textbook control-volume scheme, solver S1 to S3:
read second-hand; the elimination is own).
"""

from __future__ import annotations

from collections import namedtuple

import numpy as np

from .compiled import compiled

DRY, WET = -1, -2  # place of a node; 0 and above: its slot on the front; ROW - k: it is line k
ROW = -3
USED, FREE, PENDING = 0, 1, 2  # counts: slots in use, slots given back, columns set aside
FULL = 1 - 1e-12

Graph = namedtuple("Graph", "start node link")  # rows of the sparse symmetric matrix L
# schur[i, j], i >= j: S; aside[k]: scaled column set aside; lines[k]: row of line k; b: gravity heads on the front
Front = namedtuple("Front", "schur aside lines b member free place counts")
LineBlock = namedtuple("LineBlock", "link b")  # between line and line


@compiled
def new_front(size, nodes, lines, block):
    return Front(np.zeros((size, size)), np.zeros((block, size)), np.zeros((lines, size)), np.zeros(size),
                 np.full(size, -1), np.zeros(size, np.int64), np.full(nodes, DRY), np.zeros(3, np.int64))


@compiled
def with_room(front, wanted):
    """The same front with room for so many slots more."""
    used, size = front.counts[USED], len(front.member)
    if used + wanted <= size:
        return front
    size = max(used + wanted, 3 * size // 2)
    wider = Front(np.zeros((size, size)), np.zeros((len(front.aside), size)), np.zeros((len(front.lines), size)),
                  np.zeros(size), np.full(size, -1), np.zeros(size, np.int64), front.place, front.counts)
    for i in range(used):  # plain loops here and below: they compile several times faster than slices
        for j in range(i + 1):
            wider.schur[i, j] = front.schur[i, j]
        for k in range(len(front.aside)):
            wider.aside[k, i] = front.aside[k, i]
        for k in range(len(front.lines)):
            wider.lines[k, i] = front.lines[k, i]
        wider.b[i], wider.member[i], wider.free[i] = front.b[i], front.member[i], front.free[i]
    return wider


@compiled
def join(front, graph, node):
    """A dry node joins the front, with its links to the front and to the lines."""
    place, counts = front.place, front.counts
    if counts[FREE] > 0:
        counts[FREE] -= 1
        slot = front.free[counts[FREE]]
    else:
        slot = counts[USED]
        counts[USED] += 1
    place[node], front.member[slot] = slot, node
    for e in range(graph.start[node], graph.start[node + 1]):
        other = place[graph.node[e]]
        if other >= 0:
            front.schur[max(slot, other), min(slot, other)] = graph.link[e]
        elif other <= ROW:
            front.lines[ROW - other, slot] = graph.link[e]


@compiled
def wet_neighbourhood(front, graph, node, head):
    """A node of the front has filled: its dry neighbours join, and its edges carry their gravity heads."""
    place = front.place
    for e in range(graph.start[node], graph.start[node + 1]):
        if place[graph.node[e]] == DRY:
            join(front, graph, graph.node[e])
    for e in range(graph.start[node], graph.start[node + 1]):
        other = place[graph.node[e]]
        if other >= 0 and graph.node[e] != node:  # an edge to a wet node has carried its head since that one filled
            push = graph.link[e] * (head[graph.node[e]] - head[node])
            front.b[place[node]] += push
            front.b[other] -= push


@compiled
def column(front, slot):
    """Column of S, the set-aside columns taken off."""
    used = front.counts[USED]
    c = np.empty(used)
    for i in range(used):
        c[i] = front.schur[slot, i] if i <= slot else front.schur[i, slot]
    for k in range(front.counts[PENDING]):
        row = front.aside[k]
        share = row[slot]
        if share != 0:
            for i in range(used):
                c[i] -= share * row[i]
    return c


@compiled
def give_back(front, slot):
    """Clear a slot so that the next node finds it empty."""
    used = front.counts[USED]
    for i in range(used):
        front.schur[max(slot, i), min(slot, i)] = 0
    for k in range(len(front.aside)):
        front.aside[k, slot] = 0
    for k in range(len(front.lines)):
        front.lines[k, slot] = 0
    front.b[slot] = 0
    front.member[slot] = -1
    front.free[front.counts[FREE]] = slot
    front.counts[FREE] += 1


@compiled
def eliminate(front, between, node):
    """Take a filled node out of the system: S -= c c'/c_j, and likewise for the lines' rows and the heads."""
    slot, used = front.place[node], front.counts[USED]
    c = column(front, slot)
    pivot = c[slot]
    lines, own_b, scaled = len(front.lines), front.b[slot], 1 / np.sqrt(pivot)
    own = np.empty(lines)
    for k in range(lines):
        own[k] = front.lines[k, slot]
    for k in range(lines):
        share = own[k] / pivot
        if share != 0:
            for i in range(used):
                front.lines[k, i] -= share * c[i]
            for m in range(lines):
                between.link[k, m] -= share * own[m]
            between.b[k] -= share * own_b
    if own_b != 0:
        for i in range(used):
            front.b[i] -= own_b / pivot * c[i]
    kept = front.aside[front.counts[PENDING]]
    for i in range(used):
        kept[i] = scaled * c[i]
    front.counts[PENDING] += 1
    give_back(front, slot)
    front.place[node] = WET
    if front.counts[PENDING] == len(front.aside):
        settle(front)
        if front.counts[FREE] > 0.3 * used and used > 32:
            compact(front)


@compiled
def settle(front):
    """Carry the set-aside columns into S, by blocks of rows of its lower half, and clear them."""
    used, step = front.counts[USED], 128
    columns = len(front.aside)
    upright = np.empty((used, columns))
    for k in range(columns):
        for i in range(used):
            upright[i, k] = front.aside[k, i]
            front.aside[k, i] = 0
    for low in range(0, used, step):
        high = min(low + step, used)
        change = np.dot(upright[low:high], upright[:high].T)
        for i in range(low, high):
            for j in range(i + 1):
                front.schur[i, j] -= change[i - low, j]
    front.counts[PENDING] = 0


@compiled
def compact(front):
    """Close the gaps that filled nodes have left; nothing may be set aside."""
    used, live = front.counts[USED], 0
    kept = np.empty(used, np.int64)
    for slot in range(used):
        if front.member[slot] >= 0:
            kept[live] = slot
            live += 1
    for i in range(live):
        old = kept[i]
        for j in range(i + 1):
            front.schur[i, j] = front.schur[old, kept[j]]
        for k in range(len(front.lines)):
            front.lines[k, i] = front.lines[k, old]
        front.b[i], front.member[i] = front.b[old], front.member[old]
        front.place[front.member[i]] = i
    for i in range(live, used):
        for j in range(i + 1):
            front.schur[i, j] = 0
        for k in range(len(front.lines)):
            front.lines[k, i] = 0
        front.b[i], front.member[i] = 0, -1
    front.counts[USED], front.counts[FREE] = live, 0


@compiled
def become_line(front, between, node, line):
    """A node that stands for a line leaves the front and becomes a row, which is never eliminated."""
    slot, used = front.place[node], front.counts[USED]
    c = column(front, slot)
    for k in range(len(front.lines)):
        between.link[line, k] = between.link[k, line] = front.lines[k, slot]
    between.link[line, line] = c[slot]
    between.b[line] = front.b[slot]
    for i in range(used):
        front.lines[line, i] = c[i] if i != slot else 0.0
    give_back(front, slot)
    front.place[node] = ROW - line


@compiled
def line_flow(between, p, line):
    """Flow out of a line into the part at these line pressures."""
    flow = between.b[line]
    for k in range(len(p)):
        flow += between.link[line, k] * p[k]
    return flow


@compiled
def line_pressures(between, wet, pressure):
    """Pressure of each line: the given one where open; where shut but wet the one at which nothing flows."""
    lines, n = len(wet), 0
    p, shut = np.zeros(lines), np.empty(lines, np.int64)
    for k in range(lines):
        if wet[k] and np.isnan(pressure[k]):
            shut[n] = k
            n += 1
        elif wet[k]:
            p[k] = pressure[k]
    if n == 0:
        return p
    a, right, largest = np.empty((n, n)), np.empty(n), 0.0
    for i in range(n):
        right[i] = -line_flow(between, p, shut[i])
        for j in range(n):
            a[i, j] = between.link[shut[i], shut[j]]
        largest = max(largest, a[i, i])
    for i in range(n):  # elimination without exchange: the block is positive definite, save for a line cut off from all
        if a[i, i] > 1e-13 * largest:
            for r in range(i + 1, n):
                share = a[r, i] / a[i, i]
                right[r] -= share * right[i]
                for j in range(i, n):
                    a[r, j] -= share * a[i, j]
    for i in range(n - 1, -1, -1):
        if a[i, i] > 1e-13 * largest:
            for j in range(i + 1, n):
                right[i] -= a[i, j] * p[shut[j]]
            p[shut[i]] = right[i] / a[i, i]
    return p
