"""Fill of a surface: quasi-static Darcy flow on triangles, flat or curved, from feed lines towards vents."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..units import checked
from .compiled import one_blas_thread
from .edge_flips import flipped
from .fill_graph import build_graph
from .fill_lines import EdgeChannel, FeedLine, LineEvent, VentLine
from .fill_result import FillResin, FillResult
from .flow_matrix import per_triangle, permeability_tensor

__all__ = ["EdgeChannel", "FeedLine", "FillModel", "LineEvent", "VentLine", "fill"]

STRONG = 10.0  # ratio of permeabilities above which edges are flipped from the start (own rule, solver section 6)

RESIN = dict(viscosity="Pa*s > 0", doubling_time="s > 0", gel_time="s > 0", resin_density="kg/m^3 > 0")
STACK = dict(thickness="m > 0", porosity="1 in 0.01..1")
FLOW = dict(permeability="m^2 >= 0", permeability_across="m^2 >= 0")


class FillModel:
    """A surface that is filled many times, with other permeabilities, lines or resins.

    mesh       TriangleMesh
    thickness  [m]  of the stack, one or one for each triangle (m,)
    porosity   [1]  open share of the stack, likewise
    May be used from several threads at once; put ``compiled.one_blas_thread()`` round them all.
    """

    @checked(**STACK)
    def __init__(self, mesh, thickness, porosity):
        self._take(mesh, thickness, porosity)

    @classmethod
    def from_si(cls, mesh, thickness, porosity):
        """A model from SI floats."""
        self = object.__new__(cls)
        self._take(mesh, thickness, porosity)
        return self

    def _take(self, mesh, thickness, porosity):
        self.nodes, self.triangles = np.asarray(mesh.si.nodes, float), np.asarray(mesh.si.triangles)
        self.zones = np.asarray(mesh.zones)
        count = len(self.triangles)
        self.thickness = per_triangle(thickness, count, "thickness")
        self.porosity = per_triangle(porosity, count, "porosity")
        if not np.all(np.asarray(mesh.si.areas) > 0):
            raise RangeError(f"{np.sum(np.asarray(mesh.si.areas) <= 0)} triangle(s) of the mesh have no area; mend the mesh first.")

    @checked(**FLOW, **RESIN)
    def fill(self, permeability, viscosity, feeds, vents=None, *, permeability_across=None, direction=None, channels=(),
             events=(), doubling_time=None, gel_time=None, resin_density=None, flip=None):
        """Fill of this surface.

        permeability  [m^2]  along ``direction``, one or one for each triangle; nought: a solid insert
        viscosity  [Pa*s]  of the resin when the first feed opens
        feeds      FeedLine list
        vents      VentLine list; left out: the whole surface is under vacuum (membrane), so that nothing is trapped
        permeability_across  [m^2]  square to the direction in the plane; as along if left out
        direction  of the greater permeability, in space, (3,) or (m, 3); laid on to each triangle. The x axis if left out
        channels   EdgeChannel list: race-tracks along edges
        events     LineEvent list: feeds that open, clamp or change pressure on the clock
        doubling_time  [s]  in which the viscosity doubles; left out: it does not rise
        gel_time  [s]  when the resin stops flowing; left out: never
        resin_density  [kg/m^3]  for the head of resin, z upwards; left out: none
        flip       True: turn edges to suit the permeability; False: never; left out: where it is needed
        Returns FillResult; one that does not end says why.
        Raises UnitError; RangeError, ShapeError for lines and regions that cannot be.
        Relation: div(h K/mu grad p) = phi h ds/dt, p = P on feeds, p = 0 where not full
        Valid: stiff stack, flow in the plane, a full place stays full; permeability over that across up to about 1e4 (at 1e6 the
        balance of resin is out by 2.5e-8).
        Source: control-volume filling (textbook, read second-hand); front elimination (own, solver section 4).
        """
        feeds, vents, names = list(feeds), None if vents is None else list(vents), [feed.name for feed in feeds]
        if len(set(names)) < len(names):
            raise RangeError(f"feeds need names of their own, but there are: {', '.join(names)}.")
        tensor = permeability_tensor(self.nodes, self.triangles, permeability, permeability_across, direction)
        rows = _event_rows(feeds, names, events)
        resin = FillResin(viscosity, doubling_time, gel_time)
        why_not = _cannot_start(feeds, vents, tensor, rows)

        def run(flip):
            known = tensor if np.any(tensor) else permeability_tensor(self.nodes, self.triangles, 1.0)  # nothing will flow
            surface = self.triangles, known, self.thickness, self.porosity
            if flip:
                surface = flipped(self.nodes, *surface, self.zones)
            graph = build_graph(self.nodes, *surface, feeds, vents, list(channels), resin_density)
            return FillResult(graph, self.nodes, rows, resin, why_not=why_not)

        flip = _strong(permeability, permeability_across) if flip is None else flip
        with one_blas_thread():  # for setting up too: two fills at once would wait on one another's threads
            result = run(flip)
            return run(True) if flip is None and result.lowest_fill_factor < -1 else result


@checked(**STACK, **FLOW, **RESIN)
def fill(mesh, thickness, porosity, permeability, viscosity, feeds, vents=None, *, permeability_across=None, direction=None,
         channels=(), events=(), doubling_time=None, gel_time=None, resin_density=None, flip=None):
    """Fill of a surface, once; a ``FillModel`` saves work when only permeability, lines or resin change.

    mesh       TriangleMesh
    thickness  [m]  of the stack, one or one for each triangle (m,)
    porosity  [1]  open share of the stack, likewise
    permeability  [m^2]  along ``direction``, likewise; nought: a solid insert
    viscosity  [Pa*s]  of the resin when the first feed opens
    feeds      FeedLine list;  vents, channels, events, direction, flip: see ``FillModel.fill``
    permeability_across  [m^2]  square to the direction in the plane; as along if left out
    doubling_time  [s]  in which the viscosity doubles; left out: it does not rise
    gel_time  [s]  when the resin stops flowing; left out: never
    resin_density  [kg/m^3]  for the head of resin, z upwards; left out: none
    Returns FillResult.
    Raises UnitError; RangeError, ShapeError for lines and regions that cannot be.
    Source: see ``FillModel.fill``.
    """
    model = FillModel.from_si(mesh, thickness, porosity)
    return FillModel.fill.si(
        model, permeability, viscosity, feeds, vents, permeability_across=permeability_across, direction=direction, channels=channels,
        events=events, doubling_time=doubling_time, gel_time=gel_time, resin_density=resin_density, flip=flip)


def _event_rows(feeds, names, events):
    """(time, feed number, pressure) of everything that feeds do by the clock, in order of time; SI."""
    rows = [(time, k, pressure) for k, feed in enumerate(feeds) for time, pressure in feed.events()]
    for event in events:
        if event.line not in names:
            raise RangeError(f'an event names the feed "{event.line}", which is not there; there are: {", ".join(names) or "none"}.')
        rows.append((event.si.time, names.index(event.line), np.nan if event.si.pressure is None else event.si.pressure))
    return sorted(rows, key=lambda row: row[0])


def _cannot_start(feeds, vents, tensor, rows):
    if not feeds:
        return "there is no feed line"
    if vents is not None and not vents:
        return "there is no vent: air cannot get out"
    if not np.any(tensor):
        return "the permeability is nought everywhere"
    if all(np.isnan(pressure) for _, _, pressure in rows):
        return "no feed ever opens"
    return ""


def _strong(along, across):
    if across is None:
        return None
    along, across = np.broadcast_arrays(along, across)
    low, high = np.minimum(along, across), np.maximum(along, across)
    return True if np.any(high > STRONG * low) else None
