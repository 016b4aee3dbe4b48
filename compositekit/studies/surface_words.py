"""What stands beside the fill of a real surface: checks, what to do about a dry spot, guesses and the working."""

from __future__ import annotations

import numpy as np
import shapely

from ..units import Q_, say
from .findings import Check, Step
from .flow_checks import CAUTIOUS, PROVE, REMEDY, told_once
from .surface_lines import BEVEL, GAP

VENTS = {"microporous": "vents pass air but no resin (microporous), so dry parts of them go on pulling",
         "closes": "each vent is clamped as soon as resin shows anywhere in it",
         "bleeds": "vents stay open to the end: dry parts go on pulling, wet parts draw resin off into the catch pot"}
AT_DRY = "lay a vent to the dry spot, move the feed line farther from it, or bevel the core's edge"


def surface_checks(facts, tightest, safe_share, smallest) -> tuple[Check, ...]:
    """Checks of the fill: time with typical figures, with the tightest fabric, and all dry spots together.

    Where the resin gels first and no spot was closed off till then, dry spots are not judged: most of the part had no time to form one.
    """
    source = f"{safe_share:.0%} of the gel time, own judgement"
    found = []
    if np.isfinite(facts["fill_time"].magnitude):
        found.append(Check("fill time of the real surface (typical figures)", facts["fill_time"], facts["time_allowed"], "at most", source, REMEDY))
    else:
        wet = 1 - (facts["stalled_area"] / facts["area"]).m_as("")
        found.append(Check("surface wet when the resin gels (typical figures)", Q_(100 * wet, "percent"), Q_(100.0, "percent"), "at least", "the whole part must be wet", REMEDY))
    if tightest is not None:
        gels = "" if np.isfinite(tightest.magnitude) else "; gels first, so the time at gel"
        found.append(Check(f"fill time of the real surface (tightest fabric, {CAUTIOUS}{gels})", min(tightest, facts["gel_time"]), facts["time_allowed"], "at most", source, PROVE + REMEDY))
    pockets = facts["pockets"]
    if pockets or np.isfinite(facts["fill_time"].magnitude):
        dry = sum((pocket.area for pocket in pockets), Q_(0.0, "cm^2"))
        found.append(Check("dry spots closed off from every vent, all together", dry, Q_(1e4 * smallest, "cm^2"), "at most", "smaller ones are below what the mesh can tell, own judgement", AT_DRY))
    return told_once(found)


def what_to_do(place, lines, edge_gap) -> str:
    """Advice for a dry spot at a place on the part laid flat (2,) [m]."""
    x, y = place
    here = shapely.Point(place)
    vents = {line.name: shapely.LineString(line.points).distance(here) for line in lines if line.kind == "vent" and len(line.points) > 1}
    nearest = min(vents, key=vents.get, default=None)
    said = f"lay a vent at ({x:.2f}, {y:.2f}) m" + (f", {vents[nearest]:.2f} m from {nearest}" if nearest else "") + ", or move a feed line so that the fronts meet at a vent"
    return said + ("" if edge_gap == "none" else "; a slower core edge (bevelled, or closed with a strip) takes away the race along it")


def surface_guesses(flow, edge_gap, vent_kind) -> tuple[str, ...]:
    """Inputs that nobody measured, those of the straight runs and of the fill."""
    said = [*flow.guesses, "fill of the surface: resin lies at one pressure all along each feed line, each with a hose of its own; " + VENTS[vent_kind]]
    if edge_gap != "none":
        said.append(f"edge of the core {edge_gap}: {say(GAP)} {'left free beside it, as deep as the core' if edge_gap == 'square' else f'bridged by the skin at the foot of a bevel of {say(BEVEL)}'}, "
                    "all round the rim; own judgement: measure your own core's edge")
    return tuple(said)


def surface_working(ground, facts) -> tuple[Step, ...]:
    """Steps that show what went into the fill."""
    mesh, first = ground.mesh, ground.layers[0]
    feed, vent = (sum(_length(line) for line in ground.lines if line.kind == kind) for kind in ("feed", "vent"))
    resin = sum(line.volume[-1] for line in facts["inflow"])
    stored = sum(float(layer.storage @ mesh.si.areas) for layer in ground.layers)
    return (
        *ground.room.steps,
        Step("the part as triangles", "area A = Σ of the triangles", {"nodes": float(len(mesh.si.nodes)), "triangles": float(len(mesh.si.triangles)),
             "feed lines": Q_(feed, "m"), "vent lines": Q_(vent, "m")}, facts["area"], "geometry (own calculation)"),
        Step(f"room for resin ({'each skin by itself' if len(ground.layers) > 1 else first.words})", "V = Σ s A", {"depth s, least": Q_(1e3 * float(first.storage.min()), "mm"),
             "depth s, most": Q_(1e3 * float(first.storage.max()), "mm")}, Q_(1e3 * stored, "L"), "as in the straight runs"),
        Step("driving pressure", "as in the straight runs", {}, Q_(ground.pressure, "Pa").to("mbar"), "see the straight runs"),
        Step("fill, triangle by triangle", "div(K h grad p)/μ = s dS/dt", {"μ": Q_(ground.room.viscosity, "Pa*s").to("mPa*s"), "resin let in": resin,
             "of it into the catch pot": facts["drawn_off"]}, facts["fill_time"] if np.isfinite(facts["fill_time"].magnitude) else "never: gels first",
             "control-volume filling, Darcy's law (textbook, read second-hand)"),
        Step("beside it, straight runs", "page 04, straight runs", {}, facts["flow"].fill_time if facts["flow"].arrives else "never: gels first", "FL-R06 (own reference)"),
    )


def _length(line):
    return float(np.linalg.norm(np.diff(line.points, axis=0), axis=1).sum())
