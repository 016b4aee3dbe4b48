"""What to make for a trial: size of the panel, number of strips, and the two spans that tell skins from core."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..trial.strips import compliance_terms
from ..units import Q_
from .build import ZoneBuild

STRIPS = 5               # own judgement; the strips study says why fewer carry no value to size with
BENDING_SPANS = 20       # span over thickness that ASTM D7250 advises to stay above (SW-09, read second-hand)
BENDING_SHARE = 0.5      # own judgement: on the long span at least half the sag is bending of the skins
SHEAR_SHARE = 0.75       # own judgement: on the short span at least three quarters of the sag is shear of the core
SHORTEST, LONGEST = 0.08, 1.0   # m; own judgement: shorter and the load crushes the core, longer and no bench holds it
FRONT_LENGTH = 0.5       # m, own judgement: a shorter front is over before its line can be read
OVERHANG, SAW, TRIM = 0.025, 0.003, 0.025   # m, own judgement: beyond each support, each cut, each edge of the panel
SOURCE = "ASTM D7250 scope as restated openly (SW-09, read second-hand); shares, number of strips and overhang own judgement"


@dataclass(frozen=True)
class TrialPlan:
    """A trial panel for one zone; spans and sizes as quantities, sag per 100 N on each span, share of it that is shear."""

    zone: str
    strips: int
    strip_width: Q_
    long_span: Q_
    long_load_span: Q_
    short_span: Q_ | None
    panel_length: Q_
    panel_width: Q_
    sag_long: Q_
    sag_short: Q_ | None
    shear_share_long: float
    shear_share_short: float | None
    resin_in_panel: Q_

    def rows(self) -> list[dict]:
        """What to make, line by line."""
        mm = [("panel, length along the strips", self.panel_length, "long span, overhang and trim; 500 mm or more for a readable front"),
              ("panel, width across the strips", self.panel_width, f"{self.strips} strips, saw cuts and trim"),
              ("width of a strip", self.strip_width, "at least twice the thickness, 50 mm or more"),
              ("long span, for bending", self.long_span, f"two loads {self.long_load_span.m_as('mm'):.0f} mm apart; about "
               f"{self.sag_long.m_as('mm'):.2g} mm sag for 100 N, {self.shear_share_long:.0%} of it shear")]
        if self.short_span is not None:
            mm.append(("short span, for core shear", self.short_span, f"one load through a wide pad; about {self.sag_short.m_as('mm'):.2g} mm "
                       f"sag for 100 N, {self.shear_share_short:.0%} of it shear"))
        return [{"what": what, "size": size.to("mm"), "why": why} for what, size, why in mm]


def strip_rigidities(build: ZoneBuild) -> tuple[float, float | None]:
    """Bending [N*m] and shear [N/m] stiffness per width that a narrow strip of the layup should have, along its softer way."""
    if build.sandwich is not None:
        return build.sandwich.flexural_rigidity.m_as("N*m"), build.shear_rigidity.m_as("N/m")
    flexural = build.outer.flexural_constants()
    return min(flexural.ex.magnitude, flexural.ey.magnitude) * build.outer.si.thickness**3 / 12, None


def trial_plan(build: ZoneBuild, strips: int = STRIPS) -> TrialPlan:
    """A trial for the layup of one zone, laid up with it so that every cloth and core is tried as it will be built."""
    thickness = build.thickness.m_as("m")
    width = _up(max(2 * thickness, 0.05), 0.005)
    bending_rigidity, shear_rigidity = strip_rigidities(build)
    shear_rigidity = shear_rigidity or np.inf
    spans = np.arange(SHORTEST, LONGEST + 0.005, 0.01)

    def share(span, load_span):
        bending, shear = compliance_terms(span, load_span)
        return shear / shear_rigidity / (bending / bending_rigidity + shear / shear_rigidity)

    def sag(span, load_span):
        bending, shear = compliance_terms(span, load_span)
        return Q_(100 * (bending / bending_rigidity + shear / shear_rigidity) / width, "m")

    good = (share(spans, 0.4 * spans) <= 1 - BENDING_SHARE) & (spans > BENDING_SPANS * thickness)
    long = _up(spans[good][0], 0.05) if good.any() else LONGEST
    load_span = round(0.4 * long, 2)
    short = None
    if np.isfinite(shear_rigidity):
        fit = spans[(share(spans, 0.0) >= SHEAR_SHARE) & (spans < long / 2)]
        short = float(fit[-1]) if fit.size else SHORTEST
    length, breadth = max(long + 2 * OVERHANG + 2 * TRIM, FRONT_LENGTH), strips * width + (strips + 1) * SAW + 2 * TRIM
    return TrialPlan(
        zone=build.name, strips=strips, strip_width=Q_(width, "m"), long_span=Q_(long, "m"), long_load_span=Q_(load_span, "m"),
        short_span=None if short is None else Q_(short, "m"), panel_length=Q_(_up(length, 0.01), "m"), panel_width=Q_(_up(breadth, 0.01), "m"),
        sag_long=sag(long, load_span), sag_short=None if short is None else sag(short, 0.0), shear_share_long=float(share(long, load_span)),
        shear_share_short=None if short is None else float(share(short, 0.0)),
        resin_in_panel=build.resin_per_area * Q_(_up(length, 0.01) * _up(breadth, 0.01), "m^2"))


def _up(value, step):
    return float(np.ceil(value / step - 1e-9) * step)
