"""Measured beside expected: each figure of a trial panel, its ratio to the catalogue's, and what that means."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

import numpy as np

from ..errors import CompositeKitError
from ..units import Q_
from .skin_sizing import skin_sizing
from .trial_plan import strip_rigidities

NEAR = (0.9, 1.1)         # own judgement: a weight or a size within a tenth of the calculated one
STIFFNESS = (1.0, 1.25)   # no less than the panel was sized with; above, own judgement: strips scatter, the core figure is cautious
SIZED = "the stiffness the panel was sized with"
BENDING, SHEAR = "bending stiffness per width", "core shear stiffness per width"
SINGLE_LOAD = "one load on a short span reads a core some 10 % stiff in shear (SW-12, own reference)"
SAME_LAYUP = 0.10         # own judgement: dry weights further off than this are another layup


@dataclass(frozen=True)
class Compared:
    """One figure as measured and as expected, both in ``unit``; low and high bound what the catalogue calls usual."""

    what: str
    measured: Q_
    expected: Q_
    low: Q_
    high: Q_
    unit: str
    bounds: str
    more_means: str
    less_means: str

    @property
    def ratio(self) -> float:
        return (self.measured / self.expected).m_as("")

    @property
    def inside(self) -> bool:
        return bool(self.low <= self.measured <= self.high)

    @property
    def words(self) -> str:
        """What the ratio says."""
        if self.inside:
            return f"as expected ({self.bounds})"
        more = self.measured > self.high
        return f"{'MORE' if more else 'LESS'} than expected ({self.bounds}): {self.more_means if more else self.less_means}"


def compare(build, catalogue, weights, front, strips) -> tuple[Compared, ...]:
    """Every figure the trial gives beside the same figure of the layup that was tried."""
    rows = []
    if weights.fibre_fraction is not None:
        rows.append(_fibre_fraction(build, catalogue, weights))
    rows += [
        _near("panel mass per area", weights.areal_mass, build.areal_mass, "kg/m^2", "heavier than calculated: more resin in faces or skins",
              "lighter than calculated: look for dry places"),
        _near("resin in the panel per area", weights.resin_per_area, build.resin_per_area, "kg/m^2", "it drinks more: mix more",
              "it drinks less: look for dry places"),
    ]
    if strips:
        thickness = Q_(np.mean([strip.thickness for strip in strips]), "m")
        rows += [_near("thickness", thickness, build.thickness, "mm", "thicker: resin-rich skins or another core",
                       "thinner: another core, or a core crushed by the bag"),
                 _near("density of the panel", weights.areal_mass / thickness, build.bulk_density, "kg/m^3", "denser: floats less well",
                       "lighter than calculated")]
    if front is not None:
        low, typical, high = (Q_(value, "m^2") for value in front.expected)
        rows.append(Compared("permeability of the cloth", front.fit.permeability, typical, low, high, "m^2", "range of the catalogue's cloths",
                             "resin runs faster than the catalogue says, or it is thinner than its sheet",
                             "resin runs slower than the catalogue says, or it is thicker than its sheet"))
        slope = Q_(front.expected_slope, "m^2/s")
        rows.append(Compared("front, distance squared per time, as if resin stayed fresh", Q_(front.slope, "m^2/s"), slope, 0.67 * slope, 1.5 * slope, "cm^2/min",
                             "within one and a half of the flow page's sum, own judgement", "the flow page is cautious for this stack",
                             "the flow page promises too much: shorten the runs"))
    if strips:
        bending, shear = strip_rigidities(build)
        rows.append(_stiff(BENDING, [s.flexural_rigidity for s in strips], Q_(bending, "N*m"), "N*m", "skins"))
        if shear is not None:
            rows.append(_stiff(SHEAR, [s.shear_rigidity for s in strips], Q_(shear, "N/m"), "kN/m", "core", f"; {SINGLE_LOAD}"))
    return tuple(rows)


def sag_growth(part, catalogue, zone, compared) -> dict[str, float]:
    """Times by which a sag of the sizing page grows with this one stiffness as measured, at most; empty where that page has no answer."""
    bending = []
    with suppress(CompositeKitError):
        bending = [case.bending_share for case in skin_sizing(part, catalogue, zone).loads]
    shares = {BENDING: bending, SHEAR: [1 - share for share in bending]}
    return {row.what: 1 + max(float(share * (1 / row.ratio - 1)) for share in shares[row.what]) for row in compared if shares.get(row.what)}


def _near(what, measured, expected, unit, more, less):
    return Compared(what, measured, expected, NEAR[0] * expected, NEAR[1] * expected, unit, "within 10 %, own judgement", more, less)


def _stiff(what, values, expected, unit, thing, beware=""):
    mean = sum(values[1:], values[0]) / len(values)
    return Compared(what, mean, expected, STIFFNESS[0] * expected, STIFFNESS[1] * expected, unit, "1 to 1.25 times what it was sized with",
                    f"the {thing} came out stiffer than the cautious figure sized with{beware}",
                    f"the {thing} came out softer than sized with: size again with the measured share{beware}")


def _fibre_fraction(build, catalogue, weights):
    """Fibre share of all skins together, by volume, with the range of the cloths in it."""
    thickness = [ply.si.thickness for ply in build.plies]
    ranges = [catalogue.fabric(key).range("fibre_fraction") for key in (*build.outer_keys, *build.inner_keys)]
    low, _, high = (Q_(float(np.average([r[case].m_as("") for r in ranges], weights=thickness)), "") for case in range(3))
    typical = Q_(float(np.average([ply.si.fibre_fraction for ply in build.plies], weights=thickness)), "")
    return Compared("fibre share of the skins", Q_(weights.fibre_fraction, ""), typical, low, high, "", "range of the catalogue's cloths",
                    "drier than usual: look for white, starved places", "resin-rich, or the core drank more than said")
