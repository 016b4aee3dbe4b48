"""Failure criteria of a ply as surfaces in its own stresses, and how far a load may grow until it meets one.

Each criterion is a few surfaces, each a polynomial of second order in (s1, s2, t12) that is 1 where the ply fails. Along
the ray held + R stress each gives one quadratic in R: the part that does not grow with the load stays in it as a constant.
SI floats and arrays over plies, faces and loads.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

MODES = ("fibre tension", "fibre compression", "transverse tension", "transverse compression", "in-plane shear",
         "matrix tension", "matrix compression")
FIBRE_MODES = (0, 1)
STRENGTHS = ("xt", "xc", "yt", "yc", "s12")
SIGN_SLACK = 1e-9   # of a stress: which side of nought it is on, but for rounding


class Surface(NamedTuple):
    """One piece of a criterion: square . (s1^2, s2^2, t^2, s1 s2) + linear . (s1, s2) = 1.

    mode    what fails there, an index of MODES; None where the criterion does not tell
    along   +1 or -1 where the piece stands only for s1 of that sign, 0 for either; across the same for s2
    """

    mode: int | None
    square: tuple = (0.0, 0.0, 0.0, 0.0)
    linear: tuple = (0.0, 0.0)
    along: int = 0
    across: int = 0


def load_multipliers(criterion, stress, held, strengths, interaction=-0.5):
    """R at which held + R stress first meets the criterion, and the mode there as an index of MODES.

    stress, held  (..., 3) in the ply's own axes; for "max strain" modulus times strain in their place
    strengths     xt, xc, yt, yc, s12, each to broadcast against stress[..., 0]
    R is 0 where the held stress fails the ply by itself, inf where the load never does.
    """
    surfaces = CRITERIA[criterion](*strengths, interaction)
    found = np.stack([_first_meeting(surface, stress, held) for surface in surfaces])
    multipliers = found.min(axis=0)
    if surfaces[0].mode is not None:
        return multipliers, np.array([surface.mode for surface in surfaces])[found.argmin(axis=0)]
    reached = held + np.where(np.isfinite(multipliers), multipliers, 0.0)[..., None] * stress
    return multipliers, _largest_use(np.where(np.isfinite(multipliers)[..., None], reached, stress), strengths)


def _largest_use(stress, strengths):
    """The stress nearest its own strength, for criteria that mix them all in one figure."""
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    xt, xc, yt, yc, s12 = strengths
    return np.argmax(np.stack([s1 / xt, -s1 / xc, s2 / yt, -s2 / yc, np.abs(shear) / s12]), axis=0)


def _first_meeting(surface, stress, held):
    """Least R >= 0 at which held + R stress lies on the surface, on the side of nought it stands for."""
    a = _square(surface, stress, stress)
    b = 2 * _square(surface, held, stress) + _linear(surface, stress)
    c = _square(surface, held, held) + _linear(surface, held) - 1
    room = b**2 - 4 * a * c
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        half = -(b + np.copysign(np.sqrt(np.maximum(room, 0)), b)) / 2   # no difference of near alike numbers
        roots = np.stack([half / a, c / half])
        stands = (room >= 0) & np.isfinite(roots) & (roots > 0) & _on_side(surface, held + roots[..., None] * stress)
    least = np.where(stands, roots, np.inf).min(axis=0)
    return np.where((c >= 0) & _on_side(surface, held), 0.0, least)


def _square(surface, one, other):
    ss1, ss2, tt, s12 = surface.square
    cross = (one[..., 0] * other[..., 1] + one[..., 1] * other[..., 0]) / 2
    return ss1 * one[..., 0] * other[..., 0] + ss2 * one[..., 1] * other[..., 1] + tt * one[..., 2] * other[..., 2] + s12 * cross


def _linear(surface, stress):
    return surface.linear[0] * stress[..., 0] + surface.linear[1] * stress[..., 1]


def _on_side(surface, stress):
    slack = SIGN_SLACK * np.abs(stress).max(axis=-1)
    return (surface.along * stress[..., 0] >= -slack) & (surface.across * stress[..., 1] >= -slack)


def _max_stress(xt, xc, yt, yc, s12, _interaction):
    return (Surface(0, linear=(1 / xt, 0.0)), Surface(1, linear=(-1 / xc, 0.0)), Surface(2, linear=(0.0, 1 / yt)),
            Surface(3, linear=(0.0, -1 / yc)), Surface(4, (0.0, 0.0, 1 / s12**2, 0.0)))


def _tsai_hill(xt, xc, yt, yc, s12, _interaction):
    return tuple(Surface(None, (1 / x**2, 1 / y**2, 1 / s12**2, -1 / x**2), along=along, across=across)
                 for along, x in ((1, xt), (-1, xc)) for across, y in ((1, yt), (-1, yc)))


def _tsai_wu(xt, xc, yt, yc, s12, interaction):
    f11, f22 = 1 / (xt * xc), 1 / (yt * yc)
    return (Surface(None, (f11, f22, 1 / s12**2, 2 * interaction * np.sqrt(f11 * f22)), (1 / xt - 1 / xc, 1 / yt - 1 / yc)),)


def _matrix(yt, yc, s12):
    return tuple(Surface(mode, (0.0, 1 / y**2, 1 / s12**2, 0.0), across=across) for mode, y, across in ((5, yt, 1), (6, yc, -1)))


def _hashin_rotem(xt, xc, yt, yc, s12, _interaction):
    return *_matrix(yt, yc, s12), Surface(0, linear=(1 / xt, 0.0)), Surface(1, linear=(-1 / xc, 0.0))


def _hashin(xt, xc, yt, yc, s12, _interaction):
    # matrix first: under shear alone matrix and fibre pieces meet at the same load, and it is the matrix that gives
    return *_matrix(yt, yc, s12), Surface(0, (1 / xt**2, 0.0, 1 / s12**2, 0.0), along=1), Surface(1, linear=(-1 / xc, 0.0))


CRITERIA = {"max stress": _max_stress, "max strain": _max_stress, "Tsai-Hill": _tsai_hill, "Tsai-Wu": _tsai_wu,
            "Hashin": _hashin, "Hashin-Rotem": _hashin_rotem}
