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
def vent_line():
    from compositekit.infusion.filling import VentLine

    return VentLine("far edge", [1, 2])


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
    "mesh": mesh, "feeds": lambda: [feed_line()], "model": fill_model, "vents": lambda: [vent_line()],
    "hull": hull, "laminate": laminate, "sandwich": sandwich,
    "fabric": lambda: first("fabrics", "fabric"), "fibre": lambda: first("fibres", "fibre"),
    "other_fibre": lambda: catalogue().fibre("flax"), "core": lambda: catalogue().core("pvc-80"),
    "resin": lambda: first("resins", "resin"),
    "kind": lambda: "fresh", "case": lambda: "supported centre", "grade": lambda: "read",
    "life_of": lambda: lambda mass: Q_(40.0, "min"),
}
@functools.cache
def front_fit():
    from compositekit.infusion.front_fit import permeability_from_front

    return permeability_from_front(Q_(ROW, "m"), Q_(600 * ROW**2, "s"), 0.5, Q_(0.3, "Pa*s"), Q_(90.0, "kPa"))


@functools.cache
def sheet():
    from compositekit.infusion.layers import as_sheet, fabric_layer

    return as_sheet([fabric_layer(catalogue(), "glass-uni-600")])


OWNERS = {"Laminate": laminate, "HullShape": hull, "Sandwich": sandwich, "Stacks": stacks, "TriangleMesh": mesh,
          "FillModel": fill_model, "FillResult": fill_result,
          "FrontFit": front_fit, "PanelFit": front_fit, "Sheet": sheet}    # for methods
ROW = np.array([0.0, 0.5, 1.0])

POWER_LAW = {"fibre_fraction_at_pascal": 0.25, "compaction_exponent": 0.06}
FIBRE_BOX = {"fibre_fraction_loose": 0.3, "fibre_fraction_densest": 0.7, "spring_constant": Q_(280.0, "Pa")}
ROOM = {"times": Q_(3600 * np.arange(3.0), "s"), "temperatures": Q_(np.array([291.0, 295.0, 297.0]), "K"),
        "doubling_time": Q_(1.0, "hour"), "temperature_reference": Q_(298.0, "K")}

CALLS = {    # values that must fit each other, or arrays, by place
    "infusion.fill_scatter.scatter_fills": lambda: {"runs": 2, "workers": 1},
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
    "infusion.front_fit.permeability_from_front": lambda: {"distances": Q_(ROW, "m"), "times": Q_(600 * ROW**2, "s")},
    "infusion.front_fit.permeability_from_round_front": lambda: {"distances": Q_(0.1 + ROW, "m"), "times": Q_(600 * ROW**2, "s"), "inlet_radius": Q_(5.0, "mm")},
    "infusion.front_fit.early_readings_off": lambda: {"distances": Q_(ROW, "m"), "times": Q_(600 * ROW**2, "s")},
    "infusion.front_fit.times_without_hose": lambda: {"distances": Q_(ROW, "m"), "times": Q_(9000 * ROW**2, "s")},
    "infusion.front_fit.driving_pressure": lambda: {"atmosphere": Q_(1.0, "bar"), "bag_pressure": Q_(20.0, "mbar")},
    "infusion.front_fit.FrontFit": lambda: {"readings": 5.0},
    "infusion.front_speed.air_left_in_pocket": lambda: {"bag_pressure": Q_(2.0, "kPa")},
    "infusion.stack.two_layer_fronts": lambda: {"permeabilities": Q_([1e-9, 5e-11], "m^2"), "thicknesses": Q_([6.0, 6.0], "mm")},
    "infusion.rate_fit.RateFit": lambda: {"readings": 5.0},
    "infusion.rate_fit.permeability_from_rate": lambda: {"times": Q_(60 * ROW, "s"), "pressures": Q_(2e4 * ROW, "Pa")},
    "infusion.rate_fit.permeability_from_rate_round": lambda: {"times": Q_(60 * ROW, "s"), "pressures": Q_(2e4 * ROW, "Pa")},
    "infusion.compaction.fibre_fraction_under": lambda: dict(POWER_LAW),
    "infusion.compaction.compaction_for": lambda: dict(POWER_LAW),
    "infusion.compaction.fibre_fraction_at": lambda: {"fibre_fraction": 0.5, "compaction_exponent": 0.06},
    "infusion.compaction.fibre_box_stress": lambda: dict(FIBRE_BOX),
    "infusion.compaction.fibre_box_fraction": lambda: dict(FIBRE_BOX),
    "infusion.compaction.fill_time_flexible_bag": lambda: POWER_LAW | {
        "atmosphere": Q_(101.0, "kPa"), "inlet_pressure": Q_(95.0, "kPa"), "bag_pressure": Q_(2.0, "kPa"), "kozeny_constant": Q_(5e-10, "m^2")},
    "infusion.channels.fillet_gap": lambda: {"bridging": Q_(5.0, "mm"), "bevel": Q_(0.8, "rad")},
    "infusion.channels.fill_time_channel": lambda: {"channel_permeability": Q_(4e-7, "m^2"), "width": Q_(3.0, "mm")},
    "infusion.channels.front_position_channel": lambda: {"channel_permeability": Q_(4e-7, "m^2"), "width": Q_(3.0, "mm")},
    "infusion.layers.Sheet": lambda: {"permeability_across": Q_(5e-11, "m^2")},
    "infusion.ageing_room.viscosity_in_room": lambda: dict(ROOM),
    "infusion.ageing_room.fresh_time_in_room": lambda: dict(ROOM),
    "infusion.ageing_room.fill_time_in_room": lambda: ROOM | {"fill_time": Q_(10.0, "min")},
    "infusion.feed_layouts.compare_feeds": lambda: {"inlet_radius": Q_(6.0, "mm")},
    "infusion.feed_layouts.fill_time_oval": lambda: {"inlet_radius": Q_(6.0, "mm"), "permeability_across": Q_(5e-11, "m^2")},
    "infusion.feed_layouts.fill_time_second_line": lambda: {"distance": Q_(0.8, "m"), "second_line": Q_(0.4, "m")},
    "infusion.feed_layouts.gap_closes": lambda: {"opens": Q_(60.0, "s")},
    "infusion.feed_layouts.longest_distance": lambda: {"gel_time": Q_(2.0, "hour"), "gel_share": 0.5, "doubling_time": Q_(1.0, "hour")},
    "infusion.feed_layouts.gel_share_used": lambda: {"distance": Q_(0.2, "m"), "gel_time": Q_(2.0, "hour"), "doubling_time": Q_(1.0, "hour")},
    "infusion.feed_sharing.fill_time_branched": lambda: {
        "fill_times": Q_(600 * ROW, "s"), "volumes": Q_(1e-3 + 1e-3 * ROW, "m^3"), "branch_lengths": Q_(1 + ROW, "m")},
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
    "mechanics.strength.strength_ratios": lambda: {"N": Q_(np.array([1e4, 0.0, 0.0]), "N/m")},
    "mechanics.last_ply.last_ply_failure_estimate": lambda: {"N": Q_(np.array([1e4, 0.0, 0.0]), "N/m")},
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
