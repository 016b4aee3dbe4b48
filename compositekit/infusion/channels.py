"""Open channels resin races along: edge gaps beside a core, grooves, slits, and the front in one that leaks into fabric."""

from __future__ import annotations

import functools

import numpy as np

from ..errors import RangeError
from ..units import checked, checked_fields
from .counts import single

FABRIC = dict(permeability="m^2 > 0", porosity="1 in 0.01..1", viscosity="Pa*s > 0", pressure="Pa > 0")


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


# --- gaps along a core edge -------------------------------------------------------------------

@checked_fields(area="m^2 > 0", permeability="m^2 > 0")
class EdgeGap:
    """Free gap along a core edge, for an EdgeChannel of the fill: clear cross-section and mean permeability, porosity 1.

    words  what it is, for a page
    ``si.area`` is also what the gap stores per length; ``conductance`` [m^4] what it carries.
    """

    words: str
    area: object
    permeability: object

    @property
    def conductance(self):
        """Permeability times cross-section, m^4: what the gap carries per pressure gradient, times viscosity."""
        return self.permeability * self.area


@checked(core_thickness="m > 0", width="m > 0")
@single()
def square_edge_gap(core_thickness, width):
    """Gap left between a square core edge and what stands beside it: a rectangle of the core's thickness.

    core_thickness  [m]  thickness of the core
    width  [m]  width of the gap, as measured with a feeler or a ruler
    Returns EdgeGap.
    Raises UnitError, RangeError.
    Relation: A = w c; K of a rectangular channel (FL-R14)
    Valid: free gap; resin races along it and can strand a dry spot, so fill it, bevel the core or put the vent last.
    Source: laminar duct flow, FL-R14 (from memory, recomputed); effect FL-D01 (read).
    """
    return EdgeGap.from_si(words=f"gap of {1e3 * width:g} mm beside a square edge", area=width * core_thickness,
                           permeability=channel_permeability.si(width, core_thickness))


@checked(core_thickness="m > 0", bevel="rad in 0.05..1.5707963267948966", bridging="m > 0")
@single()
def fillet_gap(core_thickness, bevel, bridging):
    """Gap at the foot of a core edge where the skin cuts the corner: a triangle with two equal legs.

    core_thickness  [m]  thickness of the core
    bevel  [rad]  angle of the edge face with the mould: 90 degrees for a square edge, 30 for a flat bevel
    bridging  [m]  how far from the foot the skin leaves the mould, and the same up the edge; not above the edge itself
    Returns EdgeGap.
    Raises UnitError; RangeError also for a bridge longer than the edge face.
    Relation: A = b^2 sin(angle)/2; K = mean of w with laplace(w) = -1 in the triangle and w = 0 on its sides
    Valid: taut cloth, a straight chord; cloth that bends into the corner leaves less. At the same bridging a bevel of
        30 degrees carries a tenth of a square edge.
    Source: laminar duct flow (textbook, from memory), solved here by a polynomial series (own reference).
    """
    face = core_thickness / np.sin(bevel)
    if bridging > face * (1 + 1e-12):
        raise RangeError(f"bridging is {1e3 * bridging:g} mm, but the edge face is only {1e3 * face:.3g} mm long; give what the skin bridges at the foot.")
    return EdgeGap.from_si(words=f"corner bridged over {1e3 * bridging:g} mm at an edge of {np.degrees(bevel):.0f} degrees",
                           area=bridging**2 * np.sin(bevel) / 2, permeability=bridging**2 * _triangle_permeability(float(bevel)))


@functools.lru_cache(maxsize=256)
def _triangle_permeability(bevel, degree=9):
    """Mean permeability of a duct with two legs of 1 and the chord between them; ``bevel`` is the turn at the foot [rad].

    Least energy over w = l1 l2 l3 times all polynomials of the barycentric l1, l2 up to the degree.
    """
    corners = np.array([[0.0, 0.0], [-1.0, 0.0], [np.cos(bevel), np.sin(bevel)]])
    sides = np.linalg.inv(np.vstack([corners.T, np.ones(3)]))[:, :2]         # gradients of l1, l2, l3
    point, weight = np.polynomial.legendre.leggauss(degree + 4)
    point, weight = (point + 1) / 2, weight / 2
    first = np.repeat(point, point.size)
    second = np.tile(point, point.size) * (1 - first)                        # the square folded on to the triangle
    mass = np.outer(weight * (1 - point), weight).ravel() * 2                # sums to 1: means over the triangle
    third = 1 - first - second
    values, slopes = [], []
    for m in range(degree + 1):
        for n in range(degree + 1 - m):
            power, bubble = first**m * second**n, first * second * third
            values.append(bubble * power)
            slopes.append(np.outer(second * third * power * (m + 1), sides[0]) + np.outer(first * third * power * (n + 1), sides[1])
                          + np.outer(first * second * power, sides[2]))
    values, slopes = np.array(values), np.array(slopes)
    load = values @ mass
    energy = np.einsum("ipx,jpx,p->ij", slopes, slopes, mass, optimize=True)
    return float(load @ np.linalg.lstsq(energy, load, rcond=1e-15)[0])


# --- a front that runs ahead in a channel and leaks into the fabric beside or below it -----------

def leaking_time(distance, carry, storage, permeability, porosity, viscosity):
    """Time times pressure [s Pa] for a front in a runner that leaks into fabric on one side, SI floats.

    carry [m^3] and storage [m] of the runner per width; permeability and porosity of the fabric it leaks into.
    """
    leak = np.sqrt(2 * permeability * porosity / viscosity)
    root = distance * leak / 6 / np.sqrt(carry / (2 * viscosity)) + np.sqrt(storage)
    return (1.5 / leak * (root**2 - storage)) ** 2


@checked(distance="m >= 0", channel_permeability="m^2 > 0", width="m > 0", **FABRIC, returns="s")
def fill_time_channel(distance, channel_permeability, width, permeability, porosity, viscosity, pressure):
    """Time for the front in a free edge channel to run a distance, resin leaking into the fabric on one side.

    distance  [m]  distance along the channel, scalar or array
    channel_permeability  [m^2]  mean permeability of the channel
    width  [m]  width of the channel: cross-section over the thickness of the laminate beside it
    permeability  [m^2]  in-plane permeability of the fabric beside it
    porosity  [1]  open share of that fabric
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns time [s].
    Raises UnitError, RangeError.
    Relation: inverse of front_position_channel
    Source: FL-R13 (own reference).
    """
    return leaking_time(distance, channel_permeability * width, width, permeability, porosity, viscosity) / pressure


@checked(time="s >= 0", channel_permeability="m^2 > 0", width="m > 0", **FABRIC, returns="m")
def front_position_channel(time, channel_permeability, width, permeability, porosity, viscosity, pressure):
    """How far the front in a free edge channel has raced, resin leaking into the fabric on one side.

    time  [s]  time since resin entered the channel, scalar or array
    channel_permeability  [m^2]  mean permeability of the channel
    width  [m]  width of the channel: cross-section over the thickness of the laminate beside it
    permeability  [m^2]  in-plane permeability of the fabric beside it
    porosity  [1]  open share of that fabric
    viscosity  [Pa*s]  viscosity of the resin, taken constant
    pressure  [Pa]  driving pressure, inlet less vent
    Returns distance [m].
    Raises UnitError, RangeError.
    Relation: X = (6/c) sqrt(Kc w/(2 mu)) [sqrt(w + (2/3) c sqrt(P t)) - sqrt(w)], c = sqrt(2 K phi/mu)
    Source: FL-R13 (own reference, checked against a field solution).
    """
    leak = np.sqrt(2 * permeability * porosity / viscosity)
    grown = 2 / 3 * leak * np.sqrt(pressure * time)
    ahead = grown / (np.sqrt(width + grown) + np.sqrt(width))     # the difference of the roots, without losing digits
    return 6 / leak * np.sqrt(channel_permeability * width / (2 * viscosity)) * ahead
