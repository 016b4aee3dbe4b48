"""What lies under the bag, layer by layer, and the one sheet it makes for the resin: plies at angles, cut faces of the core, flow mesh, peel ply."""

from __future__ import annotations

import numpy as np

from ..errors import RangeError
from ..mechanics.mixture import ply_thickness
from ..units import Q_, checked, checked_fields
from .compaction import permeability_at

CASES = ("low", "typical", "high")


@checked_fields(thickness="m > 0", permeability="m^2 >= 0", porosity="1 in 0..1", permeability_across="m^2 >= 0", angle="rad")
class Layer:
    """One layer under the bag.

    words      what it is
    thickness  [m]  under the bag
    permeability  [m^2]  in its plane, along its own direction; nought: it stores but does not carry
    porosity   [1]  open share
    permeability_across  [m^2]  square to its direction; as along if left out
    angle      [rad]  of its direction, from the length of the part anticlockwise; 0 if left out
    """

    words: str
    thickness: object
    permeability: object
    porosity: object
    permeability_across: object = None
    angle: object = None


@checked_fields(thickness="m > 0", permeability="m^2 > 0", permeability_across="m^2 >= 0", direction="rad", porosity="1 > 0")
class Sheet:
    """A stack as one sheet: principal permeabilities, direction of the greater one from the length of the part, open share.

    ``conductance`` [m^3] and ``storage`` [m] are permeability and porosity times thickness.
    """

    thickness: object
    permeability: object
    permeability_across: object
    direction: object
    porosity: object

    @property
    def conductance(self):
        """Permeability times thickness along the principal direction, m^3."""
        return self.permeability * self.thickness

    @property
    def storage(self):
        """Resin the stack takes, as an even depth, m."""
        return self.porosity * self.thickness

    @checked(angle="rad", returns=("m^2", "m^2"))
    def towards(self, angle):
        """Permeability for a straight front that runs at an angle: without side flow, and with it.

        angle  [rad]  of the flow, from the length of the part anticlockwise, scalar or array
        Returns the two [m^2]: in a narrow strip between walls, the cautious one; in a wide panel fed along its whole edge.
        Raises UnitError, RangeError.
        Relation: K_strip = 1/(n K^-1 n), K_wide = n K n
        Source: Darcy's law for an anisotropic sheet (textbook, from memory).
        """
        along, across = self.si.permeability, self.si.permeability_across
        cos2, sin2 = np.cos(angle - self.si.direction) ** 2, np.sin(angle - self.si.direction) ** 2
        strip = along * across / np.maximum(across * cos2 + along * sin2, np.finfo(float).tiny) if across else np.where(sin2 > 1e-15, 0.0, along)
        return strip, along * cos2 + across * sin2


def as_sheet(layers) -> Sheet:
    """The layers of a stack as one sheet, for a front that is level through the thickness.

    layers  Layer list, in any order
    Returns Sheet. Raises RangeError for an empty stack or one that carries or stores nothing.
    Relation: K = sum of R(angle) K_i R(angle)' h_i / sum of h_i, phi likewise; principal values and direction of that tensor
    Valid: level front; over a thick stack a mesh runs ahead, see stack.mesh_over_laminate.
    Source: FL-R08 (own reference, standard), each tensor turned to common axes (textbook, from memory).
    """
    layers = list(layers)
    if not layers:
        raise RangeError("the stack is empty; give at least one layer.")
    thickness = np.array([layer.si.thickness for layer in layers])
    along = np.array([layer.si.permeability for layer in layers])
    across = np.array([layer.si.permeability if layer.si.permeability_across is None else layer.si.permeability_across for layer in layers])
    angle = np.array([layer.si.angle or 0.0 for layer in layers])
    total = thickness.sum()
    mean = (along + across) / 2 @ thickness / total
    half = np.exp(2j * angle) * (along - across) / 2 @ thickness / total      # Mohr's circle: half difference at twice the angle
    size = abs(half)
    if mean <= 0:
        raise RangeError("nothing in this stack carries resin: every permeability is nought.")
    porosity = np.array([layer.si.porosity for layer in layers]) @ thickness / total
    if porosity <= 0:
        raise RangeError("nothing in this stack takes resin: every porosity is nought.")
    direction = np.angle(half) / 2 if size > 1e-12 * mean else 0.0
    return Sheet.from_si(thickness=total, permeability=mean + size, permeability_across=max(mean - size, 0.0), direction=direction, porosity=porosity)


# --- layers from the catalogue ------------------------------------------------------------------------

def fabric_layer(catalogue, key, fibre_fraction=None, angle=None, case="typical") -> Layer:
    """One ply of a catalogue fabric as infused.

    key             of the fabric
    fibre_fraction  share of fibre under the bag; the catalogue's own if left out, else the permeability is moved to it
    angle           quantity, of its easy direction
    case            "low", "typical" or "high" end of the catalogue's permeability
    Returns Layer. Raises UnknownMaterial, RangeError.
    """
    fabric, case = catalogue.fabric(key), _case(case)
    share = fabric.si.fibre_fraction if fibre_fraction is None else float(fibre_fraction)
    along = fabric.range("permeability")[case]
    if along is None:
        raise RangeError(f'fabric "{key}" has no permeability; run a trial panel, or add the figure to your own fabrics.csv.')
    along = permeability_at(along, fabric.si.fibre_fraction, share)
    across = 1.0 if fabric.si.permeability_cross_ratio is None else fabric.si.permeability_cross_ratio
    return Layer(fabric.name, ply_thickness(fabric.areal_weight, catalogue.fibre(fabric.fibre).density, share), along, 1 - share, across * along, angle)


def mesh_layer(catalogue, case="typical") -> Layer:
    """The catalogue's flow mesh; ``case`` is the end of its permeability: "low", "typical" or "high"."""
    permeability, thickness, porosity = (catalogue.consumable(f"flow-mesh-{what}") for what in ("permeability", "thickness", "porosity"))
    return Layer("flow mesh", thickness.typical, permeability.range()[_case(case)], porosity.typical)


def peel_ply_layer(catalogue, resin_density) -> Layer:
    """The catalogue's peel ply: it takes resin by weight and is counted as carrying none (no figure found).

    resin_density  quantity, of the liquid resin
    """
    thickness = catalogue.consumable("peel-ply-thickness").typical
    held = catalogue.consumable("peel-ply-resin").typical / resin_density
    return Layer("peel ply", thickness, Q_(0.0, "m^2"), min((held / thickness).m_as(""), 1.0))


def cut_layer(cut, angle=None) -> Layer | None:
    """Grooves or slits of a core as a layer of that depth; None for a core whose cuts carry nothing along the skin.

    cut    Cut, as core_cut gives
    angle  quantity, of the grooves
    """
    if not cut.conductance:
        return None
    return Layer(cut.words, Q_(cut.depth, "m"), Q_(cut.conductance / cut.depth, "m^2"), cut.storage / cut.depth, Q_(cut.conductance_across / cut.depth, "m^2"), angle)


def _case(case):
    if case not in CASES:
        raise RangeError(f'the case "{case}" is not known; say low, typical or high.')
    return CASES.index(case)
