"""Strength of a laminate's plies: by how much a load may grow until a ply reaches its strength, which one, where and how."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import RangeError, UnitError
from ..units import checked
from .criteria import CRITERIA, MODES, STRENGTHS, load_multipliers

__all__ = ["CRITERIA", "MODES", "FirstPlyFailure", "StrengthRatios", "first_ply_failure", "ply_strengths", "strength_ratios"]


class StrengthRatios(NamedTuple):
    """Load multiplier of every ply at both its faces, for one load or many: (..., plies, 2), outer face first.

    multipliers  load at failure over the load put in; inf where it never fails, 0 where residual stress alone fails it
    modes        index of MODES: how it fails there
    """

    multipliers: np.ndarray
    modes: np.ndarray


class FirstPlyFailure(NamedTuple):
    """The load multiplier at which the first ply fails, and where and how.

    multiplier   load at failure over the load put in; below 1 the ply fails before the load is reached
    ply          index into the laminate's plies, 0 = outermost
    face         0 = the ply's outer face, 1 = its inner face
    mode         one of MODES
    multipliers  the same multiplier for every ply and face, shape (plies, 2); inf where a face is unstressed
    words        the same in a sentence
    """

    multiplier: float
    ply: int
    face: int
    mode: str
    multipliers: np.ndarray
    words: str


@checked(N="N/m", M="N", delta_T="delta_K in -250..250", delta_C="1 in -0.5..0.5", interaction="1 in -0.99..0.99", returns=None)
def strength_ratios(laminate, N, M=None, criterion="max stress", delta_T=None, delta_C=None, interaction=-0.5):
    """Load multiplier of every ply and face of a laminate under one load or many, residual stress standing still.

    laminate     a Laminate whose plies carry xt, xc, yt, yc and s12
    N            [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,), or (loads, 3)
    M            [N]    moments per width (Mx, My, Mxy), same shape; left out, none
    criterion    "max stress"; "max strain"; "Tsai-Hill" (strengths matched to the sign); "Tsai-Wu"; "Hashin" or
                 "Hashin-Rotem", which tell fibre from matrix
    delta_T      [delta_K]    change of temperature since the plies were free of stress, as K or delta_degC; left out, none
    delta_C      [1]    change of moisture, as a share of the ply's mass; left out, none
    interaction  [1]    of Tsai-Wu: F12 over sqrt(F11 F22); never measured by a builder, -1/2 by custom
    Returns StrengthRatios. The multiplier goes on N and M only: what delta_T and delta_C leave in the plies does not grow.
    Raises RangeError for an unknown criterion, UnitError naming criterion, ply and the strengths or expansions it lacks.
    Relation: s = s_residual + R s_load; max stress, max strain: largest s/strength = 1 (strain that stress makes, its
              allowable strength/modulus); Tsai-Hill (s1/X)^2 - s1 s2/X^2 + (s2/Y)^2 + (t/S)^2 = 1;
              Tsai-Wu s1^2/(Xt Xc) + s2^2/(Yt Yc) + (t/S)^2 + 2 F12 s1 s2 + (1/Xt - 1/Xc) s1 + (1/Yt - 1/Yc) s2 = 1;
              Hashin: fibre (s1/Xt)^2 + (t/S)^2 = 1 or -s1 = Xc, matrix (s2/Y)^2 + (t/S)^2 = 1, with the shear strength
              across the fibres taken as Yc/2, so that the linear term of matrix compression falls away;
              Hashin-Rotem: the same, but fibre tension s1 = Xt
    Valid: plane stress; plies as they lie in a stack crack later than single ones tested across, which is left out
    Source: Kaw, Mechanics of Composite Materials, ch. 2 and 5 (from memory); Hashin 1980, Hashin and Rotem 1973 (from memory)
    """
    if criterion not in CRITERIA:
        raise RangeError(f'strength: criterion is "{criterion}", but must be one of {", ".join(CRITERIA)}.')
    strengths = ply_strengths(laminate.plies, criterion)
    stress = _stress(laminate, N, M)
    held = np.zeros(3) if delta_T is None and delta_C is None else _stress(laminate, np.zeros(3), None, delta_T, delta_C)
    if criterion == "max strain":
        stress, held = (_felt(laminate, one) for one in (stress, held + np.zeros_like(stress)))
    return StrengthRatios(*load_multipliers(criterion, stress, held, strengths[..., None], interaction))


@checked(N="N/m", M="N", delta_T="delta_K in -250..250", delta_C="1 in -0.5..0.5", interaction="1 in -0.99..0.99", returns=None)
def first_ply_failure(laminate, N, M=None, criterion="max stress", delta_T=None, delta_C=None, interaction=-0.5):
    """Load multiplier at which the first ply of a laminate reaches its strength.

    laminate     a Laminate whose plies carry xt, xc, yt, yc and s12
    N            [N/m]  in-plane loads per width (Nx, Ny, Nxy), shape (3,)
    M            [N]    moments per width (Mx, My, Mxy), shape (3,); left out, none
    criterion    as for strength_ratios
    delta_T      [delta_K]    change of temperature since the plies were free of stress; left out, none
    delta_C      [1]    change of moisture, as a share of the ply's mass; left out, none
    interaction  [1]    of Tsai-Wu, as for strength_ratios
    Returns a FirstPlyFailure. Loads people depend on want tested strengths, a safety factor and a
    licensed designer: this is a comparison figure, not approval.
    Raises RangeError for an unknown criterion or no load at all, UnitError for a missing strength.
    Relation: the least of strength_ratios
    Source: as strength_ratios
    """
    if not np.any(N) and not np.any(0 if M is None else M):
        raise RangeError("first_ply_failure: N and M are all nought, so nothing fails; give at least one load.")
    if np.shape(N) != (3,):
        raise RangeError(f"first_ply_failure: N has shape {np.shape(N)}, but must be three numbers (x, y, xy); "
                         "for many loads use strength_ratios.")
    multipliers, modes = strength_ratios.si(laminate, N, M, criterion, delta_T, delta_C, interaction)
    ply, face = (int(index) for index in np.unravel_index(np.argmin(multipliers), multipliers.shape))
    least, mode = float(multipliers[ply, face]), MODES[modes[ply, face]]
    words = (f"ply {ply + 1} of {len(laminate.plies)} from outside ({laminate.plies[ply].name} at "
             f"{laminate.angles[ply].m_as('deg'):.3g} degrees) fails first, at its {('outer', 'inner')[face]} face in {mode}, "
             f"at {least:.3g} times the load")
    return FirstPlyFailure(least, ply, face, mode, multipliers, words)


def ply_strengths(plies, criterion):
    """Strengths of plies [Pa], shape (5, plies), in the order of STRENGTHS; UnitError naming what is missing."""
    lacking = {ply.name: [name for name in STRENGTHS if getattr(ply.si, name) is None] for ply in plies}
    told = [f"ply {ply} has no {', '.join(names)}" for ply, names in lacking.items() if names]
    if told:
        raise UnitError(f'criterion "{criterion}" needs {", ".join(STRENGTHS)} of every ply: {"; ".join(told)}. '
                        "Give them when making the ply, from tests.")
    return np.array([[getattr(ply.si, name) for ply in plies] for name in STRENGTHS], dtype=float)


def _stress(laminate, N, M, delta_T=None, delta_C=None):
    """Stress in the plies' own axes (..., plies, 2, 3); many loads are summed up from six of one newton."""
    respond = type(laminate).response.si
    many = {name: value for name, value in (("N", N), ("M", M)) if np.ndim(value) > 1}
    if not many:
        return respond(laminate, N, M, delta_T, delta_C).ply_stress.magnitude
    for name, value in many.items():
        if np.shape(value)[1:] != (3,):
            raise RangeError(f"strength_ratios: {name} has shape {np.shape(value)}, but must be (3,) or (loads, 3).")
    loads = [np.zeros(3) if value is None else value for value in (N, M)]
    try:
        loads = np.concatenate(np.broadcast_arrays(*loads), axis=-1)
    except ValueError:
        raise RangeError(f"strength_ratios: N has shape {np.shape(N)} and M {np.shape(M)}; give as many of one as of the other.") from None
    unit = np.stack([respond(laminate, one[:3], one[3:]).ply_stress.magnitude for one in np.eye(6)])
    return np.tensordot(loads, unit, axes=1)


def _felt(laminate, stress):
    """Modulus times the strain that stress makes, along each axis: its allowable is then the strength itself."""
    e1, e2, nu12 = (np.array([getattr(ply.si, name) for ply in laminate.plies])[:, None] for name in ("e1", "e2", "nu12"))
    s1, s2, shear = np.moveaxis(stress, -1, 0)
    return np.stack([s1 - nu12 * s2, s2 - nu12 * e2 / e1 * s1, shear], axis=-1)
