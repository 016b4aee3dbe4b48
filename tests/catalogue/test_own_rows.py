"""The shop's own rows: what is taken, and the exact sentence for each row that cannot be."""

import pytest

from compositekit import catalogue
from compositekit.catalogue import Catalogue, add_own
from compositekit.errors import CatalogueError, UnknownMaterial

HEAD = "key,title,density_kg_m3,shear_modulus_MPa,shear_strength_MPa,source\n"
FIBRE = "key,density_kg_m3,e_axial_GPa,e_transverse_GPa,g_axial_GPa,nu_axial,source\n"
FABRIC = "key,fibre,direction,areal_weight_g_m2,fibre_fraction,crimp_factor,source\n"
GOOD = 'balsa-ours-150,our balsa,150,140,2.6,"supplier sheet, March 2026"\n'


def write(folder, text, name="cores.csv"):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_an_own_core_is_found_marked_and_leaves_the_starter_alone(tmp_path):
    own = add_own(write(tmp_path, HEAD + GOOD))
    core = own.core("balsa-ours-150")
    assert core.grade == "shop" and core.shear_modulus.m_as("MPa") == pytest.approx(140)
    assert [q.m_as("kg/m^3") for q in core.range("density")] == [150, 150, 150]
    assert core.compressive_modulus is None and core.range("compressive_modulus") == (None, None, None)
    value, basis = core.design_shear_strength()
    assert value.m_as("MPa") == pytest.approx(0.8 * 2.6)
    assert basis == "0.8 of the nominal figure, own judgement; no minimum is printed: ask the supplier"
    assert own.sources_of(core)[0].citation == "supplier sheet, March 2026"
    assert "balsa-ours-150" in own.cores().index and own.core("pvc-80").grade == "read second-hand"
    with pytest.raises(UnknownMaterial):
        catalogue.core("balsa-ours-150")


def test_an_own_minimum_row_becomes_the_design_value(tmp_path):
    own = add_own(write(tmp_path, HEAD + GOOD + "balsa-ours-150-minimum,our balsa least,150,110,2.1,supplier sheet\n"))
    value, basis = own.core("balsa-ours-150").design_shear_strength()
    assert value.m_as("MPa") == pytest.approx(2.1) and basis == "guaranteed minimum, row balsa-ours-150-minimum"


def test_a_starter_row_is_replaced_only_when_the_row_says_so(tmp_path):
    own = add_own(write(tmp_path, HEAD.replace("source", "source,replaces") + "pvc-80,our PVC,81,26,1.1,sheet 2026,yes\n"))
    assert own.core("pvc-80").density.m_as("kg/m^3") == 81 and own.core("pvc-80").grade == "shop"


def test_a_folder_and_a_file_with_a_table_column(tmp_path):
    write(tmp_path, HEAD + GOOD)
    write(tmp_path, FIBRE + "nettle,1500,40,8,2.5,0.35,own strips\n", "fibres.csv")
    write(tmp_path, FABRIC + "nettle-twill,nettle,balanced,300,0.33,0.9,sheet\n",
          "fabrics.csv")
    own = add_own(tmp_path)
    assert own.fabric("nettle-twill").fibre == "nettle" and own.fibre("nettle").title == "nettle"
    mixed = write(tmp_path, FIBRE.replace("key", "key,table") + "ramie,fibres,1500,50,8,2.5,0.35,sheet\nkapok-60,cores,60,,,,,sheet\n",
                  "shop.csv")
    both = own.with_own(mixed)
    assert both.core("kapok-60").density.m_as("kg/m^3") == 60 and both.fibre("ramie").grade == "shop"
    assert both.fibre("nettle").grade == "shop"


BAD = [  # file text, the whole sentence
    (HEAD + 'a-1,x,"150,5",1,1,sheet\n',
     'cores.csv, row 2, column density_kg_m3: "150,5" has a comma in the number; write it with a point, like "150.5".'),
    (HEAD + "a-1,x,150 kg/m3,1,1,sheet\n",
     'cores.csv, row 2, column density_kg_m3: "150 kg/m3" is not a plain number; the unit belongs in the heading only.'),
    (HEAD + GOOD + "a-1,x,-150,1,1,sheet\n", "cores.csv, row 3, column density_kg_m3: -150 cannot be; it must be above 0."),
    (HEAD + "a-1,x,0,1,1,sheet\n", "cores.csv, row 2, column density_kg_m3: 0 cannot be; it must be above 0."),
    (HEAD + "a-1,x,nan,1,1,sheet\n", "cores.csv, row 2, column density_kg_m3: nan cannot be; it must be above 0."),
    (HEAD + "a-1,x,inf,1,1,sheet\n", "cores.csv, row 2, column density_kg_m3: inf cannot be; it must be above 0."),
    (HEAD + "a-1,x,,1,1,sheet\n", "cores.csv, row 2: the column density_kg_m3 is empty; every row needs it; if your sheet does "
     "not say, copy it from the nearest starter row and note that in remark."),
    (HEAD + "a-1,x,150,1,1,\n",
     "cores.csv, row 2: the column source is empty; write where the figures come from, such as the data sheet and its date."),
    (HEAD + ",x,150,1,1,sheet\n", "cores.csv, row 2: the column key is empty; every row needs it."),
    (HEAD + "My Core,x,150,1,1,sheet\n",
     'cores.csv, row 2: the key "My Core" must be small letters, figures and hyphens, like "balsa-own-150".'),
    (HEAD + "pvc-80,x,80,1,1,sheet\n",
     'cores.csv, row 2: the key "pvc-80" is already in the catalogue; choose another key, or write yes in a column '
     '"replaces" to put your row in its place.'),
    (HEAD + GOOD + GOOD,
     'cores.csv, row 3: the key "balsa-ours-150" stands already in cores.csv, row 2; give each row its own key.'),
    (HEAD.replace("source", "source,replaces") + "pvc-81,x,80,1,1,sheet,yes\n",
     'cores.csv, row 2: says it replaces "pvc-81", which is not in the catalogue; did you mean pvc-80 or pvc-48 or pvc-160?'),
    (HEAD.replace("density_kg_m3", "density") + GOOD,
     'cores.csv, row 2: the column "density" does not say its unit; head it "density_kg_m3".'),
    (HEAD.replace("density_kg_m3", "density_low") + GOOD,
     'cores.csv, row 2: the column "density_low" does not say its unit; head it "density_low_kg_m3".'),
    (HEAD.replace("shear_modulus_MPa", "shear_modulus_GPa") + GOOD,
     'cores.csv, row 2: the column "shear_modulus_GPa" is not known; did you mean shear_modulus_MPa or shear_modulus_w_MPa?'),
    ("key,density_low_kg_m3,density_kg_m3,density_high_kg_m3,source\na-1,160,150,170,sheet\n",
     "cores.csv, row 2: density must rise from low over typical to high, but reads 160, 150, 170."),
    ("key,density_kg_m3,shear_modulus_low_MPa,source\na-1,150,20,sheet\n",
     "cores.csv, row 2: shear_modulus has an end of its range but no typical value; fill the column shear_modulus_MPa."),
    ("key,density_kg_m3,infusible,source\na-1,150,maybe,sheet\n", 'cores.csv, row 2, column infusible: "maybe" is not one of yes, no.'),
    ("key,density_kg_m3,poisson,source\na-1,150,0.7,sheet\n", "cores.csv, row 2, column poisson: 0.7 cannot be; it must lie from 0 to 0.5."),
    ("key,density_kg_m3,max_process_temperature_C,source\na-1,150,-300,sheet\n",
     "cores.csv, row 2, column max_process_temperature_C: -300 cannot be; it must be above -273.15."),
    ("key;density_kg_m3;source\na-1;150;sheet\n",
     "cores.csv separates its columns by semicolons; save it with commas between columns and a point in the numbers."),
    ("", "cores.csv is empty; its first row must hold the column names, beginning with key."),
    (HEAD + "a-1,x,150,1,1,sheet, May\n",
     "cores.csv, row 2 has 7 cells under 6 column names; a comma inside a cell needs quotes round the cell."),
    ("key,key,source\na,b,c\n", 'cores.csv has the column "key" twice; keep one.'),
]


@pytest.mark.parametrize(("text", "sentence"), BAD)
def test_a_bad_row_gets_one_sentence(tmp_path, text, sentence):
    with pytest.raises(CatalogueError) as err:
        add_own(write(tmp_path, text))
    assert str(err.value) == sentence


@pytest.mark.parametrize(("name", "text", "sentence"), [
    ("fabrics.csv", FABRIC + "f-1,flacks,balanced,300,0.3,0.9,sheet\n",
     'fabrics.csv, row 2, column fibre: "flacks" is not a fibre of the catalogue; did you mean flax?'),
    ("fabrics.csv", FABRIC + "f-1,flax,sideways,300,0.3,0.9,sheet\n",
     'fabrics.csv, row 2, column direction: "sideways" is not one of uni, balanced, random.'),
    ("fabrics.csv", FABRIC + "f-1,flax,balanced,300,35,0.9,sheet\n",
     "fabrics.csv, row 2, column fibre_fraction: 35 cannot be; it must lie from 0.01 to 0.8."),
    ("stuff.csv", HEAD + GOOD, "stuff.csv, row 2: cannot tell which table this row belongs to; name the file fibres.csv, "
                               'fabrics.csv, cores.csv, resins.csv, or write the table in a column "table".'),
])
def test_bad_rows_in_other_files(tmp_path, name, text, sentence):
    with pytest.raises(CatalogueError) as err:
        add_own(write(tmp_path, text, name))
    assert str(err.value) == sentence


def test_files_that_are_not_there_or_not_text(tmp_path):
    with pytest.raises(CatalogueError, match=r'There is no file "cores\.csv" in the folder given; check the name\.'):
        add_own(tmp_path / "cores.csv")
    (tmp_path / "resins.csv").write_bytes(b"key,source\n\xff\xfe\x00")
    with pytest.raises(CatalogueError, match=r"resins\.csv cannot be read as a table .*; save it as CSV in UTF-8\."):
        add_own(tmp_path / "resins.csv")
    (tmp_path / "none").mkdir()
    with pytest.raises(CatalogueError, match='The folder "none" holds none of'):
        add_own(tmp_path / "none")


def test_a_byte_order_mark_and_blank_lines_do_no_harm(tmp_path):
    assert add_own(write(tmp_path, "\ufeff" + HEAD + "\n" + GOOD + ",,,,,\n")).core("balsa-ours-150").si.density == 150


@pytest.mark.parametrize(("look", "key", "sentence"), [
    ("core", "pvc80", '"pvc80" is not in the table of cores; did you mean pvc-80 or pvc-b-80 or pvc-60?'),
    ("fabric", "linen", '"linen" is not in the table of fabrics; it holds, among others, glass-uni-300, glass-uni-600, '
                        "glass-twill-200, glass-twill-280, glass-plain-600."),
    ("resin", "Vinyl", '"Vinyl" is not in the table of resins; did you mean vinyl-ester?'),
    ("source", "MEMORY", '"MEMORY" is not in the table of sources; it holds, among others, JANG, NRC92, KIMMAI, MKCF300, MKARAMID.'),
    ("fibre", None, '"None" is not in the table of fibres; it holds, among others, e-glass, s-glass, carbon-standard, '
                    "carbon-high-strength, aramid."),
])
def test_an_unknown_key_names_its_neighbours(look, key, sentence):
    with pytest.raises(UnknownMaterial) as err:
        getattr(Catalogue.starter(), look)(key)
    assert str(err.value) == sentence


def test_an_unknown_property_or_rule_is_named():
    with pytest.raises(CatalogueError, match='flax has no property "colour"; it has density'):
        catalogue.fibre("flax").range("colour")
    with pytest.raises(CatalogueError, match='The rule "mine" is not known; say small_craft or yacht'):
        catalogue.shear_fraction(catalogue.core("pvc-80"), "mine")


def test_design_values_say_what_they_rest_on():
    assert catalogue.core("pvc-80").design_shear_strength() == (catalogue.core("pvc-80-minimum").shear_strength,
                                                               "guaranteed minimum, row pvc-80-minimum")
    assert catalogue.core("pvc-80-minimum").design_shear_modulus()[1] == "guaranteed minimum, as printed"
    assert catalogue.core("cork-200").design_compressive_strength()[0].m_as("MPa") == pytest.approx(0.4)
    assert catalogue.core("xps-29").design_shear_strength() == (
        None, "no figure for shear strength was read: ask the supplier or test a strip")


def test_plant_fibre_inside_a_cloth_is_softer_than_the_bundle():
    """Materials note section 2: size woven flax with 35 GPa, not the 50 GPa of the bundle; glass stays as it is."""
    assert catalogue.fibre_in(catalogue.fabric("flax-twill-360")).e_axial.m_as("GPa") == pytest.approx(35)
    assert catalogue.fibre_in(catalogue.fabric("flax-uni-200")).e_axial.m_as("GPa") == pytest.approx(50)
    assert catalogue.fibre_in(catalogue.fabric("glass-twill-280")) is catalogue.fibre("e-glass")
