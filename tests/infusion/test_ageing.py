"""The ageing clock against the closed forms of FL-R16; own cases."""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import RangeError
from compositekit.infusion import darcy
from compositekit.infusion.ageing import clock_time, fresh_time
from compositekit.units import Q_

FABRIC = Q_(1e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(95e3, "Pa")


@pytest.mark.parametrize("distance", [0.1, 0.5, 1.0])
def test_the_clock_is_that_of_fl_r16(distance):
    """FL-R16 (own reference): t = -(1/k) ln(1 - k mu0 phi L^2/(2 K P)), here by way of the fresh fill time."""
    fresh = darcy.fill_time_linear(Q_(distance, "m"), *FABRIC)
    ageing = darcy.fill_time_ageing(Q_(distance, "m"), *FABRIC, Q_(3, "hour"))
    assert clock_time(fresh, Q_(3, "hour")).m_as("s") == pytest.approx(ageing.m_as("s"), rel=1e-12)


def test_by_hand():
    """Own: after one doubling time the fresh time is td/(2 ln 2); 60 min give 43.28 min."""
    assert fresh_time(Q_(60, "min"), Q_(60, "min")).m_as("min") == pytest.approx(43.2809, abs=1e-4)
    assert clock_time(Q_(43.28085, "min"), Q_(60, "min")).m_as("min") == pytest.approx(60, abs=1e-3)


def test_there_and_back_and_never():
    times = Q_(np.array([0.0, 10.0, 300.0]), "min")
    assert clock_time(fresh_time(times, Q_(90, "min")), Q_(90, "min")).m_as("min") == pytest.approx(times.magnitude)
    assert fresh_time(Q_(1e4, "min"), Q_(90, "min")).m_as("min") == pytest.approx(90 / np.log(2))
    with pytest.raises(RangeError, match="never reached"):
        clock_time(Q_(131, "min"), Q_(90, "min"))
