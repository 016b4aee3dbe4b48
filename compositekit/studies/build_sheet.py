"""What do I pin on the wall? Every study's answer gathered into one sheet; nothing is computed here a second time."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from ..errors import CompositeKitError
from . import sheet_design as design
from . import sheet_making as making
from . import sheet_record as record
from .brief_and_shape import brief_and_shape
from .build import ZoneBuild, part_build, part_mass
from .build_day import build_day
from .buoyancy import buoyancy
from .core_selection import CoreSelection, core_selection
from .cut_list import cut_list
from .findings import Finding
from .flow_distance import flow_distance
from .resin_budget import resin_budget
from .sheet import BuildSheet, Gathered, Section, Text, verdict
from .skin_sizing import skin_sizing
from .surface_fill import surface_fill
from .trial_panel import TrialPanel, trial_panel


def build_sheet(part, catalogue, folder=None) -> BuildSheet:
    """The build sheet of a part.

    folder  where the part's tables of trial readings lie; without it only weights and drop tests are read
    A study that raises one of our errors is named on the sheet with its sentence, and counted by the verdict.
    """
    gathered = tuple(_ask(name, call) for name, call in _studies(part, catalogue, folder).items())
    found = {study.name: study.finding for study in gathered if study.finding is not None}
    lost = tuple(study for study in gathered if study.finding is None)
    checks = _once(found, len(part.structural_zones) > 1)
    held = tuple(check for _, check in checks)
    sentence = verdict(held, lost)
    builds = found["what the layup makes"].builds if "what the layup makes" in found else {}
    mass = part_mass(part, builds) if builds else None
    guesses, cautions, rests_on = (_distinct(text for finding in found.values() for text in getattr(finding, name))
                                   for name in ("guesses", "cautions", "rests_on"))
    faults = {study.name: study.fault for study in lost}
    sections = (
        record.opening(part, catalogue, checks, lost, sentence), design.purpose(part, found.get("brief and shape")), design.layup(part, catalogue, builds),
        _cores(found, faults),
        _section("cut_list", "Cut list", "cut list", faults, lambda: making.cutting(found["cut list"], part, catalogue)),
        _section("masses", "Masses", "what the layup makes", faults, lambda: design.masses(part, builds, mass)),
        _section("feed", "Feed plan", "flow distance", faults, lambda: making.feeding(found["flow distance"], part, found.get("surface fill"))),
        _section("resin", "Resin and mixing cards", "resin budget", faults, lambda: making.mixing(found["resin budget"])),
        _section("day", "On the day", "build day", faults, lambda: making.day(found["build day"], found.get("cut list"))),
        _trials(found, faults),
        _section("flotation", "Flotation", "buoyancy", faults, lambda: design.flotation(found["buoyancy"])),
        record.all_checks(part, checks, lost), record.decisions(part, catalogue), record.guessed(guesses), record.cautions(cautions), record.signatures())
    return BuildSheet(
        part_name=part.name, title=part.title, revision=part.revision, decided=_decided(part), invented=part.invented, sections=sections,
        gathered=gathered, builds=builds, part_mass=mass, checks=held, cautions=(*cautions, record.DEFER), guesses=guesses, rests_on=rests_on,
        working=found["cut list"].working if "cut list" in found else ())


@dataclass(frozen=True, kw_only=True)
class Layups(Finding):
    """What the layup of every zone makes, asked like a study so that its errors are told like theirs."""

    builds: dict[str, ZoneBuild]


def _studies(part, catalogue, folder):
    """Every study by name, to be called once each."""
    asked = {"what the layup makes": lambda: Layups(builds=part_build(part, catalogue)),
             "brief and shape": lambda: brief_and_shape(part, catalogue)}
    for zone in part.structural_zones:
        asked[f"skin sizing, {zone}"] = lambda zone=zone: skin_sizing(part, catalogue, zone)
    for zone in part.structural_zones:
        if part.layup[zone].core is not None:
            asked[f"core selection, {zone}"] = lambda zone=zone: core_selection(part, catalogue, zone)
    asked |= {"flow distance": lambda: flow_distance(part, catalogue), "surface fill": lambda: surface_fill(part, catalogue), "resin budget": lambda: resin_budget(part, catalogue),
              "buoyancy": lambda: buoyancy(part, catalogue)}
    for number, trial in enumerate(part.trials):
        asked[f"trial panel, {trial.name}"] = lambda number=number: trial_panel(part, catalogue, number, folder)
    if not part.trials:
        asked["trial panel"] = lambda: trial_panel(part, catalogue)
    return asked | {"build day": lambda: build_day(part, catalogue), "cut list": lambda: cut_list(part, catalogue)}


def _ask(name, call):
    try:
        return Gathered(name, call())
    except CompositeKitError as err:
        return Gathered(name, None, " ".join(str(err).split()))


def _once(found, several_zones):
    """Every check with the study it comes from; one that several studies share is told once."""
    told = {name: _of_the_part(finding) for name, finding in found.items()}
    sentences = Counter(check.sentence() for checks in told.values() for check in checks)
    seen, kept = set(), []
    for name, checks in told.items():
        for check in checks:
            if check.sentence() in seen:
                continue
            seen.add(check.sentence())
            zone = name.partition(", ")[2] if several_zones or name.startswith("trial") else ""
            own = zone and sentences[check.sentence()] == 1
            kept.append((name.partition(",")[0], replace(check, what=f"{zone}: {check.what}") if own else check))
    return tuple(kept)


def _of_the_part(finding):
    """Checks of the part as it stands. Comparing cores sizes each core anew, so of those only the heat it bears counts;
    a trial panel of another layup says nothing of it."""
    if isinstance(finding, CoreSelection):
        return tuple(check for check in finding.checks if check.limit.check("[temperature]"))
    return () if isinstance(finding, TrialPanel) and finding.other else finding.checks


def _distinct(texts):
    return tuple(dict.fromkeys(texts))


def _section(key, heading, study, faults, make):
    """A section, or the sentence that says why there is none."""
    if study in faults:
        return Section(key, heading, (Text(f"NOT COMPUTED, {study}: {faults[study]}"),))
    return make()


def _cores(found, faults):
    return _several("core selection", design.cores, found, faults)


def _trials(found, faults):
    return _several("trial panel", making.trials, found, faults)


def _several(study, make, found, faults):
    """A section that several answers of one study share, those without an answer first."""
    section = make([finding for name, finding in found.items() if name.startswith(study)])
    lost = tuple(Text(f"NOT COMPUTED, {name}: {fault}") for name, fault in faults.items() if name.startswith(study))
    return replace(section, blocks=(*lost, *section.blocks))


def _decided(part):
    return f"last decision {max(decision.when for decision in part.decisions)}" if part.decisions else "no decision recorded yet"
