"""Every row of every starter table is sourced, graded, ordered and physically possible."""

import re
import time

import numpy as np
import pytest

from compositekit import catalogue
from compositekit.catalogue import GRADES, Catalogue, columns

MATERIAL = list(columns.PROPERTIES)
ALL = [*MATERIAL, "consumables", "permeabilities", "prices", "core_rules", "sources"]
KEYS = {  # what the demo parts and the pages lean on
    "fibres": "e-glass s-glass carbon-standard carbon-high-strength aramid basalt flax hemp jute sisal",
    "fabrics": "basalt-twill-200 basalt-twill-300 basalt-twill-400 glass-twill-280 glass-biax-450 glass-biax-600 "
               "glass-mat-300 glass-mat-450 glass-uni-600 flax-twill-200 flax-twill-360 flax-twill-550 flax-uni-200 "
               "hemp-twill-360 hemp-mat-450 jute-plain-280 carbon-twill-200 carbon-biax-300 aramid-twill-170",
    "cores": "pvc-80 pvc-80-minimum pet-recycled-100 balsa-150 cork-200 san-85 pmi-52",
    "resins": "epoxy-infusion epoxy-part-bio vinyl-ester polyester-iso",
}


@pytest.mark.parametrize("table", ALL)
def test_every_row_has_key_and_grade_and_a_source_that_resolves(table):
    frame = getattr(catalogue, table)()
    assert len(frame) and frame.index.is_unique
    assert frame.index.map(lambda key: bool(key)).all()
    assert set(frame["grade"]) <= set(GRADES) - {"shop"}
    if table == "sources":
        assert (frame["citation"] != "").all() and (frame["where_read"] != "").all()
        return
    for joined in frame["source"]:
        for key in joined.split("+"):
            assert catalogue.source(key).citation


@pytest.mark.parametrize("table", [*MATERIAL, "core_rules"])
def test_every_key_named_in_property_sources_resolves(table):
    for text in getattr(catalogue, table)()["property_sources"]:
        for key in re.findall(r"\b[A-Z][A-Z0-9]{2,}\b", text):
            assert catalogue.source(key).key == key


@pytest.mark.parametrize("table", MATERIAL)
def test_a_mixed_row_says_which_figure_is_which(table):
    for _, row in getattr(catalogue, table)().iterrows():
        if row["grade"] == "mixed":
            assert row["property_sources"] or row["remark"]


@pytest.mark.parametrize("table", MATERIAL)
def test_low_typical_high_rise(table):
    frame, seen = getattr(catalogue, table)(), 0
    for name in columns.PROPERTIES[table]:
        low, typical, high = (frame[columns.column(table, name, end)].to_numpy(float) for end in ("low", "", "high"))
        both = ~np.isnan(low)
        assert (low[both] <= typical[both]).all()
        both = ~np.isnan(high)
        assert (typical[both] <= high[both]).all()
        seen += both.sum()
    assert seen


def test_low_typical_high_rise_for_consumables():
    frame = catalogue.consumables()
    low, typical, high = (frame[end].to_numpy(float) for end in ("low", "typical", "high"))
    assert not (low > typical).any() and not (typical > high).any() and (typical > 0).all()


def test_permeabilities_say_a_figure_a_range_or_a_spread():
    for key, row in catalogue.permeabilities().iterrows():
        low, typical, high = catalogue.permeability(key).range()
        assert row["case"].startswith("FL-K") and row["method"]
        if typical is None:
            assert row["within_laboratory"] > 0
        else:
            assert 0 < low.m <= typical.m <= high.m
    with pytest.raises(catalogue.store.UnknownMaterial, match="did you mean glass-uni-stitched"):
        catalogue.permeability("glass-uni-stiched")


@pytest.mark.parametrize(("table", "columns_"), [
    ("fibres", ["density_kg_m3"]), ("cores", ["density_kg_m3"]), ("resins", ["density_liquid_kg_m3", "density_cured_kg_m3"]),
    ("fabrics", ["areal_weight_g_m2", "fibre_fraction", "permeability_m2", "permeability_through_m2"]),
])
def test_densities_and_the_like_are_positive_and_never_missing(table, columns_):
    assert (getattr(catalogue, table)()[columns_].to_numpy(float) > 0).all()


@pytest.mark.parametrize("table", KEYS)
def test_keys_that_others_lean_on(table):
    assert set(KEYS[table].split()) <= set(getattr(catalogue, table)().index)


def test_every_record_can_be_built_and_names_a_footprint_row():
    one = {"fibres": catalogue.fibre, "fabrics": catalogue.fabric, "cores": catalogue.core, "resins": catalogue.resin}
    for table, look in one.items():
        for key in getattr(catalogue, table)().index:
            record = look(key)
            assert record.key == key and record.title and catalogue.sources_of(record)
            assert catalogue.footprint_of(record).title
    for key in catalogue.consumables().index:
        low, typical, high = catalogue.consumable(key).range()
        assert low <= typical <= high


def test_a_guaranteed_minimum_never_lies_above_its_nominal():
    frame, compared = catalogue.cores(), 0
    numbers = [name for name in columns.numeric_columns("cores") if name.endswith("MPa") or name == "density_kg_m3"]
    for key in frame.index:
        if key.endswith("-minimum"):
            least, nominal = frame.loc[key, numbers].astype(float), frame.loc[key.removesuffix("-minimum"), numbers].astype(float)
            both = least.notna() & nominal.notna()
            assert (least[both] <= nominal[both]).all(), key
            compared += both.sum()
    assert compared > 50


def test_no_product_or_machine_is_named_in_a_table():
    for table in ALL:
        text = getattr(catalogue, table)().to_csv()
        assert not re.search(r"github|/work|/tmp|/root|\.yaml|®|™", text, re.I)


def test_tables_come_as_fresh_copies():
    frame = catalogue.cores()
    frame.loc["pvc-80", "density_kg_m3"] = 1.0
    assert catalogue.cores().loc["pvc-80", "density_kg_m3"] == 80


def test_loading_and_looking_up_is_quick():
    Catalogue.starter.cache_clear()
    start = time.perf_counter()
    Catalogue.starter()
    assert time.perf_counter() - start < 0.5  # 0.05 s on a quiet machine
    start = time.perf_counter()
    for _ in range(1000):
        catalogue.core("pvc-80")
    assert time.perf_counter() - start < 0.1
