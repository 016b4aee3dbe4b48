"""Trade facts about flow: common practice, no source. Each says which band it implies and what it tests.

The catalogue's own low, typical and high permeabilities are used: such a fact tests whether they can be true, no finer.
"""

import numpy as np
import pytest

from compositekit.catalogue import Catalogue
from compositekit.infusion import channels, darcy, feed, feed_layouts, layers, stack
from compositekit.units import Q_

GRADE = "common practice, no source"
CATALOGUE = Catalogue.starter()
EPOXY = CATALOGUE.resin("epoxy-infusion")
PRESSURE = Q_(95, "kPa")
FABRIC = Q_(1e-10, "m^2"), 0.5, Q_(0.3, "Pa*s"), PRESSURE


def close(quantity, unit, printed, tolerance):
    np.testing.assert_allclose(quantity.m_as(unit), printed, rtol=tolerance)


def laminate(fabric, case):
    return layers.as_sheet([layers.fabric_layer(CATALOGUE, fabric, case=case)] * 4)


def flow(sheet):
    """What every closed form wants, at 20 degC."""
    return sheet.permeability, sheet.porosity.m_as(""), EPOXY.viscosity_20c, PRESSURE


HALF_METRE = [  # fact, grade, fabric
    ("0.5 m between feed and vacuum or next feed", GRADE, "glass-biax-600"), ("0.5 m between feed and vacuum or next feed", GRADE, "glass-twill-280"),
    ("0.5 m between feed and vacuum or next feed", GRADE, "glass-uni-600"), ("0.5 m between feed and vacuum or next feed", GRADE, "carbon-twill-200"),
]


@pytest.mark.parametrize("fact,grade,fabric", HALF_METRE)
def test_half_a_metre_without_mesh(fact, grade, fabric):
    """Band: half the pot life carries the front less than 0.5 m at the low permeability and more at the high one; 1 m is out
    of reach even at the typical one. Tests catalogue permeability, viscosity and pot life together."""
    low, typical, high = (feed_layouts.longest_distance(EPOXY.pot_life, 0.5, *flow(laminate(fabric, case))).m for case in layers.CASES)
    assert low < 0.5 < high and typical < 1.0


@pytest.mark.parametrize("fact,grade,fabric", [("open flax: about 0.75 m in about 40 minutes", GRADE, "flax-twill-360"),
                                               ("open flax: about 0.75 m in about 40 minutes", GRADE, "flax-biax-350")])
def test_open_flax(fact, grade, fabric):
    """Band: 40 minutes between the high and the low permeability, and 0.75 m fills within half the pot life at the typical one."""
    slow, typical, fast = (darcy.fill_time_linear(Q_(0.75, "m"), *flow(laminate(fabric, case))).m_as("min") for case in layers.CASES)
    assert fast < 40 < slow
    assert typical < 0.5 * EPOXY.pot_life.m_as("min")


def meshed(fabric, strip, distance=0.5):
    sheet, mesh = laminate(fabric, "typical"), layers.mesh_layer(CATALOGUE)
    return stack.fill_time_mesh_strip(Q_(distance, "m"), Q_(strip, "m"), mesh.permeability, mesh.thickness, mesh.porosity.m_as(""), sheet.permeability,
                                      sheet.thickness, sheet.porosity.m_as(""), EPOXY.viscosity_20c, PRESSURE).m_as("min")


@pytest.mark.parametrize("fabric", ["glass-biax-600", "glass-twill-280", "carbon-twill-200"])
def test_mesh_over_the_whole_of_a_tight_fabric(fabric):
    """Fact (common practice, no source): mesh over the whole surface. Band: mesh all over is at least 4 times as fast as a
    100 mm strip. Tests mesh against fabric permeability."""
    assert meshed(fabric, 0.5) < meshed(fabric, 0.1) / 4 < meshed(fabric, 0.0) / 4


def test_a_strip_is_enough_for_open_flax():
    """Fact (common practice, no source): for open flax a strip under the feed is enough. Band: 0.75 m with a 100 mm strip
    within half the pot life, and faster than the same glass. Tests the flax permeability."""
    assert meshed("flax-twill-360", 0.1, 0.75) < 0.5 * EPOXY.pot_life.m_as("min")
    assert meshed("flax-twill-360", 0.1, 0.75) < meshed("glass-twill-280", 0.1, 0.75)


@pytest.mark.parametrize("run", [0.2, 0.5])
def test_centre_out_and_edge_in_about_equal(run):
    """Fact (common practice, no source): about equal. Band: equal to a tenth for lines in a long strip; not for a point."""
    found = feed_layouts.compare_feeds(Q_(run, "m"), Q_(6, "mm"), *FABRIC)
    assert found.both_edges.m == pytest.approx(found.middle_line.m, rel=0.1)
    assert found.middle_point.m > 3 * found.round_edge.m


def test_square_edge_is_a_fast_channel():
    """Fact (common practice, no source): a square core edge opens a fast channel that can strand a dry spot.

    Band: beside a 20 mm core a 2 mm gap runs 0.5 m at least 100 times as fast as the glass it lies in, and a corner bridged
    over 5 mm carries over five times as much at a square edge as at a bevel of 30 degrees. Tests the gap geometry.
    """
    gap, glass = channels.square_edge_gap(Q_(20, "mm"), Q_(2, "mm")), laminate("glass-biax-600", "typical")
    raced = channels.fill_time_channel(Q_(0.5, "m"), gap.permeability, gap.area / glass.thickness, *flow(glass))
    assert darcy.fill_time_linear(Q_(0.5, "m"), *flow(glass)) > 100 * raced
    square, bevel = (channels.fillet_gap(Q_(20, "mm"), Q_(angle, "deg"), Q_(5, "mm")).conductance.m for angle in (90, 30))
    assert square > 5 * bevel


def test_glass_half_a_metre():
    """Common practice, no source: resin should not travel more than about 0.5 m in glass.

    With a stitched glass of 1e-10 m2 (FL-K33, from memory) and an infusion epoxy of 150 min pot life (from memory) half the
    pot life is enough for 0.5 m and not for 1 m.
    """
    half_life = Q_(75, "min")
    assert darcy.fill_time_linear(Q_(0.5, "m"), *FABRIC) < half_life < darcy.fill_time_linear(Q_(1, "m"), *FABRIC)


@pytest.mark.parametrize("doubling_minutes", [180, 360, 1e6])
def test_long_part_stalls_near_the_middle(doubling_minutes):
    """Common practice, no source: flax weave 0.75 m in 40 min; down a 5 m part the front is near the middle after 6 h."""
    settings = 0.6, Q_(0.3, "Pa*s"), Q_(95e3, "Pa"), Q_(doubling_minutes, "min")
    per_area = darcy.distance_before(Q_(40, "min"), Q_(1e-10, "m^2"), *settings)
    permeability = Q_(1e-10, "m^2") * (Q_(0.75, "m") / per_area).to("").m ** 2  # distance goes with the root of permeability
    assert 0.30 * 5 < darcy.distance_before(Q_(6, "hour"), permeability, *settings).m_as("m") < 0.70 * 5


def test_middle_out_or_edge_in():
    """Common practice, no source: in a long part both take about the same time.

    F-21 (own reference): whole perimeter fed, 0.4 x 1.6 m, 314.572 s; a middle line runs the half width of 0.2 m.
    """
    close(darcy.fill_time_linear(Q_(0.2, "m"), *FABRIC), "s", 314.572, 5e-3)


def test_inlets_by_mass():
    """Common practice, no source: one 6 mm connector per about 2 kg."""
    assert [feed.inlets_needed(Q_(mass, "kg")) for mass in (0.5, 2, 2.1, 4, 9)] == [1, 1, 2, 2, 5]


