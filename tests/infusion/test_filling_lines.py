"""Lines of a fill that open, clamp and lose pressure; vents; regions they trap; fills that do not end; bad input."""

import multiprocessing
import shutil
import subprocess
import sys
import warnings
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from surfaces import at, bent, delaunay, grid, obstacle_fill, plate

import compositekit
from compositekit.errors import CompositeKitError, RangeError, ShapeError, UnitError
from compositekit.infusion.filling import EdgeChannel, FeedLine, FillModel, LineEvent, VentLine, fill
from compositekit.infusion.pockets import closed_off
from compositekit.shape.mesh import TriangleMesh
from compositekit.units import Q_

K, PHI, MU, P, H = 3e-10, 0.5, 0.25, 9e4, 5e-3
C = PHI * MU / (2 * K * P)    # t = C x^2
S = "s"
PACKAGE = Path(compositekit.__file__).parent


def strip(cells=100):
    return grid(np.linspace(0, 1, cells + 1), np.linspace(0, 0.05, 3))


def column(mesh, place):
    return at(mesh, lambda x, y: np.isclose(x, place))


def line(name, mesh, place, **more):
    return FeedLine(name, column(mesh, place), Q_(P, "Pa"), **more)


def run(mesh, feeds, vents=None, permeability=K, **more):
    return fill(mesh, Q_(H, "m"), PHI, Q_(permeability, "m^2"), Q_(MU, "Pa*s"), feeds, vents, **more)


def when(result, mesh, place):
    return result.si.arrival[column(mesh, place)].mean()


# --- lines that open, clamp and change by the clock -------------------------------------------------

def test_second_line_opened_behind_the_front():
    """Once resin at b is fed: (X - b)^2 = (X1 - b)^2 + (t - t1)/C, X1 the front at t1 (solver section 7, own)."""
    mesh, b, t1 = strip(200), 0.3, C * 0.5**2
    result = run(mesh, [line("first", mesh, 0), line("second", mesh, b, opens=Q_(t1, S))])
    for place in (0.6, 0.8, 0.95):
        assert when(result, mesh, place) == pytest.approx(t1 + C * ((place - b)**2 - (0.5 - b)**2), rel=5e-3)
    assert abs(result.mass_error) < 1e-9
    # the row of nodes under the second line fills as one: it takes resin only from its opening on
    assert result.volume_in(Q_(t1 * 0.999, S), "second").m == 0 < result.volume_in(result.fill_time, "second").m


def test_second_line_opened_ahead_of_the_front_closes_the_gap_in_time():
    """sqrt(X1^2 + tau) + sqrt(tau) = b, tau = (t - t1)/C; and on the far side (X - b)^2 = tau (solver section 7, own)."""
    mesh, b, t1 = strip(200), 0.6, C * 0.2**2
    result = run(mesh, [line("first", mesh, 0), line("second", mesh, b, opens=Q_(t1, S))])
    tau = ((b**2 - 0.2**2) / (2 * b))**2
    between = at(mesh, lambda x, y: x < b)
    assert result.si.full_at[between].max() == pytest.approx(t1 + C * tau, rel=2e-3)
    assert when(result, mesh, 0.9) == pytest.approx(t1 + C * 0.3**2, rel=5e-3)


def test_clamped_line_feeds_no_more_and_the_next_batch_takes_over():
    mesh, t1 = strip(), C * 0.4**2
    alone = run(mesh, [line("one pot", mesh, 0)])
    batches = [line("first pot", mesh, 0, closes=Q_(t1, S)), FeedLine("second pot", [1, 102, 203], Q_(P, "Pa"), opens=Q_(t1, S))]
    handed_on = run(mesh, batches)
    assert handed_on.volume_in(Q_(2 * t1, S), "first pot") == handed_on.volume_in(Q_(t1, S), "first pot")
    assert handed_on.complete and handed_on.si.fill_time == pytest.approx(alone.si.fill_time, rel=0.03)
    assert abs(handed_on.mass_error) < 1e-9
    pause = run(mesh, [line("pot", mesh, 0)], events=[LineEvent("pot", Q_(t1, S)), LineEvent("pot", Q_(2 * t1, S), Q_(P, "Pa"))])
    np.testing.assert_allclose(pause.si.fill_time, alone.si.fill_time + t1, rtol=1e-10)
    half = run(mesh, [line("pot", mesh, 0)], events=[LineEvent("pot", Q_(t1, S), Q_(P / 2, "Pa"))])
    np.testing.assert_allclose(half.si.fill_time, t1 + 2 * (alone.si.fill_time - t1), rtol=1e-10)


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_event_that_falls_on_the_instant_a_node_is_half_full_or_full(share):
    """An event that changes nothing must change no arrival, whenever it comes."""
    mesh = strip(20)
    plain = run(mesh, [line("pot", mesh, 0)])
    for times in (plain.run.half, plain.run.full):
        moment = Q_(np.quantile(times[np.isfinite(times)], share, method="nearest") * MU, S)
        again = run(mesh, [line("pot", mesh, 0)], events=[LineEvent("pot", moment, Q_(P, "Pa"))])
        assert np.isfinite(again.si.arrival).all()
        np.testing.assert_allclose(again.si.arrival, plain.si.arrival, rtol=1e-10)
        late = run(mesh, [line("pot", mesh, 0), line("late", mesh, 1.0, opens=moment)])
        assert np.isfinite(late.si.arrival).all() and late.complete and abs(late.mass_error) < 1e-10


def test_late_line_against_a_restarted_obstacle_problem():
    """Restart with the storage that is left, m (1 - s(t1)), and increments P (t - t1) on all open lines."""
    mesh = bent(plate(37, 19))
    model = FillModel(mesh, Q_(H, "m"), PHI)
    keel, far = (at(mesh, lambda x, y, v=v: (y == v) & (x >= 0.2) & (x <= 1.8)) for v in (0.0, 1.0))
    end = model.fill(Q_(K, "m^2"), Q_(MU, "Pa*s"), [FeedLine("keel", keel, Q_(P, "Pa"))]).si.fill_time
    t1 = 0.3 * end
    result = model.fill(Q_(K, "m^2"), Q_(MU, "Pa*s"), [FeedLine("keel", keel, Q_(P, "Pa")),
                                                       FeedLine("far", far, Q_(P, "Pa"), opens=Q_(t1, S))])
    graph = result.graph
    first, both = (np.flatnonzero(np.isin(graph.line_of, lines)) for lines in ([0], [0, 1]))
    before = obstacle_fill(graph.matrix, graph.storage, first, P, t1 / MU)
    t2 = t1 + 0.4 * (result.si.fill_time - t1)
    left = graph.storage * (1 - before)
    after = 1 - (1 - before) * (1 - obstacle_fill(graph.matrix, np.maximum(left, 1e-30), both, P, (t2 - t1) / MU))
    np.testing.assert_allclose(result.fill_factor(Q_(t2, S)).m, after[graph.group], atol=1e-9)


def test_line_with_its_own_pressure_drop_lies_between_none_and_no_line():
    mesh = plate(41, 21)
    chain = at(mesh, lambda x, y: y == 0)
    chain = chain[np.argsort(mesh.si.nodes[chain, 0])]
    times = [run(mesh, [FeedLine("line", chain, Q_(P, "Pa"), bore=None if bore is None else Q_(bore, "mm"))]).si.fill_time
             for bore in (None, 12, 5, 3)]
    assert times == sorted(times) and times[1] < 1.2 * times[0] and times[3] > 1.5 * times[0]


def test_gravity_conserves_mass_and_favours_downhill():
    flat = plate(31, 31, 1.0, 1.0)
    x, y, z = flat.si.nodes.T
    wall = TriangleMesh(np.column_stack([x, z, 3 * y]), flat.si.triangles)
    middle = at(flat, lambda x, y: np.isclose(y, 0.5, atol=0.02))
    middle = [flat.nearest_node(Q_(np.array([0.5, 0.5, 0.0]), "m"))] if not len(middle) else middle[:1]
    result = run(wall, [FeedLine("middle", middle, Q_(P, "Pa"))], resin_density=Q_(1100, "kg/m^3"))
    foot, top = (result.si.arrival[np.isclose(wall.si.nodes[:, 2], height)].mean() for height in (0, 3))
    assert foot < top and abs(result.mass_error) < 1e-9
    weak = run(wall, [FeedLine("foot", np.flatnonzero(wall.si.nodes[:, 2] == 0), Q_(20e3, "Pa"))], resin_density=Q_(1100, "kg/m^3"))
    highest = wall.si.nodes[np.isfinite(weak.si.full_at), 2].max()
    assert not weak.complete and "lift" in weak.reason
    assert highest == pytest.approx(20e3 / (1100 * 9.80665), abs=0.1)    # one cell


# --- vents and what they trap ------------------------------------------------------------------------------

def fast_rims(mesh):
    x, y, _ = mesh.si.centres.T
    slow = (np.abs(x - 0.8) < 0.2) & (np.abs(y - 0.5) < 0.15)
    return np.where(np.abs(y - 0.5) > 0.44, 20 * K, np.where(slow, K / 20, K))


def connected_dry(result, mesh, moment):
    """Regions dry at a moment, told the plain way."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    dry = result.si.full_at > moment
    edges = mesh.si.edges[dry[mesh.si.edges].all(1)]
    n = len(dry)
    _, label = connected_components(coo_array((np.ones(len(edges)), edges.T), shape=(n, n)), directed=False)
    return {frozenset(np.flatnonzero(dry & (label == one))) for one in np.unique(label[dry])}


def test_clamped_vent_strands_the_end_that_fast_rims_run_round():
    mesh = plate(81, 41)
    end = column(mesh, 2.0)
    result = run(mesh, [line("feed", mesh, 0)], [VentLine("vent", end)], fast_rims(mesh))
    region, = result.trapped
    assert region.closes.m == pytest.approx(result.si.full_at[end].min())
    assert region.place.m == pytest.approx([2.0, 0.5, 0.0], abs=0.05)
    assert region.fills == result.fill_time
    assert frozenset(region.nodes) in connected_dry(result, mesh, region.closes.m)
    assert region.volume.m == pytest.approx(result.graph.room[region.nodes].sum())


def test_microporous_vent_goes_on_pulling_so_only_the_insert_is_trapped():
    mesh = plate(81, 41)
    result = run(mesh, [line("feed", mesh, 0)], [VentLine("vent", column(mesh, 2.0), "microporous")], fast_rims(mesh))
    region, = result.trapped
    assert region.place.m == pytest.approx([0.9, 0.5, 0.0], abs=0.1)
    assert frozenset(region.nodes) in connected_dry(result, mesh, region.closes.m)
    assert frozenset(region.nodes) not in connected_dry(result, mesh, region.closes.m * (1 - 1e-9))
    assert region.closes < region.fills < result.fill_time


def test_membrane_all_over_traps_nothing():
    mesh = plate(41, 21)
    assert run(mesh, [line("feed", mesh, 0)], None, fast_rims(mesh)).trapped == []


def test_a_fill_that_closes_dry_regions_off_does_not_call_everything_full():
    mesh = plate(21, 11)
    rim, everywhere = FeedLine("rim", mesh.rim_nodes(), Q_(P, "Pa")), run(mesh, [line("feed", mesh, 0)], [VentLine("vent", column(mesh, 2.0))])
    shut = run(mesh, [rim], [VentLine("off the middle", [mesh.nearest_node(Q_(np.array([0.3, 0.5, 0.0]), "m"))])])
    assert shut.complete and len(shut.trapped) == 1 and shut.reason == "resin would reach everything, but 1 dry region is closed off"
    assert everywhere.complete and not everywhere.trapped and everywhere.reason == "everything is full"


def test_ring_of_feed_traps_the_middle_unless_vented_there():
    mesh = plate(41, 21)
    rim = FeedLine("rim", mesh.rim_nodes(), Q_(P, "Pa"))
    middle, off = ([mesh.nearest_node(Q_(np.array([x, 0.5, 0.0]), "m"))] for x in (1.0, 0.15))
    assert run(mesh, [rim], [VentLine("middle", middle)]).trapped == []
    region, = run(mesh, [rim], [VentLine("off the middle", off)]).trapped
    assert region.place.m == pytest.approx([1.0, 0.5, 0.0], abs=0.5)


def test_bleeding_vent_draws_resin_out_and_balances():
    mesh = plate(41, 21)
    vent = at(mesh, lambda x, y: (x == 2) & (y > 0.4) & (y < 0.6))
    feeds = [line("feed", mesh, 0)]
    bled, shut = (run(mesh, feeds, [VentLine("vent", vent, kind)], fast_rims(mesh)) for kind in ("bleeds", "closes"))
    assert bled.let_out.m > 0 == shut.let_out.m
    assert abs(bled.mass_error) < 1e-9 and bled.complete
    p = bled.pressure(0.99 * bled.fill_time).m
    assert np.all(p[vent] == 0)


def test_regions_on_a_chain_by_hand():
    """Nodes 0 to 8 in a row, filled from both ends and from node 4; vents at 6 or nowhere."""
    full = np.array([0.0, 2, 5, 3, 0, 1, 2, 3, 4])
    edges = np.column_stack([np.arange(8), np.arange(1, 9)])
    until = np.full(9, -1.0)
    until[6] = 2.0    # node 6 vents until it is full itself, so 7 and 8 lose it then; 1 to 3 never had one
    found = {(float(when), frozenset(nodes.tolist())) for when, nodes in closed_off(full, edges, until)}
    assert found == {(0.0, frozenset({1, 2, 3})), (2.0, frozenset({7, 8}))}
    until[8] = 4.0
    assert {frozenset(nodes.tolist()) for _, nodes in closed_off(full, edges, until)} == {frozenset({1, 2, 3})}


# --- fills that do not end ------------------------------------------------------------------------------------

def test_gel_stops_the_front_and_tells_how_far_it_got():
    mesh, gel = strip(), C * 0.6**2
    result = run(mesh, [line("pot", mesh, 0)], gel_time=Q_(gel, S))
    assert not result.complete and "gels" in result.reason and np.isinf(result.si.fill_time)
    assert result.filled.m == pytest.approx(0.6, rel=5e-3) and abs(result.mass_error) < 1e-9
    assert result.reason.endswith(f"gels after {gel:.4g} s")
    late = run(mesh, [line("pot", mesh, 0), line("late", mesh, 1, opens=Q_(2 * gel, S))], gel_time=Q_(gel, S))
    assert late.reason.endswith(f'before feed "late" opens at {2 * gel:.4g} s')
    region, = result.unreached
    assert set(region.nodes) == set(np.flatnonzero(np.isinf(result.si.full_at))) and region.volume.m > 0
    later = result.with_resin(Q_(MU, "Pa*s"), gel_time=Q_(10 * gel, S))
    assert later.complete and later.si.fill_time == pytest.approx(C, rel=1e-3)
    sooner = later.with_resin(Q_(MU, "Pa*s"), gel_time=Q_(gel, S))
    np.testing.assert_allclose(sooner.si.arrival, result.si.arrival)
    colder = later.with_resin(Q_(2 * MU, "Pa*s"), gel_time=Q_(10 * gel, S))
    assert colder.run is later.run and colder.si.fill_time == pytest.approx(2 * later.si.fill_time)


MESH = plate(11, 6)
FEED = FeedLine("feed", column(MESH, 0), Q_(P, "Pa"))
NO_END = [
    (dict(feeds=[]), "no feed"),
    (dict(feeds=[FEED], vents=[]), "no vent"),
    (dict(feeds=[FEED], permeability=0.0), "permeability is nought"),
    (dict(feeds=[FEED], events=[LineEvent("feed", Q_(1, S))]), "clamped"),
]


@pytest.mark.parametrize("call,word", NO_END)
def test_a_fill_that_never_ends_says_why(call, word):
    result = run(MESH, **call)
    assert not result.complete and word in result.reason and word in repr(result)
    assert np.isinf(result.si.fill_time) and 0 <= result.filled.m < 1
    assert sum(region.volume.m for region in result.unreached) <= result.graph.room.sum() * (1 + 1e-12)
    assert np.all(result.pressure(Q_(1, "hour")).m >= 0)
    assert result.volume_in(Q_(1, "hour")).m >= 0


# --- bad input ----------------------------------------------------------------------------------------------------

TWO_PLATES = TriangleMesh(np.concatenate([MESH.si.nodes, MESH.si.nodes + np.array([0.0, 3.0, 0.0])]),
                          np.concatenate([MESH.si.triangles, MESH.si.triangles + len(MESH.si.nodes)]))
RING = np.asarray(MESH.rim_nodes()).tolist()
CORNER = FeedLine("corner", [0], Q_(P, "Pa"))
SPLIT = np.where(np.abs(MESH.si.centres[:, 0] - 1) < 0.2, 0.0, K)


def feed(nodes, **more):
    return FeedLine("feed", nodes, Q_(P, "Pa"), **more)


BAD = [
    (dict(feeds=[feed([10**6])]), ShapeError, "lies on no node"),
    (dict(feeds=[feed([-1])]), ShapeError, "lies on no node"),
    (dict(feeds=[feed([])]), ShapeError, "is empty"),
    (dict(feeds=[feed([0.5])]), ShapeError, "whole numbers"),
    (dict(feeds=[feed([[0, 1], [2]])]), ShapeError, "whole numbers"),
    (dict(feeds=[feed([0, 10])]), ShapeError, "not closed up"),
    (dict(feeds=[feed([*RING, RING[0]])]), ShapeError, f"lists node {RING[0]} twice"),
    (dict(feeds=[feed([0, 10], bore=Q_(8, "mm"))]), ShapeError, "no edge joins them"),
    (dict(feeds=[feed([0], bore=Q_(8, "mm"))]), ShapeError, "one node only"),
    (dict(feeds=[CORNER], channels=[EdgeChannel("gap", [0, 10], Q_(9, "mm^2"), Q_(1e-7, "m^2"))]), ShapeError, "no edge joins them"),
    (dict(feeds=[FEED, CORNER]), RangeError, "share node 0"),
    (dict(feeds=[FEED, FEED]), RangeError, "names of their own"),
    (dict(feeds=[FEED], vents=[VentLine("vent", [0])]), RangeError, "share node 0"),
    (dict(feeds=[FEED], vents=[VentLine("vent", [999])]), ShapeError, "lies on no node"),
    (dict(feeds=[FEED], permeability=SPLIT), ShapeError, "cut off from every feed"),
    (dict(mesh=TWO_PLATES, feeds=[FEED]), ShapeError, "cut off from every feed"),
    (dict(feeds=[FEED], permeability=-K), RangeError, "permeability"),
    (dict(feeds=[FEED], permeability=np.full(3, K)), RangeError, "100 triangles"),
    (dict(feeds=[FEED], permeability_across=Q_(K / 2, "m^2"), direction=(0, 0, 1)), RangeError, "direction stands square"),
    (dict(feeds=[FEED], permeability_across=Q_(K / 2, "m^2"), direction=(0, 0, 0)), RangeError, "direction"),
    (dict(feeds=[FEED], events=[LineEvent("keel", Q_(1, S))]), RangeError, 'names the feed "keel"'),
    (dict(feeds=[FEED], gel_time=Q_(0, S)), RangeError, "gel_time"),
    (dict(feeds=[FEED], gel_time=Q_(3, "m")), UnitError, "gel_time"),
]


@pytest.mark.parametrize("call,error,words", BAD, ids=[words for _, _, words in BAD])
def test_bad_input(call, error, words):
    with pytest.raises(error, match=words):
        run(**{"mesh": MESH} | call)


OWN = [
    (lambda: FeedLine("f", [0], 9e4), UnitError), (lambda: FeedLine("f", [0], Q_(-1, "Pa")), RangeError),
    (lambda: FeedLine("f", [0], Q_(P, "Pa"), opens=Q_(5, S), closes=Q_(5, S)), RangeError),
    (lambda: FeedLine("f", [0], Q_(P, "Pa"), hose_bore=Q_(8, "mm")), RangeError),
    (lambda: VentLine("v", [0], "leaks"), RangeError), (lambda: FillModel(MESH, Q_(0, "mm"), 0.5), RangeError),
    (lambda: FillModel(MESH, Q_(5, "mm"), 0.0), RangeError), (lambda: FillModel(MESH, Q_([5, 6], "mm"), 0.5), RangeError),
    (lambda: FillModel(MESH, 5, 0.5), UnitError), (lambda: run(MESH, [FEED]).volume_in(Q_(1, S), "keel"), RangeError),
    (lambda: run(MESH, [FEED]).pressure(Q_(-1, S)), RangeError),
    (lambda: FillModel(TriangleMesh(MESH.si.nodes, np.concatenate([MESH.si.triangles, [[0, 1, 1]]])), Q_(5, "mm"), 0.5), CompositeKitError),
]


@pytest.mark.parametrize("number", range(len(OWN)))
def test_own_edge_cases(number):
    call, error = OWN[number]
    with pytest.raises(error):
        call()


# --- the compiled loops ------------------------------------------------------------------------------------------------

RIGHT, WRONG = "share = own[k] / pivot", "share = 0.5 * own[k] / pivot"
SMALL_FILL = """
import numpy as np, sys
sys.path.insert(0, {tree!r})
{before}
from compositekit.infusion import march
from compositekit.infusion.filling import FeedLine, FillModel
from compositekit.shape.mesh import TriangleMesh
from compositekit.units import Q_
x, y = np.meshgrid(np.arange(5.0), np.arange(3.0))
quads = [(r * 5 + c, r * 5 + c + 1, r * 5 + c + 6, r * 5 + c + 5) for r in range(2) for c in range(4)]
mesh = TriangleMesh(np.column_stack([x.ravel(), y.ravel(), 0 * x.ravel()]), [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))])
found = FillModel(mesh, Q_(5, "mm"), 0.5).fill(Q_(1e-9, "m^2"), Q_(0.2, "Pa*s"), [FeedLine("edge", [0, 5, 10], Q_(9e4, "Pa"))])
print(found.si.fill_time, found.mass_error, march.__file__)
"""


def small_fill(tree, before=""):
    """Fill time and mass error of a small fill by the package in a folder, in a session of its own."""
    told = subprocess.run([sys.executable, "-c", SMALL_FILL.format(tree=str(tree), before=before)], capture_output=True, text=True, cwd=tree)
    assert told.returncode == 0, told.stderr
    time, error, place = told.stdout.split()
    assert place.startswith(str(tree))
    return float(time), float(error)


@pytest.fixture(scope="module")
def copied(tmp_path_factory):
    """A copy of the package whose loops are compiled and kept, and what its small fill tells."""
    tree = tmp_path_factory.mktemp("copy")
    shutil.copytree(PACKAGE, tree / "compositekit", ignore=shutil.ignore_patterns("__pycache__"))
    return tree, small_fill(tree)


def test_no_folder_for_the_cache_is_no_fault(copied):
    """Where nothing can be written the loops are compiled anew in each session, and fill as ever."""
    tree, kept = copied
    assert list(tree.glob("compositekit/infusion/__pycache__/loops-*"))
    assert small_fill(tree, "import numba.core.caching as c; c.CacheImpl._locator_classes = []") == kept


def test_a_change_in_one_module_is_seen_by_the_loops_of_another(copied):
    """numba stamps a kept loop with its own file only; ours go with all files of the folder."""
    tree, before = copied
    front = tree / "compositekit" / "infusion" / "front.py"
    text = front.read_text("utf-8")
    assert text.count(RIGHT) == 1
    front.write_text(text.replace(RIGHT, WRONG), "utf-8")
    assert small_fill(tree) != before


HOW = "fork" if "fork" in multiprocessing.get_all_start_methods() else "spawn"


def test_a_forked_process_fills_too():
    """The parent has limited BLAS by then, from a thread that its child does not have."""
    times = run(MESH, [FEED]).si.fill_time
    with warnings.catch_warnings(), ProcessPoolExecutor(1, mp_context=multiprocessing.get_context(HOW)) as pool:
        warnings.simplefilter("ignore", DeprecationWarning)    # newer Pythons warn of forking with threads about
        assert pool.submit(_forked_fill).result(timeout=60) == times


def _forked_fill():
    return run(MESH, [FEED]).si.fill_time


def test_blas_threads_come_back_after_the_last_of_two_runs():
    from threadpoolctl import threadpool_info

    from compositekit.infusion.compiled import one_blas_thread

    def threads():
        return [pool["num_threads"] for pool in threadpool_info() if pool["user_api"] == "blas"]

    before = threads()
    with one_blas_thread():
        with one_blas_thread():
            pass
        assert set(threads()) == {1}
    assert threads() == before


def test_smallest_mesh():
    mesh = delaunay(np.array([[0.0, 0], [1, 0], [0, 1]]))
    assert run(mesh, [FeedLine("corner", [0], Q_(P, "Pa"))]).complete
    assert run(mesh, [FeedLine("all", [0, 1, 2], Q_(P, "Pa"))]).si.fill_time == 0
