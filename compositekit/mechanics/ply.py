"""One cured ply: its record, the ply a fabric, a fibre and a resin make with its range, and a core taken as a ply."""

from __future__ import annotations

from types import SimpleNamespace
from typing import NamedTuple

import numpy as np
import pint

from ..errors import RangeError, UnitError
from ..units import Q_, checked, checked_fields
from .mixture import (
    expansion_coefficients,
    fibre_volume_fraction,
    halpin_tsai,
    inverse_rule_of_mixtures,
    moisture_expansion_coefficients,
    ply_density,
    ply_thickness,
    rule_of_mixtures,
    void_content,
    weight_fraction,
)

__all__ = ["Ply", "PlyRange", "core_ply", "expansion_coefficients", "fibre_volume_fraction", "halpin_tsai",
           "inverse_rule_of_mixtures", "moisture_expansion_coefficients", "ply_density", "ply_from_fabric", "ply_range",
           "ply_thickness", "rule_of_mixtures", "void_content", "weight_fraction"]

RANDOM_MAT_SHARE = 3 / 8   # Krenchel: share of fibre stiffness that random fibres in a plane give any direction
RANDOM_MAT_POISSON = 1 / 3  # Cox: any random flat fibre net


@checked_fields(thickness="m > 0", e1="Pa > 0", e2="Pa > 0", g12="Pa > 0", nu12="1", density="kg/m^3 > 0",
                fibre_fraction="1 in 0..1", areal_weight="kg/m^2 > 0", xt="Pa > 0", xc="Pa > 0", yt="Pa > 0",
                yc="Pa > 0", s12="Pa > 0", cte1="1/K", cte2="1/K", cme1="1", cme2="1")
class Ply:
    """One cured ply in its own axes: 1 along the fibres (or the warp), 2 across them in the plane.

    name            what to call it in a message
    thickness       [m]       cured thickness
    e1, e2, g12     [Pa]      moduli along, across and in shear
    nu12            [1]       contraction across for a pull along (the major Poisson ratio)
    density         [kg/m^3]  of the cured ply; may be left out where no mass is asked
    fibre_fraction  [1]       share by volume that is fibre; may be left out
    areal_weight    [kg/m^2]  dry weight of the cloth; may be left out where no resin mass is asked
    xt, xc, yt, yc  [Pa]      strengths along and across, in tension and compression, all positive; may be left out
    s12             [Pa]      shear strength; may be left out
    cte1, cte2      [1/K]     thermal expansion along and across; may be left out
    cme1, cme2      [1]       swelling along and across per moisture as a share of the ply's mass; may be left out
    """

    name: str
    thickness: pint.Quantity
    e1: pint.Quantity
    e2: pint.Quantity
    g12: pint.Quantity
    nu12: float
    density: pint.Quantity = None
    fibre_fraction: float = None
    areal_weight: pint.Quantity = None
    xt: pint.Quantity = None
    xc: pint.Quantity = None
    yt: pint.Quantity = None
    yc: pint.Quantity = None
    s12: pint.Quantity = None
    cte1: pint.Quantity = None
    cte2: pint.Quantity = None
    cme1: float = None
    cme2: float = None

    def validate(self):
        si = self.si
        if np.any(np.square(si.nu12) >= si.e1 / si.e2):
            raise RangeError(f"{self.name}: nu12 is {np.max(np.abs(si.nu12)):.3g}, but must stay below sqrt(e1/e2) = "
                             f"{np.min(np.sqrt(si.e1 / si.e2)):.3g}, or a pulled ply would give out energy. "
                             "Give the major ratio nu12, not nu21.")
        if si.density is not None and si.areal_weight is not None and np.any(
                si.areal_weight > si.density * si.thickness * (1 + 1e-9)):
            raise RangeError(f"{self.name}: the dry cloth weighs {np.max(si.areal_weight):.3g} kg/m^2, more than the "
                             f"whole cured ply at {np.min(si.density * si.thickness):.3g} kg/m^2. "
                             "Check areal_weight, thickness and density.")

    def known(self, field):
        """SI value of an optional field, or an error that says what cannot be worked out without it."""
        value = getattr(self.si, field)
        if value is None:
            raise UnitError(f"ply {self.name} has no {field}; give it when making the ply.")
        return value

    @property
    def areal_mass(self):
        """Cured mass per area, fibre and resin together [kg/m^2]."""
        return Q_(self.known("density") * self.si.thickness, "kg/m^2")

    @property
    def fibre_areal_mass(self):
        """Fibre mass per area [kg/m^2]."""
        return Q_(self.known("areal_weight"), "kg/m^2")

    @property
    def resin_areal_mass(self):
        """Resin mass per area in the cured ply [kg/m^2]."""
        return self.areal_mass - self.fibre_areal_mass


@checked(fibre_fraction="1 in 0.01..0.9", resin_expansion="1/K", resin_swelling="1 >= 0", returns=None)
def ply_from_fabric(fabric, fibre, resin, fibre_fraction=None, resin_expansion=None, resin_swelling=None):
    """The cured ply a fabric makes, its moduli estimated from fibre and resin.

    fabric          record with name, direction ("uni", "balanced", "random"), areal_weight, fibre_fraction,
                    crimp_factor, and fibre_modulus where cloth tests put it below the fibre's own
    fibre           record with density, e_axial, e_transverse, g_axial, nu_axial
    resin           record with density_cured, modulus, poisson
    fibre_fraction   [1]    share by volume that is fibre; left out, the fabric's own typical one
    resin_expansion  [1/K]  expansion of the cured resin, from its data sheet; given, the ply gets cte1 and cte2
    resin_swelling   [1]    strain of the cured resin per water as a share of its mass; given, the ply gets cme1 and cme2
    Returns a Ply without strengths: those come from tests, never from an estimate.
    Raises RangeError when the fabric's direction is none of the three, UnitError when a record lacks a figure.
    Relation: uni: E1 = k Vf Ef + Vm Em, E2 and G12 by Halpin-Tsai (xi 2 and 1), nu12 by mixture;
              balanced: k times the E of a 0 and a 90 uni layer sharing the thickness, nu = Q12/Q of that pair;
              random: E = 3/8 k Vf Ef + Vm Em, nu = 1/3, G = E/(2(1 + nu));
              expansion of a uni: expansion_coefficients, moisture_expansion_coefficients; of balanced and random:
              a = ((Q11 + Q12) a1 + (Q22 + Q12) a2)/(Q11 + Q22 + 2 Q12) of the uni layer
    Valid: an estimate for choosing. Woven plant-fibre plies have tested at 0.5 to 1.0 of it: prove on a trial panel.
    Source: Halpin-Tsai as in Kaw ch. 3 (from memory); 3/8 by Krenchel in a lecture, scribd.com/doc/266491147 (read);
            1/3 by Cox 1952 (from memory); balanced form (own reference)
    """
    if fabric.direction not in _MODULI:
        raise RangeError(f'fabric {fabric.name}: direction is "{fabric.direction}", but must be one of '
                         f'{", ".join(_MODULI)}.')
    fraction = _known(fabric, "fibre_fraction") if fibre_fraction is None else fibre_fraction
    areal_weight, fibre_density = _known(fabric, "areal_weight"), _known(fibre, "density")
    fibre_modulus = getattr(fabric.si, "fibre_modulus", None) or _known(fibre, "e_axial")
    e1, e2, g12, nu12 = _MODULI[fabric.direction](
        fibre, fibre_modulus, resin, fraction, _known(fabric, "crimp_factor"))
    expansion = {}
    if resin_expansion is not None:
        expansion |= _expansion("cte", fabric, fibre, fibre_modulus, resin, fraction, expansion_coefficients.si(
            _known(fibre, "cte_axial"), resin_expansion, fibre_modulus, _known(resin, "modulus"), _known(fibre, "nu_axial"),
            _known(resin, "poisson"), fraction, _across(fibre)))
    if resin_swelling is not None:
        if getattr(fibre, "hygroscopic", False):
            raise RangeError(f"fibre {fibre.name} takes up water itself, and the catalogue has no swelling for it: work out "
                             "cme1 and cme2 with moisture_expansion_coefficients and give them when making the ply.")
        expansion |= _expansion("cme", fabric, fibre, fibre_modulus, resin, fraction, moisture_expansion_coefficients.si(
            resin_swelling, fibre_modulus, _known(resin, "modulus"), _known(fibre, "nu_axial"), _known(resin, "poisson"),
            fraction, fibre_density, _known(resin, "density_cured")))
    return Ply.from_si(
        name=fabric.name, e1=e1, e2=e2, g12=g12, nu12=nu12,
        thickness=ply_thickness.si(areal_weight, fibre_density, fraction),
        density=ply_density.si(fraction, fibre_density, _known(resin, "density_cured")),
        fibre_fraction=fraction, areal_weight=areal_weight, **expansion,
    )


class PlyRange(NamedTuple):
    """The ply at the soft end of every range, the typical one, and the one at the stiff end."""

    low: Ply
    typical: Ply
    high: Ply


@checked(fibre_fraction="1 in 0.01..0.9", returns=None)
def ply_range(fabric, fibre, resin, fibre_fraction=None):
    """Low, typical and high estimate of a fabric's ply: natural fibres scatter too widely for one figure.

    fabric          catalogue record, as for ply_from_fabric
    fibre           catalogue record
    resin           catalogue record
    fibre_fraction  [1]  share by volume that is fibre where it was measured; left out, the fabric's own range
    Returns a PlyRange.
    Raises as ply_from_fabric.
    Relation: fibre and resin moduli, crimp factor and fibre fraction all at their low end together, or all at their
              high; densities, cloth weight and Poisson ratios stay typical. The band is wider than scatter alone makes it.
    Valid: an estimate for choosing: hand-laid plain flax at fibre fraction 0.28 has tested at 5 GPa, just under the low
           end (EU CORDIS 35976, read)
    Source: ranges of the catalogue rows, each with its own source and grade
    """
    return PlyRange(*(ply_from_fabric.si(*(_at_end(record, end) for record in (fabric, fibre, resin)), fibre_fraction)
                      for end in range(3)))


_RANGED = ("fibre_fraction", "crimp_factor", "fibre_modulus", "e_axial", "e_transverse", "g_axial", "modulus")


def _at_end(record, end):
    ends = {name: record.range(name)[end] for name in _RANGED if name in type(record).specs}
    figures = {name: None if value is None else value.magnitude for name, value in ends.items()}
    return SimpleNamespace(name=record.name, direction=getattr(record, "direction", ""),
                           si=SimpleNamespace(**{**vars(record.si), **figures}))


STIFF_THROUGH_ONLY = ("balsa", "honeycomb", "plywood")   # their printed modulus is through the thickness, not in plane


@checked(core_thickness="m > 0", core_modulus="Pa > 0", core_poisson="1 in 0..0.49", returns=None)
def core_ply(core, core_thickness, core_modulus=None, core_poisson=None):
    """A core sheet as one ply of a laminate, alike every way in the plane, without strengths.

    core            catalogue record with name, family, density, compressive_modulus, poisson, cte
    core_thickness  [m]   thickness of the sheet
    core_modulus    [Pa]  modulus in the plane; left out, the compressive one of a foam. Balsa, honeycomb and plywood
                          print theirs through the thickness, so there it must be given
    core_poisson    [1]   Poisson ratio of the core; left out, the record's, or 0.3
    Returns a Ply. Laminate theory takes plane sections for granted: for deflection of a sandwich use ``sandwich``, which
    adds the core's shear.
    Raises UnitError where no modulus in the plane is known.
    Relation: G12 = E/(2(1 + nu))
    Source: isotropic sheet (textbook form, from memory); 0.3 own judgement
    """
    modulus = core_modulus
    if modulus is None and core.family not in STIFF_THROUGH_ONLY:
        modulus = core.si.compressive_modulus
    if modulus is None:
        raise UnitError(f"core {core.name} has no modulus in the plane (its printed one, if any, is through the "
                        "thickness); give core_modulus, small if the core is soft that way.")
    poisson = core_poisson if core_poisson is not None else core.si.poisson if core.si.poisson is not None else 0.3
    return Ply.from_si(name=core.name, thickness=core_thickness, e1=modulus, e2=modulus, nu12=poisson,
                       g12=modulus / (2 * (1 + poisson)), density=core.si.density, fibre_fraction=0.0, cte1=core.si.cte,
                       cte2=core.si.cte)


def _known(record, name):
    value = getattr(record.si, name)
    if value is None:
        raise UnitError(f"{record.name} has no {name}, which a ply estimate needs; give it in the shop's own rows.")
    return value


def _uni(fibre, fibre_modulus, resin, fraction, crimp):
    mix, modulus, poisson = rule_of_mixtures.si, _known(resin, "modulus"), _known(resin, "poisson")
    return (mix(crimp * fibre_modulus, modulus, fraction),
            halpin_tsai.si(_known(fibre, "e_transverse"), modulus, fraction, 2.0),
            halpin_tsai.si(_known(fibre, "g_axial"), modulus / (2 * (1 + poisson)), fraction, 1.0),
            mix(_known(fibre, "nu_axial"), poisson, fraction))


def _balanced(fibre, fibre_modulus, resin, fraction, crimp):
    e1, e2, g12, nu12 = _uni(fibre, fibre_modulus, resin, fraction, 1.0)
    free = 1 - nu12**2 * e2 / e1
    on_axis, cross = (e1 + e2) / 2 / free, nu12 * e2 / free   # Q11 and Q12 of the 0/90 pair
    modulus = crimp * (on_axis - cross**2 / on_axis)
    return modulus, modulus, g12, cross / on_axis


def _random(_fibre, fibre_modulus, resin, fraction, crimp):
    modulus = rule_of_mixtures.si(RANDOM_MAT_SHARE * crimp * fibre_modulus, _known(resin, "modulus"), fraction)
    return modulus, modulus, modulus / (2 * (1 + RANDOM_MAT_POISSON)), RANDOM_MAT_POISSON


def _across(fibre):
    alike = fibre.si.e_axial == fibre.si.e_transverse   # glass and basalt are alike every way, and expand so
    return _known(fibre, "cte_axial" if alike else "cte_transverse")


def _expansion(kind, fabric, fibre, fibre_modulus, resin, fraction, layer):
    along, across = layer
    if fabric.direction != "uni":
        e1, e2, _g12, nu12 = _uni(fibre, fibre_modulus, resin, fraction, 1.0)
        lengthwise, crosswise = e1 + nu12 * e2, e2 + nu12 * e2   # Q11 + Q12 and Q22 + Q12, but for a common factor
        along = across = (lengthwise * along + crosswise * across) / (lengthwise + crosswise)
    return {f"{kind}1": along, f"{kind}2": across}


_MODULI = {"uni": _uni, "balanced": _balanced, "random": _random}
