"""How stiff a laid-up panel is along its plies' 0 degrees, across them, and in twist: what its loads are put on.

0 degrees runs along the length of the loaded panel. The skins' ratios D12, D22 and D66 to D11 hardly change with the
core, so they are taken from the two skins alone: the core's own small stiffness in its plane is shared out as theirs is.
SI floats; the sandwiches may hold arrays over core thickness or core.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from ..mechanics.sandwich import Sandwich, core_shear_stress, facing_stress, layer_section

WAYS = ("lengthwise", "crosswise")


class Ratios(NamedTuple):
    """Bending stiffnesses D12, D22 and D66 of a panel over its D11."""

    d12: float
    d22: float
    d66: float

    @property
    def twist(self):
        """(D12 + 2 D66)/D11: 1 for a panel alike every way, about half of it for a 0/90 cloth."""
        return self.d12 + 2 * self.d66


def ratios(constants, thicknesses) -> Ratios:
    """Of skins some way apart that share a moment, from their ElasticConstants; of one laminate, from its flexural ones.

    Relation: D = d^2 (A1^-1 + A2^-1)^-1 for two thin skins; pull that shears a skin is left out, with the softer E kept
    """
    ex, ey, gxy, nuxy = (np.array([getattr(one, name).magnitude for one in constants]) for name in ("ex", "ey", "gxy", "nuxy"))
    t = np.array(thicknesses)
    s11, s22, s12, s66 = (float(np.sum(value / t)) for value in (1 / ex, 1 / ey, -nuxy / ex, 1 / gxy))
    return Ratios(*(_digits(value) for value in (-s12 / s22, s11 / s22, (s11 * s22 - s12**2) / (s22 * s66))))


def _digits(value):
    return float(f"{value:.11e}")   # skins alike to rounding find the same table of peaks, one at a time or many at once


@dataclass(frozen=True, eq=False)
class SandwichPanel:
    """A panel with a core: its sandwich seen along 0 degrees and across them."""

    along: Sandwich
    across: Sandwich
    ratios: Ratios

    @functools.cached_property
    def d11(self):
        """Bending rigidity per width along 0 degrees [N*m]; along and across each count for half, so neither is favoured."""
        return (self.along.plate_rigidity.magnitude + self.across.plate_rigidity.magnitude) / (1 + self.ratios.d22)

    @functools.cached_property
    def shear_rigidity(self):
        """Per width [N/m]."""
        return self.along.shear_rigidity.magnitude

    @property
    def moduli(self):
        """Modulus of each skin, by way and skin [Pa]."""
        return tuple((one.si.outer_skin_modulus, one.si.inner_skin_modulus) for one in (self.along, self.across))

    def skin_stress(self, moments):
        """Stress in the face of each skin under the moments per width each way, by way and skin [Pa], without sign."""
        return tuple(tuple(np.abs(stress) for stress in facing_stress.si(one, moment, 1.0))
                     for one, moment in zip((self.along, self.across), moments, strict=True))

    def strains(self, curvatures):
        """Strain in the face of each skin of the curvatures lengthwise, crosswise and in twist, by those three and skin, without sign."""
        heights = [self._heights(one) for one in (self.along, self.across)]
        heights.append(tuple(np.maximum(*pair) for pair in zip(*heights, strict=True)))
        return tuple(tuple(height * curve for height in both) for both, curve in zip(heights, curvatures, strict=True))

    @staticmethod
    def _heights(one):
        """From the neutral plane to either face [m]."""
        moduli, thicknesses = one.layers(plate=True)
        neutral, _ = layer_section(moduli, thicknesses)
        return neutral, sum(thicknesses) - neutral

    def core_shear(self, shear_forces):
        """Largest stress in the core under the shear forces per width each way [Pa]."""
        return np.maximum(*(core_shear_stress.si(one, force, 1.0)
                            for one, force in zip((self.along, self.across), shear_forces, strict=True)))

    def on(self, **core) -> SandwichPanel:
        """The same skins on another core: fields of Sandwich, numbers or arrays."""
        along, across = (Sandwich.from_si(**{**vars(one.si), "areal_mass": None, **core}) for one in (self.along, self.across))
        return replace(self, along=along, across=across)


@dataclass(frozen=True, eq=False)
class SolidPanel:
    """A laminate without a core: bending only."""

    thickness: float
    bending_moduli: tuple[float, float]
    ratios: Ratios
    d11: float
    shear_rigidity: float = np.inf

    @property
    def moduli(self):
        """Modulus in bending, by way, of the one skin [Pa]."""
        return tuple((modulus,) for modulus in self.bending_moduli)

    def skin_stress(self, moments):
        """Stress 6 M/t^2 in the faces, by way, in the one skin [Pa]."""
        return tuple((6 * abs(moment) / self.thickness**2,) for moment in moments)

    def strains(self, curvatures):
        """Strain in the faces of the curvatures lengthwise, crosswise and in twist, by those three, in the one skin."""
        return tuple((self.thickness / 2 * curve,) for curve in curvatures)


def sandwich_panel(outer, inner, core_thickness, core_modulus, core_shear_modulus) -> SandwichPanel:
    """Two Laminates on a core, SI."""
    along, across = (Sandwich.from_laminates.si(Sandwich, outer, inner, core_thickness, core_modulus, core_shear_modulus, across=way)
                     for way in (False, True))
    constants = [skin.engineering_constants() for skin in (outer, inner)]
    return SandwichPanel(along, across, ratios(constants, [skin.si.thickness for skin in (outer, inner)]))


def solid_panel(laminate) -> SolidPanel:
    """One Laminate without a core, as soft as it bends when free to stretch."""
    constants, thickness = laminate.flexural_constants(), laminate.si.thickness
    ex, ey, _, nuxy = (value.magnitude for value in constants)
    return SolidPanel(thickness, (ex, ey), ratios([constants], [thickness]), ex * thickness**3 / 12 / (1 - nuxy**2 * ey / ex))
