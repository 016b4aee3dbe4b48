"""Scattered fills: the plain fill without scatter, the drawn scatter, edges that race, and the same answer however it is shared out."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from joblib.externals.loky import get_reusable_executor
from surfaces import at, plate

from compositekit.errors import RangeError, ShapeError, UnitError
from compositekit.infusion.fill_scatter import FillScatter, chance_range, scatter_fills
from compositekit.infusion.filling import EdgeChannel, FeedLine, FillModel, VentLine
from compositekit.units import Q_

K, MU, P = Q_(1e-10, "m^2"), Q_(0.25, "Pa*s"), Q_(9e4, "Pa")
QUIET = {"spread": 0.0, "patch": Q_(0.2, "m")}


@pytest.fixture(scope="module")
def ground():
    """A plate fed along its left end and vented at the right one; both long edges may race."""
    mesh = plate(31, 16)
    feed, vent = at(mesh, lambda x, y: x == 0), at(mesh, lambda x, y: x == 2)
    edges = [EdgeChannel(name, chain[np.argsort(mesh.si.nodes[chain, 0])], Q_(60, "mm^2"), Q_(7e-7, "m^2"))
             for name, chain in (("low edge", at(mesh, lambda x, y: y == 0)), ("high edge", at(mesh, lambda x, y: y == 1)))]
    return mesh, FillModel(mesh, Q_(5, "mm"), 0.5), [FeedLine("left", feed, P)], [VentLine("right", vent)], edges


def scattered(ground, **options):
    _, model, feeds, vents, edges = ground
    options = {"spread": 0.4, "patch": Q_(0.3, "m"), "races": edges, "race_chance": 0.5, "runs": 12} | options
    return scatter_fills(model, K, MU, feeds, vents, **options)


def same(one, other):
    return all(np.all(getattr(one, name) == getattr(other, name)) for name in (
        "numbers", "fill_time", "complete", "trapped_volume", "dry_spot", "raced", "node_chance", "stalled_chance"))


# --- limits ------------------------------------------------------------------------------------

def test_no_scatter_and_no_race_is_the_plain_fill_in_every_run(ground):
    _, model, feeds, vents, _ = ground
    plain = model.fill(K, MU, feeds, vents)
    found = scattered(ground, **QUIET, race_chance=0.0)
    assert np.all(found.fill_time == plain.fill_time) and found.complete.all() and not found.dry_spot.any()
    assert not found.raced.any() and not found.node_chance.any() and found.dry_chance == 0 and found.runs == 12


def test_every_edge_open_is_the_plain_fill_with_channels(ground):
    _, model, feeds, vents, edges = ground
    plain = model.fill(K, MU, feeds, vents, channels=edges)
    found = scattered(ground, **QUIET, race_chance=1.0, runs=3)
    assert plain.trapped and found.raced.all() and found.dry_spot.all()
    assert np.all(found.fill_time == plain.fill_time)
    volume = sum(region.volume for region in plain.trapped).m_as("m^3")
    assert np.allclose(found.trapped_volume.m_as("m^3"), volume, rtol=1e-12)
    assert np.array_equal(found.node_chance == 1, np.isin(np.arange(len(model.nodes)), np.concatenate([region.nodes for region in plain.trapped])))


def test_scatter_that_the_whole_part_shares_only_scales_the_clock(ground):
    """K times f: every time over f (solver section 2), so ln(fill time) scatters as ln K does."""
    plain = scattered(ground, **QUIET, race_chance=0.0, runs=1).fill_time[0]
    found = scattered(ground, spread=0.5, shared=1.0, race_chance=0.0, runs=60)
    logs = np.log((found.fill_time / plain).m_as(""))
    assert abs(logs.std(ddof=1) - 0.5) < 3 * 0.5 / np.sqrt(2 * 59) and abs(logs.mean()) < 3 * 0.5 / np.sqrt(60)   # 3 standard errors
    assert not found.dry_spot.any()


def test_factors_have_the_spread_asked_for_and_are_alike_within_a_patch(ground):
    """Over many draws ln K of one triangle has the standard deviation asked for, and that of two patches the shared covariance."""
    from compositekit.infusion.fill_scatter import _Job

    model = ground[1]
    job = _Job(model, 1.0, 1.0, (), (), (), (), 0.6, 0.3, 0.0, 7, 0.25, 1e-3, {})
    logs = np.log([job.drawn(number)[1][[0, -1]] for number in range(1500)])    # far ends of the plate
    spread, together = logs.std(0), np.corrcoef(logs.T)[0, 1]
    assert np.allclose(spread, 0.6, atol=4 * 0.6 / np.sqrt(3000)) and abs(together - 0.25) < 4 / np.sqrt(1500)
    centres, factor = model.nodes[model.triangles].mean(1), job.drawn(0)[1]
    for value in np.unique(factor):
        assert np.all(np.ptp(centres[factor == value], axis=0) <= 0.3 + 1e-12)


def test_patches_smaller_than_a_triangle_vary_each_triangle(ground):
    from compositekit.infusion.fill_scatter import _Job

    model = ground[1]
    for patch in (1e-3, 2e-6):
        factor = _Job(model, 1.0, 1.0, (), (), (), (), 0.6, patch, 0.0, 7, 0.0, 1e-3, {}).drawn(0)[1]
        assert len(np.unique(factor)) > 0.98 * len(factor)


def test_one_open_edge_strands_a_spot_on_the_other_side_and_is_told_apart(ground):
    mesh = ground[0]
    found = scattered(ground, **QUIET, race_chance=0.5, runs=24)
    was_open, dry_open, was_shut, dry_shut = found.dry_with("low edge")
    assert was_open + was_shut == 24 and dry_open + dry_shut == found.dry_spot.sum() and 0 < was_open < 24
    assert np.array_equal(found.dry_spot, found.raced.any(1))       # each race reaches the vent first, which is clamped then
    only_low = scattered(ground, **QUIET, races=ground[4][:1], race_chance=1.0, runs=1)
    assert mesh.si.nodes[only_low.node_chance > 0, 1].mean() > 0.5


def test_quantiles_and_a_gel_that_stops_some_fills(ground):
    found = scattered(ground, spread=0.8, race_chance=0.0, runs=20)
    times = np.sort(found.fill_time.m_as("s"))
    assert found.fill_time_within(0.5).m_as("s") == times[9] and found.fill_time_within(1).m_as("s") == times[-1]
    gelled = scattered(ground, spread=0.8, race_chance=0.0, runs=20, gel_time=Q_(times[9] * 1.0001, "s"))
    assert gelled.complete.sum() == 10 and np.isinf(gelled.fill_time_within(0.9).m_as("s"))
    assert np.array_equal(np.sort(gelled.fill_time.m_as("s"))[:10], times[:10])
    assert gelled.stalled_chance.max() == 0.5 and found.stalled_chance.max() == 0


# Wilson's 95 % interval: 20 of 100 is 13.3 to 28.9 % (worked example of the textbook formula, from memory, recomputed by hand:
# centre (0.2 + 1.9208/100)/(1 + 3.8415/100) = 0.2111, half 1.95996 sqrt(0.0016 + 3.8415/40000)/1.038415 = 0.0777).
@pytest.mark.parametrize("found,runs,low,high", [(20, 100, 0.1334, 0.2888), (0, 200, 0.0, 0.0188)])
def test_range_of_a_chance(found, runs, low, high):
    assert chance_range(found, runs) == pytest.approx((low, high), abs=6e-5)


# --- shared out --------------------------------------------------------------------------------

def test_same_answer_on_one_thread_two_threads_an_executor_and_processes(ground):
    one = scattered(ground, workers=1)
    assert same(one, scattered(ground, workers=2))
    with ThreadPoolExecutor(2) as threads:
        assert same(one, scattered(ground, client=threads))
    processes = get_reusable_executor(max_workers=1)
    try:
        assert same(one, scattered(ground, client=processes))
    finally:
        processes.shutdown(wait=True)
    assert not same(one, scattered(ground, seed=1))


def test_a_fill_in_another_thread_keeps_to_one_thread_of_blas(ground):
    """Else two fills at once fight over the cores: measured ten times the processor time."""
    from threadpoolctl import threadpool_info

    seen = []
    scattered(ground, runs=1)      # on this thread first
    with ThreadPoolExecutor(1) as other:
        other.submit(scattered, ground, runs=1, progress=lambda done, of: seen.append(threadpool_info())).result()
    assert {library["num_threads"] for library in seen[0] if library["user_api"] == "blas"} == {1}


def test_same_answer_on_dask(ground):
    from distributed import Client

    with Client(processes=False, n_workers=1, threads_per_worker=2, dashboard_address=None) as client:
        assert same(scattered(ground), scattered(ground, client=client))
        assert same(scattered(ground, runs=4), scattered(ground, runs=4, client=client.scheduler.address))


def test_more_runs_begin_with_the_same_ones(ground):
    few, many = scattered(ground, runs=5), scattered(ground, runs=12)
    assert np.all(few.fill_time == many.fill_time[:5]) and np.array_equal(few.raced, many.raced[:5])
    rest = scattered(ground, runs=7, first=5)
    assert same(FillScatter.of([rest, few], 12), many)


def test_progress_is_told_and_a_stop_keeps_what_was_done(ground):
    told = []
    found = scattered(ground, runs=40, workers=1, progress=lambda done, of: told.append((done, of)), keep_going=lambda: len(told) < 6)
    assert told == [(done, 40) for done in range(1, 7)]
    assert found.runs == 6 and found.stopped and found.wanted == 40 and len(found.fill_time) == 6
    whole = scattered(ground, runs=40)
    assert np.all(found.fill_time == whole.fill_time[found.numbers]) and not whole.stopped


# --- bad input ---------------------------------------------------------------------------------

OWN = [
    ({"runs": 0}, "at least 1"), ({"runs": 2.5}, "whole number"), ({"workers": 0}, "at least 1"), ({"seed": -1}, "at least 0"),
    ({"seed": "a"}, "whole number"), ({"first": -2}, "at least 0"), ({"spread": -0.1}, "spread"), ({"spread": np.nan}, "spread"), ({"patch": Q_(0, "m")}, "patch"),
    ({"race_chance": 1.2}, "race_chance"), ({"client": 3}, "dask Client"), ({"client": "nonsense"}, "no dask scheduler"),
]


@pytest.mark.parametrize("options,words", OWN)
def test_bad_input_is_said(ground, options, words):
    with pytest.raises(RangeError, match=words):
        scattered(ground, **options)


def test_units_and_lines_are_checked(ground):
    _, model, feeds, vents, edges = ground
    with pytest.raises(UnitError, match="patch"):
        scattered(ground, patch=Q_(1, "kg"))
    for nothing in (None, []):
        with pytest.raises(RangeError, match="need vents"):
            scatter_fills(model, K, MU, feeds, nothing, **QUIET)
    with pytest.raises(RangeError, match="names of their own"):
        scattered(ground, races=[edges[0], edges[0]])
    with pytest.raises(RangeError, match="permeability holds 3"):
        scatter_fills(model, Q_([1e-10] * 3, "m^2"), MU, feeds, vents, **QUIET)
    with pytest.raises(ShapeError, match="lies on no node"):
        scatter_fills(model, K, MU, [FeedLine("off", [9999], P)], vents, **QUIET, runs=2)
    with pytest.raises(RangeError, match='no edge is called "keel"'):
        scattered(ground, runs=1).dry_with("keel")
    with pytest.raises(RangeError, match="share of the fills"):
        scattered(ground, runs=1).fill_time_within(1.5)


def test_a_cluster_without_dask_says_what_to_install(ground, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(RangeError, match=r"pip install .*dask\[distributed\]"):
        scattered(ground, client="tcp://127.0.0.1:8786")
