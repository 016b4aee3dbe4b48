"""Permeability from a trial panel fed at a constant rate, by the rise of the feed pressure."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked, checked_fields
from .counts import one_length, single
from .front_fit import PANEL, PanelFit, require_forwards, straight_line

RATE = dict(times="s >= 0", pressures="Pa >= 0", flow_rate="m^3/s > 0")


@checked_fields(permeability="m^2 > 0", standard_error="m^2 >= 0", slope="Pa/s > 0", readings="1 >= 3")
class RateFit(PanelFit):
    """Permeability from a panel fed at a constant rate: value, standard error and rise of the feed pressure."""

    permeability: object
    standard_error: object
    slope: object
    readings: object


@checked(**RATE, area="m^2 > 0", **PANEL)
@single("times", "pressures")
def permeability_from_rate(times, pressures, flow_rate, area, porosity, viscosity):
    """In-plane permeability from the rise of the feed pressure when a line feeds at a constant rate.

    times  [s]  time of each reading, shape (n,), n at least 3
    pressures  [Pa]  feed pressure less vent at each reading, shape (n,)
    flow_rate  [m^3/s]  resin pumped in
    area  [m^2]  cross-section of the panel across the flow
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin
    Returns RateFit: permeability, standard_error, slope [Pa/s], readings [1].
    Raises UnitError; RangeError as permeability_from_front.
    Relation: K = (mu/phi) (Q/A)^2 / (dp/dt)
    Valid: stiff mould; a bag rises with the pressure.
    Source: FL-R02 (read).
    """
    time, pressure = _rate_log(times, pressures)
    line = straight_line(time, pressure, "the pressure")
    permeability = viscosity / porosity * (flow_rate / area) ** 2 / line.slope
    return RateFit.from_si(permeability=permeability, standard_error=permeability * line.stderr / line.slope, slope=line.slope, readings=time.size)


@checked(**RATE, thickness="m > 0", inlet_radius="m > 0", **PANEL)
@single("times", "pressures")
def permeability_from_rate_round(times, pressures, flow_rate, thickness, inlet_radius, porosity, viscosity):
    """In-plane permeability from the rise of the feed pressure when a point feeds at a constant rate.

    times  [s]  time of each reading, shape (n,), n at least 3
    pressures  [Pa]  feed pressure less vent at each reading, shape (n,)
    flow_rate  [m^3/s]  resin pumped in
    thickness  [m]  thickness of the stack
    inlet_radius  [m]  radius of the inlet
    porosity  [1]  open share of the stack
    viscosity  [Pa*s]  viscosity of the resin
    Returns RateFit; its slope [Pa/s] is that at the last reading.
    Raises UnitError; RangeError as permeability_from_front.
    Relation: p = mu Q/(4 pi h K) ln(1 + Q t/(pi h r0^2 phi)), line through the origin
    Valid: stiff mould.
    Source: FL-R03 (read).
    """
    time, pressure = _rate_log(times, pressures)
    filling = flow_rate / (np.pi * thickness * inlet_radius**2 * porosity)
    growth = np.log1p(filling * time)
    square = growth @ growth
    factor = growth @ pressure / square
    error = np.sqrt(np.sum((pressure - factor * growth) ** 2) / (time.size - 1) / square)
    permeability = viscosity * flow_rate / (4 * np.pi * thickness * factor)
    return RateFit.from_si(permeability=permeability, standard_error=permeability * error / factor, readings=time.size,
                           slope=factor * filling / (1 + filling * time[-1]))


def _rate_log(times, pressures):
    time, pressure = one_length(times=times, pressures=pressures)
    require_forwards(time, "of the pressure")
    if not np.any(pressure):
        raise RangeError("pressures are all nought; read the feed pressure against that of the vent.")
    return time, pressure
