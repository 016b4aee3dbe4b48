"""Many fills of a part: the plain fill without scatter, edges that race and are found out, and what is said about it."""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import RangeError
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.fill_chance import fill_chance
from compositekit.studies.race_edges import PIECE, race_edges
from compositekit.studies.surface_fill import surface_fill
from compositekit.studies.surface_lines import part_mesh
from compositekit.units import Q_

COARSE = Q_(0.08, "m")


def demo(name="locker_lid", **changes):
    file = open_part(DEMO / name / "part.json")
    return file.part.changed({f"feed.{path}": value for path, value in changes.items()}) if changes else file.part, file.catalogue


@pytest.fixture(scope="module")
def ladder():
    return demo(layout="rungs", rungs=2)


@pytest.mark.parametrize("name", demo_parts())
def test_every_demo_part_is_answered_in_words(name):
    part, catalogue = demo(name, layout="rungs", rungs=3, flow_mesh=True)
    found = fill_chance(part, catalogue, COARSE, runs=6)
    assert found.runs == found.wanted == 6 and len(found.fill_times) == 6 and len(found.node_chance) == len(found.mesh.si.nodes)
    assert found.said and "of 6 fills" in " ".join(found.said) and len(found.checks) == 2 and found.rests_on and found.cautions
    assert found.edges and 0.1 <= found.spread < 1.5
    assert found.dry == 0 or (found.worst_zone in part.layup and found.worst_zone in " ".join(found.said))


@pytest.mark.parametrize("mesh", [False, True])
def test_no_scatter_and_no_race_is_the_fill_of_the_page(mesh):
    part, catalogue = demo("shelter_roof", layout="rungs", rungs=3, flow_mesh=mesh)
    found = fill_chance(part, catalogue, COARSE, runs=3, spread=0.0, race_chance=0.0)
    plain = surface_fill(part, catalogue, COARSE)
    assert np.allclose(found.fill_times.m_as("min"), plain.fill_time.m_as("min"), rtol=1e-9)
    assert found.dry == (3 if plain.pockets else 0) and not found.blamed and found.unfilled == 0


def test_an_edge_that_races_is_found_out(ladder):
    """One piece in two open, no scatter: spots come from edges alone, so no fill with every edge shut has one."""
    found = fill_chance(*ladder, COARSE, runs=80, spread=0.0, race_chance=0.5)
    assert 0 < found.dry <= 80 and found.all_shut[1] == 0
    calm = fill_chance(*ladder, COARSE, runs=10, spread=0.0, race_chance=0.0)
    assert calm.dry == 0 and "In none of 10 fills" in calm.said[0] and calm.all_shut == (10, 0)
    low, high = found.dry_chance_range
    assert low < found.dry_chance < high
    for edge, (was_open, dry_open, was_shut, dry_shut) in found.blamed:
        assert was_open + was_shut == 80 and dry_open + dry_shut == found.dry and dry_open / was_open > dry_shut / was_shut
        assert edge.words in " ".join(found.said) or edge not in [pair[0] for pair in found.blamed[:3]]


def test_scatter_comes_from_the_catalogue_and_a_trial_narrows_it(ladder):
    part, catalogue = ladder
    found = fill_chance(part, catalogue, COARSE, runs=2)
    fabrics = {ply.fabric for layup in part.layup.values() for ply in (*layup.outside, *layup.inside)}
    logs = [np.log(high / low).m_as("") / 4 for low, _, high in (catalogue.fabric(name).range("permeability") for name in fabrics)]
    assert min(logs) - 1e-9 <= found.spread <= max(logs) + 1e-9
    known = part.changed({"measured_permeability": {name: "3e-10 m^2" for name in fabrics}})
    assert fill_chance(known, catalogue, COARSE, runs=2).spread <= found.spread


def test_gelled_fills_are_said_first():
    part, catalogue = demo("shelter_roof")
    found = fill_chance(part, catalogue, COARSE, runs=5)
    assert found.unfilled == 5 and found.said[0].startswith("In 5 of 5 fills the resin gelled") and found.failed
    assert np.isinf(found.fill_time_within(0.5).magnitude)


def test_same_seed_same_answer_and_another_seed_another(ladder):
    one, again, other = (fill_chance(*ladder, COARSE, runs=6, seed=seed, workers=workers) for seed, workers in ((0, 1), (0, 2), (1, 2)))
    assert np.all(one.fill_times == again.fill_times) and np.array_equal(one.node_chance, again.node_chance)
    assert not np.all(one.fill_times == other.fill_times)


def test_progress_is_told_and_a_stop_keeps_what_both_skins_had():
    two_skins = demo(layout="rungs", rungs=2, flow_mesh=True)
    told = []
    found = fill_chance(*two_skins, COARSE, runs=60, workers=1, progress=lambda *step: told.append(step), keep_going=lambda: len(told) < 31)
    assert len(told) == 31 and told[-1] == (15, 60) and [done for done, _ in told] == sorted(done for done, _ in told)
    assert found.runs == 13 and found.wanted == 60 and "It was stopped there; 60 were asked for" in " ".join(found.said)   # the skins take turns of 6
    whole = fill_chance(*two_skins, COARSE, runs=13)
    assert np.array_equal(found.fill_times.magnitude, whole.fill_times.magnitude) and found.dry == whole.dry
    with pytest.raises(RangeError, match="stopped before"):
        fill_chance(*two_skins, COARSE, runs=60, workers=1, keep_going=lambda: False)


@pytest.mark.parametrize("options,words", [({"edge_gap": "none"}, "race_chance 0"), ({"edge_gap": "round"}, "edge_gap")])
def test_bad_input_is_said(ladder, options, words):
    with pytest.raises(RangeError, match=words):
        fill_chance(*ladder, COARSE, runs=2, **options)


# --- edges -------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", demo_parts())
def test_edges_follow_the_mesh_and_cover_rim_and_borders_once(name):
    part, _ = demo(name)
    mesh, core = part_mesh(part, COARSE), dict.fromkeys(part.layup, 0.02)
    edges = race_edges(mesh, core, "square")
    joined = {tuple(edge) for edge in mesh.si.edges.tolist()}
    steps = [tuple(sorted(pair)) for edge in edges for pair in zip(edge.channel.nodes[:-1].tolist(), edge.channel.nodes[1:].tolist(), strict=True)]
    assert set(steps) <= joined and len(set(steps)) == len(steps)
    one, other = mesh.si.shared_sides.T // 3
    borders = int((mesh.zones[one] != mesh.zones[other]).sum())
    assert len(steps) == borders + len(mesh.si.rim)
    place = mesh.si.nodes
    for edge in edges:
        assert np.linalg.norm(np.diff(place[edge.channel.nodes], axis=0), axis=1).sum() < PIECE + 2 * mesh.si.edge_lengths.max()
    assert len({edge.name for edge in edges}) == len(edges)


def test_a_zone_without_core_has_no_edge_of_its_own():
    part, _ = demo("fen_punt")
    mesh = part_mesh(part, COARSE)
    core = dict.fromkeys(part.layup, 0.0)
    assert race_edges(mesh, core, "square") == ()
    first = mesh.zone_names[0]
    words = [edge.words for edge in race_edges(mesh, core | {first: 0.02}, "bevelled")]
    assert words and all(first in text for text in words)
