"""The fill of a surface against closed forms, symmetries, two plain schemes and its own balance of mass."""

import numpy as np
import pytest
from scipy.sparse.linalg import spsolve
from surfaces import at, bent, delaunay, grid, obstacle_fill, plate, ring, textbook_fill

from compositekit.infusion.darcy import fill_time_radial, fill_time_zones, front_position_linear
from compositekit.infusion.edge_flips import flipped
from compositekit.infusion.fill_result import read_arrival
from compositekit.infusion.filling import EdgeChannel, FeedLine, FillModel, fill
from compositekit.infusion.flow_matrix import assemble, permeability_tensor
from compositekit.shape.mesh import TriangleMesh
from compositekit.units import Q_

K, PHI, MU, P, H = 3e-10, 0.5, 0.25, 9e4, 5e-3
FABRIC = Q_(K, "m^2"), PHI, Q_(MU, "Pa*s"), Q_(P, "Pa")


def run(mesh, feed, permeability=K, across=None, direction=None, **more):
    across = None if across is None else Q_(across, "m^2")
    return fill(mesh, Q_(H, "m"), PHI, Q_(permeability, "m^2"), Q_(MU, "Pa*s"), [FeedLine("feed", feed, Q_(P, "Pa"))],
                permeability_across=across, direction=direction, **more)


def keel(mesh):
    return at(mesh, lambda x, y: (y == 0) & (x >= 0.2) & (x <= 1.8))


def two_zones(mesh):
    return np.where(mesh.si.centres[:, 1] < 0.18, 4 * K, K)


def shell(nx=47, ny=23):
    return bent(plate(nx, ny))


def scatter(mesh, seed=1):
    return np.exp(np.random.default_rng(seed).normal(0, 0.5, len(mesh.si.triangles)))


def error(result, mesh, exact, last):
    return np.sqrt(np.mean((result.si.arrival - exact)**2)) / last


def order(errors, ratio=2.0):
    return np.log(errors[0] / errors[-1]) / np.log(ratio) / (len(errors) - 1)


# --- closed forms, with observed order -----------------------------------------------------------

def test_straight_front_converges_at_first_order_and_its_end_at_second():
    errors, ends = [], []
    for cells in (20, 40, 80):
        mesh = plate(cells + 1, cells // 4 + 1, 1.0, 0.25, seed=3)
        result = run(mesh, at(mesh, lambda x, y: x == 0))
        exact = mesh.si.nodes[:, 0]**2 * PHI * MU / (2 * K * P)
        errors.append(error(result, mesh, exact, exact.max()))
        ends.append(abs(result.si.fill_time / exact.max() - 1))
    assert errors[-1] < 2e-3 and order(errors) > 0.9, errors
    assert ends[-1] < 3e-5 and order(ends) > 1.5, ends


def test_half_full_reading_is_nearer_than_the_full_one():
    mesh = plate(41, 11, 1.0, 0.25, seed=3)
    result = run(mesh, at(mesh, lambda x, y: x == 0))
    exact = mesh.si.nodes[:, 0]**2 * PHI * MU / (2 * K * P)
    off = [np.sqrt(np.mean((times - exact)**2)) for times in (result.si.arrival, result.si.full_at)]
    assert off[0] < off[1] / 3


def test_round_front_converges_at_second_order():
    errors = []
    for rays, rounds in ((32, 17), (64, 34), (128, 68)):
        mesh = ring(0.02, 0.6, rays, rounds, stagger=0.5)
        result = run(mesh, np.arange(rays))
        exact = fill_time_radial(Q_(np.maximum(np.hypot(*mesh.si.nodes[:, :2].T), 0.02), "m"), Q_(0.02, "m"), *FABRIC).m_as("s")
        errors.append(error(result, mesh, exact, exact.max()))
    assert errors[-1] < 1e-3 and order(errors) > 1.7, errors


def test_ellipse_equals_the_circle_it_was_stretched_from_and_turned():
    """x' = x (K1/K2)^(1/4), y' = y (K2/K1)^(1/4) and Ke = sqrt(K1 K2) make the anisotropic fill isotropic (FL-R17)."""
    round_ = ring(0.02, 0.6, 48, 24)
    ratio, turn = 4.0, np.radians(30)
    x, y, z = round_.si.nodes.T
    x, y = x * ratio**0.25, y / ratio**0.25
    nodes = np.column_stack([x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn), z])
    oval = TriangleMesh(nodes, round_.si.triangles)
    rim = np.arange(48)
    result = run(oval, rim, K * np.sqrt(ratio), K / np.sqrt(ratio), (np.cos(turn), np.sin(turn), 0))
    np.testing.assert_allclose(result.si.full_at, run(round_, rim).si.full_at, rtol=1e-9, atol=1e-9)


def test_zones_in_series():
    errors = []
    for cells in (20, 40, 80):
        mesh = grid(np.linspace(0, 1, cells + 1), np.linspace(0, 0.25, cells // 4 + 1))
        fast = mesh.si.centres[:, 0] < 0.4
        result = run(mesh, at(mesh, lambda x, y: x == 0), np.where(fast, 4 * K, K))
        exact = fill_time_zones(Q_([0.4, 0.6], "m"), Q_([4 * K, K], "m^2"), [PHI, PHI], *FABRIC[2:]).m_as("s")
        found = [result.si.arrival[at(mesh, lambda x, y, e=e: np.isclose(x, e))].mean() for e in (0.4, 1.0)]
        errors.append(np.abs(found - exact).max() / exact[-1])
    assert errors[-1] < 2e-3 and order(errors) > 0.9, errors


def test_ageing_and_viscosity_only_change_the_clock():
    mesh = plate(31, 9, 1.0, 0.25)
    result = run(mesh, at(mesh, lambda x, y: x == 0))
    thick = result.with_resin(Q_(2 * MU, "Pa*s"))
    np.testing.assert_allclose(thick.si.arrival, 2 * result.si.arrival)
    assert thick.run is result.run
    again = fill(mesh, Q_(H, "m"), PHI, Q_(K, "m^2"), Q_(2 * MU, "Pa*s"), [FeedLine("f", at(mesh, lambda x, y: x == 0), Q_(P, "Pa"))],
                 doubling_time=Q_(2, "hour"))
    np.testing.assert_allclose(result.with_resin(Q_(2 * MU, "Pa*s"), Q_(2, "hour")).si.arrival, again.si.arrival)
    np.testing.assert_allclose(result.with_pressure(0.5).si.arrival, 2 * result.si.arrival, rtol=1e-12)


# --- symmetries ---------------------------------------------------------------------------------------

def test_impermeable_insert_is_a_hole():
    whole = plate(41, 21)
    middle = whole.si.centres
    insert = (np.abs(middle[:, 0] - 1) < 0.3) & (np.abs(middle[:, 1] - 0.5) < 0.2)
    with_insert = run(whole, at(whole, lambda x, y: x == 0), np.where(insert, 0.0, K))
    used, numbers = np.unique(whole.si.triangles[~insert], return_inverse=True)
    holed = TriangleMesh(whole.si.nodes[used], numbers.reshape(-1, 3))
    with_hole = run(holed, at(holed, lambda x, y: x == 0))
    np.testing.assert_allclose(with_insert.si.arrival[used], with_hole.si.arrival, rtol=1e-10)
    inside = np.setdiff1d(np.arange(len(whole.si.nodes)), used)
    assert inside.size and np.isnan(with_insert.si.arrival[inside]).all()
    assert with_hole.si.fill_time > run(whole, at(whole, lambda x, y: x == 0)).si.fill_time


def test_mirror_halves_fill_alike_and_like_the_half_alone():
    half = plate(31, 11, 1.0, 0.4)
    whole = half.with_mirror("y")
    n = len(half.si.nodes)
    left, both = (run(mesh, at(mesh, lambda x, y: x == 0)).si.full_at for mesh in (half, whole))
    np.testing.assert_allclose(both[:n], left, rtol=1e-9)
    off_plane = half.si.nodes[:, 1] != 0
    np.testing.assert_allclose(both[n:], left[off_plane], rtol=1e-9)


def test_turned_and_folded_copies_fill_alike():
    mesh = grid(np.linspace(0, 2, 41), np.linspace(0, 1, 21))
    x, y, _ = mesh.si.nodes.T
    feed = keel(mesh)
    flat = run(mesh, feed, 4 * K, K, (1, 0, 0))
    folded = TriangleMesh(np.column_stack([np.minimum(x, 1.0), y, np.maximum(x - 1.0, 0.0)]), mesh.si.triangles)
    beyond = folded.si.centres[:, 2] > 0
    along = np.where(beyond[:, None], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0])
    np.testing.assert_allclose(run(folded, feed, 4 * K, K, along).si.full_at, flat.si.full_at, rtol=1e-9)
    turn, _ = np.linalg.qr(np.random.default_rng(5).normal(size=(3, 3)))
    turned = TriangleMesh(mesh.si.nodes @ turn.T, mesh.si.triangles)
    np.testing.assert_allclose(run(turned, feed, 4 * K, K, turn @ [1, 0, 0]).si.full_at, flat.si.full_at, rtol=1e-9)


def test_scaling():
    """Half the permeability or twice the viscosity doubles every arrival; lengths times s give times times s squared."""
    mesh = plate(21, 11)
    base = run(mesh, keel(mesh)).si.full_at
    np.testing.assert_allclose(run(mesh, keel(mesh), K / 2).si.full_at, 2 * base, rtol=1e-10)
    large = mesh.scaled(3.0)
    np.testing.assert_allclose(run(large, keel(mesh)).si.full_at, 9 * base, rtol=1e-10)


# --- mass, and two plain schemes --------------------------------------------------------------------------

@pytest.mark.parametrize("ratio", [1, 4, 10, 30])
@pytest.mark.parametrize("flip", [False, True])
def test_mass_in_is_mass_stored_on_an_anisotropic_shell(ratio, flip):
    mesh = shell()
    result = run(mesh, keel(mesh), ratio * K * scatter(mesh), K, (1, 0.5, 0), flip=flip)
    assert result.complete and abs(result.mass_error) < 1e-9
    room = PHI * H * mesh.si.areas.sum()
    assert result.volume_in(result.fill_time).m_as("m^3") == pytest.approx(room, rel=2e-3 if flip else 1e-9)
    assert result.volume_in(0.3 * result.fill_time).m_as("m^3") == pytest.approx(
        result.fill_factor(0.3 * result.fill_time).m_as("") @ result.graph.room, rel=1e-9)


def test_textbook_scheme_on_a_thousand_delaunay_nodes():
    mesh = plate(47, 23)
    result = run(mesh, keel(mesh), two_zones(mesh))
    graph = result.graph
    feed = np.flatnonzero(graph.line_of == 0)
    exact = textbook_fill(graph.matrix, graph.storage, feed, P) * MU
    assert len(mesh.si.nodes) > 1000
    np.testing.assert_allclose(result.si.full_at, exact[graph.group], rtol=1e-9, atol=1e-9 * exact.max())


SURFACES = [("flat", 1, False), ("flat", 4, False), ("shell", 1, False), ("shell", 4, False), ("shell", 10, False), ("shell", 10, True)]


@pytest.mark.parametrize("kind,ratio,flip", SURFACES)
def test_obstacle_problem_at_three_times(kind, ratio, flip):
    """The time-integrated pressure solves an obstacle problem at any time; its fill factors are those of the march."""
    mesh = plate(37, 19) if kind == "flat" else shell(37, 19)
    result = run(mesh, keel(mesh), ratio * K * scatter(mesh), K, (1, 0.5, 0), flip=flip)
    graph, end = result.graph, result.si.fill_time
    for share in (0.2, 0.5, 0.8):
        fill_factor = obstacle_fill(graph.matrix, graph.storage, np.flatnonzero(graph.line_of == 0), P, share * end / MU)
        found = result.fill_factor(Q_(share * end, "s")).m_as("")
        np.testing.assert_allclose(found, fill_factor[graph.group], atol=1e-9)


@pytest.mark.parametrize("block", [1, 7, 64])
def test_blocked_elimination_changes_nothing(block):
    mesh = shell(61, 31)
    result = run(mesh, keel(mesh), 4 * K * scatter(mesh), K, (1, 0.5, 0))
    again = result._march(np.inf, block)
    np.testing.assert_allclose(again.full, result.run.full, rtol=1e-9)
    assert again.let_in[-1] == pytest.approx(result.run.let_in[-1], rel=1e-10)


@pytest.mark.parametrize("mesh,ratio", [(plate(41, 21), 1), (shell(), 1), (shell(), 10)])
def test_fill_time_from_one_linear_solve(mesh, ratio):
    """FL-R15: with w = 0 on the feed and L w = m, the part is full at mu max(w)/P, and last where w is greatest."""
    result = run(mesh, keel(mesh), ratio * K, K)
    graph = result.graph
    free = np.flatnonzero(graph.line_of < 0)
    w = np.zeros(len(graph.storage))
    w[free] = spsolve(graph.matrix[free][:, free].tocsc(), graph.storage[free])
    assert result.si.fill_time == pytest.approx(MU * w.max() / P, rel=1e-9)
    assert np.argmax(w) == np.argmax(result.run.full)


def test_pressure_drives_the_inflow_that_is_counted():
    mesh = shell(31, 16)
    result = run(mesh, keel(mesh), K, K / 4, (1, 0, 0))
    now = 0.5 * result.fill_time
    p = result.pressure(now).m_as("Pa")
    assert p[keel(mesh)] == pytest.approx(P) and p.min() >= -1e-9 * P and p.max() <= P * (1 + 1e-9)
    dt = 1e-6 * result.fill_time
    rate = ((result.volume_in(now + dt) - result.volume_in(now)) / dt).m_as("m^3/s")
    graph = result.graph
    given = np.zeros(len(graph.storage))
    given[graph.group] = p
    flow = (graph.matrix @ given)[graph.line_of == 0].sum() / MU
    assert rate == pytest.approx(flow, rel=1e-3)


# --- the matrix and the flips ---------------------------------------------------------------------------------

def test_tensor_is_laid_on_the_surface():
    mesh = shell(11, 6)
    tensor = permeability_tensor(mesh.si.nodes, mesh.si.triangles, 4 * K, K, (1, 0.5, 0))
    np.testing.assert_allclose(np.einsum("eab,eb->ea", tensor, mesh.si.normals), 0, atol=1e-24)
    np.testing.assert_allclose(np.linalg.eigvalsh(tensor), np.broadcast_to([0, K, 4 * K], (len(tensor), 3)), atol=1e-22)


def test_a_field_of_even_slope_is_exact():
    """Linear triangles carry p = x without error: inner nodes balance, and the rim passes K h per width."""
    mesh = plate(15, 8)
    tensor = permeability_tensor(mesh.si.nodes, mesh.si.triangles, 4 * K, K, (1, 0, 0))
    m = len(mesh.si.triangles)
    matrix, storage = assemble(mesh.si.nodes, mesh.si.triangles, tensor, np.full(m, H), np.full(m, PHI))
    flow = matrix @ mesh.si.nodes[:, 0]
    inner = np.setdiff1d(np.arange(len(storage)), mesh.rim_nodes())
    np.testing.assert_allclose(flow[inner], 0, atol=1e-12 * 4 * K * H)
    assert flow[mesh.si.nodes[:, 0] == 2].sum() == pytest.approx(4 * K * H * 1.0)
    assert storage.sum() == pytest.approx(PHI * H * 2.0)


def test_flips_leave_few_positive_entries_and_stay_in_their_zone():
    mesh = plate(41, 21, zone=lambda x, y: np.where(x < 1, "port", "bow"))
    m = len(mesh.si.triangles)
    tensor = permeability_tensor(mesh.si.nodes, mesh.si.triangles, 20 * K, K, (1, 1, 0))
    stack = np.full(m, H), np.full(m, PHI)
    triangles, turned, *_ = flipped(mesh.si.nodes, mesh.si.triangles, tensor, *stack, mesh.zones)

    def positive(triangles, tensor):
        matrix = assemble(mesh.si.nodes, triangles, tensor, *stack)[0].tocoo()
        off = matrix.row < matrix.col
        return np.mean(matrix.data[off] > 1e-6 * matrix.data.max())

    assert positive(mesh.si.triangles, tensor) > 0.2 and positive(triangles, turned) < 0.02
    np.testing.assert_allclose(turned, np.broadcast_to(tensor[0], turned.shape), atol=1e-22)    # flat and even: as it was
    moved = TriangleMesh(mesh.si.nodes, triangles)
    port = mesh.zones == "port"
    assert moved.si.areas[port].sum() == pytest.approx(mesh.si.areas[port].sum(), rel=1e-12)
    assert moved.area.m_as("m^2") == pytest.approx(2.0, rel=1e-12)


def test_a_badly_suited_mesh_is_flipped_unasked():
    mesh = shell()
    unasked = run(mesh, keel(mesh), 30 * K, K, (1, 0.5, 0))
    assert unasked.lowest_fill_factor > -1 > run(mesh, keel(mesh), 30 * K, K, (1, 0.5, 0), flip=False).lowest_fill_factor


def test_wall_rule():
    """A node with neighbours upstream only is read when full, any other when half full."""
    full, half, edges = np.array([0.0, 2.0, 4.0]), np.array([0.0, 1.0, 3.0]), np.array([[0, 1], [1, 2]])
    assert read_arrival(full, half, edges).tolist() == [0.0, 1.0, 4.0]


def test_race_track_fills_sooner_and_mass_holds():
    mesh = plate(41, 21)
    edge = at(mesh, lambda x, y: y == 1)
    gap = EdgeChannel("gap", edge[np.argsort(mesh.si.nodes[edge, 0])], Q_(10, "mm^2"), Q_(4e-7, "m^2"))
    feed = at(mesh, lambda x, y: x == 0)
    raced, plain = run(mesh, feed, channels=[gap]), run(mesh, feed)
    corner = at(mesh, lambda x, y: (x == 2) & (y == 1))
    assert raced.si.arrival[corner] < plain.si.arrival[corner] / 5
    assert abs(raced.mass_error) < 1e-9
    assert raced.si.let_in.sum() == pytest.approx(PHI * H * 2.0 + 10e-6 * 2.0)


def test_many_fills_from_two_threads_are_those_of_one():
    from joblib import Parallel, delayed

    mesh = plate(41, 21)
    model = FillModel(mesh, Q_(H, "m"), PHI)
    line = [FeedLine("feed", keel(mesh), Q_(P, "Pa"))]

    def one(seed):
        return model.fill(Q_(K * scatter(mesh, seed), "m^2"), Q_(MU, "Pa*s"), line).si.full_at

    alone = [one(seed) for seed in range(12)]
    together = Parallel(n_jobs=2, backend="threading")(delayed(one)(seed) for seed in range(12))
    np.testing.assert_array_equal(alone, together)


def test_two_triangles():
    mesh = delaunay(np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]]))
    result = run(mesh, at(mesh, lambda x, y: x == 0))
    assert result.complete and abs(result.mass_error) < 1e-12
    assert front_position_linear(result.fill_time, *FABRIC).m_as("m") == pytest.approx(1.0, rel=0.5)
