"""Stacks that are not one even fabric: layers side by side, a flow mesh on top, all over or as a strip under the feed."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from ..errors import RangeError
from ..units import checked
from .channels import leaking_time
from .counts import one_length, single


@checked(thicknesses="m > 0", permeabilities="m^2 > 0", returns="m^2")
def effective_permeability(thicknesses, permeabilities):
    """In-plane permeability of layers side by side that fill with a level front.

    thicknesses  [m]  thickness of each layer, shape (n,)
    permeabilities  [m^2]  in-plane permeability of each layer, shape (n,)
    Returns permeability [m^2].
    Raises UnitError; RangeError also for empty or unequal lists.
    Relation: K = sum(K_i h_i) / sum(h_i)
    Valid: level front only; a mesh over a thick stack runs ahead, see mesh_over_laminate.
    Source: FL-R08 (own reference, standard).
    """
    return _weighted(thicknesses, permeabilities)


@checked(thicknesses="m > 0", porosities="1 in 0..1", returns="1")
def effective_porosity(thicknesses, porosities):
    """Open share of layers side by side.

    thicknesses  [m]  thickness of each layer, shape (n,)
    porosities  [1]  open share of each layer, shape (n,)
    Returns porosity [1].
    Raises UnitError; RangeError also for empty or unequal lists.
    Relation: phi = sum(phi_i h_i) / sum(h_i)
    Source: FL-R08 (own reference, standard).
    """
    return _weighted(thicknesses, porosities)


def _weighted(thicknesses, values):
    thickness, value = one_length(thicknesses=thicknesses, values=values)
    return np.average(value, weights=thickness)


@checked(distance="m >= 0", mesh_permeability="m^2 > 0", mesh_thickness="m > 0", mesh_porosity="1 in 0.01..1",
         permeability="m^2 >= 0", through_permeability="m^2 > 0", thickness="m > 0", porosity="1 in 0.01..1",
         viscosity="Pa*s > 0", pressure="Pa > 0", returns=("s", "m"))
def mesh_over_laminate(distance, mesh_permeability, mesh_thickness, mesh_porosity, permeability, through_permeability,
                       thickness, porosity, viscosity, pressure):
    """Time for the front in a flow mesh to run a distance, and how far the tool side lags behind it.

    distance  [m]  distance the mesh front has to run, scalar or array
    mesh_permeability  [m^2]  permeability of the mesh
    mesh_thickness  [m]  thickness of the mesh under the bag
    mesh_porosity  [1]  open share of the mesh
    permeability  [m^2]  in-plane permeability of the laminate below
    through_permeability  [m^2]  permeability of the laminate through its thickness
    thickness  [m]  thickness of the laminate
    porosity  [1]  open share of the laminate
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s] and lag [m]; stop the mesh about the lag short of the vent.
    Raises UnitError, RangeError.
    Relation: d = 3 sqrt(Km hm/Kz) [sqrt(a + 2 hp/3) - sqrt(a)], a = fm hm/fp; t = [U + S (X-d) + C (X-d)^2/2]/P
    Valid: in-plane flow inside the lag zone neglected; the true lag is 13 to 21 % shorter, so this is the safe side.
    Source: FL-R09 (own reference, checked against a field solution).
    """
    carry = mesh_permeability * mesh_thickness
    store = mesh_porosity * mesh_thickness
    both = carry + permeability * thickness
    start = store / porosity
    deep = start + 2 * thickness / 3
    lag = 3 * np.sqrt(carry / through_permeability) * (np.sqrt(deep) - np.sqrt(start))

    # beyond the lag: a steady lead zone travels along
    soak = viscosity * porosity * thickness / through_permeability
    beyond = np.maximum(distance - lag, 0)
    linear = soak * np.sqrt(through_permeability / carry * deep) * carry / both
    square = viscosity * (store + porosity * thickness) / both
    late = soak * thickness / 2 + linear * beyond + square * beyond**2 / 2

    # within the lag: mesh only, leaking into the laminate
    early = leaking_time(np.minimum(distance, lag), carry, store, through_permeability, porosity, viscosity)
    return np.where(np.asarray(distance) > lag, late, early) / pressure, lag


@checked(distance="m >= 0", strip_length="m >= 0", mesh_permeability="m^2 > 0", mesh_thickness="m > 0", mesh_porosity="1 in 0.01..1",
         permeability="m^2 > 0", thickness="m > 0", porosity="1 in 0.01..1", viscosity="Pa*s > 0", pressure="Pa > 0", returns="s")
def fill_time_mesh_strip(distance, strip_length, mesh_permeability, mesh_thickness, mesh_porosity, permeability, thickness, porosity,
                         viscosity, pressure):
    """Time for a level front to run a distance when flow mesh lies only on a strip beside the feed line.

    distance  [m]  how far the front has to run, scalar or array
    strip_length  [m]  how far the mesh reaches from the feed; 0 for none, the distance or more for mesh all over
    mesh_permeability  [m^2]  permeability of the mesh
    mesh_thickness  [m]  thickness of the mesh under the bag
    mesh_porosity  [1]  open share of the mesh
    permeability  [m^2]  in-plane permeability of the laminate below
    thickness  [m]  thickness of the laminate
    porosity  [1]  open share of the laminate
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError, RangeError.
    Relation: two zones in a row; under the mesh K h and phi h are the sums of mesh and laminate
    Valid: level front; under a mesh that runs ahead add the lag of mesh_over_laminate.
    Source: FL-R06 with FL-R08 (own reference).
    """
    carry, store = permeability * thickness, porosity * thickness
    both, filling = carry + mesh_permeability * mesh_thickness, store + mesh_porosity * mesh_thickness
    under = np.minimum(distance, strip_length)
    beyond = distance - under
    return viscosity / pressure * (filling * under**2 / (2 * both) + store * beyond * (under / both + beyond / (2 * carry)))


@checked(distance="m > 0", permeabilities="m^2 > 0", thicknesses="m > 0", through_permeability="m^2 > 0", returns=("m", "m", "m^2"))
@single("permeabilities", "thicknesses")
def two_layer_fronts(distance, permeabilities, thicknesses, through_permeability):
    """Fronts of two layers that feed each other, the faster ahead, at a mean distance, and the permeability they make together.

    distance  [m]  mean of the two fronts
    permeabilities  [m^2]  in-plane permeability of the two layers, the faster first, shape (2,)
    thicknesses  [m]  of the two layers, shape (2,)
    through_permeability  [m^2]  of the two together through the thickness
    Returns front [m] of the faster and of the slower layer, and permeability [m^2] of both.
    Raises UnitError; RangeError also for other than two layers, or the slower first.
    Relation: K1 h1/l1 - q = K2 h2/l2 + q, q = Kt (l1 - l2)^2/(l1 (h1 + h2)); K = (mean/H) sum(K_i h_i/l_i)
    Valid: both layers store alike; 12 % off a field solution in the lag.
    Source: FL-R10 (read, method).
    """
    permeability, thickness = one_length(permeabilities=permeabilities, thicknesses=thicknesses)
    carry = permeability * thickness
    if carry.size != 2 or carry[0] < carry[1]:
        raise RangeError("two_layer_fronts wants two layers, the one that carries more first.")

    def unequal(lead):   # lead is half the lag, as a share of the mean
        ahead, behind = distance * (1 + lead), distance * (1 - lead)
        exchange = through_permeability * (ahead - behind) ** 2 / (ahead * thickness.sum())
        return carry[0] / ahead - carry[1] / behind - 2 * exchange

    lead = brentq(unequal, 0.0, 1 - 1e-12, xtol=1e-15)
    fronts = distance * (1 + lead), distance * (1 - lead)
    return *fronts, distance / thickness.sum() * (carry[0] / fronts[0] + carry[1] / fronts[1])
