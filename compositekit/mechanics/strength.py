"""First-ply failure: by how much a load may grow until the first ply reaches its strength."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import RangeError
from ..units import checked

MODES = ("fibre tension", "fibre compression", "transverse tension", "transverse compression", "in-plane shear")


class FirstPlyFailure(NamedTuple):
    """The load multiplier at which the first ply fails, and where and how.

    multiplier   load at failure over the load put in; below 1 the ply fails before the load is reached
    ply          index into the laminate's plies, 0 = outermost
    face         0 = the ply's outer face, 1 = its inner face
    mode         one of MODES: the stress nearest its own strength there
    multipliers  the same multiplier for every ply and face, shape (plies, 2); inf where a face is unstressed
    """

    multiplier: float
    ply: int
    face: int
    mode: str
    multipliers: np.ndarray


@checked(N="N/m", M="N", returns=None)
def first_ply_failure(laminate, N, M=None, criterion="max stress"):
    """Load multiplier at which the first ply of a laminate reaches its strength, under loads alone.

    laminate   a Laminate whose plies carry xt, xc, yt, yc and s12
    N          [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,)
    M          [N]    moments per width (Mx, My, Mxy), shape (3,); left out, none
    criterion  "max stress", "max strain", "Tsai-Hill" (strengths matched to the sign) or "Tsai-Wu"
    Returns a FirstPlyFailure. Loads people depend on want tested strengths, a safety factor and a
    licensed designer: this is a comparison figure, not approval.
    Raises RangeError for an unknown criterion or no load at all, UnitError for a missing strength.
    Relation: max stress and max strain R = least of strength/stress (strain allowable = strength/modulus);
              Tsai-Hill 1/R^2 = (s1/X)^2 - s1 s2/X^2 + (s2/Y)^2 + (t/S)^2;
              Tsai-Wu a R^2 + b R = 1 with F12 = -1/2 sqrt(F11 F22)
    Source: Kaw, Mechanics of Composite Materials, ch. 2 and 5 (from memory)
    """
    if criterion not in _CRITERIA:
        raise RangeError(f'first_ply_failure: criterion is "{criterion}", but must be one of {", ".join(_CRITERIA)}.')
    if not np.any(N) and not np.any(0 if M is None else M):
        raise RangeError("first_ply_failure: N and M are all nought, so nothing fails; give at least one load.")
    stress = type(laminate).response.si(laminate, N, M).ply_stress.magnitude
    strength = np.array([[ply.known(name) for name in ("xt", "xc", "yt", "yc", "s12")] for ply in laminate.plies],
                        dtype=float)[:, None, :]
    use = _use(stress, strength)
    multipliers = _CRITERIA[criterion](laminate, stress, strength)
    ply, face = np.unravel_index(np.argmin(multipliers), multipliers.shape)
    return FirstPlyFailure(float(multipliers[ply, face]), int(ply), int(face),
                           MODES[int(np.argmax(use[ply, face]))], multipliers)


def _use(stress, strength):
    """Each stress over its own strength, in the order of MODES; nought where the sign is the other one."""
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    signed = np.stack([s1, -s1, s2, -s2, np.abs(shear)], axis=-1)
    return np.maximum(signed, 0) / strength


def _over(use):
    """1/use, inf where nothing is used."""
    return np.divide(1.0, use, out=np.full_like(use, np.inf), where=use > 0)


def _max_stress(_laminate, stress, strength):
    return _over(_use(stress, strength).max(axis=-1))


def _max_strain(laminate, stress, strength):
    e1, e2, nu12 = (np.array([getattr(ply.si, name) for ply in laminate.plies])[:, None] for name in ("e1", "e2", "nu12"))
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    # strain times modulus along each axis, so the allowable strain times modulus is the strength itself
    felt = np.stack([s1 - nu12 * s2, s2 - nu12 * e2 / e1 * s1, shear], axis=-1)
    return _over(_use(felt, strength).max(axis=-1))


def _tsai_hill(_laminate, stress, strength):
    xt, xc, yt, yc, s12 = np.moveaxis(strength, -1, 0)
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    x, y = np.where(s1 >= 0, xt, xc), np.where(s2 >= 0, yt, yc)
    return _over(np.sqrt(np.maximum((s1 / x) ** 2 - s1 * s2 / x**2 + (s2 / y) ** 2 + (shear / s12) ** 2, 0)))


def _tsai_wu(_laminate, stress, strength):
    xt, xc, yt, yc, s12 = np.moveaxis(strength, -1, 0)
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    linear = (1 / xt - 1 / xc) * s1 + (1 / yt - 1 / yc) * s2
    square = s1**2 / (xt * xc) + s2**2 / (yt * yc) + (shear / s12) ** 2 - s1 * s2 / np.sqrt(xt * xc * yt * yc)
    # R = 2/(b + sqrt(b^2 + 4a)) is the positive root written so that a near nought does no harm
    return _over((linear + np.sqrt(linear**2 + 4 * np.maximum(square, 0))) / 2)


_CRITERIA = {"max stress": _max_stress, "max strain": _max_strain, "Tsai-Hill": _tsai_hill, "Tsai-Wu": _tsai_wu}
