"""Sections of the build sheet on what is to be built: the brief, the layup ply by ply, masses and flotation."""

from __future__ import annotations

from ..units import Q_, say
from .build import fittings_mass
from .sheet import Section, Table, Text

ANGLES = "Angles are those of the cloth's length to the long way of the zone."
SOLID = "no core: a solid laminate"


def purpose(part, sized=None) -> Section:
    """What the part is for, and what it must meet."""
    brief = part.brief
    targets = [("mass of the finished part", f"at most {say(brief.mass_target)}" if brief.mass_target is not None else "no target given", "brief"),
               ("deflection of a panel", f"at most 1/{1 / brief.deflection_share.m_as(''):.3g} of its short side", brief.deflection_source),
               ("stress in skins and core", f"at most strength over {brief.strength_factor.m_as(''):.3g}", "brief")]
    if brief.floats:
        targets += [("carries", f"{brief.persons} people of {say(brief.person_mass)} and {say(brief.kit_mass)} of kit, in {brief.water} water", "brief")]
        targets += [("freeboard, loaded", f"at least {say(brief.freeboard, 'mm')}", "brief")] if brief.freeboard is not None else []
    loads = [(load.name, load.zone, _load(load), f"{load.factor.m_as(''):.3g}", f"{say(load.panel_length, 'mm')} × {say(load.panel_width, 'mm')}", load.source)
             for load in brief.loads]
    size = (Text(f"Size: {', '.join(sized.size)}."),) if sized else ()
    return Section("purpose", "What this is for", (
        Text(brief.purpose), *size,
        Table("Targets", ("what", "target", "from"), tuple(targets)),
        Table("Loads it must bear", ("load", "zone", "how much", "times", "free panel", "from"), tuple(loads))))


def _load(load):
    return f"{say(load.pressure, 'kPa')} all over" if load.pressure is not None else f"{say(load.force, 'N')} on a {say(load.patch, 'mm')} square"


def layup(part, catalogue, builds) -> Section:
    """Each zone from the outside face inwards; thicknesses only where they could be computed."""
    resin = catalogue.resin(part.resin)
    tables = [_zone_layup(name, zone, catalogue, builds.get(name)) for name, zone in part.layup.items()]
    return Section("layup", "Layup, from the outside face inwards", (
        Text(f"{ANGLES} Resin in every zone: {resin.name}."), *tables))


def _zone_layup(name, zone, catalogue, build):
    thick = _ply_thicknesses(zone, build)
    rows = []
    for face, plies in (("outside", zone.outside), ("inside", zone.inside)):
        for number, ply in enumerate(plies, start=1):
            rows.append((f"{face} ply {number}", catalogue.fabric(ply.fabric).name, f"{ply.angle.m_as('deg'):.3g}°", ply.role, next(thick)))
        if face == "outside" and zone.core is not None:
            core = catalogue.core(zone.core.core)
            rows.append(("core", core.name, "–", zone.core.cut if build is None else build.cut.words, say(zone.core.thickness, "mm")))
    if build is not None:
        whole = "all together, " + (SOLID if build.core is None else "infused")
        rows.append((whole, "", "", f"{say(build.areal_mass, 'kg/m^2')}", say(build.thickness, "mm")))
    return Table(f"Zone {name}", ("place", "material", "angle", "role or cut", "thickness"), tuple(rows), figures=(2, 4))


def _ply_thicknesses(zone, build):
    if build is not None:
        return iter([say(ply.thickness, "mm") for ply in build.plies])
    return iter(["–"] * (len(zone.outside) + len(zone.inside)))


LIGHTEST = 3   # cores shown per zone


def cores(findings) -> Section:
    """For each zone, the lightest cores of the catalogue at equal stiffness, beside the one the layup has."""
    blocks = []
    for found in findings:
        shown = list(found.fit[:LIGHTEST])
        shown += [] if found.choice in shown else [found.choice]
        blocks.append(Table(f"Cores for zone {found.zone}, lightest panel first", (
            "core", "sheet", "mass of the zone", "of the part", "what speaks against it"), tuple(_core_row(row, row is found.choice) for row in shown), figures=(1, 2, 3)))
    if blocks:
        blocks.insert(0, Text("Each core is shown in the sheet that equal stiffness asks for with the skins as they are, not in the thickness the layup has."))
    return Section("cores", "Cores compared", tuple(blocks) or (Text("No zone that bears a load has a core: nothing to compare."),))


def _core_row(row, chosen):
    figures = [say(value, unit) if value is not None else "–" for value, unit in ((row.thickness, "mm"), (row.zone_mass, "kg"), (row.part_mass, "kg"))]
    return (row.core.name + (" (in the layup)" if chosen else ""), *figures, "; ".join(row.reasons) or "nothing")


def masses(part, builds, part_mass) -> Section:
    """Mass by zone and item, beside the target."""
    items = list(dict.fromkeys(item for build in builds.values() for item in build.per_area))
    rows = [(name, *(_kilograms(build.per_area.get(item, 0.0) * build.zone.si.area) for item in items), say(build.zone.area, "m^2"), say(build.mass, "kg"))
            for name, build in builds.items()]
    blank = ("",) * len(items)
    rows += [(fitting.name, *blank, "", say(fitting.mass, "kg")) for fitting in part.fittings]
    rows += [("all fittings together", *blank, "", say(fittings_mass(part), "kg"))] if len(part.fittings) > 1 else []
    rows.append(("finished part", *blank, "", say(part_mass, "kg")))
    return Section("masses", "Masses", (
        Table("Mass by zone and item, kg", ("zone or fitting", *items, "area", "mass"), tuple(rows), figures=tuple(range(1, len(items) + 3))),
        Text(_against(part.brief.mass_target, part_mass))))


def _kilograms(mass):
    return say(Q_(mass, "kg")).removesuffix(" kg")


def _against(target, mass):
    if target is None:
        return f"The finished part comes to {say(mass, 'kg')}; the brief sets no target."
    spare = (target - mass).to("kg")
    side = f"{say(spare)} below" if spare.magnitude >= 0 else f"{say(-spare)} ABOVE"
    return f"The finished part comes to {say(mass, 'kg')}, {side} the target of {say(target, 'kg')}."


def flotation(found) -> Section:
    """What the water does to the part, or why nothing is asked of it."""
    panels = Table("Panels in water", ("zone", "density as one solid", "an offcut", "a square metre carries, pushed under"), tuple(
        (panel.zone, say(panel.bulk_density), f"floats, {panel.share_under:.0%} under water" if panel.floats else "SINKS", say(panel.net_lift))
        for panel in found.panels), figures=(1, 3))
    if not found.needed:
        return Section("flotation", "Flotation", (Text(f"No flotation is asked of this part. {found.note}"), panels))
    rows = [("boat, people and kit", found.total_mass, "kg"), ("draught, loaded", found.draught, "mm"), ("least freeboard, loaded", found.freeboard, "mm"),
            ("metacentric height", found.gm, "mm"), ("metacentric height, everybody standing", found.standing and found.standing.metacentric_height, "mm"), ("swamped: what the materials lift", found.lift, "kg"),
            (f"swamped: what they must carry, people {found.crew}", found.must_carry, "kg"), ("swamped: left over", found.swamped and found.swamped.reserve, "kg"),
            ("swamped: left over if core faces drink much resin", found.thirsty and found.thirsty.reserve, "kg")]
    known = tuple((what, say(value, unit)) for what, value, unit in rows if value is not None)
    return Section("flotation", "Flotation", (
        Text(found.note), Table(f"Afloat in {found.water} water, level and calm, and swamped", ("figure", "found"), known, figures=(1,)),
        panels, Text("These figures are for choosing; they are not an approval. Local codes and licensed practice come first.")))
