"""First natural frequency and buckling load of a panel with supported or clamped edges, the core's shear counted.

The same Ritz functions as panel_edges; loads and masses work on w alone, the inertia of the turning section is left out.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import eigh

from ..errors import RangeError
from ..units import checked
from .panel_edges import THIN, blocks, stiffness
from .panel_peaks import clamped_edges, plate_of

LONGEST = 5   # times as long as wide, for buckling: supported, 0.04 % high at 5:1, 1.3 % at 10:1, 18 % at 20:1 (own reference)


def _largest(stiffnesses, length, width, edges, weigh):
    """Largest mu of G u = mu K u over every symmetry, for D11 = 1; ``weigh(block)`` gives G."""
    d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y = stiffnesses
    if any(np.size(value) > 1 for value in (*stiffnesses, length, width)):
        raise RangeError("frequency and buckling are worked out one panel at a time; call once for each.")
    plate = plate_of(d11, d12, d22, d66, 0.0, 0.0, shear_rigidity_x, shear_rigidity_y)
    softness = max(d11 / (shear_rigidity_x * length * width), THIN)
    found = []
    for block in blocks(length, width, clamped_edges(edges, length, width)):
        bending, shear = stiffness(block, plate)
        whole = bending + shear / (softness * length * width)
        last = len(whole) - 1
        found.append(eigh(weigh(block), whole, eigvals_only=True, subset_by_index=[last, last])[0])
    return max(found)


@checked(d11="N*m > 0", d12="N*m", d22="N*m > 0", d66="N*m > 0", shear_rigidity_x="N/m > 0", shear_rigidity_y="N/m > 0",
         length="m > 0", width="m > 0", areal_mass="kg/m^2 > 0", returns="Hz")
def panel_frequency(d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, length, width, areal_mass, edges="supported"):
    """First natural frequency of a panel.

    d11, d12, d22, d66  [N*m]     bending stiffnesses per width, as from Laminate.D with D16 = D26 = 0
    shear_rigidity_x    [N/m]     shear rigidity per width for slopes along x
    shear_rigidity_y    [N/m]     the same along y
    length              [m]       size along x
    width               [m]       size along y
    areal_mass          [kg/m^2]  mass per area, with what lies fixed on it
    edges               one of EDGES of panel_peaks, or four words for x = 0, x = length, y = 0, y = width
    Returns the frequency [Hz].
    Raises RangeError.
    Relation: K u = (2 pi f)^2 M u; of a thin supported panel alike every way f = pi/2 (1/a^2 + 1/b^2) sqrt(D/m)
    Valid: length/width from 1/3 to 3; the section's own turning inertia and the air's mass are left out
    Source: first-order shear theory, Ritz's method (own reference); Leissa, Vibration of Plates (from memory)
    """
    def mass(block):
        x, y, weight = block.quadrature()
        w = block.operator(0, x, y)
        return (w.T * weight) @ w
    mu = _largest((d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y), length, width, edges, mass)
    return np.sqrt(d11 / (mu * areal_mass)) / (2 * np.pi)


def _short_enough(d11, d22, length, width, load_ratio):
    """More waves than these functions can follow would answer on the unsafe side."""
    stretched = length / width * (d22 / d11) ** 0.25
    for way, ratio in (("length", stretched), ("width", 1 / stretched if np.any(load_ratio > 0) else 0.0)):
        if np.any(ratio > LONGEST * (1 + 1e-9)):
            raise RangeError(f"panel_buckling: the panel's {way}, as its bending stiffnesses stretch it, is {np.max(ratio):.3g} times "
                             f"its other side, more than {LONGEST:g}; it buckles in more waves than are followed. Take it as a strip: "
                             f"one of {LONGEST:g}:1, pushed alike, buckles at nearly the same push.")


@checked(d11="N*m > 0", d12="N*m", d22="N*m > 0", d66="N*m > 0", shear_rigidity_x="N/m > 0", shear_rigidity_y="N/m > 0",
         length="m > 0", width="m > 0", load_ratio="1 >= 0", returns="N/m")
def panel_buckling(d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y, length, width, edges="supported", load_ratio=0.0):
    """Even push along x, per width, at which a panel buckles; along y it is pushed ``load_ratio`` times as hard.

    d11, d12, d22, d66  [N*m]  bending stiffnesses per width, as from Laminate.D with D16 = D26 = 0
    shear_rigidity_x    [N/m]  shear rigidity per width for slopes along x
    shear_rigidity_y    [N/m]  the same along y
    length              [m]    size along x
    width               [m]    size along y
    edges               one of EDGES of panel_peaks, or four words for x = 0, x = length, y = 0, y = width
    load_ratio          [1]    push along y over push along x
    Returns the push along x [N/m].
    Raises RangeError for a panel longer than 5 of its widths along the push, as bending stretches it (length/width (D22/D11)^(1/4)).
    Relation: K u = N G u; a thin supported square k pi^2 D/b^2 with k = 4; never above the shear rigidity (crimping)
    Valid: to 5:1, where a supported one is 0.1 % high at most; the panel flat, the push even; waviness, which lowers it, is not counted
    Source: first-order shear theory, Ritz's method (own reference); Timoshenko & Gere, Elastic Stability ch. 9 (from memory)
    """
    _short_enough(d11, d22, length, width, load_ratio)

    def push(block):
        x, y, weight = block.quadrature()
        along, across = block.operator(0, x, y, along=1), block.operator(0, x, y, across=1)
        return (along.T * weight) @ along + load_ratio * (across.T * weight) @ across
    return d11 / _largest((d11, d12, d22, d66, shear_rigidity_x, shear_rigidity_y), length, width, edges, push)
