"""The loads of the brief on one zone, ready to put on a panel: shared by skin sizing and core selection.

Every panel is taken as flat, with edges that are held down but free to turn, and as soft every way as it is along its
softer way. Curvature and built-in edges would only help, so they are left out. SI floats and arrays inside.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..mechanics.panel import patch_coefficients, patch_stresses
from ..units import say

SMALLEST_PATCH = 1 / 50   # of the panel, what the series of mechanics.panel is good for


class UnitLoad(NamedTuple):
    """What one newton does to a panel: deflection = W (bending/D + shear/S), moment per width = W (mx + nu my)."""

    bending: float
    shear: float
    moment_x: float
    moment_y: float
    shear_force: float


@dataclass(frozen=True)
class ZoneLoad:
    """One load of the brief, ready to use, SI.

    name, words     what the brief calls it, and the load in words
    total           N, the whole load times its factor
    limit           m, the deflection allowed
    patch_pressure  Pa under the patch; None for a pressure all over
    unit            what one newton does
    """

    name: str
    words: str
    total: float
    limit: float
    patch_pressure: float | None
    unit: UnitLoad

    def moment(self, poisson):
        """Largest moment per width [N]."""
        along, across = self.unit.moment_x, self.unit.moment_y
        return self.total * np.maximum(along + poisson * across, across + poisson * along)

    @property
    def shear_force(self):
        """Largest shear force per width [N/m]."""
        return self.total * self.unit.shear_force

    def deflection(self, plate_rigidity, shear_rigidity=None):
        """Deflection in the middle [m]; without a shear rigidity the panel is solid."""
        soft = 0.0 if shear_rigidity is None else self.unit.shear / shear_rigidity
        return self.total * (self.unit.bending / plate_rigidity + soft)


def zone_loads(part, zone) -> tuple[ZoneLoad, ...]:
    """The loads of the brief on a zone. Raises PartFileError when there is none, RangeError for a patch off the panel."""
    loads = [load for load in part.brief.loads if load.zone == zone]
    if not loads:
        raise PartFileError(f'no load of the brief stands on zone "{zone}", so there is nothing to size it for; zones with '
                            f'a load are {", ".join(part.structural_zones)}. Add a load under brief.loads of the part file.')
    share = part.brief.deflection_share.m_as("")
    if share <= 0:
        raise PartFileError('brief.deflection_share is nought: no panel is that stiff. Write the sag allowed, like "1/100".')
    return tuple(_zone_load(load, share) for load in loads)


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
    try:
        unit = unit_load(length, width, *sides)
    except RangeError as err:
        raise RangeError(f'load "{load.name}": {err}') from err
    return ZoneLoad(load.name, words, total, share * min(length, width), pressure, unit)


@functools.lru_cache(maxsize=256)
def unit_load(length, width, patch_length, patch_width) -> UnitLoad:
    """What one newton on a central patch does; a patch as large as the panel is an even pressure."""
    moment_x, moment_y, shear_x, shear_y = patch_stresses.si(length, width, 1.0, patch_length, patch_width, 0.0)
    unit = patch_coefficients(length, width, patch_length, patch_width)
    area = patch_length * patch_width
    return UnitLoad(*map(float, (unit.bending / area, unit.shear / area, moment_x, moment_y, max(shear_x, shear_y))))
