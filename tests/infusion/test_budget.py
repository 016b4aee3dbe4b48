"""Own cases: the resin budget balances, and its rows say where the resin goes."""

import numpy as np
import pytest

from compositekit.infusion import budget
from compositekit.units import Q_

RHO = Q_(1150, "kg/m^3")


def on_area(what, area, low, typical, high, stays):
    return budget.on_area(what, Q_(area, "m^2"), Q_(low, "kg/m^2"), Q_(typical, "kg/m^2"), Q_(high, "kg/m^2"), stays, "invented", "own case")


def rows():
    return [budget.in_plies(Q_(1.8, "kg/m^2"), 0.5, Q_(2560, "kg/m^3"), RHO, Q_(2, "m^2")), on_area("core faces", 4, 0.1, 0.16, 0.54, True),
            budget.in_cuts(Q_(0.2, "mm") * Q_(2, "m^2"), RHO), on_area("peel ply", 2, 0.03, 0.04, 0.05, False), on_area("flow mesh", 1.4, 0.45, 0.85, 1.15, False),
            budget.in_lines(Q_(10, "mm"), Q_(5, "m"), RHO), budget.left_over(Q_(0.15, "kg"), Q_(0.3, "kg"), Q_(0.6, "kg"))]


PUBLISHED = [  # materials table: item, row, printed low, typical, high in kg
    ("feed hose of 10 mm, 1 m; own reference", budget.in_lines(Q_(10, "mm"), Q_(1, "m"), RHO), (0.09, 0.09, 0.09)),
    ("feed hose of 8 mm, 1 m; own reference", budget.in_lines(Q_(8, "mm"), Q_(1, "m"), RHO), (0.058, 0.058, 0.058)),
    ("grooves 2x2 at 20, 1 m2; own reference", budget.in_cuts(Q_(0.2, "mm") * Q_(1, "m^2"), RHO, 1.0), (0.23, 0.23, 0.23)),
    ("holes 2 mm at 20, 20 mm core, 1 m2; own reference", budget.in_cuts(Q_(0.00785 * 0.020, "m^3"), RHO, 1.0), (0.18, 0.18, 0.18)),
]


@pytest.mark.parametrize("case,row,printed", PUBLISHED)
def test_uptakes_against_the_materials_table(case, row, printed):
    np.testing.assert_allclose([row.si.low, row.si.typical, row.si.high], printed, rtol=0.02)


def test_plies_hold_their_pore_volume():
    """1.8 kg/m2 of glass at half fibre: as much resin by volume as fibre."""
    assert rows()[0].typical.m_as("kg") == pytest.approx(1.8 / 2560 * 1150 * 2)


def test_demand_balances():
    demand = budget.resin_demand(rows(), 0.1)
    for low_typical_high in zip(demand.in_part, demand.thrown_away, demand.total, strict=True):
        stays, thrown, total = (mass.m_as("kg") for mass in low_typical_high)
        assert stays + thrown == pytest.approx(total)
    assert demand.total[1].m_as("kg") == pytest.approx(1.1 * sum(row.si.typical for row in rows()))
    assert demand.in_part[1].m_as("kg") == pytest.approx(sum(row.si.typical for row in rows()[:3]))
    assert demand.total[0] < demand.total[1] < demand.total[2]


def test_every_row_says_how_well_it_is_known():
    assert all(row.source and row.grade for row in budget.resin_demand(rows()).items)
