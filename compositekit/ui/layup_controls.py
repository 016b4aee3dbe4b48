"""Controls that change the layup of a zone, and the record box that follows the zone: shared by two pages."""

from __future__ import annotations

import ipywidgets as w

from ..errors import PartFileError
from ..mechanics.panel_peaks import EDGES
from ..studies.skin_search_space import sizable_fabrics
from ..units import Q_, say
from .record import RecordDecision


def zone_control(part) -> w.Dropdown:
    """Zones that a load of the brief stands on."""
    return w.Dropdown(options=list(part.structural_zones), description="zone, of those with a load")


def fabric_options(catalogue) -> list[tuple[str, str]]:
    """Every fabric by its title, the shop's own among them."""
    return [(row.title, key) for key, row in catalogue.fabrics().iterrows()]


def among_options(catalogue) -> list[tuple[str, str]]:
    """Ways to search; the shop's own stock where its tables hold a cloth that can be sized with."""
    cloths = catalogue.fabrics()
    own = {*cloths.index[cloths["grade"] == "shop"]} & {*sizable_fabrics(catalogue)}
    return [("every cloth of this fibre", "fibre"), ("every cloth", "all"), *([("our own stock only", "own")] if own else [])]


def core_options(catalogue, always=()) -> list[tuple[str, str]]:
    """Every core that can be infused and sized with, by its title; those in ``always`` too."""
    records = [catalogue.core(key) for key in catalogue.cores().index]
    return [(core.title, core.key) for core in records if core.key in always or _usable(core)]


def _usable(core):
    known = core.shear_modulus is not None and core.compressive_modulus is not None
    return core.structural and core.infusible and known and not core.key.endswith("-minimum")


def one_fabric(layup) -> str | None:
    """The fabric of a zone where all plies are of one; None where they differ."""
    fabrics = {ply.fabric for ply in (*layup.outside, *layup.inside)}
    return fabrics.pop() if len(fabrics) == 1 else None


def ply_changes(part, zone, fabric, outside, inside) -> dict:
    """Changes that give a zone so many plies of a fabric; fabric None keeps the cloths and repeats the last."""
    layup, changes = part.layup[zone], {}
    for face, count in (("outside", outside), ("inside", inside)):
        now = [_plain(ply) for ply in getattr(layup, face)]
        spare = (now or [_plain(layup.outside[-1])])[-1]
        want = [{**ply, "fabric": fabric or ply["fabric"]} for ply in (now + [spare] * count)[:count]]
        if want != now:
            changes[f"layup.{zone}.{face}"] = want
    return changes


def core_changes(part, zone, core, thickness, cut=None) -> dict:
    """Changes that give a zone this core, so many millimetres thick; core None makes it solid."""
    now, place = part.layup[zone].core, f"layup.{zone}.core"
    if core is None:
        return {} if now is None else {place: None}
    want = {"core": core, "thickness": f"{thickness:.6g} mm", "cut": cut or (now.cut if now else "plain")}
    if now is None:
        return {place: want}
    same = {"core": now.core == core, "thickness": abs(now.thickness.m_as("mm") - thickness) < 1e-6, "cut": now.cut == want["cut"]}
    return {f"{place}.{name}": value for name, value in want.items() if not same[name]}


def _zone_edges(part, zone):
    """Place and edges of every load of the brief on a zone."""
    return {f"brief.loads.{n}.edges": load.edges or EDGES[0] for n, load in enumerate(part.brief.loads) if load.zone == zone}


def edge_options(part, zone) -> list[tuple[str, str]]:
    """Ways to hold the panel's edges, the one of the brief first; where its loads differ, "" keeps each as it is."""
    saved = set(_zone_edges(part, zone).values())
    first = [(edges, edges) for edges in saved] if len(saved) == 1 else [("as in the brief, mixed", "")]
    return [*first, *((edges, edges) for edges in EDGES if (edges, edges) not in first)]


def edge_changes(part, zone, edges) -> dict:
    """Changes that give every load on a zone a panel with these edges; none where they stand so, or for edges ""."""
    return {place: edges for place, now in _zone_edges(part, zone).items() if edges and edges != now}


def too_thick_to_buy(core, thickness) -> str:
    """Words for a core thicker than any sheet of it in the catalogue; empty where one is sold, or no sheets are listed."""
    if core.thicknesses is None or thickness <= core.thicknesses.max() + Q_(1e-6, "mm"):
        return ""
    return f"no sheet so thick; thickest sold: {say(core.thicknesses.max().to('mm'), digits=2)}"


def answered(result):
    """The result to record. Raises PartFileError when the page has no answer, which the record box then says."""
    if result is None:
        raise PartFileError("Nothing was recorded: the page has no answer with these inputs. Mend them first.")
    return result


def _plain(ply):
    return ply.model_dump(mode="json", exclude_none=True)


class ZoneRecord(w.VBox):
    """A RecordDecision per zone, of which the chosen zone's is shown."""

    def __init__(self, part_file, words, offer, zone):
        super().__init__()
        self._make, self._boxes = (lambda name: RecordDecision(part_file, f"{words} {name}", offer)), {}
        self.show(zone)

    def show(self, zone) -> None:
        """Show the box of this zone."""
        if zone not in self._boxes:
            self._boxes[zone] = self._make(zone)
        self.box = self._boxes[zone]
        self.children = [self.box]

    def __repr__(self):
        return repr(self.box)
