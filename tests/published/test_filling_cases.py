"""The fill of a surface against published and reference flow cases, each with case id, source and grade.

Tolerances are those of the reference page: 0.5 % for a field solver, 1 % where it says so, 3 % on arrivals of F-23.
"""

import numpy as np
import pytest
from surfaces import at, grid, ring

from compositekit.infusion import feed
from compositekit.infusion.filling import EdgeChannel, FeedLine, FillModel
from compositekit.units import Q_

OWN_REF = "own reference"
BOOK = "textbook listings, process modelling in composites manufacturing (attribution from memory)"
FIELD = 5e-3


def run(mesh, feeds, K=1e-10, phi=0.5, mu=0.3, P=95e3, h=4e-3, hose=None, **more):
    """Fill with one feed over ``feeds`` (node numbers) or with given FeedLines."""
    if not isinstance(feeds[0], FeedLine):
        feeds = [FeedLine("feed", feeds, Q_(P, "Pa"), **(hose or {}))]
    return FillModel(mesh, Q_(h, "m"), phi).fill(Q_(K, "m^2"), Q_(mu, "Pa*s"), feeds, **more)


def mean_arrival(result, mesh, where):
    return result.si.arrival[at(mesh, where)].mean()


# --- F-03: round inlet, own reference ------------------------------------------------------------
def test_f03_round_inlet_out():
    mesh = ring(6e-3, 0.5, 128, 70)
    result = run(mesh, np.arange(128))
    assert result.si.fill_time == pytest.approx(7742.606, rel=FIELD)
    times = np.interp([0.125, 0.25, 0.375], *_by_radius(np.hypot(*mesh.si.nodes[:, :2].T), result.si.arrival))
    assert times == pytest.approx([313.039, 1593.745, 4035.894], rel=FIELD)


def _by_radius(r, arrival):
    radii, group = np.unique(np.round(r, 9), return_inverse=True)
    return radii, np.bincount(group, arrival) / np.bincount(group)


# --- F-07: textbook radial fill through a feed tube, example 5.11 -------------------------------------
@pytest.mark.parametrize("K,exact,at_10_and_25_cm", [(6e-10, 533.9132, (12.7332, 110.2511)), (3e-10, 1059.8824, (25.1498, 218.5170))])
def test_f07_tube(K, exact, at_10_and_25_cm):
    """Source: BOOK, read; own exact sum. The inlet ring's own strip of stack counts here, which the sum leaves out."""
    mesh = ring(6e-3, 0.5, 160, 90)
    hose = dict(hose_length=Q_(2.0, "m"), hose_bore=Q_(12.0, "mm"))
    result = run(mesh, np.arange(160), K, 0.65, 0.1, 101e3, hose=hose)
    assert result.si.fill_time == pytest.approx(exact, rel=1e-3)
    assert np.interp([0.10, 0.25], *_by_radius(np.hypot(*mesh.si.nodes[:, :2].T), result.si.arrival)) == pytest.approx(at_10_and_25_cm, rel=FIELD)


# --- F-08: zones in series ------------------------------------------------------------------------
def test_f08_zones():
    mesh = grid(np.linspace(0, 1, 101), np.linspace(0, 0.1, 5))
    x = mesh.si.centres[:, 0]
    slow = (x > 0.4) & (x < 0.6)
    result = FillModel(mesh, Q_(3, "mm"), np.where(slow, 0.42, 0.5)).fill(
        Q_(np.where(slow, 2e-11, 2e-10), "m^2"), Q_(0.3, "Pa*s"), [FeedLine("end", at(mesh, lambda x, y: x == 0), Q_(95e3, "Pa"))])
    times = [mean_arrival(result, mesh, lambda x, y, end=end: np.isclose(x, end)) for end in (0.4, 0.6, 1.0)]
    assert times == pytest.approx([631.579, 2488.421, 10698.947], rel=FIELD)


# --- F-10: climbing and falling flow -----------------------------------------------------------------
@pytest.mark.parametrize("sine,time", [(0.0, 4166.667), (1.0, 4532.727), (-1.0, 3861.045), (0.5, 4340.998)])
def test_f10_slope(sine, time):
    flat = grid(np.linspace(0, 1, 101), np.linspace(0, 0.1, 5))
    x, y, _ = flat.si.nodes.T
    mesh = type(flat)(np.column_stack([x * np.sqrt(1 - sine**2), y, x * sine]), flat.si.triangles)
    result = run(mesh, at(flat, lambda x, y: x == 0), 2e-10, P=90e3, resin_density=Q_(1100, "kg/m^3"))
    assert result.si.fill_time == pytest.approx(time, rel=FIELD)
    assert abs(result.mass_error) < 1e-9


# --- F-12: anisotropic plate, round inlet ------------------------------------------------------------------
def test_f12_anisotropic():
    mesh = ring(0.010, 0.45, 160, 80)
    result = run(mesh, np.arange(160), 4e-10, permeability_across=Q_(1e-10, "m^2"), direction=(1, 0, 0))
    x, y, _ = mesh.si.nodes.T
    axis_1, axis_2 = (np.abs(y) < 1e-12) & (x > 0), (np.abs(x) < 1e-12) & (y > 0)
    when = np.interp(0.300, x[axis_1], result.si.arrival[axis_1])
    assert when == pytest.approx(445.2, rel=1e-2)
    assert np.interp(when, result.si.arrival[axis_2], y[axis_2]) == pytest.approx(0.1505, rel=1e-2)


# --- F-16: feed tube in front of a laminate --------------------------------------------------------------------
@pytest.mark.parametrize("L,W,h,K,phi,P,length,bore,time", [
    (0.6, 1.0, 4e-3, 1e-9, 0.55, 95e3, 2.0, 8e-3, 395.560), (0.6, 1.0, 4e-3, 1e-9, 0.55, 95e3, 2.0, 12e-3, 329.012),
    (1.0, 3.0, 6e-3, 2e-9, 0.6, 90e3, 3.0, 10e-3, 940.032)])
def test_f16_hose(L, W, h, K, phi, P, length, bore, time):
    mesh = grid(np.linspace(0, L, 31), np.linspace(0, W, 4))
    hose = dict(hose_length=Q_(length, "m"), hose_bore=Q_(bore, "m"))
    result = run(mesh, at(mesh, lambda x, y: x == 0), K, phi, 0.3, P, h, hose)
    assert result.si.fill_time == pytest.approx(time, rel=FIELD)


# --- F-17: feed line with leak-off ------------------------------------------------------------------------------
@pytest.mark.parametrize("bore,time", [(8e-3, 128.261), (12e-3, 80.536)])
def test_f17_leak_off(bore, time):
    """The case leaves out what the line itself holds and flow along it; so all is scaled to a bore ten times smaller, which
    takes 1e4 times as long and holds a hundredth, and the stack lets next to nothing through along the line."""
    mesh = grid(np.linspace(0, 2, 81), np.linspace(0, 0.56, 57))    # the case's stack goes on beyond 0.4 m
    line = FeedLine("line", at(mesh, lambda x, y: y == 0), Q_(95e3, "Pa"), bore=Q_(bore / 10, "m"))
    result = run(mesh, [line], 2e-13, 0.55, permeability_across=Q_(1e-18, "m^2"), direction=(0, 1, 0))
    far = at(mesh, lambda x, y: (x == 2) & np.isclose(y, 0.4))
    assert result.si.arrival[far] == pytest.approx(time * 1e4, rel=FIELD)


# --- F-18 and F-25: free channel along an edge -----------------------------------------------------------------------
def edge_channel(mesh):
    chain = at(mesh, lambda x, y: y == 0)
    return EdgeChannel("gap", chain[np.argsort(mesh.si.nodes[chain, 0])], Q_(3 * 4, "mm^2"), Q_(4.060289e-7, "m^2"))


def test_f18_f25_race_track():
    ys = np.concatenate([[0], np.geomspace(5e-4, 0.4, 45)])
    mesh = grid(np.linspace(0, 1, 81), ys)
    feed_nodes = at(mesh, lambda x, y: x == 0)
    result = run(mesh, feed_nodes, channels=[edge_channel(mesh)])
    assert result.si.fill_time == pytest.approx(1405.0, rel=1e-2)
    assert mesh.si.nodes[np.argmax(result.si.full_at)] == pytest.approx([1.0, 0.4, 0.0], abs=0.02)    # within a cell
    assert result.si.full_at[at(mesh, lambda x, y: (x == 1) & (y == 0))] == pytest.approx(10.16162, rel=1e-2)
    assert run(mesh, feed_nodes).si.fill_time == pytest.approx(7894.7, rel=FIELD)


# --- F-21, F-22: perimeter feed and feed layouts -----------------------------------------------------------------------
@pytest.mark.parametrize("length,width,time", [(1.0, 1.0, 1163.232), (0.5, 0.5, 290.808), (1.6, 0.4, 314.572)])
def test_f21_perimeter(length, width, time):
    mesh = grid(np.linspace(0, length, 81), np.linspace(0, width, 81 if length == width else 41))
    assert run(mesh, mesh.rim_nodes()).si.fill_time == pytest.approx(time, rel=FIELD)


LAYOUTS = [("short edge", lambda x, y: x == 0, 11368.421), ("long edge", lambda x, y: y == 0, 5052.632),
           ("middle line across", lambda x, y: np.isclose(x, 0.6), 2842.105), ("middle line along", lambda x, y: np.isclose(y, 0.4), 1263.158)]


@pytest.mark.parametrize("name,where,time", LAYOUTS, ids=lambda value: value if isinstance(value, str) else "")
def test_f22_layouts(name, where, time):
    mesh = grid(np.linspace(0, 1.2, 61), np.linspace(0, 0.8, 41))
    assert run(mesh, at(mesh, where)).si.fill_time == pytest.approx(time, rel=FIELD), name


def test_f22_perimeter_and_point():
    mesh = grid(np.linspace(0, 1.2, 61), np.linspace(0, 0.8, 41))
    assert run(mesh, mesh.rim_nodes()).si.fill_time == pytest.approx(1018.321, rel=FIELD)
    point = ring(6e-3, 0.4, 96, 60, box=(1.2, 0.8))
    result = run(point, np.arange(96))
    assert result.si.fill_time == pytest.approx(10249.2, rel=FIELD)
    assert np.abs(point.si.nodes[np.argmax(result.si.full_at), :2]) == pytest.approx([0.6, 0.4])


# --- F-23: L-shape, textbook geometry --------------------------------------------------------------------------------------
ARRIVALS = [(0.31, 0.51, 17.9), (0.05, 0.95, 66.5), (0.55, 0.45, 13.9), (0.65, 0.55, 27.2), (0.95, 0.75, 102.0), (1.15, 0.55, 130.8),
            (1.15, 0.95, 138.6)]


def test_f23_l_shape():
    """Geometry and K, mu from BOOK ex. 8.13 (read); results own reference, two methods."""
    mesh = grid(np.linspace(0, 1.2, 121), np.linspace(0, 1.0, 101), keep=lambda x, y: (x < 0.6) | (y > 0.5))
    result = run(mesh, at(mesh, lambda x, y: (y == 0) & (x < 0.601)), 2e-9, 0.55, 0.2, 4e5)
    assert result.si.fill_time == pytest.approx(144.13, rel=FIELD)
    assert mesh.si.nodes[np.argmax(result.si.full_at)] == pytest.approx([1.2, 1.0, 0.0])
    for x, y, time in ARRIVALS:
        assert result.si.arrival[mesh.nearest_node(Q_(np.array([x, y, 0.0]), "m"))] == pytest.approx(time, rel=0.03), (x, y)


# --- F-28: rising viscosity ----------------------------------------------------------------------------------------------------
def test_f28_rising_viscosity():
    mesh = grid(np.linspace(0, 1.6, 161), np.linspace(0, 0.1, 5))
    result = run(mesh, at(mesh, lambda x, y: x == 0), 3e-10, 0.5, 0.28, 93e3, doubling_time=Q_(60, "min"))
    times = [mean_arrival(result, mesh, lambda x, y, end=end: np.isclose(x, end)) for end in (0.5, 1.0, 1.2, 1.4)]
    assert times == pytest.approx([668.471, 3427.128, 6177.994, 15239.860], rel=FIELD)
    assert not result.complete and "thickens" in result.reason
    farthest = mesh.si.nodes[np.isfinite(result.si.full_at), 0].max()
    assert farthest == pytest.approx(1.438771, abs=0.01)    # one cell


def test_feed_line_resistance_is_the_one_of_the_rule_of_thumb():
    """The hose's part of F-16 is what ``feed.line_pressure_drop`` gives: 128 mu L/(pi d^4)."""
    drop = feed.line_pressure_drop(Q_(1e-5, "m^3/s"), Q_(2, "m"), Q_(8, "mm"), Q_(0.3, "Pa*s")).m_as("Pa")
    assert drop / 1e-5 * 0.55 * 0.004 * 0.6 / 95e3 == pytest.approx(82.928, rel=1e-5)
