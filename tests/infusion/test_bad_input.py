"""Every public function of the floor, walked with zero, negative, NaN, empty and wrong-unit input.

It must answer with a finite number or with one of our own errors; warnings are errors in this suite.
"""

import dataclasses
import inspect
import re

import numpy as np
import pint
import pytest

from compositekit.errors import CompositeKitError
from compositekit.infusion import (
    ageing,
    ageing_room,
    batches,
    budget,
    channels,
    compaction,
    cure,
    darcy,
    exotherm,
    feed,
    feed_layouts,
    feed_sharing,
    front_fit,
    front_speed,
    layers,
    moisture,
    rate_fit,
    resin,
    stack,
    vacuum,
)
from compositekit.units import Q_, Spec

MODULES = (ageing, ageing_room, batches, budget, channels, compaction, cure, darcy, exotherm, feed, feed_layouts, feed_sharing, front_fit, front_speed,
           moisture,
           rate_fit, resin, stack, vacuum)
PUBLIC = {f"{module.__name__.rsplit('.', 1)[1]}.{name}": function for module in MODULES for name, function in vars(module).items()
          if hasattr(function, "si") and inspect.isfunction(function) and function.__module__ == module.__name__}

GOOD = {  # one plain value per argument name
    "distance": Q_(0.4, "m"), "permeability": Q_(2e-10, "m^2"), "porosity": 0.5, "viscosity": Q_(0.3, "Pa*s"), "pressure": Q_(60, "kPa"),
    "time": Q_(30, "min"), "radius": Q_(0.3, "m"), "inlet_radius": Q_(5, "mm"), "outer_radius": Q_(0.5, "m"),
    "lengths": Q_([0.3, 0.2], "m"), "permeabilities": Q_([1e-10, 2e-10], "m^2"), "porosities": [0.5, 0.6], "thicknesses": Q_([3, 2], "mm"),
    "climb": 0.3, "resin_density": Q_(1100, "kg/m^3"), "doubling_time": Q_(1, "hour"), "time_allowed": Q_(1, "hour"),
    "distances": Q_([0.1, 0.2, 0.3], "m"), "times": Q_([60, 230, 560], "s"), "temperatures": Q_([293.0, 300, 310], "K"),
    "flow_rate": Q_(1, "L/min"), "length": Q_(2, "m"), "bore": Q_(8, "mm"), "volume": Q_(3, "L"), "resin_mass": Q_(6, "kg"),
    "mass_per_inlet": Q_(2, "kg"), "pressure_drop": Q_(100, "mbar"), "height": Q_(0.5, "m"), "mesh_permeability": Q_(4e-9, "m^2"),
    "mesh_thickness": Q_(1, "mm"), "mesh_porosity": 0.85, "through_permeability": Q_(2e-12, "m^2"), "thickness": Q_(4, "mm"),
    "width": Q_(2, "mm"), "depth": Q_(2, "mm"), "spacing": Q_(20, "mm"), "fibre_fraction": 0.45, "new_fibre_fraction": 0.5,
    "kozeny_constant": Q_(5e-10, "m^2"), "temperature": Q_(25, "degC"), "temperature_reference": Q_(20, "degC"),
    "viscosity_reference": Q_(0.3, "Pa*s"), "activation_energy": Q_(55, "kJ/mol"), "viscosity_cool": Q_(0.4, "Pa*s"),
    "temperature_cool": Q_(20, "degC"), "viscosity_warm": Q_(0.2, "Pa*s"), "temperature_warm": Q_(30, "degC"),
    "viscosity_start": Q_(0.3, "Pa*s"), "pot_life": Q_(2, "hour"), "conversion_at_gel": 0.5, "rate_constant": Q_(3e5, "1/s"), "order": 1.5,
    "growth_order": 0.0, "conversion_start": 0.01, "hardener_equivalent": Q_(50, "g/mol"), "resin_equivalent": Q_(180, "g/mol"),
    "heat_of_reaction": Q_(440, "J/g"), "specific_heat": Q_(1.9, "J/g/K"), "conversion": 0.6, "uncured": Q_(-20, "degC"),
    "cured": Q_(90, "degC"), "curvature": 0.4, "mass": Q_(1, "kg"), "diameter": Q_(0.15, "m"), "density": Q_(1100, "kg/m^3"),
    "heat_transfer": Q_(8, "W/m^2/K"), "ambient": Q_(20, "degC"), "cooling": Q_(0.4, "W/kg/K"), "limit": None,
    "pot_life_mass": Q_(100, "g"), "pressure_rise": None, "pressure_start": Q_(10, "mbar"), "pressure_end": Q_(15, "mbar"),
    "atmosphere": Q_(1013, "mbar"), "leak": Q_(0.1, "mbar*L/s"), "pump_speed": Q_(10, "m^3/hour"), "ultimate_pressure": Q_(1, "mbar"),
    "altitude": Q_(300, "m"), "pressure_difference": Q_(1, "bar"), "relative_humidity": 0.5, "diffusivity": Q_(1e-9, "m^2/s"),
    "fraction_left": 0.1, "areal_weight": Q_(1.2, "kg/m^2"), "fibre_density": Q_(2560, "kg/m^3"), "area": Q_(2, "m^2"),
    "fibre_fraction_spread": 0.02, "what": "row", "low": None, "typical": None, "high": None, "stays_in_part": True, "source": "here",
    "grade": "own", "least_share": 0.9, "items": [budget.left_over(Q_(1, "kg"), Q_(2, "kg"), Q_(3, "kg"))], "contingency": 0.1, "fill_time": Q_(40, "min"),
    "life_of": lambda mass: Q_(2, "hour"), "mixing_time": Q_(5, "min"), "largest_batch": Q_(3, "kg"), "scale_resolution": Q_(1, "g"),
    "mix_ratio": 0.3, "safe_share": 0.5, "hardener_tolerance": 0.02, "draw": None,
    "compaction_pressure": Q_(95, "kPa"), "compaction_reference": Q_(50, "kPa"), "fibre_fraction_at_pascal": 0.25, "compaction_exponent": 0.06,
    "fibre_fraction_loose": 0.3, "fibre_fraction_densest": 0.7, "spring_constant": Q_(280, "Pa"), "inlet_pressure": Q_(95, "kPa"),
    "bag_pressure": Q_(2, "kPa"), "core_thickness": Q_(20, "mm"), "bevel": Q_(0.7, "rad"), "bridging": Q_(5, "mm"),
    "channel_permeability": Q_(4e-7, "m^2"), "flow_energy": Q_(50, "kJ/mol"), "distance_across": Q_(0.1, "m"), "permeability_across": Q_(1e-10, "m^2"),
    "second_line": Q_(0.2, "m"), "opens": Q_(10, "s"), "gel_time": Q_(2, "hour"), "gel_share": 0.5, "fill_times": Q_([300, 600], "s"),
    "volumes": Q_([1, 2], "L"), "branch_lengths": Q_([0.5, 1], "m"), "branch_bore": Q_(8, "mm"), "pressures": Q_([10, 22, 31], "kPa"),
    "strip_length": Q_(0.2, "m"), "speed": Q_(1, "mm/s"), "surface_tension": Q_(0.034, "N/m"), "capillary_number": 2.5e-3, "resin_pressure": Q_(50, "kPa"),
}


def good(name, function, argument):
    if argument == "fill_time" and name.startswith("ageing_room"):
        return Q_(5, "min")
    if argument == "permeabilities" and name == "stack.two_layer_fronts":
        return GOOD[argument][::-1]
    if argument == "kind":
        return "flax"
    if argument == "form":
        return "slab"
    if argument == "fine_channel":
        return True
    if argument in ("low", "typical", "high"):
        return Q_({"low": 0.1, "typical": 0.2, "high": 0.3}[argument], function.specs[argument].split()[0])
    if argument == "pressure_rise":
        return Q_(5, function.specs[argument].split()[0])
    if argument == "limit":
        return Q_(330, "K") if name.startswith("exotherm") else Q_(1, "mbar/min")
    if argument == "temperatures" and name != "cure.cure":
        return GOOD[argument]
    return GOOD[argument]


def finite(value):
    if dataclasses.is_dataclass(value):
        return all(finite(getattr(value, field.name)) for field in dataclasses.fields(value))
    if isinstance(value, (tuple, list)):
        return all(map(finite, value))
    if isinstance(value, (str, bool)) or value is None:
        return True
    magnitude = value.magnitude if isinstance(value, pint.Quantity) else value
    return bool(np.all(np.isfinite(magnitude)))


def bad_values(spec):
    unit = Spec.of(spec).unit
    for number in (0.0, -1.0, np.nan, np.inf):
        yield Q_(number, unit) if unit != "1" else number
    yield Q_(np.array([]), unit)
    yield Q_(np.full(2, 0.5), unit)
    yield Q_(np.array([np.nan, 1.0]), unit)
    yield Q_(1.0, "candela")
    yield None
    yield "six"
    if unit != "1":
        yield 3.0


CASES = [(name, argument) for name, function in PUBLIC.items() for argument in function.specs]


@pytest.mark.parametrize("name,argument", CASES)
def test_walk(name, argument):
    function = PUBLIC[name]
    arguments = {each: good(name, function, each) for each in inspect.signature(function).parameters}
    assert finite(function(**arguments))
    for bad in bad_values(function.specs[argument]):
        if bad is None and inspect.signature(function).parameters[argument].default is not inspect.Parameter.empty:
            continue
        try:
            answer = function(**{**arguments, argument: bad})
        except CompositeKitError as err:
            assert len(str(err)) > 20
        else:
            assert finite(answer), (bad, answer)


@pytest.mark.parametrize("name", PUBLIC)
def test_docstring_units_are_the_checked_units(name):
    function = PUBLIC[name]
    written = dict(re.findall(r"^    (\w+)  \[(\S+)\]  \S", function.__doc__, re.M))
    assert written == {argument: Spec.of(spec).unit for argument, spec in function.specs.items()}
    for part in ("Returns", "Raises", "Relation:", "Source:"):
        assert part in function.__doc__


FLOW = Q_(2e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(90, "kPa")


def front(distances, times):
    return front_fit.permeability_from_front(Q_(distances, "m"), Q_(times, "s"), *FLOW[1:])


OWN = [
    (lambda: darcy.fill_time_linear(Q_(1, "kg"), *[GOOD[n] for n in ("permeability", "porosity", "viscosity", "pressure")]), "a length"),
    (lambda: darcy.fill_time_radial(Q_(1, "mm"), Q_(5, "mm"), *[GOOD[n] for n in ("permeability", "porosity", "viscosity", "pressure")]), "inside the inlet"),
    (lambda: darcy.fill_time_zones(Q_([1, 2], "m"), Q_([1e-10], "m^2"), [0.5, 0.5], Q_(0.3, "Pa*s"), Q_(1, "bar")), "permeabilities 1"),
    (lambda: front_fit.permeability_from_front(Q_([0.1, 0.2], "m"), Q_([1, 4], "s"), 0.5, Q_(0.3, "Pa*s"), Q_(1, "bar")), "at least 3"),
    (lambda: front_fit.permeability_from_front(Q_([3, 2, 1], "m"), Q_([1, 4, 9], "s"), 0.5, Q_(0.3, "Pa*s"), Q_(1, "bar")), "does not advance"),
    (lambda: front([100, 200, 400], [60, 240, 900]), "millimetres read as metres"),
    (lambda: front([1e-4, 2e-4, 4e-4], [60, 240, 900]), "metres read as millimetres"),
    (lambda: front([0.1, 0.2, 0.4], [60, 30, 900]), "reading 2 is at 30 s, after one at 60 s"),
    (lambda: front([0.1], [60]), "at least 3"),
    (lambda: front([0.1, np.nan, 0.4], [60, 240, 900]), "not a finite number"),
    (lambda: front_fit.permeability_from_round_front(Q_([1, 50, 90], "mm"), Q_([1, 20, 90], "s"), Q_(6, "mm"), 0.5, Q_(0.3, "Pa*s"), Q_(1, "bar")), "inside the inlet"),
    (lambda: front_fit.times_without_hose(Q_([0.1, 0.2, 0.4], "m"), Q_([1, 4, 9], "s"), Q_(1, "m"), Q_(4, "mm"), 0.5, Q_(90, "kPa"), Q_(3, "m"), Q_(5, "mm"),
                                          Q_(0.3, "Pa*s")), "hose alone"),
    (lambda: front_fit.driving_pressure(Q_(1, "bar"), Q_(0.1, "bar"), Q_(1100, "kg/m^3"), Q_(9, "m")), "no pressure is left"),
    (lambda: rate_fit.permeability_from_rate(Q_([0, 10, 5], "s"), Q_([0, 10, 20], "kPa"), Q_(4, "mL/s"), Q_(10, "cm^2"), 0.5, Q_(0.3, "Pa*s")), "backwards"),
    (lambda: darcy.fill_time_linear(Q_(1, "m"), Q_(0, "m^2"), 0.5, Q_(0.3, "Pa*s"), Q_(1, "bar")), "above 0 m"),
    (lambda: layers.as_sheet([]), "at least one layer"),
    (lambda: layers.as_sheet([layers.Layer("insert", Q_(1, "mm"), Q_(0, "m^2"), 0.5)]), "nothing in this stack carries"),
    (lambda: layers.as_sheet([layers.Layer("film", Q_(1, "mm"), Q_(1e-10, "m^2"), 0.0)]), "nothing in this stack takes"),
    (lambda: channels.fillet_gap(Q_(10, "mm"), Q_(90, "deg"), Q_(12, "mm")), "edge face is only 10 mm"),
    (lambda: feed_layouts.gap_closes(Q_(0.1, "m"), Q_(1, "hour"), *FLOW), "passed it"),
    (lambda: feed_layouts.fill_time_second_line(Q_(0.1, "m"), Q_(0.2, "m"), Q_(1, "s"), *FLOW), "short of the second line"),
    (lambda: feed_layouts.compare_feeds(Q_(10, "mm"), Q_(6, "mm"), *FLOW), "too wide"),
    (lambda: feed_layouts.fill_time_oval(Q_(1, "mm"), Q_(0, "mm"), Q_(6, "mm"), Q_(1e-10, "m^2"), *FLOW), "in the inlet"),
    (lambda: ageing_room.fill_time_in_room(Q_(9, "hour"), Q_([0, 1], "hour"), Q_([290.0, 295], "K"), Q_(1, "hour"), Q_(298, "K")), "not over when the history ends"),
    (lambda: ageing_room.fill_time_in_room(Q_(9, "min"), Q_([1, 0], "hour"), Q_([290.0, 295], "K"), Q_(1, "hour"), Q_(298, "K")), "must rise"),
    (lambda: compaction.fibre_box_stress(0.2, 0.3, 0.7, Q_(280, "Pa")), "in that box"),
    (lambda: compaction.fill_time_flexible_bag(Q_(1, "m"), Q_(1, "bar"), Q_(1, "bar"), Q_(2, "kPa"), 0.25, 0.06, Q_(1e-10, "m^2"), Q_(0.3, "Pa*s")), "must rise"),
    (lambda: vacuum.drop_test(Q_(-0.95, "bar"), Q_(-0.94, "bar"), Q_(5, "min")), "at least 0 Pa"),
    (lambda: vacuum.drop_test(Q_(20, "mbar"), Q_(10, "mbar"), Q_(5, "min")), "pump was still pulling"),
    (lambda: moisture.fibre_moisture(0.5, "steel"), "flax and jute"),
    (lambda: cure.cure(Q_([0, 1], "s"), Q_([293.0, 293], "K"), Q_(1, "1/s"), Q_(55, "kJ/mol"), 1, 1, 0), "never starts"),
    (lambda: budget.resin_demand([]), "at least one"),
    (lambda: budget.on_area("cloth", Q_(1, "m^2"), Q_(3, "kg/m^2"), Q_(2, "kg/m^2"), Q_(1, "kg/m^2"), True, "", ""), "must rise"),
]


@pytest.mark.parametrize("call,words", OWN)
def test_error_says_what_and_how(call, words):
    with pytest.raises(CompositeKitError, match=words):
        call()
