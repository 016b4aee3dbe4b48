"""What a layup makes: plies, skins, sandwich and masses of each zone, shared by every study."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from ..catalogue import Core
from ..errors import PartFileError
from ..flotation import sandwich_bulk_density
from ..infusion.cuts import Cut, core_cut
from ..mechanics.beam import RIGID_IN_SHEAR
from ..mechanics.laminate import Laminate
from ..mechanics.ply import STIFF_THROUGH_ONLY, Ply, ply_from_fabric
from ..shape.zone import Zone
from ..units import Q_
from .panel_stiffness import SandwichPanel, SolidPanel, sandwich_panel, solid_panel

CUT_ENDS = 3e-3, 0.1   # m, the two thicknesses a cut is worked out at


@dataclass(frozen=True, eq=False)
class ZoneBuild:
    """One zone as laid up and infused.

    name, zone          what the part calls it, and its size
    outer, inner        the skins as laminates, outermost ply first; inner is None without a core
    core, cut           the core record and its cuts; None without a core
    core_thickness      m, nought without a core
    per_area            kg/m^2 by item: "fibre", "resin in plies", "core", "resin in core faces", "resin in core cuts"
    """

    name: str
    zone: Zone
    outer: Laminate
    inner: Laminate | None
    outer_keys: tuple[str, ...]
    inner_keys: tuple[str, ...]
    core: Core | None
    cut: Cut | None
    core_thickness: float
    per_area: dict[str, float]

    @property
    def areal_mass(self):
        """Mass per area, infused [kg/m^2]."""
        return Q_(sum(self.per_area.values()), "kg/m^2")

    @property
    def mass(self):
        """Mass of the whole zone [kg]."""
        return self.areal_mass * self.zone.area

    @property
    def resin_per_area(self):
        """Resin that stays in the panel, per area [kg/m^2]."""
        return Q_(sum(mass for item, mass in self.per_area.items() if item.startswith("resin")), "kg/m^2")

    @property
    def thickness(self):
        """Skins and core together [m]."""
        skins = self.outer.si.thickness + (self.inner.si.thickness if self.inner else 0.0)
        return Q_(skins + self.core_thickness, "m")

    @property
    def bulk_density(self):
        """Mass per volume of the panel [kg/m^3]; below that of water it floats by itself."""
        return sandwich_bulk_density(self.areal_mass, self.thickness)

    @functools.cached_property
    def panel(self) -> SandwichPanel | SolidPanel:
        """The panel's stiffness every way, with design (cautious) core stiffness; worked out only where it is asked for.

        Raises PartFileError for a core without a stiffness figure, which flow, resin and flotation do without.
        """
        if self.core is None:
            return solid_panel(self.outer)
        compressive, shear = design_stiffness(self.core)
        in_plane = 0.0 if self.core.family in STIFF_THROUGH_ONLY else compressive
        return sandwich_panel(self.outer, self.inner, self.core_thickness, in_plane, shear)

    @property
    def sandwich(self):
        """The sandwich along its softer way; None without a core."""
        if self.core is None:
            return None
        return min(self.panel.along, self.panel.across, key=lambda one: one.flexural_rigidity.magnitude)

    @property
    def plate_rigidity(self):
        """Bending rigidity D11 per width of the panel, along 0 degrees [N*m]."""
        return Q_(self.panel.d11, "N*m")

    @property
    def shear_rigidity(self):
        """Shear rigidity per width [N/m]; of a solid laminate it is too large to count."""
        return RIGID_IN_SHEAR if self.core is None else Q_(self.panel.shear_rigidity, "N/m")

    @property
    def plies(self) -> tuple[Ply, ...]:
        """Every ply from the outside face to the inside face."""
        return (*self.outer.plies, *(self.inner.plies if self.inner else ()))


def zone_build(part, catalogue, name: str) -> ZoneBuild:
    """What the layup of one zone makes. Raises PartFileError for a zone without layup, UnknownMaterial."""
    if name not in part.layup:
        raise PartFileError(f'there is no layup for zone "{name}"; zones with one are {", ".join(part.layup)}.')
    layup, zone = part.layup[name], part.geometry.zones[name]
    outer_keys, inner_keys = (tuple(ply.fabric for ply in face) for face in (layup.outside, layup.inside))
    outer_angles, inner_angles = (tuple(ply.angle.m_as("rad") for ply in face) for face in (layup.outside, layup.inside))
    if layup.core is None:
        outer = _skin(catalogue, part.resin, outer_keys + inner_keys, outer_angles + inner_angles)
        return ZoneBuild(name, zone, outer, None, outer_keys + inner_keys, (), None, None, 0.0, _skin_masses(outer))
    outer = _skin(catalogue, part.resin, outer_keys, outer_angles)
    inner = _skin(catalogue, part.resin, inner_keys, inner_angles)
    core, thickness = catalogue.core(layup.core.core), layup.core.thickness.m_as("m")
    cut, resin = core_cut.si(layup.core.cut, thickness), catalogue.resin(part.resin)
    per_area = _add(_skin_masses(outer), _skin_masses(inner))
    per_area |= {"core": core.si.density * thickness, "resin in core faces": 2 * (core.si.uptake or 0.0),
                 "resin in core cuts": cut.storage * resin.si.density_cured}
    return ZoneBuild(name, zone, outer, inner, outer_keys, inner_keys, core, cut, thickness, per_area)


def part_build(part, catalogue) -> dict[str, ZoneBuild]:
    """What the layup of every zone makes, by zone name."""
    return {name: zone_build(part, catalogue, name) for name in part.layup}


def fittings_mass(part):
    """Mass of everything bolted or bonded on [kg]."""
    return Q_(sum(fitting.mass.m_as("kg") for fitting in part.fittings), "kg")


def part_mass(part, builds):
    """Mass of the finished part [kg]: zones and fittings."""
    return Q_(sum(build.mass.m_as("kg") for build in builds.values()), "kg") + fittings_mass(part)


def design_stiffness(core: Core) -> tuple[float, float]:
    """Compressive and shear modulus of a core to size with, SI; raises PartFileError where none was read."""
    found = core.design_value("compressive_modulus"), core.design_shear_modulus()
    for value, words in found:
        if value is None:
            raise PartFileError(f'core "{core.key}" cannot be sized with: {words}. Choose another core, or add the figure to your own cores.csv.')
    return tuple(value.m_as("Pa") for value, _ in found)


def _skin_masses(laminate):
    fibre = sum(ply.si.areal_weight for ply in laminate.plies)
    return {"fibre": fibre, "resin in plies": laminate.areal_mass.m_as("kg/m^2") - fibre}


def _add(one, other):
    return {item: one[item] + other[item] for item in one}


@functools.lru_cache(maxsize=512)
def _skin(catalogue, resin_key, fabric_keys, angles):
    return Laminate([_ply(catalogue, resin_key, key) for key in fabric_keys], Q_(list(angles), "rad"))


@functools.lru_cache(maxsize=512)
def _ply(catalogue, resin_key, fabric_key):
    fabric = catalogue.fabric(fabric_key)
    return ply_from_fabric(fabric, catalogue.fibre_in(fabric), catalogue.resin(resin_key))


def core_mass(part, catalogue, build: ZoneBuild, thickness):
    """Core and the resin in its cuts per area [kg/m^2] at another thickness, SI array or number."""
    resin = catalogue.resin(part.resin).si.density_cured
    return build.core.si.density * thickness + resin * cut_storage(part.layup[build.name].core.cut, thickness)


def cut_storage(cut, thickness):
    """Volume of a cut pattern per area [m], SI array or number; a straight line over thickness, whatever the cut."""
    low, high = (core_cut.si(cut, end).storage for end in CUT_ENDS)
    return low + (high - low) * (thickness - CUT_ENDS[0]) / (CUT_ENDS[1] - CUT_ENDS[0])
