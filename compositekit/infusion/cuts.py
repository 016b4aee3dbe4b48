"""Cuts in a core sheet: how much resin they hold and how well they carry it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..units import checked
from .channels import channel_permeability, groove_conductance, groove_storage

GROOVE, GROOVE_PITCH = 2e-3, 20e-3   # m; common practice, no source: 2 x 2 mm grooves every 20 mm on one face
HOLE, HOLE_PITCH = 2e-3, 20e-3       # m; common practice, no source: 2 mm holes on a 20 mm square
KERF, KERF_PITCH = 1e-3, 30e-3       # m; common practice, no source: 1 mm saw cuts into 30 mm squares, full depth


@dataclass(frozen=True)
class Cut:
    """What a cut adds per area of panel, for a core of one thickness.

    words        what it is, for a page
    storage      metres: volume of the cuts per area of panel
    conductance  m^3: permeability times depth per width of panel, along the cuts
    conductance_across  m^3: the same square to them; as along where they run both ways
    depth        metres: how deep the cuts are that carry
    """

    words: str
    storage: float
    conductance: float
    conductance_across: float = 0.0
    depth: float = 0.0


@checked(core_thickness="m > 0")
def core_cut(name, core_thickness):
    """The cut pattern of that name in a core sheet.

    name            "plain", "grooved", "perforated" or "slit"
    core_thickness  [m]  thickness of the sheet
    Returns a Cut with SI floats. Raises RangeError for an unknown name or a groove deeper than the sheet.
    Relation: grooves w d/p; holes pi/4 D^2/p^2 times the thickness; slits both ways 2 k/p times the thickness
    Valid: open cuts; on a flat panel slits close up and hold less, on a hollow curve they gape and hold more
    Source: geometry (own calculation); the sizes are common practice, no source
    """
    if name == "plain":
        return Cut("plain sheet", 0.0, 0.0)
    if name == "grooved":
        if core_thickness <= GROOVE:
            raise RangeError(f"a groove {GROOVE * 1e3:g} mm deep does not fit a core of {core_thickness * 1e3:g} mm; choose another cut.")
        return Cut("2 x 2 mm grooves every 20 mm, one face", groove_storage.si(GROOVE, GROOVE, GROOVE_PITCH),
                   groove_conductance.si(GROOVE, GROOVE, GROOVE_PITCH), 0.0, GROOVE)
    if name == "perforated":
        return Cut("2 mm holes every 20 mm", np.pi / 4 * HOLE**2 / HOLE_PITCH**2 * core_thickness, 0.0)
    if name == "slit":
        channel = channel_permeability.si(KERF, core_thickness) * KERF * core_thickness / KERF_PITCH
        return Cut("1 mm slits into 30 mm squares, full depth", 2 * KERF / KERF_PITCH * core_thickness, channel, channel, core_thickness)
    raise RangeError(f'the cut "{name}" is not known; choose plain, grooved, perforated or slit.')
