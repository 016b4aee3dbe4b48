"""Reasons, checks and working of core selection."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..units import Q_, say
from . import skin_sizing_checks, skin_sizing_words
from .findings import Check, Step
from .sag import sag_check
from .skin_sizing_working import TOGETHER, method

CORE_WAYS = {"core shear": ("core shear", "a denser core or a thicker sheet"),
             "skin wrinkling": ("skin wrinkling on this core", "a denser core or a thicker sheet"),
             "skin dimpling": ("skin dimpling into the cells", "smaller cells, or more plies (page 03)"),
             "core crushing": ("core crushing under the patch", "a denser core")}


SKIN_WAYS = {"skin tension": ("skins in tension", "more plies (page 03)"),
             "skin compression": ("skins in compression", "more plies (page 03)"),
             "skin shear": ("skins sheared in a corner", "more plies (page 03)"),
             "skin under patch": ("skin squeezed under the patch", "more plies (page 03), or a core stiffer through its thickness")}
WAYS = SKIN_WAYS | CORE_WAYS


class Facts(NamedTuple):
    """What speaks for or against one core, SI; NaN where there is no answer or nothing was read.

    holds_from   least thickness for each check by itself
    use          share of each limit at the thickness picked
    plies        of the skin that has fewer
    """

    picked: float
    holds_from: dict
    use: dict
    plies: int
    part_mass: float
    target: float | None
    service: float
    longest: float
    heat: float


def reasons(facts: Facts) -> tuple[str, ...]:
    """Why a core is out, in words; none when it is in."""
    said = []
    if not np.isfinite(facts.holds_from["deflection"]):
        return ("too soft: even 100 mm would sag too far",)
    if facts.picked > facts.longest + 1e-9:
        said.append(f"too soft: would need {facts.picked * 1e3:.3g} mm, {facts.longest * 1e3:.3g} mm is allowed")
    skins = max(facts.use[name] for name in SKIN_WAYS if name in facts.use)
    if skins > 1:
        stiff = f"stiff enough at {facts.picked * 1e3:.3g} mm, but " if not said else ""
        said.append(f"{stiff}the skins are at {np.ceil(100 * skins - 1e-6):.0f} %: {_more_plies(facts.plies, skins)} on page 03")
    for name, (what, _) in CORE_WAYS.items():
        if facts.use.get(name, 0.0) > 1:
            said.append(f"{what} {facts.use[name]:.{2 if facts.use[name] >= 1.1 else 3}g} times the limit at {facts.picked * 1e3:.3g} mm{_thicker(name, facts)}")
    if facts.target is not None and facts.part_mass > facts.target:
        said.append(f"{facts.part_mass - facts.target:.2g} kg heavier than the target leaves")
    if facts.service < facts.heat:
        said.append(f"softens: good to {facts.service - 273.15:.0f} °C, skin at {facts.heat - 273.15:.0f} °C")
    return tuple(said)


def _more_plies(plies, share):
    """How many more a skin wants, since its stress goes down as its thickness goes up."""
    more = int(np.ceil(plies * (share - 1) - 1e-6))
    return "one more ply" if more <= 1 else f"about {more} more plies"


def _thicker(name, facts):
    if not np.isfinite(facts.holds_from[name]):
        return ""
    return f" (holds from {facts.holds_from[name] * 1e3:.3g} mm)"


def asks(row) -> str:
    """The thickness a core needs, and which check asked for more than the sag; for a row with a thickness."""
    sag = say(row.needed, digits=2)
    return sag if row.least == row.needed else f"{sag} for the sag and {say(row.least, digits=2)} for the {WAYS[row.asked_by][0]}"


# --- checks --------------------------------------------------------------------------------------


def checks(part, result):
    """The choice against every limit."""
    row, brief = result.choice, part.brief
    thick = "100 mm" if row.thickness is None else say(row.thickness, digits=2)
    found = [sag_check(
        f"deflection under {row.load}, {thick} of {row.core.title}", row.sag, row.sag_limit, row.panel_thickness,
        f"1/{1 / brief.deflection_share.m_as(''):.3g} of the short side. {brief.deflection_source}", "a stiffer core, or thicker skins (page 03)")]
    if row.thickness is None:
        return tuple(found)
    found.append(Check("thickness of the sheet", row.thickness, result.longest, "at most", "the longest thickness set above, own judgement",
                       "a stiffer core, or thicker skins (page 03)"))
    found += [Check(f"{what}, share of what is allowed", _percent(row.use[name]), _percent(1), "at most",
                    _source(name, row.core, brief.strength_factor.m_as("")), remedy)
              for name, (what, remedy) in WAYS.items() if name in row.use]
    if brief.mass_target is not None:
        found.append(Check("mass of the finished part", row.part_mass, brief.mass_target, "at most", "brief, mass target",
                           "a lighter core, or fewer plies (page 03)"))
    if row.core.max_service_temperature is not None:
        found.append(Check("hottest the core is good for", _celsius(row.core.max_service_temperature), _celsius(result.skin_temperature), "at least",
                           f"skin temperature set above, own judgement; {row.core.title}: {row.core.grade}", "another core, or a lighter colour"))
    return tuple(found)


def _percent(share):
    return Q_(100.0 * share, "percent")


def _celsius(temperature):
    return Q_(temperature.m_as("degC"), "delta_degC")   # degrees above nought, since a ratio of degC is refused


def _source(name, core, factor):
    over = f"÷ strength factor {factor:.3g}"
    if name in SKIN_WAYS:
        more = skin_sizing_checks.SPRINGS if name == "skin under patch" else skin_sizing_checks.TWISTED if name == "skin shear" else skin_sizing_checks.BENT
        return f"design strain of its cloths {over}; page 03 says which skin and which way; {more}"
    if name == "skin wrinkling":
        return f"0.5 (E Ec Gc)^(1/3) {over}; {skin_sizing_checks.ZENKERT}"
    if name == "skin dimpling":
        return f"{skin_sizing_checks.dimpling_source(core.si.cell_size, core.grade)} {over}"
    if name == "core shear":
        return f"{core.title} ({core.grade}): {core.design_shear_strength()[1]}, {over}"
    return f"{core.title} ({core.grade}): {core.design_compressive_strength()[1]}, {over}; {skin_sizing_checks.SPRINGS}"


# --- working -------------------------------------------------------------------------------------


def working(part, catalogue, result, build, skins, loads, table):
    """How the choice's thickness and mass came about, and what a solid laminate would have cost."""
    row, why = result.choice, result.why
    n = next(k for k, core in enumerate(table.cores) if core.key == row.core.key)
    load = max(loads, key=lambda one: one.deflection(skins.ratios, 1.0) / one.limit)
    along = skins.along.si
    steps = [Step("the same skins without a core, times the sag allowed", "w/w_allowed, D = Σ E'(t³/12 + t (z − z0)²) of the skins alone",
                  {"load": load.words, "sag allowed": Q_(load.limit, "m").to("mm"), "outer skin": build.outer.thickness.to("mm"),
                   "inner skin": build.inner.thickness.to("mm")}, why.bare_use, f"Gere, Mechanics of Materials, ch. 6 (from memory); {method(load)}"),
             Step("solid laminate that is stiff enough", "t = (12 D11 (1 − ν²)/E)^(1/3), D11 = W α/w_allowed",
                  {"D11": Q_(load.deflection(skins.ratios, 1.0) / load.limit, "N*m"), "E": Q_(along.outer_skin_modulus, "Pa").to("GPa"),
                   "ν": along.poisson, "plies of the outer cloth": f"{why.solid_plies}, together {say(why.solid_mass, 'kg')}"},
                  why.solid_thickness, "the same, turned round"),
             Step(f"cautious shear modulus of {row.core.title}", "guaranteed minimum, or 0.8 of the nominal figure",
                  {"what it rests on": row.core.design_shear_modulus()[1], "grade": row.core.grade}, Q_(table.shear_modulus[n], "Pa").to("MPa"),
                  "catalogue")]
    if row.thickness is None:
        return tuple(steps)
    panel = skins.on(core_thickness=row.needed.m_as("m"), core_modulus=float(table.in_plane[n]), core_shear_modulus=float(table.shear_modulus[n]))
    skins = Q_(build.per_area["fibre"] + build.per_area["resin in plies"], "kg/m^2")
    return (*steps, _least(load, panel, row),
            Step("sheet to buy", "the next thickness sold, else the whole millimetre; for all checks of page 03, or where that is too thick for the sag",
                 {"least whole millimetre for all checks": row.holds_from,
                  "asked for by": "the sag" if row.asked_by == "deflection" else WAYS[row.asked_by][0],
                  "sold as": ", ".join(f"{1e3 * sheet:.3g}" for sheet in table.sheets[n]) + " mm" if table.sheets[n] else "not listed",
                  "sag at it, of what is allowed": f"{row.use['deflection']:.0%}"}, row.thickness, "catalogue; common sheet sizes, no source"),
            Step("mass of the zone", "m = (skins + density × c + resin taken up) × area",
                 {"skins with their resin": skins, "density": row.core.density, "c": row.thickness, "resin taken up": row.resin,
                  "area": build.zone.area}, row.zone_mass, "definition"),
            Step("bulk density of the panel", "mass per area over thickness; below water's, a dry panel floats",
                 {"mass per area": (row.zone_mass / build.zone.area).to("kg/m^2"), "skins": (build.outer.thickness + build.inner.thickness).to("mm"),
                  "c": row.thickness}, row.bulk_density, "definition"))


def _least(load, panel, row):
    """The sag at the least whole millimetre, by the relation that the load's edges ask for."""
    what, allowed = "least whole millimetre that holds the sag", {"w_allowed": Q_(load.limit, "m").to("mm")}
    rigidities = "D11 ≈ E' t d²/2 for like skins, S = Gc d²/c"
    if not load.apart(panel.ratios, panel.shear_rigidity):
        sag, (length, width, *_) = float(load.deflection(panel.ratios, panel.d11, panel.shear_rigidity)), load.sizes
        return Step(what, f"w = W α/D11 ≤ w_allowed, α going with D11/(S a b), {rigidities}",
                    {"W": Q_(load.total, "N"), "edges": load.edges, "D11 there": Q_(float(panel.d11), "N*m"),
                     "D11/(S a b) there": float(panel.d11 / panel.shear_rigidity) / (length * width),
                     "α there": Q_(sag * float(panel.d11) / load.total, "m^2"), **allowed}, row.needed, TOGETHER)
    unit = load.unit(panel.ratios)
    return Step(what, f"w = W (α/D11 + β/S) ≤ w_allowed, {rigidities}",
                {"W": Q_(load.total, "N"), "α": Q_(unit.bending, "m^2"), "β": unit.shear, **allowed}, row.needed,
                "Navier's series, with (D12 + 2 D66)/D11 of the skins (page 03); alike every way it is Roark Table 11.4 case 1a (read); shear T&W-K Art. 30 (read second-hand)")


# --- cautions, guesses, what it rests on ------------------------------------------------------------


def cautions(result, loads):
    clamped = skin_sizing_words.clamped(loads)
    said = [skin_sizing_words.DEFER, skin_sizing_words.ASSUMED, *([f"{clamped}."] if clamped else [])]
    if result.choice.core.family in ("balsa", "plywood"):
        said.append("Balsa and plywood drink water through any unsealed edge or screw hole and rot: seal every edge and fitting. "
                    "Their cells are open, so do not count a flooded core as buoyancy.")
    return tuple(said)


def guesses(part, catalogue, result, build):
    core = result.choice.core
    said = list(skin_sizing_words.guesses(part, catalogue, build))
    if build.core is not None:
        said = [item for item in said if item not in skin_sizing_words.core_guesses(build.core)]
    said += skin_sizing_words.core_guesses(core)
    said.append(f"resin taken up by each face of {core.title}: {core.uptake_grade or 'no figure, counted as nought'}; "
                "weigh a trial panel, it spreads twofold")
    unread = sum(row.core.max_service_temperature is None for row in result.rows)
    if unread:
        said.append(f"no service temperature was read for {unread} of {len(result.rows)} cores: those were not held against the skin temperature")
    return tuple(said)


def rests_on(part, result):
    """What is decided here, and what asked for it; plies and thickness are page 03's, so settling them there leaves this standing."""
    core, zone = result.choice.core, f"layup.{result.zone}.core"
    heat = [] if core.max_service_temperature is None else [f"catalogue.core.{core.key}.max_service_temperature"]
    return (f"{zone}.core", f"{zone}.cut", "resin", "shape", "brief.loads", "brief.deflection_share", "brief.strength_factor",
            "brief.mass_target", *skin_sizing_words.core_paths(core.key), *heat)
