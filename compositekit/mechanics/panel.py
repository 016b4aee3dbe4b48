"""Simply supported rectangular panels under pressure or a patch load, with the core's shear counted.

x runs along ``length``, y along ``width``. The edges stay flat, may turn, and may not slip along
themselves ("hard" support): edges that can slip sag 13 % more on our reference panel (SW-35).
A double sine series gives deflection and moments; shear forces come from a single one, since the double
one converges too slowly at an edge. Deflection is coefficient/rigidity, so a sweep over core
thickness costs one series. The 100 by 100 terms are good to 1 in 10 000 for even pressure up to 5:1 and to
1 in 200 for a patch a fiftieth of the panel.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError
from ..units import Q_, checked

_ODD = np.arange(1, 200, 2)        # only odd half-waves answer a load in the middle
_MANY_ODD = np.arange(1, 2000, 2)  # for the single series


class PatchCoefficients(NamedTuple):
    """What a unit pressure on a central patch does at the centre, shaped like the sizes put in.

    Deflection is bending/D + shear/S; curve_x and curve_y are -D w,xx and -D w,yy of the bending part.
    """

    bending: np.ndarray
    shear: np.ndarray
    curve_x: np.ndarray
    curve_y: np.ndarray


def _waves(length, width, patch_length, patch_width):
    """Wave numbers along x and y and the load's amplitudes, terms on the last two axes."""
    a, b, u, v = (np.asarray(value, dtype=float)[..., None] for value in (length, width, patch_length, patch_width))
    along, across = np.pi * _ODD / a, np.pi * _ODD / b
    # the load's sin(m pi/2) times the centre's is 1 for every odd m, so both are left out
    load_x, load_y = (4 / (np.pi * _ODD) * np.sin(wave * size / 2) for wave, size in ((along, u), (across, v)))
    return along[..., :, None], across[..., None, :], load_x[..., :, None] * load_y[..., None, :]


def patch_coefficients(length, width, patch_length, patch_width, across=1.0, twist=1.0):
    """PatchCoefficients by Navier's series for D11 = 1, SI floats or arrays in and out.

    ``across`` is D22/D11 and ``twist`` (D12 + 2 D66)/D11, both 1 for a panel alike every way.
    """
    wave_x, wave_y, load = _waves(length, width, patch_length, patch_width)
    wave_x, wave_y = wave_x**2, wave_y**2
    across, twist = (np.asarray(value, dtype=float)[..., None, None] for value in (across, twist))
    shear = load / (wave_x + wave_y)
    bending = load / (wave_x * (wave_x + 2 * twist * wave_y) + across * wave_y**2)
    return PatchCoefficients(*(terms.sum((-2, -1)) for terms in (bending, shear, bending * wave_x, bending * wave_y)))


def edge_shear(length, width, patch_length, patch_width, across=1.0, twist=1.0, start=None):
    """Shear force along ``length`` for a unit pressure, at the middle of the patch's edge ``start`` from the panel's.

    Left out, the patch lies in the middle; a patch over the whole panel gives the shear at the panel's own edge.
    The series over x is summed exactly, term by term in y: the mean slope of two membranes w'' = r^2 w - q, where r^2
    are the roots of D11 s^2 - 2 (D12 + 2 D66) k^2 s + D22 k^4 = 0, a pair of conjugates for a panel soft in twist.
    """
    a, b, u, v = (np.asarray(value, dtype=float)[..., None] for value in (length, width, patch_length, patch_width))
    start = (a - u) / 2 if start is None else np.asarray(start, dtype=float)[..., None]
    wave = np.pi * _MANY_ODD / b
    split = np.sqrt(complex(twist**2 - across))
    roots = [wave * np.sqrt(twist + sign * split) for sign in ((1, -1) if split.real else (1,))]   # conjugates give the same real part
    beyond = a - start - u
    slope = 0.0
    for root in roots:
        near, far = 1 + np.exp(-2 * root * (a - start)), np.exp(-root * u) * (1 + np.exp(-2 * root * beyond))
        slope = slope + ((1 + np.exp(-2 * root * start)) * (near - far) / (1 - np.exp(-2 * root * a)) / root).real / 2
    slope = slope / len(roots)
    return (4 / (np.pi * _MANY_ODD) * np.sin(wave * v / 2) * slope).sum(-1)


def _deflection(plate_rigidity, shear_rigidity, pressure, length, width, patch_length, patch_width):
    unit = patch_coefficients(length, width, patch_length, patch_width)
    return pressure * (unit.bending / plate_rigidity + unit.shear / shear_rigidity)


def _peaks(pressure, poisson, length, width, patch_length, patch_width):
    unit = patch_coefficients(length, width, patch_length, patch_width)
    return (pressure * (unit.curve_x + poisson * unit.curve_y), pressure * (unit.curve_y + poisson * unit.curve_x),
            pressure * edge_shear(length, width, patch_length, patch_width),
            pressure * edge_shear(width, length, patch_width, patch_length))


@checked(plate_rigidity="N*m > 0", shear_rigidity="N/m > 0", length="m > 0", width="m > 0", pressure="Pa",
         returns="m")
def panel_deflection(plate_rigidity, shear_rigidity, length, width, pressure):
    """Deflection in the middle of a supported panel under an even pressure.

    plate_rigidity  [N*m]  bending rigidity of the wide panel per width
    shear_rigidity  [N/m]  shear rigidity per width; beam.RIGID_IN_SHEAR for a solid laminate
    length          [m]    size along x
    width           [m]    size along y
    pressure        [Pa]   even pressure
    Returns the deflection [m].
    Raises UnitError, RangeError.
    Relation: w = sum q_mn/(D k^4) (1 + D k^2/S), k^2 = (m pi/a)^2 + (n pi/b)^2
    Valid: length/width from 1/20 to 20, deflection below about half the thickness
    Source: Navier's series; Roark Table 11.4 case 1a (read); shear part T&W-K Art. 30 (read second-hand)
    """
    return _deflection(plate_rigidity, shear_rigidity, pressure, length, width, length, width)


@checked(length="m > 0", width="m > 0", pressure="Pa", poisson="1 in -0.99..0.99", returns=("N", "N", "N/m", "N/m"))
def panel_stresses(length, width, pressure, poisson=0.3):
    """Largest moments and shear forces in a supported panel under an even pressure.

    length    [m]   size along x
    width     [m]   size along y
    pressure  [Pa]  even pressure
    poisson   [1]   Poisson ratio of the skins
    Returns moments per width Mx, My in the middle [N], and shear forces per width Qx, Qy at the middle of the
    edges they cross [N/m]; feed them to facing_stress and core_shear_stress with a width of 1 m.
    Raises UnitError, RangeError.
    Relation: Mx = D (w,xx + nu w,yy) of the bending part, sign turned; Q = grad((Mx + My)/(1 + nu))
    Valid: length/width from 1/20 to 20; the plain shear force, not the larger edge reaction
    Source: Navier's and Levy's series; Roark Table 11.4 case 1a (read)
    """
    return _peaks(pressure, poisson, length, width, length, width)


@checked(plate_rigidity="N*m > 0", shear_rigidity="N/m > 0", length="m > 0", width="m > 0", load="N",
         patch_length="m > 0", patch_width="m > 0", returns="m")
def patch_deflection(plate_rigidity, shear_rigidity, length, width, load, patch_length, patch_width):
    """Deflection in the middle of a supported panel under a load on a central patch, such as a heel.

    plate_rigidity  [N*m]  bending rigidity of the wide panel per width
    shear_rigidity  [N/m]  shear rigidity per width; beam.RIGID_IN_SHEAR for a solid laminate
    length          [m]    size of the panel along x
    width           [m]    size of the panel along y
    load            [N]    whole load
    patch_length    [m]    size of the patch along x
    patch_width     [m]    size of the patch along y
    Returns the deflection [m].
    Raises RangeError when the patch is larger than the panel.
    Relation: as panel_deflection, with the patch's own amplitudes q_mn
    Valid: patch at least 1/50 of the panel each way; the skin's own pressing-in is not in it
    Source: Navier's series, Timoshenko & Woinowsky-Krieger Art. 28 (from memory)
    """
    _inside(length, width, patch_length, patch_width)
    pressure = load / (patch_length * patch_width)
    return _deflection(plate_rigidity, shear_rigidity, pressure, length, width, patch_length, patch_width)


@checked(length="m > 0", width="m > 0", load="N", patch_length="m > 0", patch_width="m > 0",
         poisson="1 in -0.99..0.99", returns=("N", "N", "N/m", "N/m"))
def patch_stresses(length, width, load, patch_length, patch_width, poisson=0.3):
    """Largest moments and shear forces in a supported panel under a load on a central patch.

    length        [m]  size of the panel along x
    width         [m]  size of the panel along y
    load          [N]  whole load
    patch_length  [m]  size of the patch along x
    patch_width   [m]  size of the patch along y
    poisson       [1]  Poisson ratio of the skins
    Returns moments per width Mx, My in the middle [N], and shear forces per width Qx, Qy at the middle of the
    patch's edges, where they are largest [N/m].
    Raises RangeError when the patch is larger than the panel.
    Relation: as panel_stresses, with the patch's own amplitudes q_mn
    Valid: patch at least 1/50 of the panel each way
    Source: Navier's series, Timoshenko & Woinowsky-Krieger Art. 28 (from memory)
    """
    _inside(length, width, patch_length, patch_width)
    return _peaks(load / (patch_length * patch_width), poisson, length, width, patch_length, patch_width)


def _inside(length, width, patch_length, patch_width):
    if np.any(patch_length > length) or np.any(patch_width > width):
        raise RangeError(f"the patch, {np.max(patch_length):g} by {np.max(patch_width):g} m, is larger than the "
                         f"panel, {np.min(length):g} by {np.min(width):g} m; make the patch smaller or turn it.")


def wave_response(d11, d12, d22, d66, stiff_x, stiff_y, along, across):
    """What a load sin(along x) sin(across y) of 1 Pa does: w; then turns and shear forces along x and y for w = 1. SI arrays.

    Relation: w = 1/(k' (L^-1 + S^-1)^-1 k), k = (along, across), L the bending stiffness of that wave.
    """
    l11, l22, l12 = d11 * along**2 + d66 * across**2, d66 * along**2 + d22 * across**2, (d12 + d66) * along * across
    whole = l11 * l22 - l12**2
    f11, f22, f12 = l22 / whole + 1 / stiff_x, l11 / whole + 1 / stiff_y, -l12 / whole
    flex = f11 * f22 - f12**2
    # shear force per unit deflection, from the two compliances in series
    force_x, force_y = (f22 * along - f12 * across) / flex, (f11 * across - f12 * along) / flex
    turn_x, turn_y = (l22 * force_x - l12 * force_y) / whole, (l11 * force_y - l12 * force_x) / whole
    return 1 / (along * force_x + across * force_y), turn_x, turn_y, force_x, force_y


class PanelResponse(NamedTuple):
    """Deflection [m] and moments per width [N] in the middle of a panel."""

    deflection: pint.Quantity
    moment_x: pint.Quantity
    moment_y: pint.Quantity


@checked(d11="N*m > 0", d12="N*m", d22="N*m > 0", d66="N*m > 0", shear_rigidity_x="N/m > 0",
         shear_rigidity_y="N/m > 0", length="m > 0", width="m > 0", pressure="Pa", returns=None)
def orthotropic_panel(d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, length, width, pressure):
    """Deflection and moments of a supported panel stiffer one way than the other, under an even pressure.

    d11, d12, d22, d66  [N*m]  bending stiffnesses per width, as from Laminate.D with D16 = D26 = 0
    shear_rigidity_x    [N/m]  shear rigidity per width for slopes along x
    shear_rigidity_y    [N/m]  the same along y
    length              [m]    size along x
    width               [m]    size along y
    pressure            [Pa]   even pressure
    Returns a PanelResponse.
    Raises RangeError when d12^2 is not below d11 d22.
    Relation: w_mn = q_mn/(k' (L^-1 + S^-1)^-1 k), k = (m pi/a, n pi/b), L the bending stiffness of that wave
    Valid: length/width from 1/20 to 20
    Source: first-order shear theory, Navier's series (own reference)
    """
    if np.any(np.square(d12) >= d11 * d22):
        raise RangeError(f"orthotropic_panel: d12 is {np.max(np.abs(d12)):.3g} N*m, but must stay below "
                         f"sqrt(d11 d22) = {np.min(np.sqrt(d11 * d22)):.3g} N*m.")
    terms = [np.asarray(value, dtype=float)[..., None, None]
             for value in (d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, pressure)]
    d11, d12, d22, d66, stiff_x, stiff_y, pressure = terms
    along, across, load = _waves(length, width, length, width)
    unit, turn_x, turn_y, _, _ = wave_response(d11, d12, d22, d66, stiff_x, stiff_y, along, across)
    w = pressure * load * unit
    sums = [(w * part).sum((-2, -1)) for part in (
        1.0, d11 * along * turn_x + d12 * across * turn_y, d12 * along * turn_x + d22 * across * turn_y)]
    return PanelResponse(Q_(sums[0], "m"), Q_(sums[1], "N"), Q_(sums[2], "N"))
