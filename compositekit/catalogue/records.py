"""One material as a record of quantities: typical values as plain attributes, the spread through ``range``."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

import pint

from ..errors import CatalogueError
from ..units import Q_, Spec, checked_fields

Quantity = pint.Quantity


class _Entry:
    """What every record can say about itself."""

    @property
    def name(self) -> str:
        """The readable name."""
        return self.title or self.key

    def range(self, name: str) -> tuple[Quantity | None, Quantity | None, Quantity | None]:
        """Low, typical and high value of a property; without a known spread all three are the typical one."""
        if name not in type(self).specs:
            raise CatalogueError(f'{self.key} has no property "{name}"; it has {", ".join(type(self).specs)}.')
        typical = getattr(self.si, name)
        if typical is None:
            return None, None, None
        low, high = (self.spread or {}).get(name, (typical, typical))
        unit = Spec.of(type(self).specs[name]).pint_unit
        return Q_(low, unit), Q_(typical, unit), Q_(high, unit)


@checked_fields(
    density="kg/m^3 > 0", e_axial="Pa > 0", e_transverse="Pa > 0", g_axial="Pa > 0", nu_axial="1 in 0..0.5",
    strength="Pa > 0", failure_strain="1 in 0..0.5", moisture="1 in 0..0.5", cte_axial="1/K", cte_transverse="1/K",
)
class Fibre(_Entry):
    """A fibre: its own properties, not those of a ply. ``moisture`` is the regain at 20 degC and 65 % humidity."""

    key: str
    density: Quantity
    e_axial: Quantity
    e_transverse: Quantity | None = None
    g_axial: Quantity | None = None
    nu_axial: Quantity | None = None
    strength: Quantity | None = None
    failure_strain: Quantity | None = None
    moisture: Quantity | None = None
    cte_axial: Quantity | None = None
    cte_transverse: Quantity | None = None
    family: str = ""
    hygroscopic: bool = False
    footprint: str = ""
    title: str = ""
    source: str = ""
    grade: str = ""
    remark: str = ""
    property_sources: str = ""
    spread: dict | None = None


@checked_fields(
    areal_weight="kg/m^2 > 0", fibre_fraction="1 in 0.01..0.8", fibre_fraction_hand="1 in 0.01..0.8",
    crimp_factor="1 in 0.3..1", fibre_modulus="Pa > 0", permeability="m^2 > 0", permeability_cross_ratio="1 in 0.001..1",
    permeability_through="m^2 > 0", strain_limit_tension="1 in 0..0.1", strain_limit_compression="1 in 0..0.1",
    strain_limit="1 in 0..0.1",
)
class Fabric(_Entry):
    """A reinforcement as it is bought. Permeability in plane is along the fibre (uni) or any way (balanced, random)
    at ``fibre_fraction``; across a uni it is ``permeability_cross_ratio`` of that. ``fibre_modulus`` is the fibre
    stiffness seen inside the cloth where tests put it below the fibre's own; None means take the fibre's.
    ``strain_limit`` is the smaller of the two design strains of a skin."""

    key: str
    areal_weight: Quantity
    fibre_fraction: Quantity
    fibre: str = ""
    direction: str = "balanced"
    form: str = ""
    hygroscopic: bool = False
    fibre_fraction_hand: Quantity | None = None
    crimp_factor: Quantity | None = None
    fibre_modulus: Quantity | None = None
    permeability: Quantity | None = None
    permeability_cross_ratio: Quantity | None = None
    permeability_through: Quantity | None = None
    strain_limit_tension: Quantity | None = None
    strain_limit_compression: Quantity | None = None
    strain_limit: Quantity | None = None
    permeability_grade: str = ""
    permeability_through_grade: str = ""
    strain_grade: str = ""
    title: str = ""
    source: str = ""
    grade: str = ""
    remark: str = ""
    property_sources: str = ""
    spread: dict | None = None


@checked_fields(
    density="kg/m^3 > 0", compressive_modulus="Pa > 0", compressive_strength="Pa > 0", tensile_modulus="Pa > 0",
    tensile_strength="Pa > 0", shear_modulus="Pa > 0", shear_modulus_w="Pa > 0", shear_strength="Pa > 0",
    shear_strength_w="Pa > 0", shear_strain="1 in 0..2", poisson="1 in 0..0.5", cte="1/K",
    max_service_temperature="K > 0", max_process_temperature="K > 0", uptake="kg/m^2 >= 0", price_class="1 in 1..5", cell_size="m > 0",
)
class Core(_Entry):
    """A core sheet. ``uptake`` is the resin one face takes; ``_w`` is the weaker in-plane way of a honeycomb,
    ``cell_size`` the width across one of its cells."""

    key: str
    density: Quantity
    compressive_modulus: Quantity | None = None
    compressive_strength: Quantity | None = None
    tensile_modulus: Quantity | None = None
    tensile_strength: Quantity | None = None
    shear_modulus: Quantity | None = None
    shear_modulus_w: Quantity | None = None
    shear_strength: Quantity | None = None
    shear_strength_w: Quantity | None = None
    shear_strain: Quantity | None = None
    poisson: Quantity | None = None
    cte: Quantity | None = None
    max_service_temperature: Quantity | None = None
    max_process_temperature: Quantity | None = None
    uptake: Quantity | None = None
    price_class: Quantity | None = None
    cell_size: Quantity | None = None
    family: str = ""
    level: str = "nominal"
    structural: bool = True
    infusible: bool = True
    closed_cell: bool = True
    uptake_grade: str = ""
    thicknesses: Quantity | None = None
    test_method: str = ""
    footprint: str = ""
    title: str = ""
    source: str = ""
    grade: str = ""
    remark: str = ""
    property_sources: str = ""
    spread: dict | None = None
    minimum: Core | None = None

    def design_value(self, name: str) -> tuple[Quantity | None, str]:
        """Cautious value of a stiffness or strength, and in words what it rests on.

        The guaranteed minimum where the maker prints one, otherwise 0.8 of the nominal figure. The 0.8 is own
        judgement: the printed minimum of PVC foam is 0.80 to 0.91 of its nominal in shear.
        """
        nominal, least = self.range(name)[1], self.minimum and self.minimum.range(name)[1]
        if self.level == "minimum" and nominal is not None:
            return nominal, "guaranteed minimum, as printed"
        if least is not None:
            return least, f"guaranteed minimum, row {self.minimum.key}"
        if nominal is None:
            return None, f'no figure for {name.replace("_", " ")} was read: ask the supplier or test a strip'
        return 0.8 * nominal, "0.8 of the nominal figure, own judgement; no minimum is printed: ask the supplier"

    def design_shear_strength(self) -> tuple[Quantity | None, str]:
        """Shear strength to size with, and what it rests on."""
        return self.design_value("shear_strength")

    def design_shear_modulus(self) -> tuple[Quantity | None, str]:
        """Shear modulus to size with, and what it rests on: of a honeycomb its softer way, since no layup says how the ribbon lies."""
        found = [(self.design_value(name), way) for name, way in (("shear_modulus", ""), ("shear_modulus_w", "; across the ribbon, its softer way"))]
        known = [(value, words + way) for (value, words), way in found if value is not None]
        return min(known, key=lambda one: one[0]) if found[0][0][0] is not None else found[0][0]

    def design_compressive_strength(self) -> tuple[Quantity | None, str]:
        """Crushing strength to size with, and what it rests on."""
        return self.design_value("compressive_strength")


@checked_fields(
    density_liquid="kg/m^3 > 0", density_cured="kg/m^3 > 0", modulus="Pa > 0", poisson="1 in 0..0.5",
    strength="Pa > 0", failure_strain="1 in 0..1", tg="K > 0", viscosity_20c="Pa*s > 0", viscosity_25c="Pa*s > 0",
    viscosity_30c="Pa*s > 0", pot_life="s > 0", shrinkage="1 in 0..0.2", heat_of_reaction="J/kg > 0",
    styrene="1 in 0..1", bio_based="1 in 0..1", hardener_parts="1 in 0..200",
)
class Resin(_Entry):
    """A resin with its hardener. Pot life is that of 100 g at 25 degC; ``hardener_parts`` are per 100 by weight.
    Most figures of the starter rows are remembered: enter the shop's own data sheet before mixing to them."""

    key: str
    density_liquid: Quantity
    density_cured: Quantity
    modulus: Quantity | None = None
    poisson: Quantity | None = None
    strength: Quantity | None = None
    failure_strain: Quantity | None = None
    tg: Quantity | None = None
    viscosity_20c: Quantity | None = None
    viscosity_25c: Quantity | None = None
    viscosity_30c: Quantity | None = None
    pot_life: Quantity | None = None
    shrinkage: Quantity | None = None
    heat_of_reaction: Quantity | None = None
    styrene: Quantity | None = None
    bio_based: Quantity | None = None
    hardener_parts: Quantity | None = None
    family: str = ""
    contains_styrene: bool = False
    footprint: str = ""
    title: str = ""
    source: str = ""
    grade: str = ""
    remark: str = ""
    property_sources: str = ""
    spread: dict | None = None


@checked_fields(energy="J/kg >= 0", carbon="1 >= 0")
class Footprint(_Entry):
    """Energy and gas per kilogram of a material; ``carbon`` is kg of CO2 or CO2e per kg, see ``gas``."""

    key: str
    energy: Quantity | None = None
    carbon: Quantity | None = None
    family: str = ""
    boundary: str = ""
    method: str = ""
    gas: str = ""
    title: str = ""
    source: str = ""
    grade: str = ""
    remark: str = ""
    property_sources: str = ""
    spread: dict | None = None


@dataclass(frozen=True)
class Consumable:
    """One figure about a consumable: resin it holds, share wasted, a thickness."""

    key: str
    title: str
    quantity: str
    low: Quantity | None
    typical: Quantity
    high: Quantity | None
    source: str
    grade: str
    remark: str

    @property
    def value(self) -> Quantity:
        """The typical figure."""
        return self.typical

    @property
    def si(self) -> SimpleNamespace:
        """The figures as plain SI numbers."""
        ends = {"low": self.low, "value": self.typical, "high": self.high}
        return SimpleNamespace(**{k: None if v is None else v.to_base_units().magnitude for k, v in ends.items()})

    def range(self) -> tuple[Quantity, Quantity, Quantity]:
        """Low, typical and high figure; an end nobody gave is the typical one."""
        return (self.low if self.low is not None else self.typical, self.typical,
                self.high if self.high is not None else self.typical)


@dataclass(frozen=True)
class Source:
    """Where figures come from: the citation, where it was read, and how far to trust it."""

    key: str
    citation: str
    where_read: str
    grade: str
    remark: str = ""
