"""Cautions of skin sizing, its guesses and what it rests on: shared with core selection and the search."""

from __future__ import annotations

import numpy as np

from ..mechanics.panel_peaks import EDGES
from .panel_limits import CROSS_FIBRE_STRAIN, no_fibre_along
from .panel_stiffness import WAYS
from .skin_sizing_checks import NAMES

BIAXIAL = "A biaxial cloth counts as 0/90: a ±45 cloth is entered with its plies at 45 degrees, in the part file."
ASSUMED = ("The panel is taken as flat, 0° of its plies along its length, and each as stiff lengthwise, crosswise and in twist as its plies "
           "make it; curvature would help and is left out. Its edges are held down but free to turn, unless a load of the brief says "
           "clamped. For sag, supported is safe only where the edge is fastened so that it cannot slide along itself: one that can lets "
           "our reference panel sag 13 % more. Truly clamped edges are rare, since a skin that goes round a corner is "
           "somewhere between, and they raise the moment and the core's shear at the edge itself, so try both. A patch load stands in the middle for sag "
           "and skin stress (with a clamped edge the stress is looked for beside that too), and half its own side away from an edge for core "
           "shear; nearer an edge the core's peak is larger still, so rest the edge on its support. Left out too: a skin's own bending as the core shears, 4 % of the stress on our reference "
           "panel, and over the rim of a patch; the shear that twist sets up in a skin near the corners, which in 0/90 cloth can use up about as much as its "
           "strain does in the middle; and, for skins with more plies at +45° than at -45°, the twist that pull sets up. "
           f"Sag beyond half the panel's thickness is overstated. {BIAXIAL}")
DEFER = ("Design figures for choosing, not approval. Where people stand on or travel in the part, prove a trial panel and "
         "defer to local codes and licensed practice.")


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


def clamped(loads) -> str:
    """A warning where the panel of a load is taken as clamped along an edge; empty where none is."""
    names = [f'"{load.name}"' for load in loads if load.edges != EDGES[0]]
    if not names:
        return ""
    return (f"{' and '.join(names)} {'stand' if len(names) > 1 else 'stands'} on a panel with clamped edges: that lowers the sag, but raises the moment at "
            "the edge itself (on a square panel under even pressure to 7 % above the largest of a supported one) and the core's shear there (to 30 % above). "
            "Few edges are truly clamped: let it hold with supported ones too, or prove a trial panel with its real edges")


def cautions(build, loads):
    said = [DEFER, ASSUMED, *(f"{words}." for words in [clamped(loads)] if words)]
    core = build.core
    if core is not None and not core.infusible:
        said.append(f"{core.title} cannot be infused: its cells would fill with resin.")
    if core is not None and not core.structural:
        said.append(f"{core.title} is not a structural core.")
    if core is not None and core.compressive_strength is None:
        said.append(f"Not checked: crushing of the core under a heel; no compressive strength of {core.title} was read. Ask the supplier.")
    if core is not None and core.family == "honeycomb" and core.cell_size is None:
        said.append(f"Not checked: dimpling of the skins into the cells; no cell size of {core.title} was read. Measure it and enter it.")
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
            ("density", "uptake", "cell_size", "compressive_modulus", "compressive_strength", "shear_modulus", "shear_strength")]
