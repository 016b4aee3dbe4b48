"""Feed lines that share or lose: branches on one hose, a long line that leaks into the laminate as it goes."""

from __future__ import annotations

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

from ..errors import RangeError
from ..units import checked
from .counts import one_length, single
from .darcy import FABRIC, fill_time_linear
from .feed import line_delay

HOSE = dict(length="m > 0", bore="m > 0", viscosity="Pa*s > 0", pressure="Pa > 0")


@checked(fill_times="s >= 0", volumes="m^3 > 0", branch_lengths="m > 0", branch_bore="m > 0", **HOSE, returns="s")
@single("fill_times", "volumes", "branch_lengths")
def fill_time_branched(fill_times, volumes, branch_lengths, branch_bore, length, bore, viscosity, pressure):
    """Time until the last of several areas is full that hang by branches on one hose.

    fill_times  [s]  of each area fed by itself at the full pressure, shape (n,)
    volumes  [m^3]  resin each area takes, shape (n,)
    branch_lengths  [m]  hose from the tee to each area, shape (n,)
    branch_bore  [m]  inside diameter of the branches
    length  [m]  common hose from pot to tee
    bore  [m]  inside diameter of the common hose
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, pot less vent
    Returns time [s] of the whole part.
    Raises UnitError; RangeError also for lists of different length.
    Relation: t = max of [t_i + R_i V_i/P] + R sum(V)/P
    Valid: exact for the last area, whichever it is; those full before it were full sooner than their own sum says.
    Source: FL-R15 and its corollary a (own reference).
    """
    time, volume, branch = one_length(fill_times=fill_times, volumes=volumes, branch_lengths=branch_lengths)
    return np.max(time + line_delay.si(volume, pressure, branch, branch_bore, viscosity)) + line_delay.si(volume.sum(), pressure, length, bore, viscosity)


@checked(length="m > 0", bore="m > 0", permeability="m^2 > 0", thickness="m > 0", distance="m > 0", returns="1")
def pressure_left_at_end(length, bore, permeability, thickness, distance):
    """Share of the feed pressure left at the dead end of a line that leaks into the laminate on one side.

    length  [m]  length of the line
    bore  [m]  inside diameter of the line
    permeability  [m^2]  in-plane permeability of the laminate
    thickness  [m]  thickness of the laminate
    distance  [m]  where the front stands, scalar or array
    Returns share [1].
    Raises UnitError, RangeError.
    Relation: p_end/p_0 = 1/cosh(k W), k^2 = 128 K h/(pi d^4 x)
    Valid: the front taken as even along the line; worst at the start, see fill_time_leaking_line.
    Source: FL-R12 (own reference).
    """
    reach = np.minimum(length * np.sqrt(128 * permeability * thickness / (np.pi * bore**4 * distance)), 700.0)   # cosh would overflow
    return 1 / np.cosh(reach)


@checked(distance="m > 0", length="m > 0", bore="m > 0", thickness="m > 0", **FABRIC, returns="s")
@single()
def fill_time_leaking_line(distance, length, bore, thickness, permeability, porosity, viscosity, pressure):
    """Time until the front at the dead end of a feed line has run a distance, pressure lost along the line counted.

    distance  [m]  run from the line
    length  [m]  length of the line, fed at one end
    bore  [m]  inside diameter of the line
    thickness  [m]  thickness of the laminate
    permeability  [m^2]  in-plane permeability of the laminate
    porosity  [1]  open share of the laminate
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure where the line is fed, less vent
    Returns time [s].
    Raises UnitError; RangeError also where the line is so thin that the far end would never be fed.
    Relation: W = integral from Ue to U0 of dU/sqrt((4 c/(3 G))(U^1.5 - Ue^1.5)), Ue = phi mu L^2/(2 K), c = phi h sqrt(2 K/(phi mu)),
        G = pi d^4/(128 mu); t = U0/P
    Source: F-17 (own reference).
    """
    # U = Ue s, s = 1 + v^2: the root at the lower end is lifted by the substitution
    end = fill_time_linear.si(distance, permeability, porosity, viscosity, 1.0)
    leak = porosity * thickness * np.sqrt(2 * permeability / (porosity * viscosity))
    carry = np.pi * bore**4 / (128 * viscosity)
    wanted = length * np.sqrt(4 * leak / (3 * carry)) / end**0.25

    def slope(v):
        return 2 / np.sqrt((1.5 + 0.375 * v**2) if v < 1e-3 else np.expm1(1.5 * np.log1p(v**2)) / v**2)

    def run(v):
        return quad(slope, 0.0, v, limit=200)[0] - wanted

    if run(1e4) < 0:
        raise RangeError(f"a line of {1e3 * bore:g} mm bore loses so much over {length:g} m that its far end is hardly fed; use a wider line or feed it in the middle.")
    return end * (1 + brentq(run, 0.0, 1e4, xtol=1e-12) ** 2) / pressure
