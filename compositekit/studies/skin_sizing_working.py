"""Working of skin sizing: the steps for one load, each within reach of a hand calculator."""

from __future__ import annotations

import math

import numpy as np

from ..mechanics.sandwich_failure import DIMPLING
from ..units import Q_, say
from .findings import Step
from .local_limits import dimples, skins_of, under_patch
from .panel_stiffness import WAYS
from .sag import SMALL
from .skin_sizing_checks import NAMES, SPRINGS, ZENKERT, wrinkles

TOGETHER = "α with bending and core shear together, first-order shear theory: Navier's series, and Ritz's method for clamped edges (own); clamped, even pressure, thin and alike every way: T&W-K Tables 35, 36 (read second-hand)"


def working(part, catalogue, build, cases, loads, limits, mass):
    """The steps for the load with the largest deflection share, each within reach of a hand calculator."""
    k = max(range(len(cases)), key=lambda k: cases[k].use["deflection"])
    steps = [_ply_thickness(catalogue, build), _ply_modulus(part, catalogue, build), _rigidity(build)]
    if build.core is not None:
        steps.append(_shear_rigidity(build))
    steps += [_sag(build, cases[k], loads[k]), _moment(build, cases[k], loads[k])]
    if build.core is not None:
        steps += [_wrinkling_step(build, limits), _core_shear_step(build, cases[k], loads[k])]
        steps += [step for case, load in zip(cases, loads, strict=True) if case.patch_pressure is not None for step in _patch_steps(build, case, load, limits)][:3]
        if limits.cell_size > 0:
            steps.append(_dimpling_step(build, limits))
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
    if not load.apart(build.panel.ratios, build.panel.shear_rigidity):
        return _sag_together(build, case, load)
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


def _sag_together(build, case, load):
    length, width, *_ = load.sizes
    inputs = {"load W, with its factor": Q_(load.total, "N"), "edges": load.edges, "D11": build.plate_rigidity,
              "α": (case.deflection * build.plate_rigidity / Q_(load.total, "N")).to("m^2")}
    if build.core is not None:
        inputs |= {"D11/(S a b), what α goes with": (build.plate_rigidity / build.shear_rigidity).m_as("m^2") / (length * width),
                   "share that is bending": f"{case.bending_share:.0%}, the rest is the core shearing"}
    return Step(f"deflection under {case.name}", "w = W α/D11", inputs, _told_sag(build, case),
                TOGETHER)


def _moment(build, case, load):
    share_x, share_y = (case.moments / Q_(load.total, "N")).m_as("")
    formula = "σ = M E (z − z0)/D of a strip; quick check: σ ≈ M/(t d)" if build.core else "σ = 6 M/t²"
    way, n = np.unravel_index(int(np.argmax(case.skin_stress.magnitude)), case.skin_stress.shape)
    return Step(f"largest skin stress under {case.name}", f"M = W m, each way with that way's E; {formula}",
                {"m lengthwise, crosswise": f"{share_x:.4g}, {share_y:.4g}", **({} if load.edges == "supported" else {"edges": load.edges}), f"M per width, {WAYS[way]}": case.moments[way],
                 "skin": f"{NAMES[n] if build.core else 'the laminate'}, {say((build.outer, build.inner)[n].thickness, 'mm')}"},
                case.skin_stress[way][n], f"{method(load)}; Gere ch. 6 (read second-hand)")


def _wrinkling_step(build, limits):
    modulus = build.panel.moduli[0][0]
    return Step("stress at which the outer skin wrinkles, lengthwise", "σ = 0.5 (E Ec Gc)^(1/3)", {
        "E": Q_(modulus, "Pa").to("GPa"), "Ec": Q_(limits.core_modulus, "Pa").to("MPa"),
        "Gc": Q_(build.panel.along.si.core_shear_modulus, "Pa").to("MPa")},
        Q_(float(wrinkles(build, modulus, limits)), "Pa").to("MPa"), ZENKERT)


def method(load):
    """How the largest moments and forces of a load are found, in words."""
    return "Navier's series" if load.edges == "supported" else "Ritz's method, clamped edges"


def _core_shear_step(build, case, load):
    place = "at the middle of an edge" if case.patch_pressure is None else "beside the patch, half its side away from an edge"
    place = place if load.edges == "supported" or case.patch_pressure is None else place + ", or at that edge"
    return Step(f"core shear under {case.name}", "τ ≈ V/d", {"V per width": max(case.shear_forces), "where": place,
                "d": build.panel.along.centroid_distance.to("mm")}, case.core_shear, f"{method(load)}; Gere ch. 5 and 6 (from memory)")


def _dimpling_step(build, limits):
    return Step("stress at which the outer skin dimples into the cells, lengthwise", f"σ = {DIMPLING:.3g} E/(1 − ν²) (t/s)²", {
        "E": Q_(build.panel.moduli[0][0], "Pa").to("GPa"), "ν": build.panel.along.si.poisson, "t": build.outer.thickness.to("mm"),
        "s, across a cell": Q_(limits.cell_size, "m").to("mm")},
        Q_(float(dimples(build.panel, 0, 0)) / limits.cell_size**2, "Pa").to("MPa"), "Zenkert eq. 6.32 (read second-hand): an empirical fit")


def _patch_steps(build, case, load, limits):
    """Load over patch, what of it the core bears, and the skin's squeeze on top of the panel's, under the skin where each is larger."""
    side, si = Q_((load.total / load.patch_pressure) ** 0.5, "m").to("mm"), build.panel.along.si
    pressures, strains = zip(*(under_patch(build.panel, load, limits.core_modulus, skin) for skin in range(2)), strict=True)
    skin = int(np.argmax(pressures))
    modulus, thickness = min(build.panel.moduli[way][skin] for way in range(2)), skins_of(build.panel)[skin]
    yield Step(f"pressure under the patch, {case.name}", "p = W/(side × side)", {"W": Q_(load.total, "N"), "side": side}, case.patch_pressure, "definition")
    yield Step(f"what of it the core bears, {case.name}", "D ∇⁴w − T ∇²w + K w = p, D = E t³/12(1 − ν²), K = Ec/c, T = Gc c/3; p of the core = K w − T ∇²w", {
        "p": case.patch_pressure, "patch": f"round, as large as the square: radius {say(side / math.pi**0.5, 'mm')}",
        "D": Q_(float(modulus * thickness**3 / 12 / (1 - si.poisson**2)), "N*m"), "Ec": Q_(limits.core_modulus, "Pa").to("MPa"),
        "Gc": Q_(si.core_shear_modulus, "Pa").to("MPa"), "c": Q_(si.core_thickness, "m").to("mm"), "p of the core over p": float(pressures[skin]) / load.patch_pressure},
        case.core_pressure, SPRINGS)
    way, n = np.unravel_index(int(np.argmax(case.patch_strain)), case.patch_strain.shape)
    yield Step(f"squeeze of the skin under the patch, {case.name}", "ε = curvature × distance of the panel's bending + (1 − ν) t/4 |∇²w| of the skin's own", {
        "skin": f"{NAMES[n]}, {WAYS[way]}", "of the panel": f"{case.patch_strain[way, n] - strains[n]:.3%}", "of the skin's own": f"{strains[n]:.3%}"},
        Q_(100 * case.patch_strain[way, n], "percent"), SPRINGS)
