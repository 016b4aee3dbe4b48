"""The catalogue itself: sourced tables, records by key, and the shop's own rows on top."""

from __future__ import annotations

import difflib
import functools
import re
from dataclasses import replace
from pathlib import Path

import pandas as pd

from ..errors import CatalogueError, UnknownMaterial
from ..units import Q_
from . import columns
from .measured_flow import Permeability
from .reading import as_si, read_row, read_rows
from .records import Consumable, Core, Fabric, Fibre, Footprint, Resin, Source

_HERE = Path(__file__).parent
_OWN_TABLES = ("fibres", "fabrics", "cores", "resins")


class Catalogue:
    """Material tables with a source for every row. Never changed in place: ``with_own`` returns a new one."""

    def __init__(self, tables: dict[str, dict[str, dict]], plain: dict[str, dict[str, dict]]):
        self._tables = tables  # checked rows by table and key
        self._plain = plain    # consumables, permeability, prices, core_rules, sources: words and numbers as they stand
        self._records = {}

    @staticmethod
    @functools.cache
    def starter() -> Catalogue:
        """The starter catalogue that comes with the package."""
        tables = {table: _checked(table, read_rows(_HERE / f"{table}.csv")) for table in columns.PROPERTIES}
        plain = {name: {cells["key"]: _figures(cells) for _, cells in read_rows(_HERE / f"{name}.csv")}
                 for name in ("consumables", "permeability", "prices", "core_rules", "sources")}
        return Catalogue(tables, plain)

    # --- tables ---------------------------------------------------------------------------

    def _frame(self, name):
        return pd.DataFrame.from_dict({**self._tables, **self._plain}[name], orient="index").rename_axis("key")

    def fibres(self) -> pd.DataFrame:
        """All fibres, one row per key, the unit in each column name; a fresh copy."""
        return self._frame("fibres")

    def fabrics(self) -> pd.DataFrame:
        """All reinforcements, one row per key."""
        return self._frame("fabrics")

    def cores(self) -> pd.DataFrame:
        """All cores, nominal and guaranteed-minimum rows apart."""
        return self._frame("cores")

    def resins(self) -> pd.DataFrame:
        """All resins with their hardener."""
        return self._frame("resins")

    def consumables(self) -> pd.DataFrame:
        """Resin held by consumables, waste shares, flow-mesh figures; the unit stands in its own column."""
        return self._frame("consumables")

    def permeabilities(self) -> pd.DataFrame:
        """Published and remembered permeabilities with fibre fraction, method and spread: starting points before the own trial panel."""
        return self._frame("permeability")

    def footprint(self) -> pd.DataFrame:
        """Energy and carbon per kilogram; never add process and hybrid rows together."""
        return self._frame("footprint")

    def prices(self) -> pd.DataFrame:
        """The few published prices, with currency and year."""
        return self._frame("prices")

    def core_rules(self) -> pd.DataFrame:
        """Openly restated rule values for cores: small-craft rule and yacht rule side by side."""
        return self._frame("core_rules")

    def sources(self) -> pd.DataFrame:
        """Citations by source key."""
        return self._frame("sources")

    # --- records --------------------------------------------------------------------------

    def fibre(self, key: str) -> Fibre:
        """One fibre by key. Raises UnknownMaterial."""
        return self._record("fibres", key)

    def fabric(self, key: str) -> Fabric:
        """One reinforcement by key. Raises UnknownMaterial."""
        return self._record("fabrics", key)

    def fibre_in(self, fabric: Fabric) -> Fibre:
        """The fibre as it works inside a fabric: as stiff along its axis as tests of such cloth found it."""
        fibre = self.fibre(fabric.fibre)
        return fibre if fabric.fibre_modulus is None else replace(fibre, e_axial=fabric.fibre_modulus)

    def core(self, key: str) -> Core:
        """One core by key. Raises UnknownMaterial."""
        return self._record("cores", key)

    def resin(self, key: str) -> Resin:
        """One resin by key. Raises UnknownMaterial."""
        return self._record("resins", key)

    def consumable(self, key: str) -> Consumable:
        """One consumable figure by key. Raises UnknownMaterial."""
        row = _find(self._plain["consumables"], "consumables", key)
        unit = "" if row["unit"] == "1" else row["unit"]
        low, typical, high = (None if row[end] is None else Q_(row[end], unit) for end in ("low", "typical", "high"))
        return Consumable(key, row["title"], row["quantity"], low, typical, high,
                          row["source"], row["grade"], row["remark"])

    def permeability(self, key: str) -> Permeability:
        """One published or remembered permeability by key. Raises UnknownMaterial."""
        row = _find(self._plain["permeability"], "permeability", key)
        return Permeability.of_row(key, row)

    def footprint_of(self, material: Fibre | Core | Resin | Fabric | str) -> Footprint:
        """Footprint row of a material record (a fabric takes its fibre's), or of a footprint key."""
        if isinstance(material, Fabric):
            material = self.fibre(material.fibre)
        key = material if isinstance(material, str) else material.footprint
        if not key:
            raise UnknownMaterial(f"{material.key} names no footprint row; fill its column footprint with one of "
                                  f'{", ".join(self._tables["footprint"])}.')
        return self._record("footprint", key)

    def source(self, key: str) -> Source:
        """Citation behind a source key; joined keys like ``MEM+OWN`` are looked up one at a time."""
        row = _find(self._plain["sources"], "sources", key)
        return Source(key, row["citation"], row["where_read"], row["grade"], row["remark"])

    def sources_of(self, material) -> list[Source]:
        """Every citation behind a record's row."""
        if material.grade == "shop":
            return [Source(material.source, material.source, "the shop's own table", "shop")]
        return [self.source(key) for key in material.source.split("+")]

    def shear_fraction(self, core: Core, rule: str = "small_craft") -> tuple[float, str]:
        """Share of a core's ultimate shear strength that a published rule lets one design with, and which rule.

        Cross-linked PVC and any foam of unknown break strain count as stiff, the more cautious row; cork and plywood
        have no rule row and take the balsa one, own judgement. Rule values as restated openly: local codes come first.
        """
        if rule not in ("small_craft", "yacht"):
            raise CatalogueError(f'The rule "{rule}" is not known; say small_craft or yacht.')
        key = {"balsa": "balsa", "honeycomb": "honeycomb", "cork": "balsa", "plywood": "balsa",
               "pvc": "stiff-foam"}.get(core.family)
        key = key or ("ductile-foam" if (core.si.shear_strain or 0) >= 0.35 else "stiff-foam")
        row = self._plain["core_rules"][f"shear-fraction-{key}"]
        if row[rule] is None:
            raise CatalogueError(f'The {rule.replace("_", " ")} rule gives no value for {row["title"]}.')
        return row[rule], f'{row["title"]}; {row["source"]}'

    def _record(self, table, key):
        if (table, key) not in self._records:
            row = _find(self._tables[table], table, key)
            self._records[table, key] = self._build(table, row)
        return self._records[table, key]

    def _build(self, table, row):
        typical, spread = as_si(table, row)
        words = {name: row[name] for name in columns.WORDS[table] if name != "thicknesses_mm"}
        if table == "fabrics":
            limits = [typical[f"strain_limit_{way}"] for way in ("tension", "compression")]
            known = [limit for limit in limits if limit is not None]
            typical["strain_limit"] = min(known) if known else None
            words["hygroscopic"] = self._tables["fibres"][row["fibre"]]["hygroscopic"]
        if table == "cores":
            least = f'{row["key"]}-minimum'
            words["minimum"] = self.core(least) if least in self._tables["cores"] else None
            sheets = [float(text) for text in row["thicknesses_mm"].split()]
            words["thicknesses"] = Q_(sheets, "mm") if sheets else None
        return columns.RECORDS[table].from_si(**typical, **words, spread=spread)

    # --- the shop's own rows ------------------------------------------------------------------

    def with_own(self, *paths) -> Catalogue:
        """A new catalogue with the rows of the shop's own CSV files (or of every table in a folder) added."""
        tables = {table: dict(rows) for table, rows in self._tables.items()}
        places = {}
        for path in paths:
            for file in _own_files(path):
                for place, cells in read_rows(file):
                    _add(tables, places, _own_table(file, place, cells), place, cells)
        for key, row in tables["fabrics"].items():
            if row["fibre"] not in tables["fibres"]:
                raise CatalogueError(f'{places[key]}, column fibre: "{row["fibre"]}" is not a fibre of the catalogue'
                                     f'{_near(row["fibre"], tables["fibres"])}')
        return Catalogue(tables, self._plain)


def _checked(table, rows):
    out = {}
    for place, cells in rows:
        row = read_row(table, place, cells)
        if row["key"] in out:
            raise CatalogueError(f'{place}: the key "{row["key"]}" stands twice in this table.')
        out[row["key"]] = row
    return out


def _add(tables, places, table, place, cells):
    row = read_row(table, place, cells)
    key, row["grade"] = row["key"], "shop"
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key):
        raise CatalogueError(f'{place}: the key "{key}" must be small letters, figures and hyphens, like "balsa-own-150".')
    if key in places:
        raise CatalogueError(f'{place}: the key "{key}" stands already in {places[key]}; give each row its own key.')
    replacing = cells.get("replaces", "") == "yes"
    if key in tables[table] and not replacing:
        raise CatalogueError(f'{place}: the key "{key}" is already in the catalogue; choose another key, '
                             'or write yes in a column "replaces" to put your row in its place.')
    if key not in tables[table] and replacing:
        raise CatalogueError(f'{place}: says it replaces "{key}", which is not in the catalogue'
                             f'{_near(key, tables[table])}')
    places[key] = place
    tables[table][key] = row


def _own_files(path):
    path = Path(path)
    if not path.is_dir():
        return [path]
    files = [path / f"{table}.csv" for table in _OWN_TABLES if (path / f"{table}.csv").exists()]
    if not files:
        raise CatalogueError(f'The folder "{path.name}" holds none of {", ".join(t + ".csv" for t in _OWN_TABLES)}.')
    return files


def _own_table(file, place, cells):
    table = cells.get("table") or file.stem
    if table not in _OWN_TABLES:
        raise CatalogueError(f'{place}: cannot tell which table this row belongs to; name the file '
                             f'{", ".join(t + ".csv" for t in _OWN_TABLES)}, or write the table in a column "table".')
    return table


def _figures(cells):
    numbers = ("low", "typical", "high", "small_craft", "yacht", "year", "permeability_across_ratio", "within_laboratory", "between_laboratories")
    return {name: (float(text) if text else None) if name in numbers or name.startswith("fibre_fraction") or name.endswith("_m2") else text for name, text in cells.items()}


def _find(rows, table, key):
    if key in rows:
        return rows[key]
    raise UnknownMaterial(f'"{key}" is not in the table of {table.replace("_", " ")}{_near(key, rows)}')


def _near(key, rows):
    key = str(key)
    near = difflib.get_close_matches(key.lower(), rows, n=3, cutoff=0.6) or [k for k in rows if key and key.lower() in k][:3]
    return f'; did you mean {" or ".join(near)}?' if near else f'; it holds, among others, {", ".join(list(rows)[:5])}.'
