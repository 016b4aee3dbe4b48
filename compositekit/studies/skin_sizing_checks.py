"""Checks of skin sizing: one per way to fail, under the load that comes nearest to it, and what each is held against."""

from __future__ import annotations

import math

import numpy as np

from ..mechanics.sandwich_failure import DIMPLING, wrinkling_stress
from ..units import Q_
from .findings import Check
from .local_limits import dimples
from .panel_stiffness import WAYS
from .sag import sag_check

ZENKERT = "Zenkert, Introduction to Sandwich Structures, ch. 6 (read second-hand); LR SSC Pt 8 Ch 7 3.2.2 (read)"
SPRINGS = "skin on springs that shear: Westergaard 1926, Vlasov and Leontiev (from memory), 0.98 to 1.9 of FE (own reference)"
BENT = "strain = curvature under both moments × distance from the neutral plane (own, first-order plate theory)"
TWISTED = ("a corner's twist × distance from the neutral plane (own, first-order plate theory); design shear strain read for one infused "
           "stitched glass cloth (IEA22, read), taken for every cloth: own judgement; plies at an angle by their own strains")
NAMES = ("outer skin", "inner skin")


def checks(part, catalogue, build, cases, limits, mass):
    """One check per way to fail, under the load that comes nearest to it."""
    found = [_deflection(part, build, cases), *_skins(part, catalogue, build, cases, limits)]
    if build.core is not None:
        found += [*_under_patch(catalogue, build, cases, limits), _wrinkling(build, cases, limits), *_dimpling(build, cases, limits),
                  *_core(build, cases, limits)]
    target = part.brief.mass_target
    if target is not None:
        found.append(Check("mass of the finished part", mass, target, "at most", "brief, mass target",
                           "a lighter core (page 02), or fewer plies where plenty is in hand"))
    return tuple(found)


def _deflection(part, build, cases):
    case = max(cases, key=lambda c: c.use["deflection"])
    share = 1 / part.brief.deflection_share.m_as("")
    return sag_check(f"deflection under {case.name}", case.deflection, case.deflection_limit, build.thickness,
                     f"1/{share:.3g} of the short side. {part.brief.deflection_source}", "a thicker core" if build.core else "add a core", trim=True)


def _skins(part, catalogue, build, cases, limits):
    keys = build.outer_keys, build.inner_keys
    for sense, word in enumerate(("tension", "compression")):
        allowed = {(way, n): limits.skins[n][way][sense] for way, n in _places(limits)}
        case, way, n = _most_strained(cases, allowed)
        yield Check(f"{NAMES[n] if build.core else 'skin'} in {word} {WAYS[way]} under {case.name}", Q_(100 * case.skin_strain[way][n], "percent"),
                    Q_(100 * allowed[way, n], "percent"), "at most", f"{_design_strain(catalogue, keys[n], limits, allowed[way, n])}; {BENT}",
                    "more plies, or a thicker core" if build.core else "add a core, or more plies")
    cases = [case for case in cases if case.curvatures[2] > 0]        # panels clamped at two sides facing each other have no corner that twists
    if not cases:
        return
    allowed = {(2, n): strain for n, strain in enumerate(limits.shear)}
    case, _, n = _most_strained(cases, allowed)
    yield Check(f"{NAMES[n] if build.core else 'skin'} sheared in a corner under {case.name}", Q_(100 * case.skin_strain[2][n], "percent"),
                Q_(100 * allowed[2, n], "percent"), "at most", f"÷ strength factor {limits.factor:.3g}; {TWISTED}",
                "plies at 45 degrees, more plies, or a thicker core" if build.core else "add a core, or more plies")


def _most_strained(cases, allowed):
    """The load, way and skin whose strain comes nearest to what is allowed there."""
    _, k, way, n = max((case.skin_strain[way][n] / strain, -k, -way, -n) for k, case in enumerate(cases) for (way, n), strain in allowed.items())
    return cases[-k], -way, -n


def _design_strain(catalogue, keys, limits, strain):
    """A skin's own strain, the cloths it rests on and the factor taken off it."""
    cloths = ", ".join(dict.fromkeys(f"{catalogue.fabric(key).title} ({catalogue.fabric(key).strain_grade})" for key in keys))
    return f"design strain {strain * limits.factor:.2%} of {cloths} ÷ strength factor {limits.factor:.3g}"


def _under_patch(catalogue, build, cases, limits):
    """The skin under the patch, squeezed by the panel's bending and its own together."""
    on_patch = [(case.patch_strain[way, n] / limits.skins[n][way][1], -k, -way, -n) for k, case in enumerate(cases) if case.patch_strain is not None
                for way, n in _places(limits)]
    if on_patch and np.isfinite(max(on_patch)[0]):
        _, k, way, n = max(on_patch)
        case, way, n, keys = cases[-k], -way, -n, (build.outer_keys, build.inner_keys)
        strain = limits.skins[n][way][1]
        yield Check(f"squeeze of the {NAMES[n]} {WAYS[way]} under the patch, {case.name}", Q_(100 * case.patch_strain[way, n], "percent"),
                    Q_(100 * strain, "percent"), "at most", f"{_design_strain(catalogue, keys[n], limits, strain)}; {SPRINGS}",
                    "more plies, or a core stiffer through its thickness")


def _wrinkling(build, cases, limits):
    allowed = {(way, n): float(wrinkles(build, build.panel.moduli[way][n], limits)) / limits.factor for way, n in _places(limits)}
    case, way, n = _nearest(cases, allowed)
    return Check(f"wrinkling of the {NAMES[n]} if squeezed {WAYS[way]}, under {case.name}", case.skin_stress[way][n],
                 Q_(allowed[way, n], "Pa").to("MPa"), "at most",
                 f"0.5 (E Ec Gc)^(1/3) ÷ strength factor {limits.factor:.3g}; {ZENKERT}", "a denser core, or a thicker one")


def _dimpling(build, cases, limits):
    cell = limits.cell_size
    if cell > 0:                    # nought for a core without cells, NaN where nobody read them
        allowed = {(way, n): float(dimples(build.panel, way, n)) / cell**2 / limits.factor for way, n in _places(limits)}
        case, way, n = _nearest(cases, allowed)
        yield Check(f"dimpling of the {NAMES[n]} into the cells if squeezed {WAYS[way]}, under {case.name}", case.skin_stress[way][n],
                    Q_(allowed[way, n], "Pa").to("MPa"), "at most",
                    f"{dimpling_source(cell, build.core.grade)} ÷ strength factor {limits.factor:.3g}", "smaller cells, or more plies")


def dimpling_source(cell, grade):
    """Relation and grade of the stress at which a skin dimples into cells of so many metres."""
    return (f"{DIMPLING:.3g} E/(1 − ν²) (t/s)², an empirical fit, Zenkert eq. 6.32 (read second-hand); "
            f"cells s of {1e3 * cell:.3g} mm ({grade})")


def _places(limits):
    return [(way, n) for way in range(2) for n in range(len(limits.skins))]


def _nearest(cases, allowed):
    """The load, way and skin whose stress comes nearest to what is allowed there."""
    _, k, way, n = max((case.skin_stress[way][n].m_as("Pa") / stress, -k, -way, -n) for k, case in enumerate(cases)
                       for (way, n), stress in allowed.items())
    return cases[-k], -way, -n


def wrinkles(build, modulus, limits):
    """Stress at which a skin of this modulus wrinkles on the core of a build [Pa]."""
    return wrinkling_stress.si(modulus, limits.core_modulus, build.panel.along.si.core_shear_modulus)


def _core(build, cases, limits):
    core, over = build.core, f"÷ strength factor {limits.factor:.3g}"
    case = max(cases, key=lambda c: c.core_shear.magnitude)
    if math.isfinite(limits.core_shear):
        yield Check(f"core shear under {case.name}", case.core_shear, Q_(limits.core_shear, "Pa").to("MPa"), "at most",
                    f"{core.title} ({core.grade}): {core.design_shear_strength()[1]}, {over}", "a thicker or denser core")
    case = max((c for c in cases if c.core_pressure is not None), key=lambda c: c.core_pressure.magnitude, default=None)
    if case is not None and math.isfinite(limits.crushing):
        yield Check(f"core crushing under {case.name}", case.core_pressure, Q_(limits.crushing, "Pa").to("MPa"), "at most",
                    f"{core.title} ({core.grade}): {core.design_compressive_strength()[1]}, {over}; {SPRINGS}",
                    "a denser core, or thicker skins that spread the load")
