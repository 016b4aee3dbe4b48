"""The loads of the brief on one zone, ready to put on a panel: shared by skin sizing and core selection.

Every panel is taken as flat, with edges that are held down but free to turn, its length along the plies' 0 degrees.
Curvature and built-in edges would only help, so they are left out. SI floats and arrays inside.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..mechanics.panel import edge_shear, patch_coefficients
from ..units import say
from .panel_stiffness import Ratios

SMALLEST_PATCH = 1 / 50   # of the panel, what the series of mechanics.panel is good for
CLEAR = 1 / 2             # of the patch's side, left between it and the edge: own judgement, nearer the support takes it
LARGER = 1.05             # of its zone, what a loaded panel may measure: a girth and a chord are not quite the same


class UnitLoad(NamedTuple):
    """What one newton does to a panel: deflection = W (bending/D11 + shear/S); moments and shear forces per width."""

    bending: float
    shear: float
    moment_x: float
    moment_y: float
    shear_x: float
    shear_y: float


@dataclass(frozen=True)
class ZoneLoad:
    """One load of the brief, ready to use, SI.

    name, words     what the brief calls it, and the load in words
    total           N, the whole load times its factor
    limit           m, the deflection allowed
    patch_pressure  Pa under the patch; None for a pressure all over
    sizes           m, panel along and across, then the loaded patch
    """

    name: str
    words: str
    total: float
    limit: float
    patch_pressure: float | None
    sizes: tuple[float, float, float, float]

    def unit(self, ratios) -> UnitLoad:
        """What one newton does to a panel with these Ratios."""
        return unit_load(*self.sizes, ratios)

    def moments(self, ratios):
        """Moments per width lengthwise and crosswise, in the middle [N]."""
        unit = self.unit(ratios)
        return self.total * unit.moment_x, self.total * unit.moment_y

    def shear_forces(self, ratios):
        """Largest shear forces per width lengthwise and crosswise [N/m]."""
        unit = self.unit(ratios)
        return self.total * unit.shear_x, self.total * unit.shear_y

    def deflection(self, ratios, plate_rigidity, shear_rigidity=np.inf):
        """Deflection in the middle [m]; without a shear rigidity its bending part only."""
        unit = self.unit(ratios)
        return self.total * (unit.bending / plate_rigidity + unit.shear / shear_rigidity)


def zone_loads(part, zone) -> tuple[ZoneLoad, ...]:
    """The loads of the brief on a zone. Raises PartFileError when there is none, RangeError for a patch off the panel."""
    loads = [load for load in part.brief.loads if load.zone == zone]
    if not loads:
        raise PartFileError(f'no load of the brief stands on zone "{zone}", so there is nothing to size it for; zones with '
                            f'a load are {", ".join(part.structural_zones)}. Add a load under brief.loads of the part file.')
    share = part.brief.deflection_share.m_as("")
    for load in loads:
        _fits(load, part.geometry.zones.get(zone))
    return tuple(_zone_load(load, share) for load in loads)


def _fits(load, zone):
    """Refuse a loaded panel larger than its zone: its figures would be absurd."""
    long, short = sorted((load.panel_length, load.panel_width), reverse=True)
    if zone is not None and (long > LARGER * zone.length or short > LARGER * zone.widest):
        raise PartFileError(f'load "{load.name}": its panel, {say(load.panel_length, "mm")} by {say(load.panel_width, "mm")}, is larger than '
                            f'zone "{load.zone}", {say(zone.length, "mm")} by {say(zone.widest, "mm")} at its widest. Give the panel '
                            "between supports, panel_length and panel_width, with their units.")


def _zone_load(load, share):
    length, width = load.panel_length.m_as("m"), load.panel_width.m_as("m")
    factor = load.factor.m_as("")
    panel = f"panel {say(load.panel_length, 'mm')} by {say(load.panel_width, 'mm')}"
    if load.force is not None:
        patch = load.patch.m_as("m")
        if patch < SMALLEST_PATCH * max(length, width):
            raise RangeError(f'load "{load.name}": the patch of {say(load.patch, "mm")} is less than a fiftieth of the panel; '
                             "the sum behind the deflection does not reach so fine. Give a larger patch.")
        total = factor * load.force.m_as("N")
        words = f"{say(load.force, 'N')} × {factor:.3g} on a patch of {say(load.patch, 'mm')}, {panel}"
        sides, pressure = (patch, patch), total / patch**2
    else:
        total = factor * load.pressure.m_as("Pa") * length * width
        words = f"{say(load.pressure, 'kPa')} × {factor:.3g} all over, {panel}"
        sides, pressure = (length, width), None
    if sides[0] > length or sides[1] > width:
        raise RangeError(f'load "{load.name}": the patch of {say(load.patch, "mm")} is larger than the panel; make the patch smaller.')
    return ZoneLoad(load.name, words, total, share * min(length, width), pressure, (length, width, *sides))


@functools.lru_cache(maxsize=256)
def unit_load(length, width, patch_length, patch_width, ratios: Ratios) -> UnitLoad:
    """What one newton on a patch does: sag and moments with it in the middle, shear there or near an edge, the larger.

    Near an edge it keeps CLEAR of its side from it, on the panel's mid-line; one as large as the panel is an even pressure. Relation: Mx = D11 kx + D12 ky, My = D12 kx + D22 ky of the series' curvatures.
    """
    d12, d22, _ = ratios
    sizes, area = (length, width, patch_length, patch_width), patch_length * patch_width
    unit = patch_coefficients(*sizes, d22, ratios.twist)
    shear_x = edge_shear(*sizes, d22, ratios.twist, _starts(length, patch_length)).max()
    shear_y = edge_shear(width, length, patch_width, patch_length, 1 / d22, ratios.twist / d22, _starts(width, patch_width)).max()
    found = (unit.bending, unit.shear, unit.curve_x + d12 * unit.curve_y, d12 * unit.curve_x + d22 * unit.curve_y, shear_x, shear_y)
    return UnitLoad(*(float(value) / area for value in found))


def _starts(size, patch):
    """Where the patch may begin: near the edge, or in the middle."""
    middle = (size - patch) / 2
    return np.unique([min(CLEAR * patch, middle), middle])
