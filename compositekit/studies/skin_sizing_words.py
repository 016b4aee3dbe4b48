"""Checks, working and cautions of skin sizing: what the figures are held against, and how to follow them by hand."""

from __future__ import annotations

import math

import numpy as np

from ..mechanics.sandwich_failure import wrinkling_stress
from ..units import Q_, say
from .findings import Check, Step
from .panel_limits import CROSS_FIBRE_STRAIN, no_fibre_along
from .panel_stiffness import WAYS
from .sag import SMALL, sag_check

ZENKERT = "Zenkert, Introduction to Sandwich Structures, ch. 6 (read second-hand); LR SSC Pt 8 Ch 7 3.2.2 (read)"
ASSUMED = ("The panel is taken as flat, 0° of its plies along its length, and each as stiff lengthwise, crosswise and in twist as its plies "
           "make it; curvature would help and is left out. Its edges are held down but free to turn, unless a load of the brief says "
           "clamped. Supported is the safe assumption for sag. Truly clamped edges are rare, since a skin that goes round a corner is "
           "somewhere between, and they raise the moment and the core's shear at the edge itself: on a square panel under even pressure "
           "to 7 % and 30 % above the largest of a supported one, so try both. Edges that can slide along themselves sag 13 % more on our "
           "reference panel. A patch load stands in the middle for sag "
           "and skin stress (with a clamped edge the stress is looked for beside that too), and half its own side away from an edge for core "
           "shear; nearer an edge the core's peak is larger still, so rest the edge on its support. Left out too: a skin's own bending as the core shears, 4 % of the stress on our reference "
           "panel; and, for skins with more plies at +45° than at -45°, the twist that pull sets up. "
           "Sag beyond half the panel's thickness is overstated.")
DEFER = ("Design figures for choosing, not approval. Where people stand on or travel in the part, prove a trial panel and "
         "defer to local codes and licensed practice.")
NAMES = ("outer skin", "inner skin")


def one_way(catalogue, build) -> str:
    """A warning where a skin has unidirectional cloth in one direction only; empty where it has not."""
    skins = [(name if build.core else "laminate", laminate.angles.magnitude)
             for name, laminate, keys in zip(NAMES, (build.outer, build.inner), (build.outer_keys, build.inner_keys), strict=True)
             if laminate is not None and all(catalogue.fabric(key).direction == "uni" for key in keys)
             and np.ptp(laminate.angles.magnitude % np.pi) < 1e-6]
    ways = {float(np.round(np.degrees(angles[0] % np.pi), 1)) for _, angles in skins}
    if not skins:
        return ""
    whole = len(skins) == (1 if build.inner is None else 2)
    which = "all plies" if whole and len(ways) == 1 else " and ".join(f"all plies of the {name}" for name, _ in skins)
    runs = {0.0: "run lengthwise", 90.0: "run crosswise"}.get(min(ways), f"lie at {min(ways):.3g}°") if len(ways) == 1 else "each run one way"
    return (f"{which} {runs}; a UD cloth has almost nothing across. Choose a woven or biaxial cloth, or turn some of its plies by 90° "
            "in the part file")


# --- checks --------------------------------------------------------------------------------------


def checks(part, catalogue, build, cases, loads, limits, mass):
    """One check per way to fail, under the load that comes nearest to it."""
    found = [_deflection(part, build, cases), *_skins(part, catalogue, build, cases, limits)]
    if build.core is not None:
        found += [_wrinkling(build, cases, limits), *_core(build, cases, limits)]
    target = part.brief.mass_target
    if target is not None:
        found.append(Check("mass of the finished part", mass, target, "at most", "brief, mass target",
                           "a lighter core (page 02), or fewer plies where plenty is in hand"))
    return tuple(found)


def _deflection(part, build, cases):
    case = max(cases, key=lambda c: c.use["deflection"])
    share = 1 / part.brief.deflection_share.m_as("")
    return sag_check(f"deflection under {case.name}", case.deflection, case.deflection_limit, build.thickness,
                     f"1/{share:.3g} of the short side. {part.brief.deflection_source}", "a thicker core", trim=True)


def _skins(part, catalogue, build, cases, limits):
    keys, moduli = (build.outer_keys, build.inner_keys), build.panel.moduli
    for sense, word in enumerate(("tension", "compression")):
        allowed = {(way, n): limits.skins[n][way][sense] * moduli[way][n] for way, n in _places(limits)}
        case, way, n = _nearest(cases, allowed)
        cloths = ", ".join(dict.fromkeys(f"{catalogue.fabric(key).title} ({catalogue.fabric(key).strain_grade})" for key in keys[n]))
        yield Check(f"{NAMES[n] if build.core else 'skin'} in {word} {WAYS[way]} under {case.name}", case.skin_stress[way][n],
                    Q_(allowed[way, n], "Pa").to("MPa"), "at most",
                    f"design strain {limits.skins[n][way][sense] * limits.factor:.2%} of {cloths} × modulus ÷ strength factor {limits.factor:.3g}",
                    "more plies, or a thicker core")


def _wrinkling(build, cases, limits):
    allowed = {(way, n): float(_wrinkles(build, build.panel.moduli[way][n], limits)) / limits.factor for way, n in _places(limits)}
    case, way, n = _nearest(cases, allowed)
    return Check(f"wrinkling of the {NAMES[n]} if squeezed {WAYS[way]}, under {case.name}", case.skin_stress[way][n],
                 Q_(allowed[way, n], "Pa").to("MPa"), "at most",
                 f"0.5 (E Ec Gc)^(1/3) ÷ strength factor {limits.factor:.3g}; {ZENKERT}", "a denser core, or a thicker one")


def _places(limits):
    return [(way, n) for way in range(2) for n in range(len(limits.skins))]


def _nearest(cases, allowed):
    """The load, way and skin whose stress comes nearest to what is allowed there."""
    _, k, way, n = max((case.skin_stress[way][n].m_as("Pa") / stress, -k, -way, -n) for k, case in enumerate(cases)
                       for (way, n), stress in allowed.items())
    return cases[-k], -way, -n


def _wrinkles(build, modulus, limits):
    return wrinkling_stress.si(modulus, limits.core_modulus, build.panel.along.si.core_shear_modulus)


def _core(build, cases, limits):
    core, over = build.core, f"÷ strength factor {limits.factor:.3g}"
    case = max(cases, key=lambda c: c.core_shear.magnitude)
    if math.isfinite(limits.core_shear):
        yield Check(f"core shear under {case.name}", case.core_shear, Q_(limits.core_shear, "Pa").to("MPa"), "at most",
                    f"{core.title} ({core.grade}): {core.design_shear_strength()[1]}, {over}", "a thicker or denser core")
    case = max((c for c in cases if c.patch_pressure is not None), key=lambda c: c.patch_pressure.magnitude, default=None)
    if case is not None and math.isfinite(limits.crushing):
        yield Check(f"core crushing under {case.name}", case.patch_pressure, Q_(limits.crushing, "Pa").to("MPa"), "at most",
                    f"{core.title} ({core.grade}): {core.design_compressive_strength()[1]}, {over}; the skin's spreading not counted",
                    "a denser core; thickness does not help")


# --- working -------------------------------------------------------------------------------------


def working(part, catalogue, build, cases, loads, limits, mass):
    """The steps for the load with the largest deflection share, each within reach of a hand calculator."""
    k = max(range(len(cases)), key=lambda k: cases[k].use["deflection"])
    steps = [_ply_thickness(catalogue, build), _ply_modulus(part, catalogue, build), _rigidity(build)]
    if build.core is not None:
        steps.append(_shear_rigidity(build))
    steps += [_sag(build, cases[k], loads[k]), _moment(build, cases[k], loads[k])]
    if build.core is not None:
        steps += [_wrinkling_step(build, limits), _core_shear_step(build, cases[k], loads[k])]
        steps += [_crushing_step(case, load) for case, load in zip(cases, loads, strict=True) if case.patch_pressure is not None][:1]
    return (*steps, Step(f"mass of zone {build.name}", "m = (cloth + resin + core) × area", {
        **{item: Q_(value, "kg/m^2") for item, value in build.per_area.items()}, "area": build.zone.area,
        "whole part, with its other zones and fittings": mass}, build.mass, "definition"))


def _ply_thickness(catalogue, build):
    ply, cloth = build.outer.plies[0], catalogue.fabric(build.outer_keys[0])
    return Step(f"thickness of one ply of {cloth.title}", "t = cloth weight / (fibre density × fibre share)",
                {"cloth weight": cloth.areal_weight.to("g/m^2"), "fibre density": catalogue.fibre_in(cloth).density, "fibre share": ply.si.fibre_fraction},
                ply.thickness.to("mm"), "definition")


def _ply_modulus(part, catalogue, build):
    ply, cloth = build.outer.plies[0], catalogue.fabric(build.outer_keys[0])
    fibre, resin = catalogue.fibre_in(cloth), catalogue.resin(part.resin)
    return Step("modulus of that ply along its warp", {
        "uni": "E = k Vf Ef + (1 − Vf) Em", "random": "E = 3/8 k Vf Ef + (1 − Vf) Em",
        "balanced": "E ≈ k (E1 + E2)/2, E1 = Vf Ef + (1 − Vf) Em, E2 by Halpin-Tsai with ξ = 2"}[cloth.direction],
        {"k, for waviness": cloth.si.crimp_factor, "Vf, fibre share": ply.si.fibre_fraction, "Ef": fibre.e_axial.to("GPa"),
         "Ef across": None if fibre.e_transverse is None else fibre.e_transverse.to("GPa"), "Em": resin.modulus.to("GPa"),
         "E of the skin, lengthwise, crosswise": ", ".join(say(Q_(one[0], "Pa"), "GPa") for one in build.panel.moduli)},
        ply.e1.to("GPa"), "Kaw, Mechanics of Composite Materials, ch. 3 (from memory); an estimate: test a strip")


def _rigidity(build):
    d12, d22, d66 = build.panel.ratios
    others = {"D12/D11": d12, "D66/D11": d66, "D22/D11, crosswise": d22,
              "(D12 + 2 D66)/D11, in twist": f"{d12 + 2 * d66:.3g}; 1 for an even sheet, about half or less for 0/90 cloth"}
    if build.core is None:
        return Step("bending rigidity per width, lengthwise", "D11 = E t³/12 / (1 − ν²); the others of the same laminate",
                    {"E": Q_(build.panel.moduli[0][0], "Pa").to("GPa"), "t": build.outer.thickness.to("mm"), **others},
                    build.plate_rigidity, "Gere, Mechanics of Materials, ch. 6 (from memory); Kaw ch. 4 (from memory)")
    si = build.panel.along.si
    return Step("bending rigidity per width, lengthwise",
                "D11 = Σ E'(t³/12 + t (z − z0)²), E' = E/(1 − ν²); quick check: D11 ≈ E1 t1 E2 t2 d²/(E1 t1 + E2 t2)/(1 − ν²); "
                "the others go with the two skins, D = d² (1/A1 + 1/A2)⁻¹",
                {"outer skin": f"{say(Q_(si.outer_skin_thickness, 'm'), 'mm')}, {say(Q_(si.outer_skin_modulus, 'Pa'), 'GPa')}",
                 "inner skin": f"{say(Q_(si.inner_skin_thickness, 'm'), 'mm')}, {say(Q_(si.inner_skin_modulus, 'Pa'), 'GPa')}",
                 "d, between the middles of the skins": build.panel.along.centroid_distance.to("mm"), "ν": si.poisson, **others},
                build.plate_rigidity, "Gere, Mechanics of Materials, ch. 6 (from memory); Kaw ch. 4 (from memory)")


def _shear_rigidity(build):
    si = build.panel.along.si
    return Step("shear rigidity per width", "S = Gc d²/c", {
        "Gc, cautious": Q_(si.core_shear_modulus, "Pa").to("MPa"), "why": build.core.design_shear_modulus()[1],
        "d": build.panel.along.centroid_distance.to("mm"), "c": Q_(si.core_thickness, "m").to("mm")},
        build.shear_rigidity.to("kN/m"), "sandwich beam theory, as in mechanics.sandwich")


def _sag(build, case, load):
    if load.edges != "supported":
        return _clamped_sag(build, case, load)
    unit = load.unit(build.panel.ratios)
    inputs = {"load W, with its factor": Q_(load.total, "N"), "α": Q_(unit.bending, "m^2"), "D11": build.plate_rigidity}
    if build.core is not None:
        inputs |= {"β": unit.shear, "S": build.shear_rigidity.to("kN/m"),
                   "share that is bending": f"{case.bending_share:.0%}, the rest is the core shearing"}
    return Step(f"deflection under {case.name}", "w = W (α/D11 + β/S)" if build.core else "w = W α/D11", inputs, _told_sag(build, case),
                "α and β: Navier's series for a supported panel, α with D12, D22 and D66 (own, held against first-order plate theory; alike "
                "every way it is Roark Table 11.4 case 1a, read); shear T&W-K Art. 30 (read second-hand)")


def _told_sag(build, case):
    most = (SMALL * build.thickness).to("mm")
    return case.deflection if case.deflection <= most else f"more than {say(most)}, {SMALL} thicknesses: beyond this theory"


def _clamped_sag(build, case, load):
    length, width, *_ = load.sizes
    inputs = {"load W, with its factor": Q_(load.total, "N"), "edges": load.edges, "D11": build.plate_rigidity,
              "α": (case.deflection * build.plate_rigidity / Q_(load.total, "N")).to("m^2")}
    if build.core is not None:
        inputs |= {"D11/(S a b), what α goes with": (build.plate_rigidity / build.shear_rigidity).m_as("m^2") / (length * width),
                   "share that is bending": f"{case.bending_share:.0%}, the rest is the core shearing"}
    return Step(f"deflection under {case.name}", "w = W α/D11", inputs, _told_sag(build, case),
                "α by Ritz's method in first-order shear theory (own); even pressure, thin and alike every way: T&W-K Tables 35, 36 (read second-hand)")


def _moment(build, case, load):
    share_x, share_y = (case.moments / Q_(load.total, "N")).m_as("")
    formula = "σ = M E (z − z0)/D of a strip; quick check: σ ≈ M/(t d)" if build.core else "σ = 6 M/t²"
    way, n = np.unravel_index(int(np.argmax(case.skin_stress.magnitude)), case.skin_stress.shape)
    return Step(f"largest skin stress under {case.name}", f"M = W m, each way with that way's E; {formula}",
                {"m lengthwise, crosswise": f"{share_x:.4g}, {share_y:.4g}", **({} if load.edges == "supported" else {"edges": load.edges}), f"M per width, {WAYS[way]}": case.moments[way],
                 "skin": f"{NAMES[n] if build.core else 'the laminate'}, {say((build.outer, build.inner)[n].thickness, 'mm')}"},
                case.skin_stress[way][n], f"{_method(load)}; Gere ch. 6 (read second-hand)")


def _wrinkling_step(build, limits):
    modulus = build.panel.moduli[0][0]
    return Step("stress at which the outer skin wrinkles, lengthwise", "σ = 0.5 (E Ec Gc)^(1/3)", {
        "E": Q_(modulus, "Pa").to("GPa"), "Ec": Q_(limits.core_modulus, "Pa").to("MPa"),
        "Gc": Q_(build.panel.along.si.core_shear_modulus, "Pa").to("MPa")},
        Q_(float(_wrinkles(build, modulus, limits)), "Pa").to("MPa"), ZENKERT)


def _method(load):
    return "Navier's series" if load.edges == "supported" else "Ritz's method, clamped edges"


def _core_shear_step(build, case, load):
    place = "at the middle of an edge" if case.patch_pressure is None else "beside the patch, half its side away from an edge"
    place = place if load.edges == "supported" or case.patch_pressure is None else place + ", or at that edge"
    return Step(f"core shear under {case.name}", "τ ≈ V/d", {"V per width": max(case.shear_forces), "where": place,
                "d": build.panel.along.centroid_distance.to("mm")}, case.core_shear, f"{_method(load)}; Gere ch. 5 and 6 (from memory)")


def _crushing_step(case, load):
    side = Q_((load.total / load.patch_pressure) ** 0.5, "m").to("mm")
    return Step(f"pressure under the patch, {case.name}", "p = W/(side × side)", {"W": Q_(load.total, "N"), "side": side}, case.patch_pressure, "definition")


# --- cautions, guesses, what it rests on ------------------------------------------------------------


def cautions(build):
    said = [DEFER, ASSUMED]
    core = build.core
    if core is not None and not core.infusible:
        said.append(f"{core.title} cannot be infused: its cells would fill with resin.")
    if core is not None and not core.structural:
        said.append(f"{core.title} is not a structural core.")
    if core is not None and core.compressive_strength is None:
        said.append(f"Not checked: crushing of the core under a heel; no compressive strength of {core.title} was read. Ask the supplier.")
    if core is not None and core.shear_strength is None:
        said.append(f"Not checked: shear of the core; no shear strength of {core.title} was read. Ask the supplier.")
    return tuple(said)


def guesses(part, catalogue, build):
    """Inputs that nobody has measured for this part."""
    resin = catalogue.resin(part.resin)
    said = [] if resin.grade == "shop" else [f"stiffness of {resin.title}: {resin.grade}; enter your own data sheet first"]
    for key in dict.fromkeys(build.outer_keys + build.inner_keys):
        cloth = catalogue.fabric(key)
        if cloth.grade != "shop":
            said.append(f"{cloth.title}: fibre share {cloth.grade}, design strain {cloth.strain_grade}; weigh and break a trial strip")
        if cloth.hygroscopic:
            said.append(f"{cloth.title}: plant fibre plies have tested at 0.5 to 1.0 of the estimated stiffness; test a strip")
    for laminate, keys in ((build.outer, build.outer_keys), (build.inner, build.inner_keys)):
        bare = [] if laminate is None else [way for way, none in zip(WAYS, no_fibre_along(catalogue, laminate, keys), strict=True) if none]
        said += [f"a skin has no fibre along its {way} direction: there it may stretch {CROSS_FIBRE_STRAIN:.1%}, own judgement" for way in bare]
    if build.core is not None:
        said += core_guesses(build.core)
    return tuple(said)


def core_guesses(core):
    if core.grade == "shop":
        return []
    return [f"{core.title}: figures {core.grade}; shear modulus {core.design_shear_modulus()[1]}"]


def rests_on(part, build):
    """Paths whose change makes a decision on this zone stale."""
    paths = [f"layup.{build.name}", "resin", "shape", "brief.loads", "brief.deflection_share", "brief.strength_factor", "brief.mass_target"]
    for key in dict.fromkeys(build.outer_keys + build.inner_keys):
        paths += [f"catalogue.fabric.{key}.{name}" for name in
                  ("areal_weight", "fibre_fraction", "crimp_factor", "strain_limit_tension", "strain_limit_compression")]
    if build.core is not None:
        paths += core_paths(build.core.key)
    return (*paths, f"catalogue.resin.{part.resin}.modulus")


def core_paths(key):
    """Catalogue paths that a core's sizing rests on."""
    return [f"catalogue.core.{key}.{name}" for name in
            ("density", "uptake", "compressive_modulus", "compressive_strength", "shear_modulus", "shear_strength")]
