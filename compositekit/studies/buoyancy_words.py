"""What the flotation figures are held against, how they came about, and what to beware of."""

from __future__ import annotations

from ..flotation import CAUTION
from ..flotation.swamped import FOAM_DENSITY, FOAM_LIFT_LIMIT
from ..units import Q_, say
from .findings import Check, Step
from .material_rows import guesses as material_guesses
from .material_rows import material_rows, paths_behind_mass

LEAST_GM = Q_(0.15, "m")
GM_SOURCE = ("0.15 m, the least for ships in the international intact-stability code (from memory); that it is "
             "enough for a small open boat is own judgement")
STANDING_SOURCE = (f"{GM_SOURCE}; weight centre of standing people 760 mm above the floor, the least 46 CFR 178.330 allows above the deck (read)")
THIRSTY = "with core faces at the thirsty end of the catalogue's range"
SHARE_SOURCE = {
    "holding on": "people holding on hang 2/15 of their weight on the boat: 33 CFR 183.105, basic flotation (read)",
    "sitting in it": "people sitting in a swamped boat load it with half their weight: US level-flotation guidance (read)"}
KIT_WORDS = {"sinks": "all the kit hangs on the boat with its full weight (own judgement, the cautious way)",
             "floats": "the kit carries itself or drifts off and counts for nothing (own judgement)"}
PLUG = "the stations are taken as the outside of the hull; laid up over a plug of this size it comes out a skin and core larger"
ARCHIMEDES = "Archimedes"
WATER = "UNESCO Technical Paper 44, 1983 (read second-hand)"
TEXTBOOK = "textbook of ship stability (read second-hand)"


def checks(part, result):
    """Load, freeboard, stability and swamped lift, each where there is something to hold it against."""
    return tuple(check for check in (
        _load(result), _freeboard(part, result), _stability(result), _standing(result), _swamped(result), _thirsty(result)) if check)


def _load(result):
    return result.carried and Check(
        "boat, people and kit against what brings water over the gunwale", result.total_mass, result.carried, "at most",
        "volume of the hull up to its lowest gunwale, level in calm water (Archimedes)", "take out load, or build higher or wider")


def _freeboard(part, result):
    wanted = part.brief.freeboard
    return wanted and result.afloat and Check(
        "least freeboard, loaded and level", result.freeboard, wanted.to("mm"), "at least", "brief",
        "take out load, lighten the part, or build the sides higher")


def _stability(result):
    return result.afloat and Check(
        "metacentric height, upright", result.gm, LEAST_GM, "at least", GM_SOURCE,
        "bring people and kit lower, or build wider")


def _standing(result):
    return result.standing and Check(
        "metacentric height with everybody standing", result.standing.metacentric_height, LEAST_GM, "at least", STANDING_SOURCE,
        "sit or kneel, take fewer people, or build wider")


def _swamped(result):
    return Check(f"swamped: lift of the materials against boat, kit and people {result.crew}", result.lift.to("kg"),
                 result.must_carry, "at least",
                 f"{SHARE_SOURCE[result.crew]}; {KIT_WORDS[result.kit]}", _foam(result.swamped))


def _thirsty(result):
    return result.thirsty and Check(
        f"swamped, {THIRSTY}", result.lift.to("kg"), result.thirsty.total_mass + result.thirsty.persons_load, "at least",
        f"{SHARE_SOURCE[result.crew]}; {KIT_WORDS[result.kit]}; range of the catalogue",
        f"weigh the trial panel: put what its core took into the shop's own cores, and this check narrows; or {_foam(result.thirsty)}")


def _foam(swamped):
    return f"add {say(swamped.foam_volume, 'L')} of closed-cell foam, a thicker core, or less kit tied in"


def working(part, builds, result):
    """The steps with a hand calculator: intact first where there is a hull, then swamped."""
    start = (
        Step(f"density of {result.water} water at 15 °C", "polynomial in temperature and salt", {}, result.water_density,
             WATER),
        Step("mass of the finished part", "m = Σ zones + Σ fittings", {
            **{name: build.mass for name, build in builds.items()},
            **{fitting.name: fitting.mass for fitting in part.fittings}}, result.mass, "layup and catalogue"),
        Step("boat, people and kit", "M = m + n · person + kit", {
            "m": result.mass, "n": result.persons, "person": result.person_mass, "kit": result.kit_mass},
            result.total_mass, "brief"))
    return start + (_afloat_steps(part, result) if result.afloat else ()) + _swamped_steps(part, builds, result)


def panel_working(builds, result):
    """Density of each panel as one solid, and how deep an offcut lies."""
    steps = [Step(f"density of the {result.water} water at 15 °C", "polynomial in temperature and salt", {}, result.water_density, WATER)]
    for panel in result.panels:
        build = builds[panel.zone]
        steps += [
            Step(f"density of {panel.zone} as one solid", "mass per area / thickness", {
                "mass per area": build.areal_mass, "thickness": build.thickness.to("mm")}, panel.bulk_density, "definition"),
            Step(f"share of an offcut of {panel.zone} under water", "its density / ρ (above 1 it sinks)", {
                "density": panel.bulk_density, "ρ": result.water_density}, panel.share_under, ARCHIMEDES),
            Step(f"what {panel.zone} carries, pushed under", "(ρ − its density) · thickness", {
                "thickness": build.thickness.to("mm")}, panel.net_lift, ARCHIMEDES)]
    return tuple(steps)


def _afloat_steps(part, result):
    water, kg = result.afloat.water, result.afloat.centre_of_gravity
    hull = part.geometry
    gunwale = Q_(float(hull.offsets[:, -1, 1].min()) - hull.lowest, "m")
    inertia = (water.metacentric_radius * water.volume).to("m^4")
    steps = (
        Step("draught", "find T so that ρ · V(T) = M", {
            "M": result.total_mass, "V at this draught": water.volume.to("L"), "ρ": result.water_density},
            water.draught.to("mm"), ARCHIMEDES),
        Step("least freeboard", "F = lowest gunwale − T", {"lowest gunwale": gunwale.to("mm"), "T": water.draught.to("mm")},
             water.freeboard.to("mm"), "definition"),
        Step("centre of gravity above the lowest point", "KG = Σ mass · height / M", {
            "people and kit": result.load, "at height": part.brief.load_height, "boat": result.mass}, kg,
            "zones at their centres, fittings and load at their heights"),
        Step("metacentric radius", "BM = (2/3) ∫ y³ dx / V", {"(2/3) ∫ y³ dx": inertia, "V": water.volume},
             water.metacentric_radius, TEXTBOOK),
        Step("metacentric height", "GM = KB + BM − KG", {
            "KB": water.centre_of_buoyancy, "BM": water.metacentric_radius, "KG": kg}, result.gm, TEXTBOOK))
    if result.afloat.heel is not None:
        steps += (_heel_step("heel when one person moves 100 mm sideways", result, result.gm, result.afloat.heel),)
    return steps + _standing_steps(part, result)


def _standing_steps(part, result):
    up = result.standing
    if up is None:
        return ()
    steps = (Step("standing: GM", "GM = KB + BM − KG − n · person · (standing − load height)/M", {
        "n": result.persons, "person": result.person_mass, "standing": up.height, "load height": part.brief.load_height, "M": result.total_mass,
        "KB": result.afloat.water.centre_of_buoyancy, "BM": result.afloat.water.metacentric_radius, "KG": result.afloat.centre_of_gravity},
        up.metacentric_height, f"{TEXTBOOK}; 760 mm: 46 CFR 178.330 (read)"),)
    return steps if up.heel is None else (*steps, _heel_step("standing: heel when one person steps 100 mm sideways", result, up.metacentric_height, up.heel))


def _heel_step(what, result, gm, heel):
    return Step(what, "tan(heel) = person · 0.1 m / (M · GM)", {"person": result.person_mass, "M": result.total_mass, "GM": gm}, heel.to("deg"), TEXTBOOK)


def _swamped_steps(part, builds, result):
    swamped = result.swamped
    volumes = {f"{name}: {say(build.zone.area)} × {say(build.thickness, 'mm')}": (build.zone.area * build.thickness).to("L")
               for name, build in builds.items()}
    volumes |= {fitting.name: fitting.volume.to("L") for fitting in part.fittings}
    return (
        Step("volume of the materials themselves", "V = Σ area · thickness + Σ fittings (open-celled cores left out)", volumes,
             swamped.displaced_volume.to("L"), "geometry"),
        Step("what they lift", "ρ · V", {"ρ": result.water_density, "V": swamped.displaced_volume.to("L")},
             result.lift.to("kg"), ARCHIMEDES),
        Step("what they must carry", "boat + kit + people · share", {
            "boat and kit": swamped.total_mass, f"people {result.crew}": swamped.persons_load}, result.must_carry,
            SHARE_SOURCE[result.crew]),
        Step("left over (short, if below nought)", "lift − must carry", {
            "lift": result.lift.to("kg"), "must carry": result.must_carry}, swamped.reserve, ARCHIMEDES),
        Step("foam to add", "short / smaller of (ρ − foam density) and the most that may be counted", {
            "short": max(-swamped.reserve, Q_(0.0, "kg")), "ρ": result.water_density,
            "foam density": Q_(FOAM_DENSITY, "kg/m^3"), "most": Q_(FOAM_LIFT_LIMIT, "kg/m^3")}, swamped.foam_volume.to("L"),
            "2 lb/ft³ block foam (common practice, no source); most that may be counted: 46 CFR 170.245 (read)"),
        *_thirsty_steps(part, builds, result))


def _thirsty_steps(part, builds, result):
    if result.thirsty is None:
        return ()
    more = {f"{name}: 2 · {say(build.zone.area)} · (high − typical)": build.core.range("uptake")[2] - build.core.uptake
            for name, build in builds.items() if build.core is not None and build.core.uptake is not None}
    extra = (result.masses[2] - result.mass).to("kg")
    return (Step(f"swamped, {THIRSTY}: left over", "left over − Σ 2 area · (high − typical resin of a face)",
                 {"left over": result.swamped.reserve, **more, "heavier by": extra}, result.thirsty.reserve, "Archimedes; range of the catalogue"),)


def cautions(part, result):
    """What to print beside the figures."""
    said = [CAUTION, "Prove it: load the finished boat beside the bank in shallow water, then swamp it with helpers at hand."]
    if result.standing:
        said.append(_standing_words(result.standing))
    if result.afloat and result.gm.magnitude > 0:
        said.append("The metacentric height speaks for small angles only. An open boat is lost once its gunwale goes under; "
                    "stay low, and never both lean to one side.")
    if result.carried is None:
        said.append("Draught, freeboard and stability need the hull described by stations; this part is not, "
                    "so only the swamped sum is done.")
    if open_cored := [panel.zone for panel in result.panels if not panel.counted]:
        said.append(f"The core of {', '.join(open_cored)} has open cells or drinks water: its volume is not counted "
                    "when swamped (own judgement), and a leak makes the part heavier every season.")
    return tuple(said)


def _standing_words(up):
    steps = (f"one person who steps 100 mm sideways heels the boat by {say(up.heel.to('deg'), digits=2)}" if up.heel is not None else
             "the boat does not stay upright")
    straight = say(up.upright, "m", 2) if up.upright.magnitude > 0 else "below nought: the boat capsizes"
    return (f"Standing: with the people's weight centre 760 mm above the floor the metacentric height is {say(up.metacentric_height, 'm', 2)}, and {steps}. "
            f"Grown people who stand straight have it about 1 m up (own judgement): then it is {straight}. If anybody must "
            "stand: one at a time, in the middle, knees bent, the others sitting or kneeling low.")


def guesses(part, catalogue):
    """Catalogue rows that are not measured or read, in words, and how the shape is taken."""
    said = material_guesses(material_rows(part, catalogue))
    if part.brief.floats and part.shape.kind == "stations":
        said += (PLUG,)
    return said


def rests_on(part):
    """Paths whose change makes a decision on these figures stale."""
    paths = ("brief.floats", "brief.water", *paths_behind_mass(part))
    if not part.brief.floats:
        return paths
    return (*paths, "brief.persons", "brief.person_mass", "brief.kit_mass", "brief.load_height", "brief.freeboard")
