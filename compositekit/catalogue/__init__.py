"""Sourced material data: fibres, reinforcements, cores, resins, consumables, footprint.

Every row names its source and how far to trust it: "read", "read second-hand", "own calculation", "from memory",
"own judgement", "mixed" (its ``property_sources`` or ``remark`` says which figure is which) or "shop". The starter
rows are starting points for a trial panel, not a supplier's promise: enter the shop's own data sheets.

How to add a core (or fibre, fabric, resin): write a CSV file called ``cores.csv`` with a heading and one row per
material, numbers with a point, the unit in the column name only::

    key,title,family,density_kg_m3,shear_modulus_MPa,shear_strength_MPa,compressive_modulus_MPa,source
    balsa-ours-150,"end-grain balsa, our supplier",balsa,150,140,2.6,3600,"supplier sheet, March 2026"

then ``catalogue = add_own("cores.csv")``. A column left out stays unknown. The ends of a range go into
``density_low_kg_m3`` and ``density_high_kg_m3``. A row named like another one with ``-minimum`` behind it is that
core's guaranteed minimum and is what ``design_shear_strength`` uses. To replace a starter row write ``yes`` in a
column ``replaces``.
"""

from __future__ import annotations

from .columns import GRADES
from .measured_flow import Permeability
from .records import Consumable, Core, Fabric, Fibre, Footprint, Resin, Source
from .store import Catalogue

__all__ = ["GRADES", "Catalogue", "Consumable", "Core", "Fabric", "Fibre", "Footprint", "Permeability", "Resin", "Source",
           "add_own", "consumable", "consumables", "core", "core_rules", "cores", "fabric", "fabrics", "fibre", "fibre_in", "fibres",
           "footprint", "footprint_of", "permeabilities", "permeability", "prices", "resin", "resins", "shear_fraction", "source", "sources",
           "sources_of"]

_starter = Catalogue.starter()

fibres, fabrics, cores, resins = _starter.fibres, _starter.fabrics, _starter.cores, _starter.resins
consumables, footprint, prices = _starter.consumables, _starter.footprint, _starter.prices
permeabilities, permeability = _starter.permeabilities, _starter.permeability
core_rules, sources, sources_of = _starter.core_rules, _starter.sources, _starter.sources_of
fibre, fibre_in, fabric, core, resin = (
    _starter.fibre, _starter.fibre_in, _starter.fabric, _starter.core, _starter.resin)
consumable, footprint_of, source, shear_fraction = (
    _starter.consumable, _starter.footprint_of, _starter.source, _starter.shear_fraction)


def add_own(*paths) -> Catalogue:
    """The starter catalogue with the rows of the shop's own CSV files added; the starter itself stays as it is."""
    return _starter.with_own(*paths)
