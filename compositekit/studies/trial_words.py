"""Checks, working, cautions and guesses of a trial panel."""

from __future__ import annotations

from ..infusion.vacuum import LIMIT_RISE
from ..units import Q_
from .cautions import VACUUM_POT
from .findings import Check, Step
from .trial_compare import BENDING, SAME_LAYUP, SHEAR, SINGLE_LOAD, SIZED, STIFFNESS
from .trial_strips import strip_steps

SAFE = ("A loaded strip stores energy and snaps without warning: wear eye protection, keep hands and face out of line, load "
        "with a jack or with weights low over the floor.",
        "Sawing and sanding make dust of fibre and of resin that is not yet fully cured: extraction, mask and gloves. Follow "
        "the safety data sheets and local rules.")
FEW = ("A trial panel shows whether the shop makes what was calculated. It says nothing of wet, hot, aged or hit panels, and it is "
       "no test by any rule book: where a class society, a code or an insurer asks for tests, follow theirs.")


def checks(trial, drop, weights, compared, growth, water, other) -> tuple[Check, ...]:
    """The trial's figures against their limits; ``growth`` is the sag's, by stiffness; ``water`` its density where the panel speaks for
    a part that floats; ``other`` how the panel differs from the part, in words."""
    same = weights.same_layup(SAME_LAYUP)
    found = [
        Check("bag of the trial, pressure rise with the pump off", drop.rise.to("mbar/min"), LIMIT_RISE, "at most",
              "common practice, no source", "find the leak by ear or with a leak detector, roll down the sealant tape, test again"),
        Check("dry fabric and core weighed, greatest difference from the layup tried", Q_(100 * weights.off_layup, "percent"),
              Q_(100 * SAME_LAYUP, "percent"), "at most", "own judgement",
              _not_that_layup(trial)),
        Check("resin found in the panel, against resin drawn", weights.in_panel, weights.drawn, "at most", "mass balance (own reference)",
              "more resin in the panel than was drawn cannot be: weigh again, panel trimmed and peel ply off"),
    ]
    if same:
        found += [Check(f"{row.what}, measured over sized with", Q_(100 * row.ratio, "percent"), Q_(100 * STIFFNESS[0], "percent"), "at least",
                        SIZED if row.what == BENDING else f"{SIZED}, the core's design value; {SINGLE_LOAD}", _softer(row, growth, other))
                  for row in compared if row.what in (BENDING, SHEAR)]
    density = next((row.measured for row in compared if row.what == "density of the panel"), None)
    if water is not None and density is not None:
        found.append(Check("panel as one solid, density against water", density.to("kg/m^3"), water, "at most",
                           "density of water, UNESCO 1983 (read second-hand)", "a panel denser than water does not carry itself: thicker or lighter core"))
    return tuple(found)


def _not_that_layup(trial):
    if trial.layup is None:
        return ("this panel is of another layup than the part now has: write the layup it was made with into its entry in the part file (layup), "
                "or make a new trial panel")
    return "weigh again, or mend the layup of this trial in the part file: the panel does not weigh what that layup does"


def _softer(row, growth, other):
    """What to do about a panel softer than it was sized with, and by how much it sags more."""
    if other:
        return f"the shop made {row.ratio:.0%} of what that panel was sized with: look for voids, waves and wrong angles before the next one"
    grown = f"a deflection of the brief grows up to {growth[row.what]:.2f} times; " if row.what in growth else ""
    return (f"{grown}size again with the measured share, {row.ratio:.0%}: one more core step or ply; then look for voids, waves and wrong angles")


def working(trial, drop, weights, front, strips) -> tuple[Step, ...]:
    """The steps an apprentice can follow with a pocket calculator; of the strips, the first one chosen."""
    kg = "kg/m^2"
    steps = [
        Step("drop test", "rise = (p₂ − p₁)/t", {"p₁": trial.drop_start, "p₂": trial.drop_end, "t": trial.drop_time},
             drop.rise.to("mbar/min"), "PR-V01 (read)"),
        Step("resin in the panel", "m_r = M/A − dry fabric/A − core/A", {"panel M": trial.mass, "area A": weights.area,
             "dry fabric": trial.dry_fabric_mass, "core": trial.core_mass}, weights.resin_per_area.to(kg), "mass balance (own reference)"),
        Step("resin elsewhere: hoses, peel ply, mesh", "mixed − left − in panel", {"mixed": trial.resin_mixed, "left": trial.resin_left,
             "in panel": weights.in_panel.to("g")}, weights.elsewhere.to("g"), "mass balance (own reference)"),
    ]
    if weights.fibre_fraction is not None:
        steps.append(Step(
            "fibre share of the skins", "Vf = (w/ρf)/(w/ρf + m_s/ρr), m_s = m_r − core's share",
            {"w": weights.fabric_per_area, "m_r": weights.resin_per_area, "core's share": weights.in_core, "ρf": weights.fibre_density,
             "ρr": weights.resin_density}, f"{weights.fibre_fraction:.2f}", "mass balance (own reference); core's share from the catalogue"))
    if front is not None:
        steps += [*front.resin.steps[:1], Step(
            "permeability from the front", "K = slope φ μ/(2 P), slope of distance² against fresh time τ = (t₂/ln 2)(1 − 2^(−t/t₂))",
            {"slope": Q_(front.slope, "m^2/s").to("cm^2/min"), "φ, resin taken over cloth thickness, core faces included": front.filling, "μ": Q_(front.viscosity, "Pa*s").to("mPa*s"),
             "P, air less bag": Q_(front.pressure, "Pa").to("mbar"), "t₂, viscosity doubles in": Q_(front.resin.doubling_time, "s").to("min"),
             "standard error": front.fit.standard_error}, front.fit.permeability,
            "FL-R01 (read) with least squares; fresh time FL-R15b with FL-R16 (own reference)")]
    return (*steps, *(strip_steps(strips[0]) if strips else ()))


def cautions(trial) -> tuple[str, ...]:
    """What can hurt, and what a trial cannot say."""
    return (*SAFE, VACUUM_POT, FEW) if trial else (SAFE[1], VACUUM_POT, FEW)


def guesses(part, catalogue, build, weights, front) -> tuple[str, ...]:
    """Inputs that were not measured."""
    said = []
    resin = catalogue.resin(part.resin)
    if front is not None:
        if resin.grade != "shop":
            said.append(f"viscosity of {resin.name}: {resin.grade}. Permeability is only as good as it: enter your own data sheet first, "
                        "or measure the viscosity of the mix and move the slider.")
        said.append("The bucket stood level with the panel, resin ran along the panel in one even front, and there was no flow mesh (not in the record).")
        for key in dict.fromkeys((*build.outer_keys, *build.inner_keys)):
            fabric = catalogue.fabric(key)
            if fabric.permeability_grade not in ("read", "shop"):
                said.append(f"permeability of {fabric.name} in the catalogue: {fabric.permeability_grade}.")
    if build.core is not None and weights.in_core.magnitude:
        said.append(f"resin that {build.core.name} takes at its faces, {weights.in_core.m_as('kg/m^2'):.2f} kg/m² for both: "
                    f"{build.core.uptake_grade or build.core.grade}. The scale cannot part core from skins; a piece without core would.")
    if weights.fibre_fraction is None:
        said.append("The core is said to take more resin than the panel holds, so no fibre share can be given: weigh a piece without core.")
    return tuple(said)


def rests_on(part, build, number) -> tuple[str, ...]:
    """Inputs whose change makes a decision on this trial stale."""
    fabrics = dict.fromkeys((*build.outer_keys, *build.inner_keys))
    paths = [f"trials.{number}", f"layup.{build.name}", "resin", "workshop.altitude", f"catalogue.resin.{part.resin}.viscosity_20c",
             f"catalogue.resin.{part.resin}.viscosity_25c", f"catalogue.resin.{part.resin}.viscosity_30c", f"catalogue.resin.{part.resin}.pot_life",
             *(f"catalogue.fabric.{key}.permeability" for key in fabrics), *(f"catalogue.fabric.{key}.fibre_fraction" for key in fabrics)]
    if build.core is not None:
        paths += [f"catalogue.core.{build.core.key}.{name}" for name in ("uptake", "shear_modulus", "density")]
    return tuple(paths)
