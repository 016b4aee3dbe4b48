"""The cores of a catalogue that can be infused and sized with, as arrays; and which were left out, and why."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..catalogue import Core
from ..mechanics.ply import STIFF_THROUGH_ONLY
from .panel_limits import core_limits

FAMILIES = {"pvc": "PVC foam", "san": "SAN foam", "pet": "PET foam", "pmi": "PMI foam", "xps": "XPS foam", "balsa": "balsa",
            "cork": "cork", "plywood": "plywood", "honeycomb": "honeycomb"}
NEEDED = ("compressive_modulus", "shear_modulus", "shear_strength", "compressive_strength")


@dataclass(frozen=True, eq=False)
class CoreTable:
    """Cores that can be compared, one array per figure (SI, cautious), and the rest in words.

    in_plane      modulus in the plane; nought where the printed one is through the thickness
    limits        modulus through the thickness, shear and crushing strength, before any strength factor, and size of cells, as core_limits
    sheets        thicknesses it is sold in, m, may be empty
    service       K, NaN where not read
    left_out      how many rows were passed over, and why
    ruled_out     family, how many grades, and the reason none of them is compared
    """

    cores: tuple[Core, ...]
    density: np.ndarray
    uptake: np.ndarray
    in_plane: np.ndarray
    shear_modulus: np.ndarray
    limits: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
    sheets: tuple[tuple[float, ...], ...]
    service: np.ndarray
    left_out: tuple[tuple[int, str], ...]
    ruled_out: tuple[tuple[str, int, str], ...]

    def only(self, chosen) -> CoreTable:
        """The table cut down to these rows (a mask)."""
        rows = np.flatnonzero(chosen)
        arrays = {name: getattr(self, name)[rows] for name in ("density", "uptake", "in_plane", "shear_modulus", "service")}
        return CoreTable(tuple(self.cores[n] for n in rows), limits=tuple(figure[rows] for figure in self.limits),
                         sheets=tuple(self.sheets[n] for n in rows), left_out=self.left_out, ruled_out=self.ruled_out, **arrays)


@functools.lru_cache(maxsize=8)
def core_table(catalogue, styrene: bool) -> CoreTable:
    """All cores of a catalogue sorted into those to compare and those not; ``styrene`` says what the resin holds."""
    rows = [catalogue.core(key) for key in catalogue.cores().index]
    minimum = [core for core in rows if core.key.endswith("-minimum")]
    rows = [core for core in rows if not core.key.endswith("-minimum")]
    barred = [core for core in rows if _bar(core, styrene)]
    rows = [core for core in rows if not _bar(core, styrene)]
    soft = [core for core in rows if any(getattr(core, name) is None for name in NEEDED[:2])]
    weak = [core for core in rows if core not in soft and any(getattr(core, name) is None for name in NEEDED[2:])]
    cores = tuple(core for core in rows if core not in soft and core not in weak)
    limits = np.array([core_limits(core, 1.0) for core in cores]).reshape(-1, 4).T
    left_out = ((len(minimum), "rows of guaranteed minimum figures: they stand behind their nominal row, as the cautious figure"),
                (len(soft), "grades without a stiffness figure: the sag cannot be reckoned"),
                (len(weak), "grades without a shear or crushing strength: the core could not be checked under a heel"))
    return CoreTable(
        cores, np.array([core.si.density for core in cores]), np.array([core.si.uptake or 0.0 for core in cores]),
        np.array([0.0 if core.family in STIFF_THROUGH_ONLY else core.design_value("compressive_modulus")[0].m_as("Pa") for core in cores]),
        np.array([core.design_shear_modulus()[0].m_as("Pa") for core in cores]), tuple(limits),
        tuple(() if core.thicknesses is None else tuple(sorted(core.thicknesses.m_as("m"))) for core in cores),
        np.array([np.nan if core.max_service_temperature is None else core.si.max_service_temperature for core in cores]),
        tuple(item for item in left_out if item[0]), _grouped(barred, styrene))


def next_sheet(sheets, least):
    """The thinnest of the sheets sold that is at least so thick, m; None when there is none."""
    return min((sheet for sheet in sheets if sheet >= least - 1e-9), default=None)


def _bar(core, styrene):
    if not core.infusible:
        return "cannot be infused: its open cells would fill with resin"
    if not core.structural:
        more = ", and the styrene in this resin dissolves it (from memory)" if styrene and core.family == "xps" else ""
        return f"not a structural core: insulation board, no shear figures to size with{more}"
    return ""


def _grouped(cores, styrene):
    families = dict.fromkeys((core.family, _bar(core, styrene)) for core in cores)
    return tuple((FAMILIES.get(family, family), sum((core.family, _bar(core, styrene)) == (family, why) for core in cores), why)
                 for family, why in families)
