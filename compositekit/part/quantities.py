"""Quantities inside the part file: text with a unit on disk, a pint quantity in memory."""

from __future__ import annotations

import functools
from typing import Annotated

import pint
from pydantic import BeforeValidator, PlainSerializer

from ..units import Spec, parse, write


@functools.lru_cache(maxsize=4096)
def _parsed(text, unit, where):
    return parse(text, unit, where)


def quantity(unit: str):
    """Field type for a quantity of dimension ``unit`` (a specification as in compositekit.units)."""

    def read(value, info):
        where = (info.field_name or "the value").replace("_", " ")
        if isinstance(value, pint.Quantity):
            Spec.of(unit).read(value, where)
            return value
        if Spec.of(unit).unit == "1" and isinstance(value, int | float) and not isinstance(value, bool):
            Spec.of(unit).read(value, where)
            return pint.Quantity(float(value), "")
        return _parsed(value, unit, where) if isinstance(value, str) else parse(value, unit, where)

    return Annotated[pint.Quantity, BeforeValidator(read), PlainSerializer(write, return_type=str)]


Length = quantity("m > 0")
LengthOrNought = quantity("m >= 0")
Area = quantity("m^2 > 0")
Volume = quantity("m^3 >= 0")
Mass = quantity("kg > 0")
MassOrNought = quantity("kg >= 0")
Pressure = quantity("Pa > 0")
PressureOrNought = quantity("Pa >= 0")
Force = quantity("N > 0")
Temperature = quantity("K in 223..473")
Time = quantity("s > 0")
TimeOrNought = quantity("s >= 0")
Angle = quantity("rad in -7..7")
Share = quantity("1 in 0..1")
Factor = quantity("1 >= 1")             # an allowance that makes a load smaller or a strength larger is a slip
SagShare = quantity("1 in 0.0001..0.05")   # beyond 1/20 small-deflection plate theory no longer holds
Altitude = quantity("m in -400..6000")     # where people live and work
Position = quantity("m")
Permeability = quantity("m^2 > 0")
