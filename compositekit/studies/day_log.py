"""Planned beside built: what the build log of the part file says, line against line with the calculation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import CompositeKitError
from ..infusion.vacuum import LIMIT_RISE
from ..units import Q_, parse, say, write

DROP, FRONT, WEIGHT, BUCKET, ROOM = "drop test", "front readings", "finished weight", "bucket mixed", "room"


@dataclass(frozen=True)
class Built:
    """One line of the log beside the plan; ``planned`` is empty where nothing was planned."""

    when: str
    what: str
    built: str
    planned: str
    note: str


def entry_drop(leak) -> tuple[str, dict]:
    """Words and values of a drop test for PartFile.log."""
    return DROP, {"rise": write(leak.test.rise.to("mbar/min")), "start": write(leak.start)}


def entry_front(front) -> tuple[str, dict]:
    """Words and values of front readings for PartFile.log; the readings themselves go into the note."""
    values = {"ease": f"{front.ease:.3g}", "last distance": f"{1e3 * front.distances[-1]:.4g} mm", "at": f"{front.times[-1] / 60:.4g} min"}
    return FRONT, values | ({"finish": f"{front.finish / 60:.4g} min"} if np.isfinite(front.finish) else {})


def entry_weight(mass) -> tuple[str, dict]:
    """Words and values of the finished weight for PartFile.log."""
    return WEIGHT, {"mass": write(mass.to("kg"))}


def entry_bucket(card) -> tuple[str, dict]:
    """Words and values of a bucket that was mixed, as on its card."""
    return f"{BUCKET} {card.number}", {"resin": write(card.resin), "hardener": write(card.hardener)}


def entry_room(temperature, humidity=None) -> tuple[str, dict]:
    """Words and values of the room's air; humidity where somebody has to keep it."""
    return ROOM, {"temperature": write(temperature)} | ({} if humidity is None else {"humidity": write(humidity)})


def logged_weight(part):
    """Mass the newest readable finished weight in the log gives; None where there is none."""
    for entry in reversed(part.build_log):
        if entry.what == WEIGHT and "mass" in entry.values:
            try:
                return parse(entry.values["mass"], "kg > 0", "the weight in the log")
            except CompositeKitError:
                continue      # written by hand in bad form; the log's own table says so
    return None


def built(part, planned, flow, cards=()) -> tuple[Built, ...]:
    """Every line of the build log with the figure that was planned for it: room of ``part``, grams of the cards."""
    plans = {(DROP, "rise"): f"at most {say(LIMIT_RISE)}", (WEIGHT, "mass"): say(planned, "kg"),
             (FRONT, "finish"): say(flow.fill_time, "min") if flow.arrives else "never: gels on its way", (FRONT, "ease"): "1",
             (ROOM, "temperature"): say(part.workshop.temperature), (ROOM, "humidity"): say(part.workshop.relative_humidity, "percent")}
    plans |= {(f"{BUCKET} {card.number}", name): write(mass) for card in cards for name, mass in (("resin", card.resin), ("hardener", card.hardener))}
    found = []
    for entry in part.build_log:
        planned_here = [f"{name} {text}" for (what, name), text in plans.items() if what == entry.what and name in entry.values]
        said = ", ".join(f"{name} {value}" for name, value in entry.values.items())
        found.append(Built(entry.when, entry.what, said + _against(entry, planned), ", ".join(planned_here), entry.note))
    return tuple(found)


def _against(entry, planned):
    """How far the finished weight is off the plan."""
    if entry.what != WEIGHT or "mass" not in entry.values:
        return ""
    try:
        off = (parse(entry.values["mass"], "kg > 0", "the weight in the log") / planned).m_as("") - 1
    except CompositeKitError as err:
        return f" ({err})"      # somebody wrote in the file by hand
    return f" ({Q_(off, '').m_as('percent'):+.1f} % of the plan)"
