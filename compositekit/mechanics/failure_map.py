"""Which way a sandwich beam fails first, and at what load: over skins, cores and spans at once.

A textbook map for choosing. Where people stand on or float with the part, prove it on a trial panel and defer to local
codes and licensed practice.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..units import Q_, checked
from .beam import beam_case
from .indentation import indentation_load
from .sandwich import core_shear_stress, facing_stress
from .sandwich_beam import fits_span
from .sandwich_failure import dimpling_stress
from .wrinkling import DESIGN, unequal_wrinkling_stress


@dataclass(frozen=True, eq=False)
class FailureMap:
    """The load at which a beam reaches each limit.

    loads      N by mode, arrays of one shape
    governing  index of the mode reached first, into names
    load       N, at which it is reached
    """

    loads: dict[str, Q_]
    governing: np.ndarray
    load: Q_

    @property
    def names(self) -> tuple[str, ...]:
        """The modes in order."""
        return tuple(self.loads)

    def use(self, load) -> dict[str, np.ndarray]:
        """Share of each limit that a load uses up: 1 is the limit itself."""
        return {name: (load / limit).m_as("") for name, limit in self.loads.items()}


@checked(span="m > 0", width="m > 0", tensile_strength="Pa > 0", compressive_strength="Pa > 0", shear_strength="Pa > 0",
         core_modulus="Pa > 0", coefficient="1 > 0", core_strength="Pa > 0", strip_width="m > 0", cell_size="m > 0", deflection="m > 0",
         returns=None)
def failure_map(sandwich, case, span, width, tensile_strength, compressive_strength, shear_strength, core_modulus, coefficient=DESIGN,
                core_strength=None, strip_width=None, cell_size=None, deflection=None) -> FailureMap:
    """The load on a sandwich beam at which each mode of failure is reached, and which comes first.

    sandwich              a Sandwich, numbers or arrays that fit each other; the load stands on its outer skin
    case                  one of BEAM_CASES
    span                  [m]   between supports, or the length of a cantilever
    width                 [m]   width of the beam
    tensile_strength      [Pa]  of the skins; of two different ones the weaker
    compressive_strength  [Pa]  of the skins; of two different ones the weaker
    shear_strength        [Pa]  of the core
    core_modulus          [Pa]  of the core through its thickness, for wrinkling and pressing-in
    coefficient           [1]   of wrinkling_stress
    core_strength         [Pa]  compressive strength of the core; left out, pressing-in is not looked at
    strip_width           [m]   width along the beam that each single load stands on; needed with core_strength under such loads
    cell_size             [m]   width across a cell of a honeycomb; left out, dimpling is not looked at
    deflection            [m]   the deflection allowed; left out, it is not looked at
    Returns a FailureMap; shear crimping is not in it, since it needs a push on the whole edge.
    Raises RangeError for an unknown case, a core as thick as the span, or a strip that is missing or longer than the span.
    Relation: linear in the load, so each mode's load is its limit over what one newton does
    Valid: as beams, sandwich stresses and each mode by itself; no credit for or damage by two modes at once. The skins' own bending is
           left out, so skin modes are high (unsafe) for thick skins, short spans and soft cores: 2 mm skins on 25 mm foam, a 20 mm
           strip in the middle of 600 mm, loaded skin 1.4 times the stress counted here at Ec 100 MPa, 2.9 times at 10 MPa, 21 times
           at 0.1 MPa (own plane-stress FE). sandwich_beam counts it
    Source: modes and constants as the functions called; the map itself, Triantafillou and Gibson 1987 (from memory)
    """
    k = beam_case(case)
    fits_span(sandwich, span, "failure_map")
    si = sandwich.si
    pulled, squeezed = _worst_stress(sandwich, k, span, width)
    worst = [np.maximum.reduce(stresses) for stresses in (pulled, squeezed)]
    loads = {"skin tension": tensile_strength / worst[0], "skin compression": compressive_strength / worst[1]}
    skins = ((si.outer_skin_modulus, si.outer_skin_thickness), (si.inner_skin_modulus, si.inner_skin_thickness))
    ripples = unequal_wrinkling_stress.si(sandwich, core_modulus, coefficient)[:2]
    loads["skin wrinkling"] = _first(limit / stress for limit, stress in zip(ripples, squeezed, strict=True) if np.any(stress))
    if cell_size is not None:
        loads["skin dimpling"] = _first(dimpling_stress.si(modulus, thickness, cell_size, si.poisson) / stress
                                        for (modulus, thickness), stress in zip(skins, squeezed, strict=True) if np.any(stress))
    loads["core shear"] = shear_strength / core_shear_stress.si(sandwich, k.shear_force, width)
    if core_strength is not None:
        loads["core pressing-in"] = _pressing_in(si, k, span, width, core_strength, strip_width, core_modulus)
    if deflection is not None:
        loads["deflection"] = deflection * width / (k.bending * span**3 / sandwich.flexural_rigidity.magnitude
                                                    + k.shear * span / sandwich.shear_rigidity.magnitude)
    stack = np.stack(np.broadcast_arrays(*loads.values()))
    return FailureMap({name: Q_(row, "N") for name, row in zip(loads, stack, strict=True)}, stack.argmin(axis=0), Q_(stack.min(axis=0), "N"))


def _first(loads):
    return np.minimum.reduce(np.broadcast_arrays(*loads))


def _worst_stress(sandwich, k, span, width):
    """Largest pull and largest squeeze per newton in the outer and the inner skin [Pa/N], nought where there is none."""
    outer, inner = facing_stress.si(sandwich, span, width)     # sagging squeezes the outer skin
    outer, inner = -outer, inner
    return (k.hogging * outer, k.sagging * inner), (k.sagging * outer, k.hogging * inner)


def _pressing_in(si, k, span, width, core_strength, strip_width, core_modulus):
    if not k.pressed:
        return core_strength * span * width     # an even load presses with its own pressure
    if strip_width is None:
        raise RangeError("failure_map: core_strength is given but strip_width is not; say how wide each load stands along the beam, "
                         "or leave core_strength out.")
    if np.any(strip_width > span):
        raise RangeError(f"failure_map: strip_width is {np.max(strip_width):g} m, but cannot pass span, {np.min(span):g} m.")
    return indentation_load.si(core_strength, width, strip_width, si.outer_skin_thickness, si.outer_skin_modulus, si.core_thickness,
                               core_modulus, si.core_shear_modulus) / k.pressed
