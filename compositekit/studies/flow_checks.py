"""The fill against its limits: with typical figures, and at the cautious end of whatever nobody has measured."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..infusion.ageing import clock_or_never, fresh_time
from ..units import Q_
from .findings import Check
from .room_resin import RoomResin

CAUTIOUS = "cautious end of the catalogue's range"
REMEDY = ("shorten the run (centre line, more rungs), lay flow mesh, use a core with holes or slits so that both skins are fed, "
          "or take a slower hardener")
PROVE = "prove the permeability on a trial panel and record it on page 04; till then "
OWN_SHEET = "enter the pot life of your own data sheet in your own resins.csv; till then "


def filled(way, room: RoomResin) -> float:
    """Clock time when the run is wet to the vent [s], infinite if the resin gels first."""
    time = float(clock_or_never(way.time, room.doubling_time))
    return time if time <= room.pot_life else float("inf")


def reach_after(way, room: RoomResin, time) -> float:
    """How far a front gets in a time [m], going on past the vent."""
    return float(np.interp(np.sqrt(fresh_time.si(time, room.doubling_time)), np.sqrt(way.times), way.distances))


def fill_checks(slowest, tight, room: RoomResin, quick: RoomResin | None, safe_share: float) -> tuple[Check, ...]:
    """Checks of the slowest run: typical, with the tightest fabric, and with the shortest pot life.

    slowest, tight  Reach with typical permeability, and at its low end; tight is None where every fabric was measured
    quick           the resin with the shortest pot life of its row; None where the pot life is the shop's own
    One guess is moved at a time: all of them bad at once is what the safe share is for.
    """
    found = [_check("typical figures", slowest, room, safe_share, REMEDY)]
    if tight is not None:
        found.append(_check(f"tightest fabric, {CAUTIOUS}", tight, room, safe_share, PROVE + REMEDY))
    if quick is not None:
        found.append(_check(f"shortest pot life, {CAUTIOUS}", slowest, quick, safe_share, OWN_SHEET + REMEDY))
    return told_once(found)


def told_once(checks) -> tuple[Check, ...]:
    """Checks whose common remedy is told in the first that fails; those after it point there."""
    found, told = [], False
    for check in checks:
        found.append(replace(check, remedy=check.remedy.replace(REMEDY, "as said above")) if told else check)
        told = told or (REMEDY in check.remedy and not check.passed)
    return tuple(found)


def _check(case, way, room, safe_share, remedy):
    time = filled(way, room)
    if np.isfinite(time):
        return Check(f"fill time of the whole part ({case})", Q_(time / 60, "min"), Q_(safe_share * room.pot_life / 60, "min"), "at most",
                     f"{safe_share:.0%} of the gel time, own judgement", remedy)
    return Check(f"run of the slowest front, which gels on its way ({case})", Q_(float(way.distances[way.vent]), "m"),
                 Q_(max(reach_after(way, room, room.pot_life), 1e-3), "m"), "at most", "reach at gel, viscosity and pot life of the catalogue", remedy)
