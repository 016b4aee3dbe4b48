"""What a laminate may bear after its first ply has failed: an estimate that gives failed plies up one by one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError
from ..units import Q_, checked
from .criteria import CRITERIA, FIBRE_MODES, MODES, load_multipliers
from .stiffness import reduced_stiffness, section_stiffness, strain_rotation
from .strength import ply_strengths

GONE = 1e-9         # of its stiffness, what a ply given up keeps, so that the section still solves
TOGETHER = 1e-6     # plies this near to the next failure fail with it, or a symmetric stack would turn lopsided by rounding
CARRIES = 1e-4      # of the whole section's stiffness against its load: below it nothing is left that carries


class FailureStep(NamedTuple):
    """One ply giving way: the load multiplier then, the ply (0 = outermost), how, and the stress in every ply just before.

    stress  Pa in x, y, xy of the laminate, shape (plies, 2 faces, 3); it balances the load times the multiplier
    """

    multiplier: float
    ply: int
    mode: str
    stress: pint.Quantity


@dataclass(frozen=True, eq=False)
class LastPlyEstimate:
    """An estimate, not a strength: the order in which plies give way, and the largest load on the way.

    steps       one FailureStep per failure, in order; a later one at a smaller multiplier follows at once
    multiplier  the largest load multiplier of any step
    caution     to be shown beside the figure
    """

    steps: tuple[FailureStep, ...]
    multiplier: float
    caution: str = ("an estimate: real plies crack bit by bit, peel apart and shift load in ways it leaves out; size for first-ply "
                    "failure, test a strip, and defer to local codes and licensed practice")

    @property
    def first(self):
        """Load multiplier at which the first ply fails."""
        return self.steps[0].multiplier


@checked(N="N/m", M="N", matrix_left="1 in 0..1", fibre_left="1 in 0..1", interaction="1 in -0.99..0.99", returns=None)
def last_ply_failure_estimate(laminate, N, M=None, criterion="max stress", matrix_left=0.0, fibre_left=0.0, stress_stays=False, interaction=-0.5):
    """Estimate of the load a laminate bears until its last ply fails, by ply discount.

    laminate      a Laminate whose plies carry xt, xc, yt, yc and s12
    N             [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,)
    M             [N]    moments per width (Mx, My, Mxy), shape (3,); left out, none
    criterion     as for strength_ratios
    matrix_left   [1]    share of E2 and G12 that a ply keeps after its matrix has failed once; nought by custom
    fibre_left    [1]    share of E1 that a ply keeps after its fibres have failed once; its matrix goes with them
    stress_stays  whether a cracked ply keeps the stress it had and only takes no more; left out, it sheds it to the others.
                  Then the first broken fibres end the estimate
    interaction   [1]    of Tsai-Wu, as for strength_ratios
    Returns a LastPlyEstimate.
    Raises RangeError for an unknown criterion or no load, UnitError for a missing strength.
    Relation: the ply that fails first is knocked down in its mode (E2, G12 with it nu12 after its matrix, E1 too after its
              fibres), the section solved again, and so on until no ply carries; failing again in the same way, a ply loses
              the rest; the estimate is the largest multiplier met
    Valid: residual stresses left out; the criteria's words for the matrix (transverse, shear, matrix) all count as one failure
    Source: ply discount, Kaw, Mechanics of Composite Materials, ch. 5 (from memory); stress that stays, NASA CR-166617,
            Appendix B (read)
    """
    if criterion not in CRITERIA:
        raise RangeError(f'last_ply_failure_estimate: criterion is "{criterion}", but must be one of {", ".join(CRITERIA)}.')
    loads = [np.zeros(3) if value is None else np.asarray(value, dtype=float) for value in (N, M)]
    if any(value.shape != (3,) for value in loads) or not np.any(loads):
        raise RangeError("last_ply_failure_estimate: N and M must be three numbers each (x, y, xy) and not all nought.")
    if stress_stays and (matrix_left or fibre_left):
        raise RangeError("last_ply_failure_estimate: a ply that keeps its stress takes no more, so matrix_left and fibre_left must be "
                         "nought with stress_stays.")
    section = _Section(laminate, np.concatenate(loads), (matrix_left, fibre_left))
    strengths = ply_strengths(laminate.plies, criterion)[..., None]
    steps, held, standing = [], section.nothing, 0.0
    while section.carries():
        grown = section.under_load()
        felt = 1 if criterion == "max strain" else 0
        multipliers, modes = load_multipliers(criterion, section.seen(grown[felt]), section.seen(held[felt]), strengths, interaction)
        more = multipliers.min()
        if not np.isfinite(more):
            break
        reached, least = held + more * grown, standing + more
        stress = Q_(section.in_laminate(reached[0]), "Pa")
        for ply in np.flatnonzero(multipliers.min(axis=1) <= more + least * TOGETHER):
            mode = int(modes[ply, multipliers[ply].argmin()])
            steps.append(FailureStep(float(least), int(ply), MODES[mode], stress))
            section.knock_down(ply, mode in FIBRE_MODES)
        if stress_stays:
            if any(step.mode in (MODES[0], MODES[1]) for step in steps):
                break
            held, standing = reached, least   # from here the load grows on what the plies already hold
    return LastPlyEstimate(tuple(steps), max(step.multiplier for step in steps))


class _Section:
    """Plies of a laminate with what is left of each, under one load; state arrays are (2, plies, 2, 3): stress, modulus x strain."""

    def __init__(self, laminate, load, left):
        self._moduli = {name: np.array([getattr(ply.si, name) for ply in laminate.plies], dtype=float) for name in ("e1", "e2", "g12", "nu12")}
        thickness = np.array([ply.si.thickness for ply in laminate.plies])
        self._z = np.concatenate([[0.0], np.cumsum(thickness)]) - thickness.sum() / 2
        self._faces = np.stack([self._z[:-1], self._z[1:]], axis=1)[..., None]
        self._turn = strain_rotation(laminate.angles.m_as("rad"))
        self._scale = np.repeat([1.0, thickness.sum()], 3)
        self._load = load
        self._shares = np.maximum([(1.0, share, 0.0) if share else (1.0, 0.0, 0.0) for share in left], GONE)
        self._failed = np.zeros((2, len(thickness)), dtype=int)   # matrix, fibres: 0 whole, 1 knocked down, 2 gone
        self._steps = [1 if share else 2 for share in left]
        self.nothing = np.zeros((2, len(thickness), 2, 3))
        self._whole = self._give()

    def _stiffness(self):
        matrix, fibres = (shares[level] for shares, level in zip(self._shares, self._failed, strict=True))
        m = self._moduli
        return reduced_stiffness(m["e1"] * fibres, m["e2"] * matrix, m["g12"] * matrix, m["nu12"] * matrix * fibres)

    def _strain(self, q):
        a, b, d = section_stiffness(np.swapaxes(self._turn, -1, -2) @ q @ self._turn, self._z)
        abd = np.block([[a, b], [b, d]]) / np.outer(self._scale, self._scale)
        return np.linalg.solve(abd, self._load / self._scale) / self._scale

    def _give(self):
        """Work the load does on the section: how soft it is against it."""
        return self._load @ self._strain(self._stiffness())

    def carries(self):
        return self._whole > CARRIES * self._give()

    def under_load(self):
        q = self._stiffness()
        midplane, curvature = np.split(self._strain(q), 2)
        strain = np.einsum("kij,kfj->kfi", self._turn, midplane + self._faces * curvature)
        moduli = np.stack([self._moduli[name] for name in ("e1", "e2", "g12")], axis=-1)[:, None]
        return np.stack([np.einsum("kij,kfj->kfi", q, strain), moduli * strain])

    def seen(self, state):
        """What a criterion is asked about: nothing of what is gone."""
        matrix, fibres = (self._failed < 2)[..., None]
        return state * np.stack([fibres & np.ones_like(matrix), matrix, matrix], axis=-1)

    def in_laminate(self, stress):
        return np.einsum("kji,kfj->kfi", self._turn, stress)

    def knock_down(self, ply, fibres):
        for part in (0, 1) if fibres else (0,):
            self._failed[part, ply] = min(2, self._failed[part, ply] + self._steps[part])
