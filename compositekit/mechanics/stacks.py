"""Very many laminates at once: A, B and D from a table of turned plies and one matrix product per chunk.

The 18 distinct numbers are kept (A11 A12 A16 A22 A26 A66, then B, then D); nothing is inverted where one load is asked.
Axes and signs are those of ``laminate``.
"""

from __future__ import annotations

import numpy as np

from ..errors import RangeError, ShapeError
from ..units import Q_, checked
from .angles import read_angles
from .laminate import read_plies
from .stiffness import reduced_stiffness, strain_rotation

CHUNK = 2000   # laminates worked on together: small enough to stay in the processor's cache
NO_PLY = -1    # fills up a row of a stack that has fewer plies than the longest

_ROW, _COLUMN = np.array([0, 0, 0, 1, 1, 2]), np.array([0, 1, 2, 1, 2, 2])
_FULL = np.array([[0, 1, 2], [1, 3, 4], [2, 4, 5]])   # where each entry of a 3x3 block stands among its six numbers


class StiffnessTable:
    """Turned stiffness of every ply at every angle, worked out once for all stacks that use them.

    plies   list of Ply, the materials to choose from
    angles  [rad]  the angles to choose from, e.g. Q_([0, 45, -45, 90], "deg")
    Raises ShapeError when there is no ply; UnitError, RangeError.
    Rows are numbered ply by ply: ply p at angle a is row p * len(angles) + a, see ``row``.
    """

    def __init__(self, plies, angles):
        self.plies = read_plies(plies, "StiffnessTable")
        theta = read_angles(angles)
        self.angles = Q_(theta, "rad")
        column = {name: np.array([getattr(ply.si, name) for ply in self.plies], dtype=float)
                  for name in ("e1", "e2", "g12", "nu12")}
        turn = strain_rotation(theta)
        q_bar = np.swapaxes(turn, -1, -2) @ reduced_stiffness(**column)[:, None] @ turn
        # the last row is no ply at all: nought thick, and reached by NO_PLY
        self._six = np.vstack([q_bar[..., _ROW, _COLUMN].reshape(-1, 6), np.zeros(6)])
        self._thickness = np.append(np.repeat([ply.si.thickness for ply in self.plies], len(theta)), 0.0)

    def __len__(self):
        return len(self._thickness) - 1

    def row(self, ply, angle):
        """Number of the row that holds ply number ``ply`` at angle number ``angle``; arrays are welcome."""
        ply, angle = np.asarray(ply), np.asarray(angle)
        for value, count, name in ((ply, len(self.plies), "ply"), (angle, len(self.angles), "angle")):
            if value.dtype.kind not in "iu" or np.any((value < 0) | (value >= count)):
                raise RangeError(f"StiffnessTable.row: {name} must be whole numbers from 0 to {count - 1}.")
        return ply * len(self.angles) + angle

    def stacks(self, rows):
        """A, B and D of many stacks.

        rows  whole numbers, shape (laminates, plies): the table row of each ply, outer face first; NO_PLY for none
        Returns a Stacks.
        Raises ShapeError when rows is not a filled table of whole numbers, or a stack has no ply; RangeError for a row
        the table lacks.
        Relation: as Laminate: A = sum Q t, B = sum Q z t, D = sum Q t (z^2 + t^2/12), z the middle of a ply
        Source: Kaw, Mechanics of Composite Materials, ch. 4 (from memory)
        """
        rows = np.asarray(rows)
        if rows.ndim != 2 or 0 in rows.shape or rows.dtype.kind not in "iu":
            raise ShapeError(f"StiffnessTable.stacks: rows has shape {rows.shape} of {rows.dtype}, but must be whole "
                             "numbers, one line per laminate and one column per ply, none of them empty.")
        if rows.min() < NO_PLY or rows.max() >= len(self):
            raise RangeError(f"StiffnessTable.stacks: rows run from {rows.min()} to {rows.max()}, but the table has rows "
                             f"0 to {len(self) - 1}, and {NO_PLY} for no ply.")
        numbers, thickness = np.empty((len(rows), 3, 6)), np.empty(len(rows))
        for start in range(0, len(rows), CHUNK):
            part = slice(start, start + CHUNK)
            self._fill(rows[part], numbers[part], thickness[part])
        if not np.all(thickness > 0):
            raise ShapeError(f"StiffnessTable.stacks: laminate {int(np.argmin(thickness))} has no ply at all; "
                             "give every laminate at least one.")
        return Stacks(numbers, thickness)

    def _fill(self, rows, numbers, thickness):
        t = self._thickness[rows]
        top = np.cumsum(t, axis=1)
        thickness[:] = top[:, -1]
        middle = top - t / 2 - top[:, -1:] / 2
        weights = np.stack([t, middle * t, t * (middle**2 + t**2 / 12)], axis=1)
        np.matmul(weights, np.take(self._six, rows, axis=0, mode="wrap"), out=numbers)


class Stacks:
    """A, B and D of many laminates; the 18 distinct numbers of each stand in ``.numbers``, (laminates, 3, 6), SI."""

    def __init__(self, numbers, thickness):
        self.numbers, self._thickness = numbers, thickness

    def __len__(self):
        return len(self.numbers)

    @property
    def thickness(self):
        """Thickness of each stack [m]."""
        return Q_(self._thickness, "m")

    @property
    def A(self):
        """In-plane stiffness of each stack [N/m], (laminates, 3, 3)."""
        return Q_(self.numbers[:, 0][:, _FULL], "N/m")

    @property
    def B(self):
        """Coupling of in-plane strain and bending of each stack [N], (laminates, 3, 3)."""
        return Q_(self.numbers[:, 1][:, _FULL], "N")

    @property
    def D(self):
        """Bending stiffness per width of each stack [N*m], (laminates, 3, 3)."""
        return Q_(self.numbers[:, 2][:, _FULL], "N*m")

    @checked(N="N/m", M="N", returns=("1", "1/m"))
    def response(self, N, M=None):
        """Strain and curvature of the mid-plane of every stack under one load, by solving, without any inverse.

        N  [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,) for all, or (laminates, 3)
        M  [N]    moments per width (Mx, My, Mxy), as N; left out, none
        Returns midplane strain [1] and curvature [1/m], both (laminates, 3).
        Raises RangeError for a load of another shape, UnitError.
        Relation: [A B; B D] [e0; k] = [N; M]
        Source: Kaw, Mechanics of Composite Materials, ch. 4 (from memory)
        """
        count = len(self)
        n, m = (_load(load, name, count) for load, name in ((N, "N"), (M, "M")))
        answer = np.empty((count, 6))
        for start in range(0, count, CHUNK):
            part = slice(start, start + CHUNK)
            h = self._thickness[part, None]
            six = self.numbers[part] / h[:, :, None] ** np.array([0, 1, 2])[:, None]   # one size, so thin stacks solve cleanly
            a, b, d = (six[:, k][:, _FULL] for k in range(3))
            load = np.concatenate([n[part], m[part] / h], axis=1)
            whole = np.concatenate([np.concatenate([a, b], axis=2), np.concatenate([b, d], axis=2)], axis=1)
            answer[part] = np.linalg.solve(whole, load[..., None])[..., 0]
            answer[part, 3:] /= h
        return answer[:, :3], answer[:, 3:]


def _load(load, name, count):
    load = np.zeros(3) if load is None else np.asarray(load, dtype=float)
    if load.shape not in ((3,), (count, 3)):
        raise RangeError(f"Stacks.response: {name} has shape {load.shape}, but must be three numbers (x, y, xy), or "
                         f"three for each of the {count} laminates.")
    return np.broadcast_to(load, (count, 3))
