"""Sizes, layups and masses of a part, added up by hand (own cases throughout)."""

from __future__ import annotations

import re
import shutil

import nbformat
import pytest
from refresh_notebooks import PAGES

from compositekit.part import PartFile, demo_parts, open_part
from compositekit.part.decision import fingerprint
from compositekit.part.folders import DEMO
from compositekit.studies.brief_and_shape import brief_and_shape
from compositekit.studies.build import part_build
from compositekit.studies.material_rows import HOW_FAR, guesses, material_rows

FILES = {name: open_part(DEMO / name / "part.json") for name in demo_parts()}


def study(name, changes=None):
    file = FILES[name]
    return brief_and_shape(file.part.changed(changes or {}), file.catalogue)


@pytest.mark.parametrize("name", demo_parts())
def test_the_budget_is_the_sum_of_its_rows(name):
    found = study(name)
    rows = sum(row.mass.m_as("kg") for row in found.rows)
    fittings = sum(mass.m_as("kg") for _, mass in found.fittings)
    assert found.part_mass.m_as("kg") == pytest.approx(rows + fittings, rel=1e-12)
    assert found.fittings_mass.m_as("kg") == pytest.approx(fittings)
    for row in found.rows:
        assert row.mass.m_as("kg") == pytest.approx(row.area.m_as("m^2") * row.areal_mass.m_as("kg/m^2"), rel=1e-12)
    assert found.checks[0].value == found.part_mass and found.checks[0].passed
    assert found.working[-1].result == found.part_mass


def test_the_lid_by_hand():
    """Two 450 g/m2 plies at half fibre by volume with their resin, 10 mm of 80 kg/m3 foam, what its two faces drink, 0.96 m2."""
    catalogue = FILES["locker_lid"].catalogue
    fabric, core, resin = catalogue.fabric("glass-biax-450"), catalogue.core("pvc-80"), catalogue.resin("epoxy-infusion")
    fibre = catalogue.fibre_in(fabric)
    share = fabric.si.fibre_fraction
    ply = 0.450 + 0.450 / fibre.si.density * (1 - share) / share * resin.si.density_cured
    expected = 2 * ply + core.si.density * 0.010 + 2 * core.si.uptake
    row = study("locker_lid").rows[0]
    assert row.areal_mass.m_as("kg/m^2") == pytest.approx(expected, rel=1e-9)
    assert row.mass.m_as("kg") == pytest.approx(0.96 * expected, rel=1e-9)


def test_a_target_below_the_mass_fails_and_none_is_no_check():
    heavy = study("fen_punt", {"brief.mass_target": "20 kg"})
    assert len(heavy.failed) == 1 and "lighter" in heavy.checks[0].remedy
    free = study("fen_punt", {"brief.mass_target": None})
    assert free.mass_target is None and free.checks == () and free.verdict == "nothing to check here"


OWN_SIZES = [("fen_punt", ["3.60 m long", "1.20 m beam", "0.460 m deep", "1310 l"]),
             ("locker_lid", ["1.20 m by 0.800 m", "4.00 m"]),
             ("shelter_roof", ["2.40 m long", "1.89 m round the curve", "1.80 m straight across", "rises 0.250 m"])]


@pytest.mark.parametrize("name,phrases", OWN_SIZES)
def test_size_in_words(name, phrases):
    said = ", ".join(study(name).size)
    assert all(phrase in said for phrase in phrases), said


def test_layup_and_loads_in_words():
    layups = {row.zone: row.layup for row in study("fen_punt", {"layup.side.outside.0.angle": "45 deg", "layup.side.core.cut": "grooved"}).rows}
    assert layups["bottom"] == "2 × basalt-twill-300 / 10.0 mm pet-recycled-100 / 1 × basalt-twill-300"
    assert layups["side"] == "1 × basalt-twill-300 at 45° / 10.0 mm pet-recycled-100, grooved / 1 × basalt-twill-300"
    solid = study("locker_lid", {"layup.lid.core": None})
    assert solid.rows[0].layup == "solid: 1 × glass-biax-450 + 1 × glass-biax-450"
    loads = study("fen_punt").loads
    assert len(loads) == 4 and "736 N on a square patch, side 100 mm" in loads[0] and "factor of 2" in loads[0]
    assert "5.00 kPa all over" in loads[1] and "factor" not in loads[1].split("(")[0]


@pytest.mark.parametrize("name", demo_parts())
def test_every_material_says_how_far_to_trust_it(name):
    file, found = FILES[name], study(name)
    assert [row.kind for row in found.materials] == ["resin", "fabric", "core"]
    assert all(row.grade in HOW_FAR and row.source for row in found.materials)
    assert any("enter your own data sheet first" in guess for guess in found.guesses)
    assert "none" not in fingerprint(file.part, file.catalogue, found.rests_on).values()


def test_the_shops_own_rows_are_no_longer_guesses(tmp_path):
    (tmp_path / "resins.csv").write_text(
        "key,title,density_liquid_kg_m3,density_cured_kg_m3,modulus_GPa,poisson,source,replaces\n"
        "epoxy-infusion,our epoxy,1110,1160,3.0,0.35,data sheet of March,yes\n")
    file = FILES["fen_punt"]
    own = file.catalogue.with_own(tmp_path / "resins.csv")
    rows = material_rows(file.part, own)
    assert rows[0].grade == "shop" and not any("our epoxy" in guess for guess in guesses(rows))
    lighter = brief_and_shape(file.part, own).part_mass - study("fen_punt").part_mass
    resin = sum(row.area.m_as("m^2") for row in study("fen_punt").rows)
    assert 0 < lighter.m_as("kg") / resin < 0.02      # 10 kg/m3 denser resin, some half litre a square metre


PAGE = nbformat.read(PAGES / "00_brief_and_shape.ipynb", as_version=4)
PROSE = "\n".join(cell.source for cell in PAGE.cells if cell.cell_type == "markdown")


def test_the_own_row_worked_through_on_the_page_loads(tmp_path):
    folder = tmp_path / "fen_punt"
    shutil.copytree(DEMO / "fen_punt", folder)
    (folder / "resins.csv").write_text(re.search(r"```csv\n(.*?)```", PROSE, re.S)[1], "utf-8")
    text = (folder / "part.json").read_text("utf-8").replace('"resin": "epoxy-infusion"', '"resin": "epoxy-ours", "own_materials": ["resins.csv"]', 1)
    text = text.replace('"resin": "epoxy-infusion"', '"resin": "epoxy-ours"')    # the trial's own line
    (folder / "part.json").write_text(text, "utf-8")
    file = PartFile.read(folder / "part.json")
    found = brief_and_shape(file.part, file.catalogue)
    assert found.materials[0].grade == "shop" and not any("enter your own" in guess for guess in found.guesses)
    resin = file.catalogue.resin("epoxy-ours")
    assert (resin.viscosity_25c.m_as("mPa*s"), resin.pot_life.m_as("min"), resin.hardener_parts.magnitude) == pytest.approx((260, 120, 30))


def test_the_guessing_table_of_the_page_says_what_the_catalogue_says():
    """What the apprentice adds up by hand must come to what the table under the picture shows."""
    file = FILES["fen_punt"]
    items = part_build(file.part, file.catalogue)["bottom"].per_area
    for phrase, value in (("0.30 kg of fibre", items["fibre"] / 3), ("0.13 kg of resin", items["resin in plies"] / 3),
                          ("| 1.0 kg |", items["core"]), ("| 0.8 kg |", items["resin in core faces"])):
        assert phrase in PROSE and float(re.search(r"\d\.\d+", phrase)[0]) == pytest.approx(value, abs=0.006), phrase
