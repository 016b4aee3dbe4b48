"""What a fibre and a resin make together: contents by volume and weight, moduli, expansion, voids."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked

# --- contents --------------------------------------------------------------------------------


@checked(areal_weight="kg/m^2 > 0", plies="1 > 0", thickness="m > 0", fibre_density="kg/m^3 > 0", returns="1")
def fibre_volume_fraction(areal_weight, plies, thickness, fibre_density):
    """Share of a cured laminate's volume that is fibre, from the cloth laid and the thickness measured.

    areal_weight   [kg/m^2]  dry weight of one ply per area
    plies          [1]       number of plies
    thickness      [m]       cured thickness of all plies together, without core
    fibre_density  [kg/m^3]  density of the fibre itself
    Returns the fibre fraction [1].
    Raises RangeError when the cloth alone would be thicker than the laminate.
    Relation: Vf = n Aw / (rho_f t)
    Source: definition (textbook form, from memory)
    """
    fraction = plies * areal_weight / (fibre_density * thickness)
    if np.any(fraction > 1):
        raise RangeError(f"fibre_volume_fraction comes out at {np.max(fraction):.3g}, but cannot pass 1: "
                         "the fibre alone is thicker than the laminate. Check the thickness and the number of plies.")
    return fraction


@checked(areal_weight="kg/m^2 > 0", fibre_density="kg/m^3 > 0", fibre_fraction="1 in 0.01..1", returns="m")
def ply_thickness(areal_weight, fibre_density, fibre_fraction):
    """Cured thickness of one ply.

    areal_weight    [kg/m^2]  dry weight of the ply per area
    fibre_density   [kg/m^3]  density of the fibre itself
    fibre_fraction  [1]       share of the cured ply that is fibre, by volume
    Returns the thickness [m].
    Raises UnitError, RangeError.
    Relation: t = Aw / (rho_f Vf)
    Source: definition (textbook form, from memory)
    """
    return areal_weight / (fibre_density * fibre_fraction)


@checked(fibre_fraction="1 in 0..1", fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0", returns="1")
def weight_fraction(fibre_fraction, fibre_density, resin_density):
    """Share of a void-free ply's weight that is fibre.

    fibre_fraction  [1]       share of the ply that is fibre, by volume
    fibre_density   [kg/m^3]  density of the fibre itself
    resin_density   [kg/m^3]  density of the cured resin
    Returns the fibre weight fraction [1].
    Raises UnitError, RangeError.
    Relation: Wf = rho_f Vf / (rho_f Vf + rho_m (1 - Vf))
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    return fibre_density * fibre_fraction / ply_density.si(fibre_fraction, fibre_density, resin_density)


@checked(fibre_weight_fraction="1 in 0..1", fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0", returns="1")
def fibre_fraction_from_weight(fibre_weight_fraction, fibre_density, resin_density):
    """Share by volume from the share by weight, of a void-free ply: weight_fraction turned round.

    fibre_weight_fraction  [1]       share of the ply that is fibre, by weight
    fibre_density          [kg/m^3]  density of the fibre itself
    resin_density          [kg/m^3]  density of the cured resin
    Returns the fibre fraction by volume [1].
    Raises UnitError, RangeError.
    Relation: Vf = (Wf/rho_f) / (Wf/rho_f + (1 - Wf)/rho_m)
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    fibre, resin = fibre_weight_fraction / fibre_density, (1 - fibre_weight_fraction) / resin_density
    return fibre / (fibre + resin)


@checked(fibre_fraction="1 in 0..1", fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0", returns="kg/m^3")
def ply_density(fibre_fraction, fibre_density, resin_density):
    """Density of a void-free ply.

    fibre_fraction  [1]       share of the ply that is fibre, by volume
    fibre_density   [kg/m^3]  density of the fibre itself
    resin_density   [kg/m^3]  density of the cured resin
    Returns the density [kg/m^3].
    Raises UnitError, RangeError.
    Relation: rho = rho_f Vf + rho_m (1 - Vf)
    Source: definition (textbook form, from memory)
    """
    return rule_of_mixtures.si(fibre_density, resin_density, fibre_fraction)


@checked(fibre_weight_fraction="1 in 0..1", fibre_density="kg/m^3 > 0", resin_density="kg/m^3 > 0",
         density="kg/m^3 > 0", returns="1")
def void_content(fibre_weight_fraction, fibre_density, resin_density, density):
    """Share of a laminate that is air, from its weighed density against the void-free one.

    fibre_weight_fraction  [1]       share of the ply that is fibre, by weight (burn-off)
    fibre_density          [kg/m^3]  density of the fibre itself
    resin_density          [kg/m^3]  density of the cured resin
    density                [kg/m^3]  measured density of the laminate
    Returns the void content by volume [1]; slightly below nought means the densities put in are off.
    Raises UnitError, RangeError.
    Relation: Td = 1/(Wm/rho_m + Wf/rho_f), V = (Td - Md)/Td
    Source: form of ASTM D2734, intertek.com/polymers/void-testing/ (read second-hand)
    """
    theoretical = 1 / ((1 - fibre_weight_fraction) / resin_density + fibre_weight_fraction / fibre_density)
    return (theoretical - density) / theoretical


# --- moduli and expansion ----------------------------------------------------------------------


@checked(fibre_modulus="Pa > 0", resin_modulus="Pa > 0", fibre_fraction="1 in 0..1", returns="Pa")
def rule_of_mixtures(fibre_modulus, resin_modulus, fibre_fraction):
    """Modulus along the fibres: fibre and resin stretch alike.

    fibre_modulus   [Pa]  modulus of the fibre along its length
    resin_modulus   [Pa]  modulus of the cured resin
    fibre_fraction  [1]   share of the ply that is fibre, by volume
    Returns the modulus [Pa].
    Raises UnitError, RangeError.
    Relation: P = Vf Pf + (1 - Vf) Pm; the same mix gives nu12 and the density
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    return fibre_fraction * fibre_modulus + (1 - fibre_fraction) * resin_modulus


@checked(fibre_modulus="Pa > 0", resin_modulus="Pa > 0", fibre_fraction="1 in 0..1", returns="Pa")
def inverse_rule_of_mixtures(fibre_modulus, resin_modulus, fibre_fraction):
    """Modulus across the fibres, or in shear, at the least: fibre and resin carry the same stress.

    fibre_modulus   [Pa]  transverse or shear modulus of the fibre
    resin_modulus   [Pa]  modulus, or shear modulus, of the cured resin
    fibre_fraction  [1]   share of the ply that is fibre, by volume
    Returns the modulus [Pa].
    Raises UnitError, RangeError.
    Relation: 1/P = Vf/Pf + (1 - Vf)/Pm
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    return 1 / (fibre_fraction / fibre_modulus + (1 - fibre_fraction) / resin_modulus)


@checked(fibre_modulus="Pa > 0", resin_modulus="Pa > 0", fibre_fraction="1 in 0..1", shape="1 >= 0", returns="Pa")
def halpin_tsai(fibre_modulus, resin_modulus, fibre_fraction, shape=2.0):
    """Modulus across the fibres (shape 2) or in shear (shape 1), between the two rules of mixtures.

    fibre_modulus   [Pa]  transverse or shear modulus of the fibre
    resin_modulus   [Pa]  modulus, or shear modulus, of the cured resin
    fibre_fraction  [1]   share of the ply that is fibre, by volume
    shape           [1]   xi: 2 for E2, 1 for G12; 0 gives the inverse mix, very large the direct mix
    Returns the modulus [Pa].
    Raises UnitError, RangeError.
    Relation: P = Pm (1 + xi eta Vf)/(1 - eta Vf), eta = (Pf/Pm - 1)/(Pf/Pm + xi)
    Valid: round fibres, square packing; above Vf = 0.5 shear is better met with xi = 1 + 40 Vf^10
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    ratio = fibre_modulus / resin_modulus
    eta = (ratio - 1) / (ratio + shape)
    return resin_modulus * (1 + shape * eta * fibre_fraction) / (1 - eta * fibre_fraction)


@checked(fibre_expansion="1/K", resin_expansion="1/K", fibre_modulus="Pa > 0", resin_modulus="Pa > 0",
         fibre_poisson="1 in -1..1", resin_poisson="1 in -1..0.5", fibre_fraction="1 in 0..1",
         fibre_expansion_across="1/K", returns=("1/K", "1/K"))
def expansion_coefficients(fibre_expansion, resin_expansion, fibre_modulus, resin_modulus,
                           fibre_poisson, resin_poisson, fibre_fraction, fibre_expansion_across=None):
    """Thermal expansion of a ply along and across its fibres.

    fibre_expansion         [1/K]  expansion coefficient of the fibre along its length
    resin_expansion         [1/K]  expansion coefficient of the cured resin
    fibre_modulus           [Pa]   modulus of the fibre along its length
    resin_modulus           [Pa]   modulus of the cured resin
    fibre_poisson           [1]    Poisson ratio of the fibre
    resin_poisson           [1]    Poisson ratio of the cured resin
    fibre_fraction          [1]    share of the ply that is fibre, by volume
    fibre_expansion_across  [1/K]  expansion coefficient of the fibre across its length; left out, as along (glass)
    Returns the coefficients along and across [1/K].
    Raises UnitError, RangeError.
    Relation: a1 = (Vf Ef af1 + Vm Em am)/E1, a2 = (af2 + nuf af1) Vf + (1 + num) am Vm - a1 nu12
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory)
    """
    across = fibre_expansion if fibre_expansion_across is None else fibre_expansion_across
    mix = rule_of_mixtures.si
    along = (mix(fibre_modulus * fibre_expansion, resin_modulus * resin_expansion, fibre_fraction)
             / mix(fibre_modulus, resin_modulus, fibre_fraction))
    free = mix(across + fibre_poisson * fibre_expansion, (1 + resin_poisson) * resin_expansion, fibre_fraction)
    return along, free - along * mix(fibre_poisson, resin_poisson, fibre_fraction)


@checked(resin_swelling="1 >= 0", fibre_modulus="Pa > 0", resin_modulus="Pa > 0", fibre_poisson="1 in -1..1",
         resin_poisson="1 in -1..0.5", fibre_fraction="1 in 0..0.99", fibre_density="kg/m^3 > 0",
         resin_density="kg/m^3 > 0", fibre_swelling="1 >= 0", moisture_ratio="1 >= 0", returns=("1", "1"))
def moisture_expansion_coefficients(resin_swelling, fibre_modulus, resin_modulus, fibre_poisson, resin_poisson,
                                    fibre_fraction, fibre_density, resin_density, fibre_swelling=0.0, moisture_ratio=0.0):
    """Swelling of a ply along and across its fibres, per moisture taken up as a share of the ply's mass.

    resin_swelling  [1]       strain of the cured resin per water taken up as a share of its mass; epoxy about 0.33
    fibre_modulus   [Pa]      modulus of the fibre along its length
    resin_modulus   [Pa]      modulus of the cured resin
    fibre_poisson   [1]       Poisson ratio of the fibre
    resin_poisson   [1]       Poisson ratio of the cured resin
    fibre_fraction  [1]       share of the ply that is fibre, by volume
    fibre_density   [kg/m^3]  density of the fibre itself
    resin_density   [kg/m^3]  density of the cured resin
    fibre_swelling  [1]       as resin_swelling, for the fibre, alike every way; glass and carbon do not swell
    moisture_ratio  [1]       water per mass in the fibre over water per mass in the resin; plant fibres well above 1
    Returns the coefficients along and across [1].
    Raises UnitError, RangeError.
    Relation: with r the moisture_ratio and w = rho/(rho_m Vm + r rho_f Vf),
              b1 = w (Vf Ef r bf + Vm Em bm)/E1, b2 = w ((1 + nuf) Vf r bf + (1 + num) Vm bm) - b1 nu12
    Valid: small strains; plant fibres swell mostly across, which one fibre_swelling cannot say: prove by soaking a strip
    Source: Kaw, Mechanics of Composite Materials, ch. 3 (from memory); 0.33 there too (from memory)
    """
    mix = rule_of_mixtures.si
    fibre_strain = moisture_ratio * fibre_swelling
    per_ply = ply_density.si(fibre_fraction, fibre_density, resin_density) / mix(
        moisture_ratio * fibre_density, resin_density, fibre_fraction)
    along = per_ply * (mix(fibre_modulus * fibre_strain, resin_modulus * resin_swelling, fibre_fraction)
                       / mix(fibre_modulus, resin_modulus, fibre_fraction))
    free = per_ply * mix((1 + fibre_poisson) * fibre_strain, (1 + resin_poisson) * resin_swelling, fibre_fraction)
    return along, free - along * mix(fibre_poisson, resin_poisson, fibre_fraction)


@checked(void_content="1 in 0..0.04", returns="1")
def void_shear_factor(void_content):
    """What voids leave of the interlaminar shear strength, as a share of the void-free strength.

    void_content  [1]  share of the laminate's volume that is air
    Returns the factor [1].
    Raises UnitError, RangeError above 4 % voids, where the rule was not stated.
    Relation: factor = 1 - 7 V
    Valid: to 4 % voids. For stiffness and in-plane strength no rule with figures was read: 1 to 3 % more voids can cost
           up to a fifth of the mechanical properties (encyclopaedia text, read second-hand), so test a trial panel.
    Source: Judd and Wright 1978 (from memory)
    """
    return 1 - 7 * np.asarray(void_content)
