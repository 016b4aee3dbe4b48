"""A zone: a named area of a part that carries one layup."""

from __future__ import annotations

from ..errors import ShapeError
from ..units import checked_fields


@checked_fields(area="m^2 > 0", perimeter="m > 0", length="m > 0", width="m > 0", widest="m > 0", centre="m")
class Zone:
    """Size and place of one named area, laid flat.

    name       what the part calls it
    area       [m^2]  all pieces together
    perimeter  [m]  edge to trim and seal, all pieces together
    length     [m]  the long way of one piece
    width      [m]  the narrow way of one piece, mean; what resin crosses when fed along a long edge
    widest     [m]  the narrow way of one piece where it is widest; the last place to fill
    centre     [m]  centre of area x, y, z
    pieces     how many separate pieces (two mirrored hull sides are two)
    """

    name: str
    area: object
    perimeter: object
    length: object
    width: object
    widest: object
    centre: object
    pieces: int = 1


def make_zone(name, area, perimeter, sides, centre, widest=None, pieces=1):
    """Zone from SI numbers; ``sides`` in either order, ``widest`` when it differs from the narrow one."""
    width, length = sorted(sides)
    widest = width if widest is None else min(max(widest, width), max(length, width))
    return Zone.from_si(name=name, area=float(area), perimeter=float(perimeter), length=float(length),
                        width=float(width), widest=float(widest), centre=centre, pieces=pieces)


def find_zone(zones, name):
    """The zone of that name; ShapeError listing the names there are."""
    if not isinstance(name, str) or name not in zones:
        raise ShapeError(f'zone "{name}" is not part of this shape; its zones are {", ".join(zones)}.')
    return zones[name]
