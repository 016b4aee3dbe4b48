"""What the resin runs through on each triangle of the part: permeability as a tensor from the plies at their angles, and storage."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .flow_stack import TYPICAL, Course, flow_mesh, ply_flow, zone_courses


@dataclass(frozen=True, eq=False)
class SkinStack:
    """One skin (or both, joined through the core) over the whole mesh; SI.

    words      which skin
    storage    resin taken, as an even depth (m,) [m]: the fill's thickness, at a porosity of one
    along, across   principal permeabilities of that depth (m,) [m^2]: carry over storage, so that carry and storage are exact
    direction  of ``along`` in space (m, 3)
    courses    (zone, under mesh) -> Course, for the lag of the far skin
    """

    words: str
    storage: np.ndarray
    along: np.ndarray
    across: np.ndarray
    direction: np.ndarray
    courses: dict[tuple[str, bool], Course]

    def fills_as(self, other) -> bool:
        """Whether resin runs the same way through another skin."""
        return all(np.array_equal(getattr(self, name), getattr(other, name)) for name in ("storage", "along", "across", "direction"))


def surface_layers(part, catalogue, mesh, builds, direction, covered, case=TYPICAL) -> tuple[SkinStack, ...]:
    """The skins that fill by themselves: one where holes or slits join them in every zone, else two.

    builds     by zone, as part_build gives
    direction  "across" or "along", the way the closed form takes the lag of the far skin
    covered    (m,) triangles under flow mesh
    case       LOW, TYPICAL or HIGH permeability
    A zone that is joined counts for both skins, with half its carry and half its storage in each.
    """
    net, density = flow_mesh(catalogue) if part.feed.flow_mesh else None, catalogue.resin(part.resin).si.density_liquid
    found = {}
    for name, build in builds.items():
        tensors = _skins(part, catalogue, name, build, case)
        for meshed in (False, True) if net else (False,):
            ways_of_flow = {way: zone_courses(build, part.layup[name], catalogue, density, way, net if meshed else None, case, part.measured_permeability)
                            for way in ("along", "across")}
            courses = ways_of_flow[direction]
            tensors_here = tensors if len(courses) == len(tensors) else [sum(tensors)]
            runners = [np.diag([along.runner_carry, across.runner_carry]) for along, across in zip(*ways_of_flow.values(), strict=True)]
            found[name, meshed] = [(course, *_principal(tensor + runner, course.storage + course.runner_storage))
                                   for course, tensor, runner in zip(courses, tensors_here, runners, strict=True)]
    ways = max(map(len, found.values()))
    keys = list(found)
    place = np.array([keys.index((str(zone), bool(under))) for zone, under in zip(mesh.zones, covered, strict=True)])
    return tuple(_layer([found[key] for key in keys], keys, way, ways, place, mesh) for way in range(ways))


def _skins(part, catalogue, name, build, case):
    """Permeability times thickness of each skin as a tensor (2, 2) [m^3], x along the part laid flat."""
    layup = part.layup[name]
    outside, inside = ([ply.angle.m_as("rad") for ply in face] for face in (layup.outside, layup.inside))
    if build.core is None:
        return [_plies(part, catalogue, build.outer_keys, build.outer, outside + inside, case)]
    return [_plies(part, catalogue, build.outer_keys, build.outer, outside, case), _plies(part, catalogue, build.inner_keys, build.inner, inside, case)]


def _plies(part, catalogue, keys, laminate, angles, case):
    total = np.zeros((2, 2))
    for key, ply, angle in zip(keys, laminate.plies, angles, strict=True):
        along, cross, _, _ = ply_flow(catalogue, key, ply, case, part.measured_permeability)
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        total += ply.si.thickness * turn @ np.diag([along, cross]) @ turn.T
    return total


def _principal(carry, storage):
    """Storage, permeability along and across, and the direction (2,) of the first."""
    across, along = values = np.linalg.eigh(carry)[0]
    even = np.isclose(*values, rtol=1e-9, atol=0.0)
    vector = np.array([1.0, 0.0]) if even else np.linalg.eigh(carry)[1][:, 1]
    return storage, along / storage, across / storage, vector


def _layer(rows, keys, way, ways, place, mesh):
    chosen = [row[min(way, len(row) - 1)] for row in rows]
    halved = np.array([len(row) / ways for row in rows])
    storage, along, across = (np.array([row[k] for row in chosen])[place] for k in (1, 2, 3))
    vector = np.array([row[4] for row in chosen])[place]
    words = " / ".join(dict.fromkeys(row[0].words for row in chosen))
    return SkinStack(words, storage * halved[place], along, across, _in_space(mesh, vector), {key: row[0] for key, row in zip(keys, chosen, strict=True)})


def _in_space(mesh, vector):
    """Directions on the part laid flat (m, 2) as they lie on the part in space (m, 3)."""
    flat = np.diff(mesh.flat, axis=1)           # two sides of every triangle, laid flat
    sides = np.diff(mesh.si.corners, axis=1)
    return np.einsum("eij,ei->ej", sides, np.linalg.solve(flat.transpose(0, 2, 1), vector[..., None])[..., 0])
