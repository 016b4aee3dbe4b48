"""What a unit cannot tell of a valid call: objects by argument name, and values for single callables."""

from __future__ import annotations

import functools

import numpy as np

from compositekit.units import Q_


@functools.cache
def hull():
    from compositekit.shape.stations import HullShape

    section = {"keel": (0.0, 0.0), "gunwale": (0.5, 0.4)}
    return HullShape([(x, section) for x in (0.0, 0.5, 1.0)], ["keel", "gunwale"])


@functools.cache
def mesh():
    from compositekit.shape.mesh import TriangleMesh

    return TriangleMesh([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]], [[0, 1, 2], [0, 2, 3]])


@functools.cache
def feed_line():
    from compositekit.infusion.filling import FeedLine

    return FeedLine("edge", [0, 3], Q_(90.0, "kPa"))


@functools.cache
def fill_model():
    from compositekit.infusion.filling import FillModel

    return FillModel(mesh(), Q_(5.0, "mm"), 0.5)


@functools.cache
def fill_result():
    return fill_model().fill(Q_(1e-9, "m^2"), Q_(0.25, "Pa*s"), [feed_line()])


@functools.cache
def catalogue():
    from compositekit.catalogue import Catalogue

    return Catalogue.starter()


def first(frame_name, entry_name):
    found = catalogue()
    return getattr(found, entry_name)(getattr(found, frame_name)().index[0])


@functools.cache
def ply():
    from compositekit.mechanics.ply import Ply

    return Ply(name="own", e1=Q_(4e10, "Pa"), e2=Q_(1e10, "Pa"), g12=Q_(4e9, "Pa"), nu12=0.3, thickness=Q_(1e-3, "m"),
               xt=Q_(9e8, "Pa"), xc=Q_(6e8, "Pa"), yt=Q_(4e7, "Pa"), yc=Q_(1e8, "Pa"), s12=Q_(5e7, "Pa"),
               cte1=Q_(8e-6, "1/K"), cte2=Q_(3e-5, "1/K"), cme1=0.05, cme2=0.6)


@functools.cache
def laminate():
    from compositekit.mechanics.laminate import Laminate

    return Laminate([ply(), ply()], Q_(np.array([0.0, 90.0]), "deg"))


def sandwich():
    from compositekit.mechanics.sandwich import Sandwich

    skin = {"outer_skin_thickness": Q_(1e-3, "m"), "inner_skin_thickness": Q_(1e-3, "m"),
            "outer_skin_modulus": Q_(2e10, "Pa"), "inner_skin_modulus": Q_(2e10, "Pa")}
    return Sandwich(**skin, core_thickness=Q_(0.02, "m"), core_modulus=Q_(5e7, "Pa"), core_shear_modulus=Q_(2e7, "Pa"))


def resin_items():
    from compositekit.infusion.budget import on_area

    return [on_area("peel ply", Q_(2.0, "m^2"), *(Q_(held, "kg/m^2") for held in (0.03, 0.04, 0.05)), False, "own", "own")]


def swamped_items():
    from compositekit.flotation.swamped import Item

    return [Item(name="shell", mass=Q_(20.0, "kg"), volume=Q_(0.05, "m^3"))]


def strip(**known):
    """A strip in three-point bending: D = E t d^2/2 = 4410 N*m and G d^2/c = 441 kN/m give about 9 mm at 1 kN."""
    return {"span": Q_(0.5, "m"), "load_span": Q_(0.0, "m"), "load": Q_(1.0, "kN"), "width": Q_(0.1, "m"),
            "skin_thickness": Q_(1.0, "mm"), "core_thickness": Q_(20.0, "mm"), "deflection": Q_(8.74, "mm")} | known


@functools.cache
def stacks():
    from compositekit.mechanics.stacks import StiffnessTable

    return StiffnessTable([ply()], Q_(np.array([0.0, 90.0]), "deg")).stacks([[0, 1], [1, 0]])


OBJECTS = {    # arguments that carry no unit, by name
    "mesh": mesh, "feeds": lambda: [feed_line()],
    "hull": hull, "laminate": laminate, "sandwich": sandwich,
    "fabric": lambda: first("fabrics", "fabric"), "fibre": lambda: first("fibres", "fibre"),
    "other_fibre": lambda: catalogue().fibre("flax"), "core": lambda: catalogue().core("pvc-80"),
    "resin": lambda: first("resins", "resin"),
    "kind": lambda: "fresh", "case": lambda: "supported centre", "grade": lambda: "read",
    "life_of": lambda: lambda mass: Q_(40.0, "min"),
}
OWNERS = {"Laminate": laminate, "HullShape": hull, "Sandwich": sandwich, "Stacks": stacks, "TriangleMesh": mesh,
          "FillModel": fill_model, "FillResult": fill_result}    # for methods
ROW = np.array([0.0, 0.5, 1.0])

CALLS = {    # values that must fit each other, or arrays, by place
    "flotation.ordinates.volume_from_areas": lambda: {"distance": Q_(ROW, "m"), "area": Q_(ROW, "m^2")},
    "flotation.ordinates.waterplane_from_half_breadths":
        lambda: {"distance": Q_(ROW, "m"), "half_breadth": Q_(ROW, "m")},
    "flotation.hydrostatics.hydrostatics": lambda: {"draught": Q_(0.2, "m"), "water_density": Q_(1000.0, "kg/m^3")},
    "flotation.hydrostatics.draught_for": lambda: {"mass": Q_(50.0, "kg"), "water_density": Q_(1000.0, "kg/m^3")},
    "flotation.hydrostatics.freeboard": lambda: {"draught": Q_(0.2, "m")},
    "flotation.swamped.swamped_flotation": lambda: {"items": swamped_items(), "persons": 2},
    "infusion.budget.resin_demand": lambda: {"items": resin_items()},
    "infusion.budget.ResinItem": lambda: {"low": Q_(0.1, "kg"), "typical": Q_(0.2, "kg"), "high": Q_(0.3, "kg")},
    "infusion.budget.on_area":
        lambda: {"low": Q_(0.1, "kg/m^2"), "typical": Q_(0.2, "kg/m^2"), "high": Q_(0.3, "kg/m^2")},
    "infusion.batches.batch_plan": lambda: {
        "mix_ratio": 0.27, "scale_resolution": Q_(1.0, "g"), "fill_time": Q_(20.0, "min"), "mixing_time": Q_(4.0, "min")},
    "infusion.cure.conversion_from_glass_transition":
        lambda: {"uncured": Q_(230.0, "K"), "cured": Q_(360.0, "K"), "temperature": Q_(300.0, "K")},
    "infusion.cure.cure": lambda: {"times": Q_(ROW * 3600, "s"), "temperatures": Q_(300 + ROW, "K")},
    "infusion.fill_lines.FeedLine": lambda: {"nodes": [0, 3], "hose_length": Q_(1.0, "m"), "hose_bore": Q_(10.0, "mm")},
    "infusion.darcy.fill_time_ageing": lambda: {"distance": Q_(0.1, "m")},
    "infusion.darcy.permeability_from_front": lambda: {"distances": Q_(ROW, "m"), "times": Q_(600 * ROW**2, "s")},
    "infusion.resin.activation_energy_from_two": lambda: {
        "temperature_cool": Q_(290.0, "K"), "temperature_warm": Q_(300.0, "K"),
        "viscosity_cool": Q_(0.4, "Pa*s"), "viscosity_warm": Q_(0.25, "Pa*s")},
    "mechanics.laminate.Laminate.response": lambda: {"N": Q_(np.array([1e4, 0.0, 0.0]), "N/m")},
    "mechanics.interlaminar.interlaminar_shear": lambda: {"shear_force": Q_(np.array([1e3, 0.0]), "N/m")},
    "mechanics.laminate.Laminate.cure_stress": lambda: {
        "stress_free_temperature": Q_(340.0, "K"), "temperature": Q_(295.0, "K")},
    "mechanics.stacks.Stacks.response": lambda: {"N": Q_(np.array([1e4, 0.0, 0.0]), "N/m")},
    "mechanics.search.pareto_front": lambda: {"objectives": np.array([[1.0, 2.0], [2.0, 1.0]])},
    "mechanics.search.least_violation": lambda: {"shares": np.array([[1.0, 2.0], [1.5, 1.5]])},
    "mechanics.strength.first_ply_failure": lambda: {"N": Q_(np.array([1e4, 0.0, 0.0]), "N/m")},
    "infusion.cuts.core_cut": lambda: {"name": "grooved"},
    "trial.strips.facing_modulus": lambda: strip(core_shear_modulus=Q_(20.0, "MPa")),
    "trial.strips.core_shear_modulus": lambda: strip(facing_modulus=Q_(20.0, "GPa")),
    "trial.statistics.tolerance_factor": lambda: {"number": 5},
    "trial.strips.two_span_rigidities": lambda: {
        "span": Q_(np.array([0.2, 0.5]), "m"), "load_span": Q_(0.0, "m"), "load": Q_(100.0, "N"), "width": Q_(0.05, "m"),
        "deflection": Q_(np.array([1.67, 12.9]), "mm")},
    "shape.mesh.TriangleMesh.nearest_node": lambda: {"point": Q_(np.array([0.9, 0.1, 0.0]), "m")},
    "shape.meshing.surface_mesh": lambda: {"shape": hull(), "size": Q_(0.2, "m")},
    "shape.mesh.TriangleMesh.path_nodes": lambda: {"points": Q_(np.array([[0.0, 0.0, 0.0], [1.0, 1.0, 0.0]]), "m")},
    "mechanics.panel.orthotropic_panel": lambda: {"d12": Q_(0.3, "N*m")},
    "mechanics.panel_peaks.edge_panel": lambda: {"d12": Q_(0.3, "N*m"), "edges": "clamped"},
    "mechanics.panel_stability.panel_frequency": lambda: {"d12": Q_(0.3, "N*m"), "edges": "clamped"},
    "mechanics.panel_stability.panel_buckling": lambda: {"d12": Q_(0.3, "N*m"), "edges": "clamped"},
}
