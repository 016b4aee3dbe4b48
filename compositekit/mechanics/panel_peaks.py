"""Sag, moments and shear forces of a panel with any edges, where they peak: for one panel, or tabled for a sweep of cores."""

from __future__ import annotations

import functools
import itertools
from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError
from ..units import Q_, checked
from .panel_edges import THIN, Plate, Solution
from .softness_table import NODES, SoftnessTable

EDGES = ("supported", "clamped", "long edges clamped", "short edges clamped", "one long edge clamped", "one short edge clamped")
GRID = 25                                                         # points each way where a peak is looked for
LOOK = 0, 35, 50, 60, 70, 109                                     # of them, where the peaks' places are sought


def clamped_edges(edges, length, width) -> tuple[bool, bool, bool, bool]:
    """Whether the edges x = 0, x = length, y = 0, y = width are clamped.

    edges is one of EDGES, or four words "supported" or "clamped" in that order; of a square the long edges run along x.
    Raises RangeError for other words.
    """
    words = [edges] if isinstance(edges, str) else list(edges) if isinstance(edges, tuple | list) else [None]
    if len(words) == 4 and all(word in EDGES[:2] for word in words):
        return tuple(word == "clamped" for word in words)
    if len(words) != 1 or words[0] not in EDGES:
        raise RangeError(f"edges: {edges!r} is not known; choose one of {', '.join(EDGES)}; or give four words, supported or clamped, "
                         "for the edges x = 0, x = length, y = 0, y = width.")
    long, short = {"supported": (0, 0), "clamped": (2, 2), "long edges clamped": (2, 0), "short edges clamped": (0, 2),
                   "one long edge clamped": (1, 0), "one short edge clamped": (0, 1)}[words[0]]
    y, x = (long, short) if length >= width else (short, long)
    return x >= 1, x == 2, y >= 1, y == 2


class PeakTable(SoftnessTable):
    """Largest sag, moments, shear forces and curvatures for 1 Pa on a patch and D11 = 1, over the softness D11/(Sx length width)."""

    def __init__(self, length, width, clamped, plate, patch):
        solution, (x, y) = Solution(length, width, clamped, plate, patch), places(length, width, clamped, plate, patch)
        whole = _with_curvatures(solution.at(NODES[list(LOOK)], x, y), plate).reshape(7, len(LOOK), -1)
        spots = [np.unique(value.argmax(axis=-1)) for value in np.abs(whole)]
        (i, row), (j, column) = (np.unique(place, return_inverse=True) for place in np.unravel_index(np.concatenate(spots), (len(x), len(y))))
        starts = np.cumsum([0, *map(len, spots)])
        self._columns = [slice(*ends) for ends in itertools.pairwise(starts)]
        self._sums, self._x, self._y, self._spots = solution, x[i], y[j], (row, column)
        self._start(starts[-1])
        for value, (columns, spot) in enumerate(zip(self._columns, spots, strict=True)):
            self._keep(list(LOOK), value, columns, whole[value][:, spot])

    def at(self, softness):
        """Largest w, Mx, My, Qx, Qy and curvatures along x and y, as sizes, each shaped like softness."""
        softness = np.asarray(softness, dtype=float)
        found = np.abs(self._read(softness))
        found = [found[..., columns].max(-1) for columns in self._columns]
        return found[0] * _level(np.maximum(softness, THIN)), *found[1:]

    def _fill(self, nodes):
        whole = _with_curvatures(self._sums.at(NODES[nodes], self._x, self._y), self._sums.plate)
        for value, columns in enumerate(self._columns):
            row, column = (place[columns] for place in self._spots)
            self._keep(nodes, value, columns, whole[value][:, row, column])

    def _keep(self, nodes, value, columns, found):
        self._values[nodes, columns] = found / _level(NODES[nodes])[:, None] if value == 0 else found


def _with_curvatures(found, plate):
    """w, Mx, My, Qx, Qy, and after them the curvatures along x and y of those moments, D16 and D26 left out."""
    _, moment_x, moment_y, *_ = found
    whole = plate.d22 - plate.d12**2
    return np.concatenate([found, np.stack([plate.d22 * moment_x - plate.d12 * moment_y, moment_y - plate.d12 * moment_x]) / whole])


def _level(softness):
    """About what sag grows by with softness: their ratio levels off at both ends."""
    return 1 + 100 * softness


def places(length, width, clamped, plate, patch):
    """Points of a panel where a peak may stand: half of it where the other half mirrors it, with the patch's sides and middle."""
    places = []
    for size, middle, side, ends in ((length, patch[0], patch[2], clamped[:2]), (width, patch[1], patch[3], clamped[2:])):
        mirrored = ends[0] == ends[1] and abs(middle - size / 2) < 1e-12 * size and not (plate.d16 or plate.d26)
        points = np.append(np.linspace(0, size, GRID), [middle - side / 2, middle, middle + side / 2])
        points = np.unique(np.round(np.clip(points, 0, size), 12))
        places.append(points[points <= size / 2 * (1 + 1e-9)] if mirrored else points)
    return places


@functools.lru_cache(maxsize=512)
def peak_table(length, width, edges, plate: Plate, patch) -> PeakTable:
    """The PeakTable of a panel, kept for the next call with the same sizes, edges, stiffness ratios and patch; SI."""
    return PeakTable(length, width, clamped_edges(edges, length, width), plate, patch)


class EdgePanelResponse(NamedTuple):
    """Largest sag [m], moments per width [N] and shear forces per width [N/m] anywhere in a panel, as sizes; then what the middle does."""

    deflection: pint.Quantity
    moment_x: pint.Quantity
    moment_y: pint.Quantity
    shear_force_x: pint.Quantity
    shear_force_y: pint.Quantity
    middle_deflection: pint.Quantity
    middle_moment_x: pint.Quantity
    middle_moment_y: pint.Quantity


@checked(d11="N*m > 0", d12="N*m", d22="N*m > 0", d66="N*m > 0", shear_rigidity_x="N/m > 0", shear_rigidity_y="N/m > 0",
         length="m > 0", width="m > 0", pressure="Pa", patch_length="m > 0", patch_width="m > 0", patch_x="m >= 0",
         patch_y="m >= 0", d16="N*m", d26="N*m", returns=None)
def edge_panel(d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, length, width, pressure, edges="clamped",
               patch_length=None, patch_width=None, patch_x=None, patch_y=None, d16=0.0, d26=0.0):
    """Sag, moments and shear forces of a panel with supported or clamped edges, under pressure all over or on a patch.

    d11, d12, d22, d66  [N*m]  bending stiffnesses per width, as from Laminate.D
    shear_rigidity_x    [N/m]  shear rigidity per width for slopes along x; beam.RIGID_IN_SHEAR for a solid laminate
    shear_rigidity_y    [N/m]  the same along y
    length              [m]    size along x
    width               [m]    size along y
    pressure            [Pa]   pressure, on the patch where one is given
    edges               one of EDGES, or four words "supported" or "clamped" for x = 0, x = length, y = 0, y = width
    patch_length        [m]    size of the patch along x; left out, that of the panel
    patch_width         [m]    size of the patch along y; left out, that of the panel
    patch_x             [m]    where the middle of the patch lies along x; left out, in the middle
    patch_y             [m]    where the middle of the patch lies along y; left out, in the middle
    d16                 [N*m]  bending stiffness per width that couples bending along x with twist
    d26                 [N*m]  the same along y
    Returns an EdgePanelResponse. A clamped edge bears the largest moment, and that is in it.
    Raises RangeError for an unknown edge, a patch off the panel, stiffnesses that no material has.
    Relation: least energy of 1/2 kappa' D kappa + 1/2 gamma' S gamma - q w with w, phi in Legendre polynomials (panel_edges)
    Valid: length/width from 1/3 to 3, patch at least 1/50 of the panel (accuracy at the head of panel_edges). Clamped means the
        section held, each thin skin free to turn: skins built in are 1.5 to 8 % stiffer, a small patch on a soft core 13 %
    Source: first-order shear theory, Ritz's method (own reference); held against T&W-K Tables 35 and 36 (read second-hand)
    """
    values = d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, length, width, pressure, patch_length, patch_width, patch_x, patch_y, d16, d26
    if any(np.size(value) > 1 for value in values if value is not None):
        raise RangeError("edge_panel works out one panel at a time; call it once for each, or sweep cores with peak_table.")
    plate = plate_of(d11, d12, d22, d66, d16, d26, shear_rigidity_x, shear_rigidity_y)
    u, v = (size if part is None else part for size, part in ((length, patch_length), (width, patch_width)))
    x0, y0 = (size / 2 if place is None else place for size, place in ((length, patch_x), (width, patch_y)))
    for way, size, middle, side in (("x", length, x0, u), ("y", width, y0, v)):
        if middle - side / 2 < -1e-9 * size or middle + side / 2 > size * (1 + 1e-9):
            raise RangeError(f"edge_panel: along {way} the patch reaches from {middle - side / 2:.3g} to {middle + side / 2:.3g} m, off the panel of "
                             f"{size:.3g} m; move it, or make it smaller.")
    clamped, patch = clamped_edges(edges, length, width), (x0, y0, u, v)
    softness = d11 / (shear_rigidity_x * length * width)
    solution = Solution(length, width, clamped, plate, patch)
    found = solution.at(np.array([softness]), *places(length, width, clamped, plate, patch))[:, 0]
    middle = solution.at(np.array([softness]), np.array([length / 2]), np.array([width / 2]))[:3, 0, 0, 0]
    w, mx, my, qx, qy = pressure * np.abs(found).max((1, 2)) * [1 / d11, 1, 1, 1, 1]
    return EdgePanelResponse(Q_(w, "m"), Q_(mx, "N"), Q_(my, "N"), Q_(qx, "N/m"), Q_(qy, "N/m"),
                             Q_(pressure * middle[0] / d11, "m"), Q_(pressure * middle[1], "N"), Q_(pressure * middle[2], "N"))


def plate_of(d11, d12, d22, d66, d16, d26, shear_rigidity_x, shear_rigidity_y) -> Plate:
    """The Plate of these stiffnesses, SI. Raises RangeError for stiffnesses that no material has."""
    if d12**2 >= d11 * d22:
        raise RangeError(f"d12 is {abs(d12):.3g} N*m, but must stay below sqrt(d11 d22) = {np.sqrt(d11 * d22):.3g} N*m.")
    if np.linalg.eigvalsh([[d11, d12, d16], [d12, d22, d26], [d16, d26, d66]])[0] <= 1e-12 * d11:
        raise RangeError(f"d16 and d26, {d16:.3g} and {d26:.3g} N*m, are too large beside d11, d22 and d66: such a panel would bend by itself. "
                         "Take all six from one laminate.")
    return Plate(*(float(value) for value in (d12 / d11, d22 / d11, d66 / d11, d16 / d11, d26 / d11, shear_rigidity_y / shear_rigidity_x)))
