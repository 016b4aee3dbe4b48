"""Stacks that are not one even fabric: layers, a flow mesh on top, cut channels, a changed fibre fraction."""

from __future__ import annotations

import numpy as np

from ..units import checked
from .counts import one_length


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
    leak = np.sqrt(2 * through_permeability * porosity / viscosity)
    root = np.minimum(distance, lag) * leak / 6 / np.sqrt(carry / (2 * viscosity)) + np.sqrt(store)
    early = (1.5 / leak * (root**2 - store)) ** 2
    return np.where(np.asarray(distance) > lag, late, early) / pressure, lag


@checked(width="m > 0", depth="m > 0", returns="m^2")
def channel_permeability(width, depth):
    """Mean permeability of an open rectangular channel: an edge gap, a groove, a slit.

    width  [m]  width of the channel
    depth  [m]  depth of the channel
    Returns permeability [m^2], to be used with porosity 1.
    Raises UnitError, RangeError.
    Relation: K = (b^2/12) [1 - (192 b/(pi^5 w)) sum over odd n of tanh(n pi w/(2 b))/n^5], b the short side
    Source: laminar duct flow, FL-R14 (from memory, recomputed).
    """
    short, wide = np.minimum(width, depth), np.maximum(width, depth)
    series = sum(np.tanh(n * np.pi * wide / (2 * short)) / n**5 for n in range(1, 60, 2))
    return short**2 / 12 * (1 - 192 * short / (np.pi**5 * wide) * series)


@checked(width="m > 0", depth="m > 0", spacing="m > 0", returns="m^3")
def groove_conductance(width, depth, spacing):
    """Permeability times thickness that parallel grooves in a core add along their length.

    width  [m]  width of one groove
    depth  [m]  depth of one groove
    spacing  [m]  distance from groove to groove
    Returns conductance K h [m^3] per metre across the flow; compare with K h of a mesh.
    Raises UnitError, RangeError.
    Relation: K h = K_channel w d / spacing
    Source: F-19 (own reference).
    """
    return channel_permeability.si(width, depth) * groove_storage.si(width, depth, spacing)


@checked(width="m > 0", depth="m > 0", spacing="m > 0", returns="m")
def groove_storage(width, depth, spacing):
    """Resin that parallel grooves hold, as an even depth over the core.

    width  [m]  width of one groove
    depth  [m]  depth of one groove
    spacing  [m]  distance from groove to groove
    Returns depth [m], volume per area.
    Raises UnitError, RangeError.
    Relation: w d / spacing
    Source: geometry, F-19 (own reference).
    """
    return width * depth / spacing


@checked(fibre_fraction="1 in 0.01..0.99", kozeny_constant="m^2 > 0", returns="m^2")
def kozeny_permeability(fibre_fraction, kozeny_constant):
    """Permeability of a fabric at a fibre fraction.

    fibre_fraction  [1]  share of fibre by volume, scalar or array
    kozeny_constant  [m^2]  constant C of the fabric, fitted to a trial
    Returns permeability [m^2].
    Raises UnitError, RangeError.
    Relation: K = C (1 - Vf)^3 / Vf^2
    Valid: C belongs to one fabric; it is set by the gaps between tows.
    Source: Kozeny-Carman, FL-K50 (read).
    """
    return kozeny_constant * (1 - fibre_fraction) ** 3 / fibre_fraction**2


@checked(permeability="m^2 > 0", fibre_fraction="1 in 0.01..0.99", new_fibre_fraction="1 in 0.01..0.99", returns="m^2")
def permeability_at(permeability, fibre_fraction, new_fibre_fraction):
    """Permeability carried from the fibre fraction it was measured at to another.

    permeability  [m^2]  measured permeability
    fibre_fraction  [1]  fibre fraction of the measurement
    new_fibre_fraction  [1]  fibre fraction wanted, scalar or array
    Returns permeability [m^2].
    Raises UnitError, RangeError.
    Relation: K2/K1 = (1 - V2)^3 V1^2 / ((1 - V1)^3 V2^2)
    Source: Kozeny-Carman, FL-K50 (read).
    """
    return permeability * kozeny_permeability.si(new_fibre_fraction, 1.0) / kozeny_permeability.si(fibre_fraction, 1.0)
