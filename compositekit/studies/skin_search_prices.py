"""What the materials of a candidate cost and weigh on the climate, per kilogram, where a catalogue row says so.

Of what stays in the part only: offcuts, bag, mesh and labour are not in it.
"""

from __future__ import annotations

import functools

import numpy as np

CURRENCY, YEAR = "USD/kg", 2019   # the rows of prices.csv that may be added up: one currency, one year
FOAM_OR_BALSA = ("pvc", "san", "pet", "balsa")   # own reading of the one core row; costlier foams, cork and plywood have none


@functools.lru_cache(maxsize=512)
def price(catalogue, kind, key) -> float:
    """Published price of a material [USD/kg, 2019]; NaN where no row fits it."""
    row = _price_row(getattr(catalogue, kind)(key), kind)
    found = catalogue.prices().to_dict("index").get(row, {})
    typical = found.get("typical")
    return float(typical) if found.get("unit") == CURRENCY and found.get("year") == YEAR and typical is not None else np.nan


def _price_row(record, kind):
    if record.grade == "shop":
        return None   # the shop's own material has the shop's own price
    if kind == "fabric":
        form = {"uni": "ud", "balanced": "biaxial"}.get(record.direction) if record.form.endswith("stitched") else None
        return f"{record.fibre}-{form}-fabric"
    if kind == "core":
        return "balsa-or-foam-core" if record.family in FOAM_OR_BALSA else None
    return f"{record.key}-resin"


@functools.lru_cache(maxsize=512)
def carbon(catalogue, kind, key) -> float:
    """CO2 equivalent per kilogram of a material [1]; a fabric takes its fibre's; NaN where no row is named."""
    record = getattr(catalogue, kind)(key)
    named = record if kind != "fabric" else catalogue.fibre(record.fibre)
    found = catalogue.footprint_of(named).si.carbon if named.footprint else None
    return np.nan if found is None else float(found)


def rates(catalogue, kind, key, prices) -> tuple[float, float]:
    """Price and carbon per kilogram; ``prices`` is the shop's own ((key, price per kg), ...) in place of the published ones, or None."""
    paid = price(catalogue, kind, key) if prices is None else dict(prices).get(key, np.nan)
    return paid, carbon(catalogue, kind, key)
