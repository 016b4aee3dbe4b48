"""What can be wrong with a triangle mesh, each fault told with its place and its remedy."""

from __future__ import annotations

import numpy as np
import pint

from ..errors import ShapeError
from ..units import Spec

LARGEST, SMALLEST = 100.0, 0.005  # m: a part beyond these has almost surely its unit wrong
FLAT_FACE = 1e-9                  # of the square of a face's longest side: below it the face has no area
_METRE = Spec.of("m")


def refuse_unreadable(nodes, triangles, zones, flat):
    """Clean arrays of nodes, triangles, zones and flat places; ShapeError for what is no mesh at all."""
    nodes = _numbers(nodes, "nodes", (3,))
    if bad := np.flatnonzero(~np.isfinite(nodes).all(1)).tolist():
        raise ShapeError(f"{len(bad)} node(s) have no finite place, first node {bad[0]}; measure it again or delete its faces.")
    triangles = np.array(triangles)
    if triangles.ndim != 2 or triangles.shape[1] != 3 or not len(triangles) or triangles.dtype.kind not in "iu":
        raise ShapeError(f"triangles must be three node numbers each, but came as {triangles.dtype} of shape {triangles.shape}.")
    triangles = triangles.astype(np.int64)
    if bad := np.flatnonzero(((triangles < 0) | (triangles >= len(nodes))).any(1)).tolist():
        raise ShapeError(f"triangle {bad[0]} names node(s) {triangles[bad[0]].tolist()}, but nodes are numbered 0 to "
                         f"{len(nodes) - 1}; {len(bad)} triangle(s) do so. Numbering from 1 is a usual cause.")
    refuse_size(nodes[np.unique(triangles)])
    zones = np.full(len(triangles), "part") if zones is None else np.array([str(name) for name in zones])
    if len(zones) != len(triangles) or not all(zones):
        raise ShapeError(f"zones must name each of {len(triangles)} triangles, but {len(zones)} names came, "
                         f"{int((zones == '').sum())} of them empty.")
    if flat is not None:
        flat = _numbers(flat, "flat", (3, 2))
        if len(flat) != len(triangles) or not np.isfinite(flat).all():
            raise ShapeError("flat must place the three corners of each triangle, shape (triangles, 3, 2), without gaps.")
    return nodes, triangles, zones, flat


def _numbers(value, where, tail):
    try:
        array = np.array(value.m_as(_METRE.pint_unit) if isinstance(value, pint.Quantity) else value, dtype=float)
    except (TypeError, ValueError, pint.DimensionalityError):
        raise ShapeError(f"{where} cannot be read as lengths in metres.") from None
    if array.shape[1:] != tail or not len(array):
        raise ShapeError(f"{where} must have shape (n, {', '.join(map(str, tail))}), but has {array.shape}.")
    return array


def refuse_size(nodes):
    """ShapeError when the size can only come of a wrong unit."""
    size = np.ptp(nodes, axis=0).max()
    if size > LARGEST:
        raise ShapeError(f"the mesh is {size:.4g} m long, above {LARGEST:g} m: it looks like millimetres read as metres; "
                         'give unit="mm".')
    if size < SMALLEST:
        raise ShapeError(f"the mesh is {1000 * size:.3g} mm long, below {1000 * SMALLEST:g} mm: it looks like metres read as "
                         'millimetres, or a mesh of nothing; give unit="m".')


def flat_faces(si):
    """Triangles without area."""
    side = np.linalg.norm(si.corners - np.roll(si.corners, 1, axis=1), axis=2).max(1)
    return np.flatnonzero(si.areas <= FLAT_FACE * np.maximum(side, 1e-300)**2)


def repeated_faces(triangles):
    """Triangles on the same three nodes as an earlier one."""
    _, first = np.unique(np.sort(triangles, axis=1), axis=0, return_index=True)
    return np.setdiff1d(np.arange(len(triangles)), first)


def close_nodes(si):
    """Pairs of nodes nearer together than a hundred-thousandth of the part."""
    return si.tree.query_pairs(1e-5 * np.ptp(si.nodes, axis=0).max(), output_type="ndarray")


def find_faults(mesh, cut_outs, pieces):
    """One sentence for each kind of fault."""
    si, found = mesh.si, []

    def tell(rows, what, where, remedy):
        if len(rows):
            found.append(f"{len(rows)} {what}, first at {_place(where(rows[0]))}: {remedy}.")

    def face(row):
        return si.corners[row].mean(0)

    tell(flat_faces(si), "face(s) without area", face, "delete them, or read the mesh with mend=True")
    tell(repeated_faces(si.triangles), "face(s) given twice", face, "delete the second, or read the mesh with mend=True")
    tell(close_nodes(si), "pair(s) of nodes on the same spot", lambda pair: si.nodes[pair[0]],
         "merge them (mesh_files.merged), else resin cannot pass between their faces")
    tell(np.flatnonzero(si.edge_uses > 2), "edge(s) shared by three or more faces", lambda edge: si.nodes[si.edges[edge]].mean(0),
         "keep one skin only: delete the rib or the inner wall that meets it there")
    tell(si.turned_against, "pair(s) of neighbouring faces of which one lies upside down", lambda pair: face(pair[0]),
         "turn them with wound_alike(), or read the mesh with mend=True")
    alike = mesh.wound_alike().si if len(si.turned_against) else si      # else edges between turned faces pass for openings
    return found + _openings(alike, cut_outs, pieces)


def _openings(si, cut_outs, pieces):
    found, there = [], int(si.pieces.max()) + 1
    if there > pieces:
        sizes = np.bincount(si.pieces, weights=si.areas)
        small = int(np.argmin(sizes))
        found.append(f"the mesh is in {there} separate pieces, {pieces} expected; the smallest, {sizes[small]:.3g} m^2, lies at "
                     f"{_place(si.centres[si.pieces == small].mean(0))}: join it, delete it, or say that there are {there} pieces.")
    holes = si.loops[pieces + cut_outs:]
    if holes:
        told = "; ".join(f"{si.loop_length(loop):.3g} m round {_place(si.nodes[loop].mean(0))}" for loop in holes[:5])
        more = f"; and {len(holes) - 5} more" if len(holes) > 5 else ""
        found.append(f"{len(holes)} hole(s) beside the rim and {cut_outs} cut-out(s): {told}{more}. "
                     "Close them in the drawing, or count them as cut-outs if they belong to the part.")
    return found


def _place(point):
    return "({:.3g}, {:.3g}, {:.3g}) m".format(*point)
