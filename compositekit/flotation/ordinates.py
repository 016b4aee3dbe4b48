"""Areas, volumes and centres from ordinates written down at stations, by Simpson's rule.

Half stations fit in as long as the stations come in pairs of equal steps: the multipliers follow by panel.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import simpson

from ..errors import RangeError
from ..units import checked


@checked(distance="m", area="m^2 >= 0", returns=("m^3", "m"))
def volume_from_areas(distance, area):
    """Volume and its centre from section areas along a length, or waterplane areas up a height.

    distance  [m]  places of the areas, rising, at least three, shape (n,)
    area      [m^2]  areas there, shape (n,)
    Returns [m^3], [m]: volume and the place of its centre.
    Raises UnitError, RangeError.
    Relation: V = integral of A ds, centre = integral of A s ds / V, Simpson's rule.
    Valid: odd number of stations in pairs of equal steps for the textbook multipliers.
    Source: Simpson's first rule, any textbook of ship calculations (common practice).
    """
    distance, area = _table(distance, area)
    volume = simpson(area, x=distance)
    if volume <= 0:
        raise RangeError("every area is nought; there is no volume to find a centre of.")
    return float(volume), float(simpson(area * distance, x=distance) / volume)


@checked(distance="m", half_breadth="m >= 0", returns=("m^2", "m", "m^4", "m^4"))
def waterplane_from_half_breadths(distance, half_breadth):
    """Waterplane from half-breadths; both sides are counted.

    distance      [m]  places along the boat, rising, at least three, shape (n,)
    half_breadth  [m]  from the centreline to one side, shape (n,)
    Returns [m^2], [m], [m^4], [m^4]: area, centre of flotation, second moment across, and along about that centre.
    Raises UnitError, RangeError.
    Relation: A = 2 int y dx; I_T = 2/3 int y^3 dx; I_L = 2 int y x^2 dx - A LCF^2, Simpson's rule.
    Valid: odd number of stations in pairs of equal steps for the textbook multipliers.
    Source: Simpson's first rule, any textbook of ship calculations (common practice).
    """
    distance, half = _table(distance, half_breadth)
    area = 2 * simpson(half, x=distance)
    if area <= 0:
        raise RangeError("every half-breadth is nought; there is no waterplane.")
    centre = 2 * simpson(half * distance, x=distance) / area
    across = 2 / 3 * simpson(half**3, x=distance)
    along = 2 * simpson(half * (distance - centre) ** 2, x=distance)
    return float(area), float(centre), float(across), float(along)


@checked(waterplane_area="m^2 > 0", water_density="kg/m^3 > 0", returns="kg/m")
def mass_per_immersion(waterplane_area, water_density):
    """Mass that sinks the boat one length deeper.

    waterplane_area  [m^2]  area cut by the water surface
    water_density    [kg/m^3]  of the water
    Returns [kg/m].
    Raises UnitError, RangeError.
    Relation: water_density A_w. Source: Archimedes; TPC of the textbooks (common practice).
    """
    return water_density * waterplane_area


@checked(length="m > 0", quarter_area="m^2 >= 0", middle_area="m^2 >= 0", three_quarter_area="m^2 >= 0", returns="m^3")
def open_boat_volume(length, quarter_area, middle_area, three_quarter_area):
    """Volume of an open boat from three section areas, its ends taken as points.

    length              [m]  of the boat
    quarter_area        [m^2]  section at a quarter of the length
    middle_area         [m^2]  section at half the length
    three_quarter_area  [m^2]  section at three quarters of the length
    Returns [m^3].
    Raises UnitError, RangeError.
    Relation: L/12 (4A + 2B + 4C).
    Source: Stirling's rule, US Statutes at Large vol. 44 pt 1 p. 1503 (read; divisor and places garbled in the scan,
    inferred from Simpson's rule).
    """
    return length / 12 * (4 * quarter_area + 2 * middle_area + 4 * three_quarter_area)


def _table(distance, ordinate):
    distance, ordinate = np.atleast_1d(distance), np.atleast_1d(ordinate)
    if distance.ndim != 1 or distance.shape != ordinate.shape or len(distance) < 3:
        raise RangeError(f"{distance.size} places and {ordinate.size} ordinates came; "
                         "give as many of each, at least 3.")
    if np.any(np.diff(distance) <= 0):
        i = int(np.argmax(np.diff(distance) <= 0))
        raise RangeError(f"places {i + 1} and {i + 2} are {distance[i]:g} m and {distance[i + 1]:g} m; "
                         "list each once, rising.")
    return distance, ordinate
