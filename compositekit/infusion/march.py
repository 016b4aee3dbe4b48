"""From event to event: the next node fills, or a line opens or shuts."""

from __future__ import annotations

from collections import namedtuple

import numpy as np

from .compiled import compiled, one_blas_thread
from .front import (
    DRY,
    FULL,
    USED,
    Graph,
    LineBlock,
    become_line,
    eliminate,
    join,
    line_flow,
    line_pressures,
    new_front,
    wet_neighbourhood,
    with_room,
)

BLOCK = 64  # columns set aside before S is brought up to date
STILL = 1e-12  # share of the greatest flow below which nothing moves any more

# full, half: fluid times [1/Pa]; history: times, and what each line has let in and the vents out [m^3] up to each
March = namedtuple("March", "full half fill times let_in let_out lowest end")


@compiled
def flows_into(front, p):
    """Inflow of each slot at these line pressures, and their sum: what the feeds give, for a shift by weight adds up to nought."""
    inflow, total = np.empty(front.counts[USED]), 0.0
    for i in range(len(inflow)):
        inflow[i] = -front.b[i]
        for k in range(len(p)):
            inflow[i] -= p[k] * front.lines[k, i]
        total += inflow[i]
    return inflow, total


@compiled
def next_to_fill(member, used, fill, storage, bleeds, inflow):
    """Shortest time in which a node fills at these flows, and its slot."""
    wait, slot = np.inf, -1
    for s in range(used):
        node = member[s]
        if node >= 0 and inflow[s] > 0 and not (bleeds[node] and fill[node] >= 1):
            needed = max(1 - fill[node], 0.0) * storage[node] / inflow[s]
            if needed < wait:
                wait, slot = needed, s
    return wait, slot


@compiled
def advance(member, used, fill, storage, bleeds, inflow, now, wait, half, full):
    """Let resin flow for a while; returns what the vents bled [m^3], how many of their nodes filled, the lowest fill factor."""
    out, reached, lowest = 0.0, 0, 0.0
    for s in range(used):
        node = member[s]
        if node < 0:
            continue
        before = fill[node]
        after = before + inflow[s] * wait / storage[node]
        if after >= 0.5 and half[node] == np.inf:
            half[node] = now + (wait * (0.5 - before) / (after - before) if after > before else 0.0)
        if bleeds[node] and after >= FULL:
            if full[node] == np.inf:
                full[node] = now + (min(wait, wait * (1 - before) / (after - before)) if after > before else 0.0)
                reached += 1
            out += (after - 1) * storage[node]
            after = 1.0
        fill[node] = after
        lowest = min(lowest, after)
    return out, reached, lowest


@compiled
def march_on(graph, storage, head, line_of, bleeds, lines, event_time, event_line, event_pressure, stop, block):
    """March until everything is full, nothing moves, or the time is up. All in SI, time as fluid time [1/Pa].

    line_of   line number of a node that stands for a line (its nodes merged), else -1
    bleeds    nodes left on the front at nought pressure once full, letting resin out
    event_*   sorted by time: from then on the line has this pressure; NaN shuts it
    """
    n = len(storage)
    full, half, fill = np.full(n, np.inf), np.full(n, np.inf), np.zeros(n)
    front = new_front(64, n, lines, block)
    between = LineBlock(np.zeros((lines, lines)), np.zeros(lines))
    wet, pressure = np.zeros(lines, np.bool_), np.full(lines, np.nan)
    node_of = np.zeros(lines, np.int64)
    for node in range(n):
        if line_of[node] >= 0:
            node_of[line_of[node]] = node
    times, let_out, let_in = [0.0], [0.0], [0.0 for _ in range(lines)]
    now, event, lowest, greatest, left = 0.0, 0, 0.0, 0.0, n
    newly = np.empty(n, np.int64)
    while True:
        count = 0
        gulp = np.zeros(lines)
        while event < len(event_time) and event_time[event] <= now:
            line = event_line[event]
            pressure[line] = event_pressure[event]
            if not np.isnan(pressure[line]) and not wet[line]:  # a dry line takes its fill at once when it opens
                gulp[line] += (1 - fill[node_of[line]]) * storage[node_of[line]]
                fill[node_of[line]] = 1.0
                newly[count] = node_of[line]
                count += 1
                wet[line] = True
            event += 1
        # --- flows and the next thing to happen, unless a line has just opened
        if count == 0:
            used = front.counts[USED]
            p = line_pressures(between, wet, pressure)
            inflow, total = flows_into(front, p)
            wait, slot = next_to_fill(front.member, used, fill, storage, bleeds, inflow)
            greatest = max(greatest, total)
            still = total <= STILL * greatest
            if still:
                wait, slot = np.inf, -1
                inflow[:] = 0.0
            limit = min(stop, event_time[event]) if event < len(event_time) else stop
            if left == 0 or now >= stop or (slot < 0 and limit == np.inf):
                break
            hit = wait <= limit - now
            if not hit:
                wait = limit - now
            out, reached, low = advance(front.member, used, fill, storage, bleeds, inflow, now, wait, half, full)
            lowest, left = min(lowest, low), left - reached
            for k in range(lines):
                if wet[k] and not still and not np.isnan(pressure[k]):
                    gulp[k] = line_flow(between, p, k) * wait
            now = now + wait if hit else limit
            let_out.append(let_out[-1] + out)
            if hit:
                fill[front.member[slot]] = 1.0
                for s in range(used):
                    node = front.member[s]
                    if node >= 0 and fill[node] >= FULL and not bleeds[node]:
                        newly[count] = node
                        count += 1
        else:
            let_out.append(let_out[-1])
        times.append(now)
        for k in range(lines):
            let_in.append(let_in[-lines] + gulp[k])
        # --- whatever has filled leaves the front
        for i in range(count):
            node = newly[i]
            fill[node], full[node] = 1.0, now
            half[node] = min(half[node], now)
            left -= 1
            front = with_room(front, graph.start[node + 1] - graph.start[node] + 1)
            if front.place[node] == DRY:  # a line that opened ahead of the front
                join(front, graph, node)
            wet_neighbourhood(front, graph, node, head)
            if line_of[node] >= 0:
                become_line(front, between, node, line_of[node])
                wet[line_of[node]] = True
            else:
                eliminate(front, between, node)
    return full, half, fill, times, let_in, let_out, lowest, now


def march(matrix, storage, head, line_of, bleeds, lines, events, stop=np.inf, block=BLOCK):
    """March of a front over a graph given by a sparse matrix; SI, see ``march_on``. events: (time, line, pressure) rows."""
    matrix.sort_indices()
    graph = Graph(matrix.indptr.astype(np.int64), matrix.indices.astype(np.int64), matrix.data)
    events = np.array(sorted(events, key=lambda row: row[0]), dtype=float).reshape(-1, 3)
    with one_blas_thread():
        full, half, fill, times, let_in, let_out, lowest, end = march_on(
            graph, storage, head, line_of, bleeds, lines, np.ascontiguousarray(events[:, 0]), events[:, 1].astype(np.int64),
            np.ascontiguousarray(events[:, 2]), stop, block)
    return March(full, half, fill, np.array(times), np.array(let_in).reshape(len(times), lines), np.array(let_out), lowest, end)
