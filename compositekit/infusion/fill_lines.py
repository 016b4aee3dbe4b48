"""Lines and channels of a fill: where resin comes in, where air goes out, and fast ways along edges."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from ..errors import RangeError, ShapeError
from ..units import checked_fields

VENT_KINDS = ("closes", "bleeds", "microporous")


@checked_fields(pressure="Pa > 0", opens="s >= 0", closes="s > 0", bore="m > 0", hose_length="m > 0", hose_bore="m > 0")
class FeedLine:
    """A line that lets resin in. Its nodes are one connected chain, as ``TriangleMesh.path_nodes`` gives.

    name      what it is called in results
    nodes     node numbers along it, the end where the hose joins first
    pressure  [Pa]  of the resin where it enters, less that of the vents
    opens     [s]  when its clamp is opened
    closes    [s]  when it is clamped for good; never if left out
    bore      [m]  inside diameter, for its own pressure drop and contents; left out: one pressure all along
    hose_length, hose_bore  [m]  hose between pot and line, for its pressure drop; left out: none
    A clamped line stays an open channel in the stack: resin that reaches it runs along it.
    When it opens, a dry hose and line count as full at once: what they hold is let in, the time to fill them is not counted.
    """

    name: str
    nodes: object
    pressure: object
    opens: object = None
    closes: object = None
    bore: object = None
    hose_length: object = None
    hose_bore: object = None

    def validate(self):
        if (self.hose_length is None) != (self.hose_bore is None):
            raise RangeError(f'feed "{self.name}" needs both hose_length and hose_bore, or neither.')
        if self.si.closes is not None and self.si.closes <= (self.si.opens or 0.0):
            raise RangeError(f'feed "{self.name}" closes at {self.si.closes:g} s, but opens only at {self.si.opens or 0:g} s.')

    def events(self):
        """(time, pressure) rows, SI; a pressure that is not a number means clamped."""
        opening = [(self.si.opens or 0.0, self.si.pressure)]
        return opening + ([] if self.si.closes is None else [(self.si.closes, np.nan)])


class VentLine:
    """A line under vacuum, where air goes out.

    name   what it is called in results
    nodes  node numbers along it, in any order
    kind   what happens when resin reaches it:
           "closes"       it is clamped as soon as resin reaches any of it, and is a vent no more
           "bleeds"       it stays open: dry parts go on pulling air, and wet parts draw resin out at vent pressure
           "microporous"  its skin passes air but no resin: wet parts are shut, dry parts go on pulling
    """

    def __init__(self, name, nodes, kind="closes"):
        if kind not in VENT_KINDS:
            raise RangeError(f'vent "{name}" is of kind "{kind}"; give one of {", ".join(VENT_KINDS)}.')
        self.name, self.nodes, self.kind = name, nodes, kind


@checked_fields(pressure="Pa > 0", time="s >= 0")
class LineEvent:
    """A feed line opened, clamped or given another pressure during the fill.

    line      name of the feed line
    time      [s]  on the clock of the fill
    pressure  [Pa]  from then on; left out: clamped
    """

    line: str
    time: object
    pressure: object = None


@checked_fields(area="m^2 > 0", permeability="m^2 > 0")
class EdgeChannel:
    """A fast way along a chain of nodes, such as the gap beside a core: resin may race along it.

    name   what it is
    nodes  node numbers along it, neighbours joined by an edge
    area   [m^2]  clear cross-section
    permeability  [m^2]  of the channel, as ``infusion.channels`` gives for a free one
    """

    name: str
    nodes: object
    area: object
    permeability: object


# --- reading them against the mesh ------------------------------------------------------------

def node_numbers(line, what, count, used):
    """Checked node numbers of a line; ``used`` (n,) says which nodes the resin can reach at all."""
    try:
        numbers = np.atleast_1d(np.asarray(line.nodes))
    except ValueError:
        numbers = np.array(["?"])
    if numbers.size == 0:
        raise ShapeError(f'{what} "{line.name}" is empty; give the numbers of the mesh nodes it lies on.')
    if numbers.ndim != 1 or numbers.dtype.kind not in "iu":
        raise ShapeError(f'{what} "{line.name}" must list node numbers (whole numbers), as path_nodes of the mesh gives.')
    if numbers.min() < 0 or numbers.max() >= count:
        raise ShapeError(f'{what} "{line.name}" lies on no node: number {numbers.max() if numbers.max() >= count else numbers.min()} '
                         f"is outside 0 to {count - 1}. Ask the mesh for the nodes with nearest_node or path_nodes.")
    if not used[numbers].any():
        raise ShapeError(f'{what} "{line.name}" lies on no node that resin can reach: all {numbers.size} belong to solid '
                         "inserts or to no triangle. Move it on to the laminate.")
    return numbers


def chain_lengths(line, what, numbers, nodes, joined):
    """Lengths of the edges along a chain; ShapeError where two neighbours are not joined. ``joined``: set of edge keys."""
    first, second = numbers[:-1], numbers[1:]
    keys = np.minimum(first, second).astype(np.int64) * len(nodes) + np.maximum(first, second)
    gap = ~np.isin(keys, joined)
    if gap.any():
        at = int(np.argmax(gap))
        raise ShapeError(f'{what} "{line.name}" is not closed up: nodes {first[at]} and {second[at]} follow one another but no '
                         "edge joins them. Draw it with path_nodes of the mesh, or give each stretch as a line of its own.")
    if len(first) == 0:
        raise ShapeError(f'{what} "{line.name}" has one node only; a bore or channel needs at least two to run along.')
    return np.linalg.norm(nodes[second] - nodes[first], axis=1)


def require_one_piece(line, numbers, nodes, joined):
    """ShapeError unless the nodes of a line hang together through edges between them."""
    found, times = np.unique(numbers, return_counts=True)
    if (times > 1).any():
        raise ShapeError(f'feed "{line.name}" lists node {found[np.argmax(times > 1)]} twice; list each node once, in a ring too: its first node closes it.')
    place = np.full(len(nodes), -1)
    place[numbers] = np.arange(len(numbers))
    first, second = place[joined // len(nodes)], place[joined % len(nodes)]
    inside = (first >= 0) & (second >= 0)
    graph = coo_array((np.ones(inside.sum()), (first[inside], second[inside])), shape=(len(numbers),) * 2)
    pieces, label = connected_components(graph, directed=False)
    if pieces > 1:
        cut = nodes[numbers[label != label[0]][0]]
        raise ShapeError(f'feed "{line.name}" is not closed up: it falls into {pieces} pieces that no edge joins, one of them at '
                         f"({', '.join(f'{v:.4g}' for v in cut)}) m. Draw it with path_nodes of the mesh, or give each piece "
                         "as a line of its own.")
