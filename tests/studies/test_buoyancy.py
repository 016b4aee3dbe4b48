"""Flotation of a part: exact box, Archimedes by hand, and what a change of layup or load does.

X1 and the shares of a person's weight carry their citation; every other row is an own case.
"""

from __future__ import annotations

import numpy as np
import pytest

from compositekit.errors import CompositeKitError, RangeError
from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.build import part_build, part_mass
from compositekit.studies.buoyancy import Buoyancy, buoyancy
from compositekit.units import Q_

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}
CATALOGUE = FILES["fen_punt"].catalogue
PUNT = FILES["fen_punt"].part


def box(length, beam, depth):
    row = {"keel": [0, 0], "chine": [beam / 2, 0], "gunwale": [beam / 2, depth]}
    return PUNT.changed({"shape.stations": [{"x": "0 m", "offsets": row}, {"x": f"{length} m", "offsets": row}]})


def check(found, words):
    return next(one for one in found.checks if one.what.startswith(words))


def mass_of(part):
    return part_mass(part, part_build(part, CATALOGUE)).m_as("kg")


def test_x1_box_through_a_part():
    """X1 (own reference, exact): L 2.40, B 0.90, T 0.12 m: V 0.2592 m3, KB 0.060, BM 0.5625; freeboard of a 0.30 m box 0.18."""
    part = box(2.4, 0.9, 0.3)
    density = buoyancy(part, CATALOGUE).water_density.m_as("kg/m^3")
    found = buoyancy(part, CATALOGUE, persons=0, kit_mass=Q_(0.2592 * density - mass_of(part), "kg"))
    water = found.afloat.water.si
    assert (water.draught, water.volume, water.centre_of_buoyancy, water.metacentric_radius, water.freeboard) == pytest.approx(
        (0.12, 0.2592, 0.060, 0.5625, 0.18), rel=1e-9)
    assert found.gm.m_as("m") == pytest.approx(0.6225 - found.afloat.centre_of_gravity.m_as("m"), rel=1e-9)
    assert found.carried.m_as("kg") == pytest.approx(2.4 * 0.9 * 0.3 * density, rel=1e-9)


OWN_LOADS = [(0, 0.0), (1, 10.0), (2, 40.0), (5, 120.0)]


@pytest.mark.parametrize("persons,kit", OWN_LOADS)
def test_the_punt_displaces_what_it_weighs(persons, kit):
    found = buoyancy(PUNT, CATALOGUE, persons, Q_(kit, "kg"))
    assert found.displacement.m_as("kg") == pytest.approx(mass_of(PUNT) + 75 * persons + kit, rel=1e-9)
    assert found.total_mass.m_as("kg") == pytest.approx(found.displacement.m_as("kg"), rel=1e-9)


def test_the_punt_lies_between_two_boxes():
    """A box round the whole hull floats higher; the box inside its middle, 1.8 by 0.86 m with its floor at 20 mm, deeper."""
    found = buoyancy(PUNT, CATALOGUE)
    volume = found.total_mass.m_as("kg") / 999.1
    assert volume / (3.6 * 1.2) < found.draught.m_as("m") < 0.02 + volume / (1.8 * 0.86)
    assert found.freeboard.m_as("m") == pytest.approx(0.41 - found.draught.m_as("m"))


def test_centre_of_gravity_by_hand():
    zones = [(build.mass.m_as("kg"), build.zone.si.centre[2]) for build in part_build(PUNT, CATALOGUE).values()]
    weights = [*zones, (4.2, 0.42), (2.4, 0.3), (0.9, 0.4), (190.0, 0.35)]
    mass, height = np.transpose(weights)
    assert buoyancy(PUNT, CATALOGUE).afloat.centre_of_gravity.m_as("m") == pytest.approx(mass @ height / mass.sum(), rel=1e-9)


# 33 CFR 183.105, basic flotation (read): 2/15 of 75 kg is 10 kg; US level-flotation guidance (read): half, 37.5 kg
@pytest.mark.parametrize("crew,each", [("holding on", 10.0), ("sitting in it", 37.5)])
@pytest.mark.parametrize("kit,counted", [("sinks", 40.0), ("floats", 0.0)])
def test_swamped_reserve_by_archimedes(crew, each, kit, counted):
    volume = sum(b.zone.si.area * b.thickness.m_as("m") for b in part_build(PUNT, CATALOGUE).values()) + 0.0178
    found = buoyancy(PUNT, CATALOGUE, crew=crew, kit=kit)
    by_hand = 999.101 * volume - mass_of(PUNT) - counted - 2 * each
    assert found.swamped.si.reserve == pytest.approx(by_hand, abs=1e-4)
    assert sum(v.m_as("kg") for v in found.lifts.values()) == pytest.approx(found.lift.m_as("kg"))
    assert sum(v.m_as("kg") for v in found.weighs.values()) == pytest.approx(found.must_carry.m_as("kg"))
    assert found.swamped.floats == (by_hand >= 0) == check(found, "swamped: lift").passed


def test_a_thicker_core_lifts_by_its_own_lift():
    thicker = PUNT.changed({"layup.bottom.core.thickness": "20 mm"})
    gain = buoyancy(thicker, CATALOGUE).swamped.reserve - buoyancy(PUNT, CATALOGUE).swamped.reserve
    area, core = PUNT.geometry.zones["bottom"].si.area, CATALOGUE.core("pet-recycled-100").si.density
    assert gain.m_as("kg") == pytest.approx(area * 0.010 * (999.101 - core), rel=1e-5)
    assert not check(buoyancy(PUNT, CATALOGUE), "swamped: lift").passed and check(buoyancy(thicker, CATALOGUE), "swamped: lift").passed


# --- standing: weight centre of people at least 760 mm above the deck, 46 CFR 178.330 (read) ---------

@pytest.mark.parametrize("persons", [1, 2, 3])
def test_standing_people_lift_the_centre_of_gravity(persons):
    found = buoyancy(PUNT, CATALOGUE, persons)
    total, up = found.total_mass.m_as("kg"), found.standing
    by_hand = found.gm.m_as("m") - persons * 75 * (0.76 - 0.35) / total
    assert up.metacentric_height.m_as("m") == pytest.approx(by_hand, rel=1e-9)
    assert up.upright.m_as("m") == pytest.approx(found.gm.m_as("m") - persons * 75 * (1.0 - 0.35) / total, rel=1e-9)
    assert up.heel.m_as("rad") == pytest.approx(np.arctan(75 * 0.1 / total / by_hand), rel=1e-9) and up.heel > found.afloat.heel
    assert check(found, "metacentric height with everybody standing").value == up.metacentric_height
    assert any(caution.startswith("Standing:") and "1 m up" in caution for caution in found.cautions)


def test_a_narrow_boat_is_for_sitting():
    narrow = box(4.0, 0.57, 0.35)
    found = buoyancy(narrow, CATALOGUE, persons=1, kit_mass=Q_(0, "kg"))
    standing = check(found, "metacentric height with everybody standing")
    assert check(found, "metacentric height, upright").passed and not standing.passed and "sit or kneel" in standing.remedy
    assert found.standing.upright.magnitude < 0 and any("capsizes" in caution for caution in found.cautions)


def test_standing_is_no_lower_than_the_brief_and_needs_people():
    high = buoyancy(PUNT.changed({"brief.load_height": "0.9 m"}), CATALOGUE)
    assert high.standing.metacentric_height.m_as("m") == pytest.approx(high.gm.m_as("m"))
    assert buoyancy(PUNT, CATALOGUE, persons=0).standing is None
    assert not any("standing" in one.what for one in buoyancy(PUNT, CATALOGUE, persons=0).checks)


# --- core faces that drink little or much: the catalogue's range per cut face (own calculation) --------

def test_mass_over_the_range_of_the_core_faces():
    low, typical, high = (value.m_as("kg/m^2") for value in CATALOGUE.core("pet-recycled-100").range("uptake"))
    faces = 2 * sum(zone.si.area for zone in PUNT.geometry.zones.values())
    found = buoyancy(PUNT, CATALOGUE)
    assert low < typical < high
    assert [mass.m_as("kg") - mass_of(PUNT) for mass in found.masses] == pytest.approx([faces * (low - typical), 0, faces * (high - typical)], abs=1e-9)
    assert (found.swamped.reserve - found.thirsty.reserve).m_as("kg") == pytest.approx(faces * (high - typical), abs=1e-9)


def test_the_heavy_end_is_judged_on_its_own():
    light_kit = buoyancy(PUNT, CATALOGUE, kit_mass=Q_(37, "kg"))
    usual, heavy = check(light_kit, "swamped: lift"), check(light_kit, "swamped, with core faces at the thirsty end")
    assert usual.passed and not heavy.passed and "weigh the trial panel" in heavy.remedy
    assert check(buoyancy(PUNT, CATALOGUE, kit_mass=Q_(30, "kg")), "swamped, with core").passed


def test_a_solid_boat_has_no_core_faces_to_doubt():
    plies = {f"layup.{zone}": {"outside": [{"fabric": "basalt-twill-300"}] * 8} for zone in PUNT.layup}
    found = buoyancy(PUNT.changed(plies), CATALOGUE)
    assert found.thirsty is None and found.masses[0] == found.masses[2] and not any("thirsty" in one.what for one in found.checks)


def test_cork_lifts_nothing_that_can_be_counted():
    """Maker's data sheet, agglomerated cork core (read): the gaps between the granules are open."""
    cork = buoyancy(PUNT.changed({"layup.bottom.core.core": "cork-200"}), CATALOGUE)
    assert not next(panel for panel in cork.panels if panel.zone == "bottom").counted


def test_the_foam_it_asks_for_is_enough():
    short = buoyancy(PUNT, CATALOGUE, crew="sitting in it")
    litres = short.swamped.foam_volume.m_as("L")
    foam = {"name": "foam block", "mass": f"{32.04e-3 * litres} kg", "volume": f"{litres} L", "height": "0.3 m"}
    mended = PUNT.changed({"fittings": [*PUNT._plain()["fittings"], foam]})
    reserve = buoyancy(mended, CATALOGUE, crew="sitting in it").swamped.si.reserve
    assert 0 <= reserve < 0.12 * -short.swamped.si.reserve    # the cap on foam lift leaves a tenth over


def test_ways_the_load_and_the_water_work():
    base = buoyancy(PUNT, CATALOGUE)
    assert buoyancy(PUNT, CATALOGUE, persons=3).draught > base.draught
    salt = buoyancy(PUNT.changed({"brief.water": "salt"}), CATALOGUE)
    assert salt.draught < base.draught and salt.swamped.reserve > base.swamped.reserve
    high = buoyancy(PUNT.changed({"brief.load_height": "0.6 m"}), CATALOGUE)
    assert high.gm.m_as("m") == pytest.approx(base.gm.m_as("m") - 190 * 0.25 / base.total_mass.m_as("kg"), rel=1e-9)
    assert high.afloat.heel > base.afloat.heel
    top_heavy = buoyancy(PUNT.changed({"brief.load_height": "1.5 m"}), CATALOGUE)
    assert top_heavy.gm.magnitude < 0 and top_heavy.afloat.heel is None
    assert any(check.what.startswith("metacentric") for check in top_heavy.failed)
    assert not any("small angles" in caution for caution in top_heavy.cautions)


def test_load_beyond_the_gunwale_is_a_failed_check_and_the_swamped_sum_stays():
    found = buoyancy(PUNT, CATALOGUE, persons=17)
    assert found.afloat is None and found.draught is None and found.checks[0].value > found.carried
    assert not found.checks[0].passed and found.swamped is not None and found.working


def test_nobody_and_nothing_aboard():
    found = buoyancy(PUNT, CATALOGUE, persons=0, kit_mass=Q_(0, "kg"))
    assert found.afloat.heel is None and found.must_carry.m_as("kg") == pytest.approx(mass_of(PUNT))


@pytest.mark.parametrize("name", ["locker_lid", "shelter_roof"])
def test_a_part_that_never_floats_is_not_checked(name):
    file = FILES[name]
    found = buoyancy(file.part, file.catalogue)
    assert (found.needed, found.checks, found.swamped, found.draught) == (False, (), None, None)
    assert found.note == file.part.brief.floats_note
    for panel, build in zip(found.panels, part_build(file.part, file.catalogue).values(), strict=True):
        assert panel.share_under == pytest.approx(build.areal_mass.m_as("kg/m^2") / build.thickness.m_as("m") / 999.101, rel=1e-5)
        assert panel.floats
    assert found.working[1].result == found.panels[0].bulk_density and len(found.working) == 1 + 3 * len(found.panels)


def test_a_solid_glass_panel_sinks():
    lid = FILES["locker_lid"]
    solid = lid.part.changed({"layup.lid.core": None})
    panel = buoyancy(solid, lid.catalogue).panels[0]
    assert not panel.floats and panel.net_lift.magnitude < 0


def test_a_floating_part_without_stations_gets_the_swamped_sum_only():
    lid = FILES["locker_lid"]
    found = buoyancy(lid.part.changed({"brief.floats": True, "brief.persons": 1}), lid.catalogue)
    assert found.afloat is None and found.carried is None and [one.what[:8] for one in found.checks] == ["swamped:", "swamped,"]
    assert any("stations" in caution for caution in found.cautions)
    assert found.swamped.si.displaced_volume == pytest.approx(0.96 * found.panels[0].net_lift.magnitude / (
        999.101 - found.panels[0].bulk_density.magnitude) + 1e-4, rel=1e-5)


def test_an_open_celled_core_is_not_counted():
    balsa = buoyancy(PUNT.changed({"layup.bottom.core.core": "balsa-153"}), CATALOGUE)
    foam = buoyancy(PUNT, CATALOGUE)
    lost = (foam.swamped.displaced_volume - balsa.swamped.displaced_volume).m_as("m^3")
    assert lost == pytest.approx(PUNT.geometry.zones["bottom"].si.area * 0.010, rel=1e-6)
    assert any("open cells" in caution for caution in balsa.cautions)


@pytest.mark.parametrize("name", demo_parts())
def test_what_it_rests_on_can_be_looked_up(name):
    from compositekit.part.decision import fingerprint
    file = FILES[name]
    found = fingerprint(file.part, file.catalogue, buoyancy(file.part, file.catalogue).rests_on)
    assert "no longer in the catalogue" not in found.values()
    assert all(value != "none" for value in found.values())


OWN_BAD = [dict(persons=-1), dict(persons=1.5), dict(persons=float("nan")), dict(persons="two"), dict(kit_mass=40),
           dict(kit_mass=Q_(-1, "kg")), dict(kit_mass=Q_(1, "m")), dict(kit_mass=Q_(float("nan"), "kg")), dict(crew="asleep"), dict(kit="")]


@pytest.mark.parametrize("bad", OWN_BAD, ids=str)
def test_bad_input_is_told_in_our_words(bad):
    with pytest.raises(CompositeKitError, match=next(iter(bad))):
        buoyancy(PUNT, CATALOGUE, **bad)


def test_part_persons_are_refused_by_count():
    with pytest.raises(RangeError, match="count whole people"):
        buoyancy(PUNT, CATALOGUE, persons=2.5)


def test_the_result_is_frozen_and_explained():
    found = buoyancy(PUNT, CATALOGUE)
    assert isinstance(found, Buoyancy) and len(found.working) >= 10
    assert any("not an approval" in caution for caution in found.cautions)
    assert any("enter your own data sheet first" in guess for guess in found.guesses)
