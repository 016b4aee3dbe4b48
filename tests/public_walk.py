"""Finds every guarded function, method and record of the package, and builds a valid call of each from its specs."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass, fields

import numpy as np
from valid_calls import CALLS, OBJECTS, OWNERS

import compositekit
from compositekit.units import Q_, Spec

# A plain value in SI for a unit without a tighter bound; anything else starts from 1.
TYPICAL = {"m": 0.5, "m^2": 0.3, "kg": 2.0, "s": 600.0, "Pa": 5e4, "K": 295.0, "kg/m^2": 0.6, "kg/m^3": 1100.0,
           "Pa*s": 0.25, "N": 300.0, "1": 0.4}
# Arguments that mean a smaller or larger thing than their unit suggests.
BY_NAME = {"permeability": 1e-10, "thickness": 1e-3, "skin_thickness": 1e-3, "core_thickness": 0.02, "bore": 0.01, "load_span": 0.2,
           "areal_weight": 0.6, "fibre_density": 2550.0, "fibre_fraction": 0.5, "modulus": 2e10, "skin_modulus": 2e10}


@dataclass
class Guarded:
    """One guarded callable: where it lives, its specs, and the class it is a method of."""

    place: str
    call: object
    owner: type | None = None

    @property
    def specs(self):
        return {name: Spec.of(text) for name, text in self.call.specs.items()}

    @property
    def is_record(self):
        return inspect.isclass(self.call)

    def required(self):
        if self.is_record:
            return {f.name for f in fields(self.call) if f.default is f.default_factory}   # both MISSING
        return {name for name, p in inspect.signature(self.call).parameters.items()
                if p.default is p.empty and p.kind is not p.VAR_KEYWORD}

    def documented(self):
        """Units by argument name as the docstring gives them; one line may name several arguments."""
        lines = re.findall(r"^\s*([A-Za-z_][\w, ]*?)\s+\[([^\]\s]+)\](?:\s|$)", self.call.__doc__ or "", re.M)
        return {name.strip(): unit for names, unit in lines for name in names.split(",")
                if not names.lower().startswith("returns")}


def everything() -> list[Guarded]:
    found = []
    for info in pkgutil.walk_packages(compositekit.__path__, "compositekit."):
        module = importlib.import_module(info.name)
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", None) != info.name:
                continue
            place = f"{info.name.removeprefix('compositekit.')}.{name}"
            if hasattr(thing, "specs"):
                found.append(Guarded(place, thing))
            if inspect.isclass(thing):
                found += [Guarded(f"{place}.{key}", method, thing) for key, method in vars(thing).items()
                          if not key.startswith("_") and inspect.isfunction(method) and hasattr(method, "specs")]
    return found


def good_value(name, spec):
    value = BY_NAME.get(name, TYPICAL.get(spec.unit, 1.0))
    low, high = spec.low, spec.high
    if value < low or value > high or (spec.open_low and value == low):
        value = (low + high) / 2 if np.isfinite(high) else low + 1.0
    return Q_(value, spec.pint_unit)


def valid_call(guarded):
    """Keyword arguments of a call that ought to work; tests/valid_calls.py holds what a spec cannot tell."""
    specs = guarded.specs
    values = {}
    for name in guarded.required():
        if name in specs:
            values[name] = good_value(name, specs[name])
        elif name == "self":
            values[name] = OWNERS[guarded.owner.__name__]()
        else:
            values[name] = OBJECTS[name]() if name in OBJECTS else "own"
    return values | CALLS.get(guarded.place, dict)()
