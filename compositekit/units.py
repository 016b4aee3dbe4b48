"""The one unit registry, the reader and writer of quantities, and the checked boundary.

Above the boundary everything is a pint quantity; below it kernels see SI floats and arrays.
``checked`` guards a function, ``checked_fields`` guards the fields of a record. Both take one
short specification per argument: an SI unit and, where physics sets one, a bound::

    "m"            any finite length
    "m > 0"        a length above nought
    "1 in 0..0.8"  a dimensionless number from nought to 0.8
    "delta_K"      a difference of temperatures: K or delta_degC, but not degC, a place on a scale
"""

from __future__ import annotations

import difflib
import functools
import inspect
import re
from dataclasses import dataclass, fields
from types import SimpleNamespace

import numpy as np
import pint

from .errors import RangeError, UnitError

ureg = pint.get_application_registry()
Q_ = ureg.Quantity
# pint keeps single units it has read, but reads a compound like kg/m^2 anew at each conversion, at twenty times the cost
ureg.get().parse_units_as_container = functools.lru_cache(maxsize=1024)(ureg.get().parse_units_as_container)

_DIMENSION_WORDS = {
    "m": "a length", "m^2": "an area", "m^3": "a volume", "kg": "a mass", "s": "a time",
    "Pa": "a pressure or stress", "N": "a force", "K": "a temperature", "delta_K": "a difference of temperatures", "kg/m^2": "an areal weight",
    "kg/m^3": "a density", "Pa*s": "a viscosity", "N*m": "a moment", "N/m": "a force per width",
    "N*m^2": "a beam bending stiffness", "m^3/s": "a flow rate", "m/s": "a speed", "J/kg": "heat per mass",
    "J/mol": "an activation energy", "Pa/s": "a pressure rise per time", "kg/m": "a mass per length",
    "1/K": "an expansion coefficient", "1": "a plain number or a percentage",
}
_COMMON_UNITS = ["mm", "cm", "m", "g", "kg", "g/m^2", "kg/m^2", "kg/m^3", "Pa", "kPa", "MPa", "GPa", "bar",
                 "mbar", "N", "kN", "s", "min", "hour", "day", "degC", "K", "deg", "%", "L", "mL", "mPa*s"]


# --- reading and writing ------------------------------------------------------------------

_NUMBER = re.compile(r"^\s*([+-]?(?:\d[\d.,]*|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$", re.S)
_FRACTION = re.compile(r"^\s*(\d+)\s*/\s*(\d+)\s*$")


def parse(text: str, unit: str, where: str = "the value"):
    """Read a quantity as people write it: ``"6 mm"``, ``"12,5 mm"``, ``"35 %"``, ``"1/100"``.

    text   the words to read; a unit is required unless ``unit`` is ``"1"``
    unit   an SI specification as in this module's head; the dimension (and bound) asked for
    where  how to name the place in an error, e.g. ``brief.mass_target``
    Returns a quantity in the unit that was written. Raises UnitError, RangeError.
    One comma followed by anything but three digits is a decimal comma; ``1,200`` is refused,
    since one reader takes it for 1.2 and the next for 1200.
    """
    spec = Spec.of(unit)
    if not isinstance(text, str):
        raise UnitError(f'{where}: a quantity is written as text with its unit, like "6 mm", but came as {text!r}.')
    fraction = _FRACTION.match(text)
    if fraction and spec.unit == "1" and int(fraction[2]):
        quantity = Q_(int(fraction[1]) / int(fraction[2]), "")
    else:
        quantity = _read(text, spec, where)
    spec.read(quantity, where)
    return quantity


def _read(text, spec, where):
    match = _NUMBER.match(text)
    if not match:
        raise UnitError(f'{where}: "{text}" does not start with a number; write it like "6 mm".')
    number, unit_text = match.groups()
    if number.count(",") + number.count(".") > 1 or re.fullmatch(r"[+-]?[1-9]\d*,\d{3}", number):
        raise UnitError(f'{where}: "{number}" could be read two ways; write it without a thousands mark.')
    value = float(number.replace(",", "."))
    if not unit_text:
        if spec.unit != "1":
            raise UnitError(f'{where}: "{text}" has no unit; {spec.words} is wanted, written like "{number} {spec.unit}".')
        return Q_(value, "")
    return Q_(value, _unit(unit_text, where))


def _unit(text, where):
    plain = text.replace("°C", "degC").replace("%", "percent").replace("²", "^2").replace("³", "^3")
    try:
        return ureg.parse_units(plain)
    except Exception as err:
        near = difflib.get_close_matches(text, _COMMON_UNITS, n=3, cutoff=0.5)
        hint = f' Did you mean {" or ".join(near)}?' if near else f' Known units are, among others, {", ".join(_COMMON_UNITS)}.'
        raise UnitError(f'{where}: the unit "{text}" is not known.{hint}') from err


def write(quantity) -> str:
    """Write a quantity so that ``parse`` reads the same value back, e.g. ``6 mm`` or ``360 g/m^2``."""
    unit = f"{quantity.units:~C}".replace("**", "^").replace("Δ", "delta_").replace("°C", "degC")
    return f"{float(quantity.magnitude):.12g} {unit}".strip()


def say(quantity, unit: str | None = None, digits: int = 3) -> str:
    """Show a quantity to a person with the asked number of significant digits, e.g. ``12.3 mm``."""
    if not hasattr(quantity, "units"):
        return _figures(float(quantity), digits)
    quantity = quantity.to(unit) if unit else quantity
    label = f"{quantity.units:~P}".replace("delta_", "").replace("Δ°C", "°C")
    return f"{_figures(float(quantity.magnitude), digits)} {label}".strip()


def _figures(value, digits):
    if value == 0 or not np.isfinite(value):
        return f"{value:g}"
    power = int(np.floor(np.log10(abs(value))))
    if -4 <= power < 6:
        return f"{round(value, digits - 1 - power):.{max(digits - 1 - power, 0)}f}"
    return f"{value:.{digits - 1}e}"


# --- one specification ---------------------------------------------------------------------

_SPEC = re.compile(r"^(?P<unit>\S+?)(?:\s+(?P<op>>=?)\s*(?P<low>[-\d.e]+))?(?:\s+in\s+(?P<a>[-\d.e]+)\.\.(?P<b>[-\d.e]+))?$")


@dataclass(frozen=True)
class Spec:
    """The dimension an argument must have and the bounds it must keep."""

    unit: str
    low: float = -np.inf
    high: float = np.inf
    open_low: bool = False

    @staticmethod
    @functools.cache
    def of(text: str) -> Spec:
        match = _SPEC.match(text)
        if not match:
            raise ValueError(f"unit specification {text!r} is not understood")
        if match["a"] is not None:
            return Spec(match["unit"], float(match["a"]), float(match["b"]))
        if match["op"]:
            return Spec(match["unit"], float(match["low"]), open_low=match["op"] == ">")
        return Spec(match["unit"])

    plain_unit = property(lambda self: self.unit.removeprefix("delta_"))

    @property
    def words(self) -> str:
        return f'{_DIMENSION_WORDS.get(self.unit, "a quantity")} ({self.plain_unit})' if self.unit != "1" else _DIMENSION_WORDS["1"]

    @functools.cached_property
    def pint_unit(self):
        return ureg.parse_units("" if self.unit == "1" else self.plain_unit)

    def read(self, value, name):
        """SI float or array of ``value``; UnitError or RangeError naming ``name`` if it cannot be used."""
        magnitude = self._magnitude(value, name)
        if np.size(magnitude) == 0:
            raise RangeError(f"{name} is empty; give at least one value.")
        if not np.all(np.isfinite(magnitude)):
            raise RangeError(f"{name} is not a finite number ({_brief(value)}).")
        below = np.any(magnitude <= self.low) if self.open_low else np.any(magnitude < self.low)
        if below or np.any(magnitude > self.high):
            raise RangeError(f"{name} is {_brief(value)}, but must be {self._bounds()}.")
        return magnitude

    def _magnitude(self, value, name):
        if isinstance(value, bool) or isinstance(value, str):
            raise UnitError(f"{name} came as {value!r}; {self.words} is wanted.")
        if isinstance(value, pint.Quantity):
            if value.units == self.pint_unit:
                return value.magnitude
            if self.unit != self.plain_unit and value.units in (ureg.degC, ureg.degF):
                raise UnitError(f"{name} came as {_brief(value)}, a temperature on a scale, but {self.words} is wanted: "
                                "how much warmer or colder. Write it in K or delta_degC.")
            try:
                return value.m_as(self.pint_unit)
            except pint.DimensionalityError:
                raise UnitError(f"{name} wants {self.words} but came as {_brief(value)}.") from None
        if value is None:
            raise UnitError(f"{name} is missing; {self.words} is wanted.")
        if self.unit == "1":
            try:
                return np.asarray(value, dtype=float) if np.ndim(value) else float(value)
            except (TypeError, ValueError):
                raise UnitError(f"{name} came as {value!r}; {self.words} is wanted.") from None
        raise UnitError(f'{name} came without a unit; write Q_({_brief(value)}, "{self.plain_unit}").')

    def _bounds(self):
        unit = "" if self.unit == "1" else f" {self.plain_unit}"
        if np.isfinite(self.high):
            return f"from {self.low:g} to {self.high:g}{unit}"
        return f'{"above" if self.open_low else "at least"} {self.low:g}{unit}'


def _brief(value):
    text = f"{value:~P}" if isinstance(value, pint.Quantity) else str(value)
    return text if len(text) < 60 else text[:57] + "..."


# --- the boundary --------------------------------------------------------------------------

def checked(*, returns=None, **specs):
    """Guard a public function: quantities in, SI floats inside, quantities out.

    specs    one specification per guarded argument; an argument whose default is None may stay None
    returns  SI unit of the result, a tuple of units for a tuple, or None to pass the result through
    The bare kernel stays reachable as ``function.si`` for sweeps. All faults come in one sentence.
    """
    table = {name: Spec.of(text) for name, text in specs.items()}
    units = tuple(map(_result_unit, returns)) if isinstance(returns, tuple) else _result_unit(returns)

    def decorate(function):
        signature = inspect.signature(function)
        unknown = set(table) - set(signature.parameters)
        if unknown:
            raise TypeError(f"{function.__name__} has no argument {sorted(unknown)}")

        optional = {name for name, parameter in signature.parameters.items() if parameter.default is None}

        @functools.wraps(function)
        def guarded(*args, **kwargs):
            bound = signature.bind(*args, **kwargs)
            _read_all(function.__name__, table, bound.arguments, optional)
            return _wrap(function(*bound.args, **bound.kwargs), units)

        guarded.si = function
        guarded.specs = dict(specs)
        guarded.returns = returns
        return guarded

    return decorate


def _read_all(owner, table, arguments, optional):
    faults = []
    for name, spec in table.items():
        if name not in arguments or (arguments[name] is None and name in optional):
            continue
        try:
            arguments[name] = spec.read(arguments[name], name)
        except (UnitError, RangeError) as err:
            faults.append(err)
    if faults:
        kind = UnitError if any(isinstance(f, UnitError) for f in faults) else RangeError
        raise kind(f"{owner} cannot work with this: " + " ".join(map(str, faults)))


def _result_unit(text):
    return None if text is None else Spec.of(text).pint_unit


def _wrap(result, units):
    if units is None:
        return result
    if isinstance(units, tuple):
        return tuple(value if unit is None else Q_(value, unit) for value, unit in zip(result, units, strict=True))
    return Q_(result, units)


def checked_fields(**specs):
    """Make a class a frozen record whose named fields are guarded quantities.

    Each guarded field is stored as a quantity in SI; ``record.si`` holds the same values as floats.
    A field whose default is None may stay None. ``Class.from_si(...)`` builds from floats without
    checking, for sweeps. A method ``validate(self)`` is called last, if there is one.
    """
    table = {name: Spec.of(text) for name, text in specs.items()}

    def decorate(cls):
        def __post_init__(self):
            values = {name: getattr(self, name) for name in table}
            _read_all(cls.__name__, table, values, {field.name for field in fields(self) if field.default is None})
            _store(self, values)

        def from_si(cls, **values):
            self = object.__new__(cls)
            for field in fields(cls):
                if field.name not in values:
                    values[field.name] = field.default
                if field.name not in table:
                    object.__setattr__(self, field.name, values[field.name])
            _store(self, {name: values[name] for name in table})
            return self

        def _store(self, si):
            for name, value in si.items():
                object.__setattr__(self, name, None if value is None else Q_(value, table[name].pint_unit))
            object.__setattr__(self, "si", SimpleNamespace(**si))
            if hasattr(self, "validate"):
                self.validate()

        cls.__post_init__ = __post_init__
        cls.from_si = classmethod(from_si)
        cls.specs = dict(specs)
        return dataclass(frozen=True, eq=False)(cls)

    return decorate
