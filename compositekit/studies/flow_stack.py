"""What the resin runs through in each zone: skins that conduct and store, cuts and mesh that carry.

Two kinds of course: with an uncut core each skin fills by itself, from a line that opens into both; holes or slits join
the skins to one course. A flow mesh lies on the bag side, grooves face the mould, slits reach both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..errors import PartFileError
from ..infusion.darcy import fill_time_zones
from ..infusion.layers import CASES, mesh_layer
from ..infusion.stack import mesh_over_laminate

LOW, TYPICAL, HIGH = 0, 1, 2
THROUGH_SHARE = 1 / 60   # of the in-plane permeability where none is known, as glass cloths show (own judgement)
JOINING = ("perforated", "slit")   # cuts that let resin through the core
SHUT = 1 / 8             # of the open slits' carry in the low case: half the width, so an eighth (own judgement)
PIECES = 12              # each leg is followed in so many steps
BEYOND = 25.0            # m past the vent, to see how far the front would go


@dataclass(frozen=True)
class Course:
    """One way for resin through a zone, per metre across the flow, SI floats.

    words       which skins
    carry       permeability times thickness of the plies [m^3]
    storage     resin the plies and the core's cut faces take, as an even depth [m]
    thickness   of the plies [m]
    through     permeability through them [m^2]
    runner_carry, runner_storage   the same of mesh, grooves and slits that run ahead; nought without [m^3], [m]
    """

    words: str
    carry: float
    storage: float
    thickness: float
    through: float
    runner_carry: float = 0.0
    runner_storage: float = 0.0

    def lag(self, length, viscosity, pressure):
        """Time the far skin needs on top of a level front, over a length [s]: it lags behind the runner (FL-R09)."""
        if not self.runner_carry:
            return 0.0 * np.asarray(length)
        laminate = (self.carry / self.thickness, self.through, self.thickness, self.storage / self.thickness)
        runner = (self.runner_carry, 1.0, self.runner_storage)
        _, behind = mesh_over_laminate.si(0.0, *runner, *laminate, viscosity, pressure)
        time, _ = mesh_over_laminate.si(behind + length, *runner, *laminate, viscosity, pressure)
        resistance = viscosity * (self.storage + self.runner_storage) / (2 * (self.carry + self.runner_carry) * pressure)
        return time - resistance * np.asarray(length) ** 2


@dataclass(frozen=True)
class Mesh:
    """Flow mesh at low, typical and high: carry [m^3] and storage [m]; cover is the share of every run it lies on."""

    carry: tuple[float, float, float]
    storage: float
    stop: float


@dataclass(frozen=True)
class Reach:
    """How one front runs: distance [m] and resin drawn [m^2, volume per width] against fresh time [s].

    vent is the index at which it is at the vent; words names the skin.
    """

    distances: np.ndarray
    times: np.ndarray
    stored: np.ndarray
    vent: int
    words: str

    @property
    def time(self) -> float:
        """Fresh time to the vent [s]."""
        return float(self.times[self.vent])

    def delayed(self, delay):
        """With the time a feed hose adds by the time the vent is reached: it goes with the resin drawn (FL-R15a)."""
        return replace(self, times=self.times + delay * self.stored / self.stored[self.vent])


def flow_mesh(catalogue) -> Mesh:
    """The catalogue's flow mesh."""
    nets = [mesh_layer(catalogue, case).si for case in CASES]
    return Mesh(tuple(net.permeability * net.thickness for net in nets), nets[TYPICAL].porosity * nets[TYPICAL].thickness,
                catalogue.consumable("flow-mesh-stop").value.m_as("m"))


def meshed_legs(legs, mesh=None) -> tuple:
    """Legs ((zone, length), ...) as (((zone, meshed), length), ...): mesh ends short of the vent, so that resin cannot race there."""
    left = max(sum(length for _, length in legs) - mesh.stop, 0.0) if mesh else 0.0
    found = []
    for zone, length in legs:
        under = min(left, length)
        left -= under
        found += [((zone, meshed), piece) for meshed, piece in ((True, under), (False, length - under)) if piece > 1e-9]
    return tuple(found)


def zone_courses(build, layup, catalogue, resin_density, direction, mesh=None, case=TYPICAL, measured=None) -> tuple[Course, ...]:
    """The ways through one zone. ``direction`` is the flow, "across" or "along" the long way, which is 0 degrees."""
    flow_angle = np.pi / 2 if direction == "across" else 0.0
    angles = [[ply.angle.m_as("rad") for ply in face] for face in (layup.outside, layup.inside)]
    uptake = (build.core.si.uptake or 0.0) / resin_density if build.core else 0.0
    runner = (mesh.carry[case], mesh.storage) if mesh else (0.0, 0.0)

    def skin(laminate, keys, ply_angles):
        return np.sum([_ply(catalogue, key, ply, flow_angle - angle, case, measured)
                       for key, ply, angle in zip(keys, laminate.plies, ply_angles, strict=True)], axis=0)

    if build.core is None:
        plies = skin(build.outer, build.outer_keys, angles[0] + angles[1])
        return (_course("whole laminate", plies, 0.0, runner),)
    outer, inner = skin(build.outer, build.outer_keys, angles[0]), skin(build.inner, build.inner_keys, angles[1])
    shut = SHUT if layup.core.cut == "slit" and case == LOW else 1.0
    carry = build.cut.conductance if direction == "along" else build.cut.conductance_across     # grooves lie lengthwise, slits both ways
    cut = (shut * carry, build.cut.storage)
    if layup.core.cut in JOINING:
        both = (runner[0] + cut[0], runner[1] + (cut[1] if cut[0] else 0.0))
        stored = 2 * uptake + (0.0 if cut[0] else cut[1])
        return (_course("both skins, joined through the core", outer + inner, stored, both),)
    return (_course("mould-side skin", outer, uptake, cut), _course("bag-side skin", inner, uptake, runner))


def ply_flow(catalogue, key, ply, case=TYPICAL, measured=None):
    """Permeability along and square to the cloth's length [m^2], open depth [m] and through-resistance [1/m] of one ply; SI floats."""
    fabric = catalogue.fabric(key)
    known = (measured or {}).get(key)
    along = known.m_as("m^2") if known is not None else fabric.range("permeability")[case]
    if along is None:
        raise PartFileError(f'fabric "{key}" has no permeability: run a trial panel with a front log, or add the figure to your own fabrics.csv.')
    along = along if known is not None else along.magnitude
    cross = along * (1.0 if fabric.si.permeability_cross_ratio is None else fabric.si.permeability_cross_ratio)
    through = fabric.range("permeability_through")[case]
    through = THROUGH_SHARE * along if through is None else through.magnitude
    return along, cross, (1 - ply.si.fibre_fraction) * ply.si.thickness, ply.si.thickness / through


def _ply(catalogue, key, ply, angle, case, measured):
    """Carry, storage, thickness and through-resistance of one ply for flow at an angle to its fibre."""
    along, cross, depth, resistance = ply_flow(catalogue, key, ply, case, measured)
    permeability = 1 / (np.cos(angle) ** 2 / along + np.sin(angle) ** 2 / cross)   # no side flow: the cautious of the two means
    return np.array([permeability * ply.si.thickness, depth, ply.si.thickness, resistance])


def _course(words, plies, extra_storage, runner):
    carry, storage, thickness, resistance = (float(value) for value in plies)
    return Course(words, carry, storage + extra_storage, thickness, thickness / resistance, *runner)


def fronts_along(legs, courses, viscosity, pressure) -> tuple[Reach, ...]:
    """Every front along legs ((key, length), ...) through places with these courses, and on past the vent.

    Skins are matched by their order, so a joined zone counts for both, with half its carry and half its resin to each.
    Relation: FL-R06 for the level front, and for every runner the lag of FL-R09 on top.
    """
    ways = max(len(courses[zone]) for zone, _ in legs)
    lengths = np.array([length for _, length in legs])
    return tuple(_front([courses[zone][min(way, len(courses[zone]) - 1)] for zone, _ in legs], lengths,
                        [len(courses[zone]) / ways for zone, _ in legs], viscosity, pressure) for way in range(ways))


_SPLIT = np.full(PIECES, 1 / PIECES)
_ON = np.diff(np.concatenate([[0.0], np.geomspace(0.02, BEYOND, PIECES)]))   # steps beyond the vent


def _front(courses, lengths, shares, viscosity, pressure):
    pieces = np.concatenate([np.outer(lengths, _SPLIT).ravel(), _ON])
    courses, shares = [*courses, courses[-1]], np.array([*shares, shares[-1]])
    carry = shares * [course.carry + course.runner_carry for course in courses]
    storage = shares * [course.storage + course.runner_storage for course in courses]
    level = fill_time_zones.si(pieces, np.repeat(carry, PIECES), np.repeat(storage, PIECES), viscosity, pressure)
    times = level + _lags(courses, pieces, viscosity, pressure) if any(course.runner_carry for course in courses) else level
    drawn = pieces * np.repeat(storage, PIECES)
    return Reach(_from_nought(pieces), np.concatenate([[0.0], times]), _from_nought(drawn), len(lengths) * PIECES, courses[-1].words)


def _lags(courses, pieces, viscosity, pressure):
    """Lag at the end of every piece: each zone adds its own; past the vent the last zone goes on."""
    lags, done = [], 0.0
    blocks = [*pieces.reshape(-1, PIECES)[:-2], pieces[-2 * PIECES:]]
    for course, block in zip(courses[:-1], blocks, strict=True):
        lags.append(done + course.lag(np.cumsum(block), viscosity, pressure))
        done = lags[-1][-1]
    return np.concatenate(lags)


def _from_nought(steps):
    return np.concatenate([[0.0], np.cumsum(steps)])
