"""What the fill of a part's real surface tells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import Q_
from .findings import Finding
from .flow_distance import Colder, FlowDistance
from .surface_lines import FlatNet, SurfaceLine, flat_net, front_segments


@dataclass(frozen=True, eq=False)
class Pocket:
    """A dry spot that the front closes off from every vent.

    skin, zone  where;  place  on the part laid flat, where it fills last [m];  area  shut off
    closes      when;  stays_dry  area that the air left under the bag is pressed into;  nodes  mesh nodes
    advice      what to do about it
    """

    name: str
    skin: str
    zone: str
    place: object
    area: object
    closes: object
    stays_dry: object
    nodes: np.ndarray
    advice: str


@dataclass(frozen=True, eq=False)
class SkinFill:
    """The fill of one skin: arrival and full_at per mesh node, its dry spots, and how it ended."""

    words: str
    arrival: object
    full_at: object
    fill_time: object
    pockets: tuple[Pocket, ...]
    complete: bool
    reason: str
    mass_error: float
    drawn_off: object


@dataclass(frozen=True, eq=False)
class LineInflow:
    """Resin that one feed line lets in: volume against time, mean rate between those times, and the greatest rate."""

    name: str
    times: object
    volume: object
    rate: object
    peak: object


@dataclass(frozen=True, kw_only=True, eq=False)
class SurfaceFill(Finding):
    """Fill of a part's real surface; quantities, times infinite where the resin gels first.

    mesh, lines   TriangleMesh and SurfaceLine tuple;  layout  name of the layout
    skins         SkinFill tuple: one where the skins are joined everywhere, else two
    arrival       per mesh node, of the slower skin;  zones  ((zone, last wet), ...)
    fill_time     of the whole part, fill_time_low and fill_time_high with the easiest and the tightest fabric
    pockets       dry spots of all skins, largest first;  stalled_area  still dry at gel, of the worse skin
    inflow        LineInflow per feed line;  drawn_off  resin that the vents draw into the catch pot
    colder        the same fill in a colder room
    flow          the straight runs of the same part: FlowDistance
    """

    layout: str
    mesh: object
    lines: tuple[SurfaceLine, ...]
    skins: tuple[SkinFill, ...]
    arrival: object
    zones: tuple
    fill_time: object
    fill_time_low: object
    fill_time_high: object
    gel_time: object
    time_allowed: object
    pockets: tuple[Pocket, ...]
    stalled_area: object
    area: object
    inflow: tuple[LineInflow, ...]
    drawn_off: object
    resin_density: object
    edge_gap: str
    colder: Colder
    flow: FlowDistance

    @property
    def arrives(self) -> bool:
        """Whether the resin comes everywhere before it gels, but for air that dry spots keep."""
        return bool(np.isfinite(self.fill_time.magnitude))

    @property
    def wet_words(self) -> str:
        """"full", or what it is wet but for."""
        spots = len(self.pockets)
        return "full" if not spots else f"wet but for {spots} dry spot{'s' if spots > 1 else ''}"

    @property
    def net(self) -> FlatNet:
        """The mesh laid flat."""
        return flat_net(self.mesh)

    @property
    def slower(self) -> SkinFill:
        """The skin that is wet last."""
        return max(self.skins, key=lambda skin: (skin.fill_time.magnitude, -np.isfinite(skin.arrival.magnitude).sum()))

    def front(self, time, in_space=False):
        """The front of the slower skin at a time as straight pieces (k, 2, 2) on the part laid flat [m]; (k, 2, 3) in space."""
        minutes, net = self.arrival.m_as("min"), self.net
        places, triangles, values = (self.mesh.si.nodes, self.mesh.si.triangles, minutes) if in_space else (net.places, net.triangles, minutes[net.node])
        return Q_(front_segments(places, triangles, values, min(time.m_as("min"), self.gel_time.m_as("min"))), "m")

    def wet_share(self, time) -> float:
        """Share of the surface that resin has come to on every skin at a time, with dry spots as if they were under full vacuum."""
        weight = np.bincount(self.mesh.si.triangles.ravel(), np.repeat(self.mesh.si.areas / 3, 3), len(self.mesh.si.nodes))
        return float(weight[self.arrival.m_as("min") <= time.m_as("min")].sum() / weight.sum())
