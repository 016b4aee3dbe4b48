"""The loads of the brief on one zone, ready to put on a panel: shared by skin sizing and core selection.

Every panel is taken as flat, its length along the plies' 0 degrees; curvature would only help, so it is left out. Its edges
are held down and, unless the load says otherwise, free to turn: clamped ones sag less, but bear the largest moment themselves.
SI floats and arrays inside.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..errors import PartFileError, RangeError
from ..mechanics.panel import edge_shear, patch_coefficients
from ..mechanics.panel_edges import Plate
from ..mechanics.panel_peaks import clamped_edges, peak_table
from ..mechanics.panel_supported import starts, supported_table
from ..units import say
from .panel_stiffness import Ratios

SMALLEST_PATCH = 1 / 50   # of the panel, what the series of mechanics.panel is good for
SOFTEST = 1e-6            # N/m beside 1 N*m: so soft in shear that bending counts for nothing
ALIKE = 0.05              # how far D22/D11 may be from 1, as a ratio, for bending and core shear to be worked out apart: good to 1 % then
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
    edges           one of EDGES of mechanics.panel_peaks
    """

    name: str
    words: str
    total: float
    limit: float
    patch_pressure: float | None
    sizes: tuple[float, float, float, float]
    edges: str = "supported"

    def apart(self, ratios, shear_rigidity=np.inf) -> bool:
        """Whether bending and core shear may be worked out apart: exactly where nothing shears or the panel is alike both ways.

        A supported panel of unlike ways on a soft core sags and bends more than the two apart tell, by half and more.
        """
        return self.edges == "supported" and (abs(np.log(ratios.d22)) < np.log1p(ALIKE) or bool(np.all(np.isinf(shear_rigidity))))

    def unit(self, ratios) -> UnitLoad:
        """What one newton does to a panel with these Ratios; unlike ways or a clamped edge give the moments and shears of one rigid in shear."""
        if self.apart(ratios):
            return unit_load(*self.sizes, ratios)
        thin, soft = (self._peaks(ratios, *rigidities) for rigidities in ((1.0, np.inf), (1.0, SOFTEST)))
        return UnitLoad(*(float(value) for value in (thin[0], SOFTEST * soft[0], *thin[1:5])))

    def moments(self, panel):
        """Largest moments per width lengthwise and crosswise, as sizes [N]: in the middle, or at a clamped edge."""
        if self.apart(panel.ratios, panel.shear_rigidity):
            unit = self.unit(panel.ratios)
            return self.total * unit.moment_x, self.total * unit.moment_y
        _, moment_x, moment_y, *_ = self._peaks(panel.ratios, panel.d11, panel.shear_rigidity)
        return self.total * moment_x, self.total * moment_y

    def shear_forces(self, panel):
        """Largest shear forces per width lengthwise and crosswise [N/m]."""
        if self.apart(panel.ratios, panel.shear_rigidity):
            unit = self.unit(panel.ratios)
            return self.total * unit.shear_x, self.total * unit.shear_y
        _, _, _, shear_x, shear_y, *_ = self._peaks(panel.ratios, panel.d11, panel.shear_rigidity)
        return self.total * shear_x, self.total * shear_y

    def curvatures(self, panel):
        """Largest curvatures lengthwise, crosswise and in twist, as sizes [1/m]: both moments bend a panel either way.

        The twist is that of a corner, with a patch in the middle or near it. An edge clamped at one side leaves two corners twisted: the
        supported panel's twist is taken, a little more than theirs; where every corner has a clamped edge there is none.
        """
        ratios, (length, width, *_), area = panel.ratios, self.sizes, self.sizes[2] * self.sizes[3]
        plate, softness = Plate(*ratios), panel.d11 / (np.asarray(panel.shear_rigidity) * length * width)
        if self.edges == "supported":
            peaks = supported_table(*self.sizes, plate).at(softness)
            bent = peaks.curve_x / area, peaks.curve_y / area
        else:
            *_, bent_x, bent_y = self._peaks(ratios, panel.d11, panel.shear_rigidity)
            bent = bent_x, bent_y
        x0, x1, y0, y1 = clamped_edges(self.edges, length, width)
        free = not ((x0 and x1) or (y0 and y1))
        twist = supported_table(*self.sizes, plate).at(softness).twist / area / ratios.d66 if free else 0.0 * softness
        return tuple(self.total * value / panel.d11 for value in (*bent, twist))

    def deflection(self, ratios, plate_rigidity, shear_rigidity=np.inf):
        """Largest deflection [m]; without a shear rigidity its bending part only."""
        if self.apart(ratios, shear_rigidity):
            unit = self.unit(ratios)
            return self.total * (unit.bending / plate_rigidity + unit.shear / shear_rigidity)
        return self.total * self._peaks(ratios, plate_rigidity, shear_rigidity)[0]

    def _peaks(self, ratios, plate_rigidity, shear_rigidity):
        """Largest w, Mx, My, Qx, Qy and curvatures times D11 for one newton, bending and shear together: sag with the patch in the middle, the rest with
        it there or near an edge, the larger."""
        length, width, *patch = self.sizes
        softness = plate_rigidity / (np.asarray(shear_rigidity) * length * width)
        plate = Plate(ratios.d12, ratios.d22, ratios.d66)
        if self.edges == "supported":
            peaks, area = supported_table(*self.sizes, plate).at(softness), patch[0] * patch[1]
            return tuple(value / area for value in (peaks.deflection / plate_rigidity, *peaks[1:5], *peaks[6:]))
        middle, *others = (peak_table(length, width, self.edges, plate, (*place, *patch)).at(softness) for place in patch_places(*self.sizes, self.edges))
        area = patch[0] * patch[1]
        return middle[0] / plate_rigidity / area, *(functools.reduce(np.maximum, values) / area for values in zip(middle[1:], *(o[1:] for o in others), strict=True))


def zone_loads(part, zone) -> tuple[ZoneLoad, ...]:
    """The loads of the brief on a zone. Raises PartFileError when there is none, RangeError for a patch off the panel."""
    loads = [load for load in part.brief.loads if load.zone == zone]
    if not loads:
        raise PartFileError(f'no load of the brief stands on zone "{zone}", so there is nothing to size it for; zones with '
                            f'a load are {", ".join(part.structural_zones)}. Add a load under brief.loads of the part file.')
    share = part.brief.deflection_share.m_as("")
    for load in loads:
        _fits(load, part.geometry.zones.get(zone), part.layup.get(zone))
    return tuple(_zone_load(load, share) for load in loads)


def _fits(load, zone, layup):
    """Refuse a loaded panel larger than its zone, or thinner across than through its core: its figures would be absurd."""
    core = None if layup is None else layup.core
    if core is not None and core.thickness >= min(load.panel_length, load.panel_width):
        raise RangeError(f'load "{load.name}": the core of zone "{load.zone}", {say(core.thickness, "mm")}, is as thick as the short side of its panel, '
                         f"{say(min(load.panel_length, load.panel_width), 'mm')}: that is a block, not a panel. Mend the unit of one of them.")
    long, short = sorted((load.panel_length, load.panel_width), reverse=True)
    if zone is not None and (long > LARGER * zone.length or short > LARGER * zone.widest):
        raise PartFileError(f'load "{load.name}": its panel, {say(load.panel_length, "mm")} by {say(load.panel_width, "mm")}, is larger than '
                            f'zone "{load.zone}", {say(zone.length, "mm")} by {say(zone.widest, "mm")} at its widest. Give the panel '
                            "between supports, panel_length and panel_width, with their units.")


def _zone_load(load, share):
    length, width = load.panel_length.m_as("m"), load.panel_width.m_as("m")
    factor = load.factor.m_as("")
    panel = f"panel {say(load.panel_length, 'mm')} by {say(load.panel_width, 'mm')}" + (f", {load.edges}" if load.edges else "")
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
    return ZoneLoad(load.name, words, total, share * min(length, width), pressure, (length, width, *sides), load.edges or "supported")


@functools.lru_cache(maxsize=256)
def unit_load(length, width, patch_length, patch_width, ratios: Ratios) -> UnitLoad:
    """What one newton on a patch does: sag and moments with it in the middle, shear there or near an edge, the larger.

    Near an edge it keeps half its side from it, on the panel's mid-line; one as large as the panel is an even pressure. Relation: Mx = D11 kx + D12 ky, My = D12 kx + D22 ky of the series' curvatures.
    """
    d12, d22, _ = ratios
    sizes, area = (length, width, patch_length, patch_width), patch_length * patch_width
    unit = patch_coefficients(*sizes, d22, ratios.twist)
    shear_x = edge_shear(*sizes, d22, ratios.twist, starts(length, patch_length)).max()
    shear_y = edge_shear(width, length, patch_width, patch_length, 1 / d22, ratios.twist / d22, starts(width, patch_width)).max()
    found = (unit.bending, unit.shear, unit.curve_x + d12 * unit.curve_y, d12 * unit.curve_x + d22 * unit.curve_y, shear_x, shear_y)
    return UnitLoad(*(float(value) / area for value in found))


def patch_places(length, width, patch_length, patch_width, edges):
    """Where the middle of a patch is tried beside a clamped edge: in the middle of the panel first, then near each edge that is not like one tried."""
    x0, x1, y0, y1 = clamped_edges(edges, length, width)
    tried = [(length / 2, width / 2)]
    for way, size, patch, ends in ((0, length, patch_length, (x0, x1)), (1, width, patch_width, (y0, y1))):
        near = starts(size, patch)[0] + patch / 2
        if near < size / 2 * (1 - 1e-9):
            for place in (near, size - near)[:1 + (ends[0] != ends[1])]:
                tried.append((place, width / 2) if way == 0 else (length / 2, place))
    return tried
