"""What the water does to a hull at a draught: displacement, centres, second moments, freeboard.

Heights count from the lowest point of the hull; lengths are the hull's own x. Between stations the hull is a
straight-line loft, so with the x axis split wherever a line dips under, Gauss points along x are exact to rounding.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from ..errors import RangeError, ShapeError
from ..shape import HullShape
from ..units import checked, checked_fields
from .single import need_single

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)


@checked_fields(draught="m", trim="m", volume="m^3", mass="kg", waterplane_area="m^2", centre_of_buoyancy="m",
                longitudinal_centre_of_buoyancy="m", metacentric_radius="m", longitudinal_metacentric_radius="m",
                centre_of_flotation="m", mass_per_immersion="kg/m", freeboard="m")
class Hydrostatics:
    """A hull afloat.

    draught, trim                    [m]  at mid length above the lowest point; depth gained from first to last station
    volume, mass                     [m^3], [kg]  displaced
    waterplane_area                  [m^2]
    centre_of_buoyancy               [m]  KB, above the lowest point
    longitudinal_centre_of_buoyancy  [m]  LCB, the hull's x
    metacentric_radius               [m]  BM, across
    longitudinal_metacentric_radius  [m]  BML, about the centre of flotation
    centre_of_flotation              [m]  LCF, the hull's x
    mass_per_immersion               [kg/m]  mass that sinks it one metre deeper
    freeboard                        [m]  least height of the last line above the water
    """

    draught: object
    trim: object
    volume: object
    mass: object
    waterplane_area: object
    centre_of_buoyancy: object
    longitudinal_centre_of_buoyancy: object
    metacentric_radius: object
    longitudinal_metacentric_radius: object
    centre_of_flotation: object
    mass_per_immersion: object
    freeboard: object


@checked(draught="m > 0", water_density="kg/m^3 > 0", trim="m")
def hydrostatics(hull, draught, water_density, trim=0.0):
    """Displacement, centres and second moments of a hull at a draught.

    hull           a HullShape
    draught        [m]  water level at mid length above the lowest point of the hull
    water_density  [kg/m^3]  of the water
    trim           [m]  depth gained from the first station to the last, level unless given
    Returns Hydrostatics.
    Raises RangeError when water would come over the last line, or nothing is under water; ShapeError; UnitError.
    Relation: V = int A dx; KB = int int z dA dx / V; BM = (2/3 int y^3 dx)/V; BML = (int 2y x^2 dx - A LCF^2)/V.
    Valid: an open boat until its gunwale goes under; trim small beside the length (areas are taken across the hull).
    Source: textbook definitions (common practice). Not an approval; stability and capacity limits are set by law
    where you build, sell and use the boat: defer to local codes and licensed practice.
    """
    _need_hull(hull)
    need_single(draught=draught, water_density=water_density, trim=trim)
    level = _levels(hull, draught, trim)
    free = float((hull.offsets[:, -1, 1] - level).min())
    if free < -1e-12:
        worst = int(np.argmin(hull.offsets[:, -1, 1] - level))
        raise RangeError(f"draught is {draught:g} m with trim {trim:g} m, but water comes over the gunwale at "
                         f"x = {hull.x[worst]:g} m by {-free:.4g} m; take out load or raise the sides.")
    volume, volume_z, volume_x, area, area_x, area_xx, across = _integrals(hull, level)
    if volume <= 0 or area <= 0:
        raise RangeError(f"no part of the hull is under water at a draught of {draught:g} m with trim {trim:g} m.")
    flotation = area_x / area
    return Hydrostatics.from_si(
        draught=draught, trim=trim, volume=volume, mass=water_density * volume, waterplane_area=area,
        centre_of_buoyancy=volume_z / volume - hull.lowest, longitudinal_centre_of_buoyancy=volume_x / volume,
        metacentric_radius=across / volume, longitudinal_metacentric_radius=(area_xx - area * flotation**2) / volume,
        centre_of_flotation=flotation, mass_per_immersion=water_density * area, freeboard=free)


@checked(mass="kg > 0", water_density="kg/m^3 > 0", returns="m")
def draught_for(hull, mass, water_density):
    """Draught at which a level hull carries a mass.

    hull           a HullShape
    mass           [kg]  boat and all in it
    water_density  [kg/m^3]  of the water
    Returns [m].
    Raises RangeError when the gunwale would go under; ShapeError; UnitError.
    Relation: water_density V(draught) = mass, by bracketed root finding.
    Source: Archimedes.
    """
    _need_hull(hull)
    need_single(mass=mass, water_density=water_density)
    most = float(hull.offsets[:, -1, 1].min() - hull.lowest)
    limit = water_density * _integrals(hull, _levels(hull, most, 0.0))[0]
    if mass > limit:
        raise RangeError(f"mass is {mass:.4g} kg, but the hull carries only {limit:.4g} kg "
                         "with its gunwale at the water; take out load or make the hull larger.")
    return brentq(lambda d: water_density * _integrals(hull, _levels(hull, d, 0.0))[0] - mass, 0.0, most, xtol=1e-12)


@checked(draught="m > 0", trim="m", returns="m")
def freeboard(hull, draught, trim=0.0):
    """Least height of the last line above the water; negative when water comes in.

    hull     a HullShape
    draught  [m]  water level at mid length above the lowest point of the hull
    trim     [m]  depth gained from the first station to the last, level unless given
    Returns [m].
    Raises ShapeError, UnitError, RangeError.
    Relation: least of z_gunwale - z_water. Source: definition. No least freeboard is judged here: defer to local
    codes and licensed practice.
    """
    _need_hull(hull)
    need_single(draught=draught, trim=trim)
    return float((hull.offsets[:, -1, 1] - _levels(hull, draught, trim)).min())


def _need_hull(hull):
    if not isinstance(hull, HullShape):
        raise ShapeError(f"hull is {type(hull).__name__}; hydrostatics needs a HullShape with stations.")


def _levels(hull, draught, trim):
    """Water level z at each station."""
    along = (hull.x - (hull.x[0] + hull.x[-1]) / 2) / (hull.x[-1] - hull.x[0])
    return hull.lowest + draught + trim * along


def _integrals(hull, level):
    """Volume, its z and x moments; waterplane area, its x and x^2 moments, and its second moment across."""
    x, y, z, water = _sections(hull.x, hull.offsets, level)
    weight, at = x
    y0, y1, z0, z1 = y[:, :-1], y[:, 1:], z[:, :-1], z[:, 1:]
    under0, under1 = z0 < water, z1 < water
    rise = np.where(z1 == z0, 1.0, z1 - z0)
    cross = np.clip((water - z0) / rise, 0.0, 1.0)
    at_water = y0 + cross * (y1 - y0)
    low_y, low_z = np.where(under0, y0, at_water), np.minimum(z0, water)
    high_y, high_z = np.where(under1, y1, at_water), np.minimum(z1, water)
    step = np.where(under0 | under1, high_z - low_z, 0.0)
    area = (step * (low_y + high_y)).sum(1)
    moment = (step * (2 * low_y * low_z + low_y * high_z + high_y * low_z + 2 * high_y * high_z) / 3).sum(1)
    # going up out of the water a line adds its breadth, going back under it takes it away
    sign = under0.astype(float) - under1
    topped = np.where(z[:, -1:] < water, 1.0, 0.0)[:, 0]
    half = (sign * at_water).sum(1) + topped * y[:, -1]
    cubed = (sign * at_water**3).sum(1) + topped * y[:, -1] ** 3
    return (weight @ area, weight @ moment, weight @ (area * at), 2 * weight @ half, 2 * weight @ (half * at),
            2 * weight @ (half * at**2), 2 / 3 * weight @ cubed)


def _sections(x, offsets, level):
    """Gauss sections: (weights, places), y and z (sections, lines), water level (sections, 1)."""
    above = offsets[..., 1] - level[:, None]
    change = above[1:] - above[:-1]
    share = np.where(above[:-1] * above[1:] < 0, -above[:-1] / np.where(change == 0, 1.0, change), 0.0)
    breaks = np.sort(np.concatenate([np.zeros((len(x) - 1, 1)), share, np.ones((len(x) - 1, 1))], axis=1), axis=1)
    left, span = breaks[:, :-1, None], np.diff(breaks, axis=1)[:, :, None]
    u = left + span * (_NODES + 1) / 2
    run = np.diff(x)[:, None, None]
    weight = (run * span * _WEIGHTS / 2).ravel()
    at = (x[:-1, None, None] + run * u).ravel()
    part = u[..., None, None]
    rows = ((1 - part) * offsets[:-1, None, None] + part * offsets[1:, None, None]).reshape(-1, *offsets.shape[1:])
    water = ((1 - u) * level[:-1, None, None] + u * level[1:, None, None]).reshape(-1, 1)
    keep = weight > 0
    return (weight[keep], at[keep]), rows[keep, :, 0], rows[keep, :, 1], water[keep]
