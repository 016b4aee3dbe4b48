"""Own cases of the weighed panel: built up from fabric, resin and core, and taken apart again."""

import pytest

from compositekit import catalogue
from compositekit.errors import RangeError, UnitError
from compositekit.mechanics.mixture import ply_thickness
from compositekit.trial.panel_weights import fibre_fraction_from_weights, resin_areal_mass, resin_taken_up
from compositekit.units import Q_

AREA, CLOTH, GLASS, RESIN = Q_(0.25, "m^2"), Q_(450, "g/m^2"), Q_(2560, "kg/m^3"), Q_(1150, "kg/m^3")


def panel(fraction, plies=4, core=0.0, uptake=0.0):
    """Mass of a panel of known make."""
    fibre = 0.45 * plies
    resin = fibre / 2560 * (1 - fraction) / fraction * 1150
    return Q_((fibre + resin + core + uptake) * 0.25, "kg")


@pytest.mark.parametrize("fraction", [0.25, 0.5, 0.58])
def test_a_panel_of_known_fibre_fraction_is_read_back(fraction):
    assert fibre_fraction_from_weights(panel(fraction), AREA, CLOTH, 4, GLASS, RESIN).m == pytest.approx(fraction)
    mass = panel(fraction, core=1.5, uptake=0.4)
    assert fibre_fraction_from_weights(mass, AREA, CLOTH, 4, GLASS, RESIN, Q_(1.5, "kg/m^2"), Q_(0.4, "kg/m^2")).m == (
        pytest.approx(fraction))
    assert resin_taken_up(mass, AREA, CLOTH, 4, GLASS, RESIN, fraction, Q_(1.5, "kg/m^2")).m_as("kg/m^2") == pytest.approx(0.4)


def test_resin_two_to_one_on_mat():
    """Laminate note, section D (own): two layers of 450 g/m2 mat, resin to glass 2:1 by weight, densities 2560 and 1200:
    1.85156 mm and Vf 0.18987."""
    mass = Q_(0.9 * 3 * 0.25, "kg")
    fraction = fibre_fraction_from_weights(mass, AREA, CLOTH, 2, GLASS, Q_(1200, "kg/m^3"))
    assert fraction.m == pytest.approx(0.18987, abs=5e-6)
    assert (2 * ply_thickness(CLOTH, GLASS, fraction)).m_as("mm") == pytest.approx(1.85156, abs=5e-6)
    assert resin_areal_mass(mass, AREA, CLOTH, 2).m_as("kg/m^2") == pytest.approx(1.8)


def test_published_balsa_panel_takes_about_a_kilogram_of_resin_into_the_core():
    """Materials note CN-18: panel 5.0 kg/m2 (read), 12.7 mm of 152 kg/m3 balsa, 1.42 kg/m2 glass, 0.64 kg/m2 skin resin:
    1.0 kg/m2 in the core, 0.7 to 1.3 (own calculation). Skin resin 0.64 on 1.42 of glass is Vf 0.50 here."""
    fraction = (1.42 / 2560) / (1.42 / 2560 + 0.64 / 1150)
    taken = resin_taken_up(Q_(5.0, "kg"), Q_(1, "m^2"), Q_(1.42, "kg/m^2"), 1, GLASS, RESIN, fraction, Q_(0.0127 * 152, "kg/m^2"))
    low, typical, high = (q.m_as("kg/m^2") for q in catalogue.consumable("balsa-drilled-resin").range())
    assert low < taken.m_as("kg/m^2") < high and taken.m_as("kg/m^2") == pytest.approx(typical, abs=0.05)


def test_a_panel_lighter_than_its_fabric_is_refused():
    with pytest.raises(RangeError) as err:
        fibre_fraction_from_weights(Q_(0.4, "kg"), AREA, CLOTH, 4, GLASS, RESIN)
    assert str(err.value) == ("resin_areal_mass: the panel weighs 1.6 kg/m^2, no more than its dry fabric and core, 1.8 kg/m^2; "
                              "check mass, area, plies and areal weight and their units.")


def test_a_core_that_drinks_all_the_resin_is_refused():
    with pytest.raises(RangeError, match="leaves no resin for the skins; check core_uptake"):
        fibre_fraction_from_weights(panel(0.5), AREA, CLOTH, 4, GLASS, RESIN, core_uptake=Q_(5, "kg/m^2"))


@pytest.mark.parametrize("mass", [Q_(0, "kg"), Q_(-1, "kg"), Q_(float("nan"), "kg"), Q_(1, "m"), 1.0])
def test_bad_masses_get_our_own_error(mass):
    for function in (lambda m: resin_areal_mass(m, AREA, CLOTH, 4),
                     lambda m: fibre_fraction_from_weights(m, AREA, CLOTH, 4, GLASS, RESIN),
                     lambda m: resin_taken_up(m, AREA, CLOTH, 4, GLASS, RESIN, 0.5)):
        with pytest.raises((RangeError, UnitError), match="mass"):
            function(mass)
