"""A trial panel on the scale: how much resin it took, its density, and whether it is the layup it is said to be."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import RangeError
from ..trial import fibre_fraction_from_weights, resin_areal_mass
from ..units import Q_
from .build import ZoneBuild


@dataclass(frozen=True)
class TrialWeights:
    """What the scale says, quantities; ``fibre_fraction`` is None when the core is said to take all the resin.

    drawn            mixed less left over
    in_panel         finished panel less dry fabric and core
    elsewhere        the rest: hoses, peel ply, mesh
    resin_per_area   resin in the panel, core and skins together
    in_core          of that, what the catalogue says core faces and cuts take
    off_layup        greatest difference of dry fabric and core per area from the layup said to have been tried
    """

    area: Q_
    areal_mass: Q_
    fabric_per_area: Q_
    core_per_area: Q_
    resin_per_area: Q_
    in_core: Q_
    drawn: Q_
    in_panel: Q_
    elsewhere: Q_
    fibre_fraction: float | None
    fibre_density: Q_
    resin_density: Q_
    off_layup: float

    def same_layup(self, tolerance: float) -> bool:
        """Whether the panel weighs what the layup said to have been tried does."""
        return self.off_layup <= tolerance


def weigh(trial, build: ZoneBuild, resin) -> TrialWeights:
    """Weights of a trial per area, and what they say. Raises RangeError where the panel weighs less than its dry parts."""
    area = trial.width * trial.length
    fabric, core = trial.dry_fabric_mass / area, trial.core_mass / area
    per_area = resin_areal_mass(mass=trial.mass, area=area, areal_weight=fabric, plies=1, core_areal_mass=core)
    in_core = Q_(build.per_area.get("resin in core faces", 0.0) + build.per_area.get("resin in core cuts", 0.0), "kg/m^2")
    density = _fibre_density(build)
    try:
        fraction = float(fibre_fraction_from_weights(
            mass=trial.mass, area=area, areal_weight=fabric, plies=1, fibre_density=density, resin_density=resin.density_cured,
            core_areal_mass=core, core_uptake=in_core).m_as(""))
    except RangeError:
        fraction = None     # the page says so; the other figures still stand
    in_panel = trial.mass - trial.dry_fabric_mass - trial.core_mass
    drawn = trial.resin_mixed - trial.resin_left
    if drawn.magnitude <= 0:
        raise RangeError(f'trial "{trial.name}": {trial.resin_left:~P} of {trial.resin_mixed:~P} resin was left over, so nothing '
                         "was drawn; mend resin_mixed or resin_left in the part file.")
    return TrialWeights(area.to("m^2"), (trial.mass / area).to("kg/m^2"), fabric.to("kg/m^2"), core.to("kg/m^2"), per_area, in_core,
                        drawn.to("kg"), in_panel.to("kg"), (drawn - in_panel).to("kg"), fraction, density, resin.density_cured,
                        _off_layup(fabric, core, build))


def _fibre_density(build):
    """Density of all fibre together: weight of the plies over the volume of their fibre, per area."""
    weight = sum(ply.si.areal_weight for ply in build.plies)
    return Q_(weight / sum(ply.si.thickness * ply.si.fibre_fraction for ply in build.plies), "kg/m^3")


def _off_layup(fabric, core, build):
    off = [abs(fabric.m_as("kg/m^2") / build.per_area["fibre"] - 1)]
    planned = build.per_area.get("core", 0.0)
    if planned:
        off.append(abs(core.m_as("kg/m^2") / planned - 1))
    elif core.magnitude:
        off.append(1.0)
    return round(max(off), 6)     # the scale reads no finer
