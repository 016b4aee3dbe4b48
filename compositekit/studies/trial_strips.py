"""Test strips of a trial panel: slope of every set-up, and the bending and shear stiffness of every strip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.stats import linregress

from ..errors import CompositeKitError, RangeError
from ..trial import Rigidities, two_span_rigidities
from ..trial.strips import compliance_terms
from ..units import Q_
from .findings import Step


@dataclass(frozen=True, eq=False)
class SetUp:
    """One strip on one pair of spans, SI floats: its readings, and the straight line through them.

    slope, offset  deflection = offset + slope times load [m/N], [m]
    """

    strip: str
    span: float
    load_span: float
    width: float
    loads: np.ndarray
    deflections: np.ndarray
    slope: float
    offset: float

    @property
    def words(self) -> str:
        loads = f"two loads {self.load_span * 1e3:g} mm apart" if self.load_span else "one load"
        return f"span {self.span * 1e3:g} mm, {loads}"


@dataclass(frozen=True, eq=False)
class Strip:
    """One strip: thickness [m], its set-ups and what they say; ``shear_rigidity`` is None for a solid laminate."""

    name: str
    thickness: float
    set_ups: tuple[SetUp, ...]
    flexural_rigidity: Q_
    shear_rigidity: Q_ | None
    condition_number: float
    caution: str


def reduce_strips(table, solid: bool = False) -> tuple[Strip, ...]:
    """Every strip of a table as read by part.tables.read_strips; ``solid`` for a laminate without a core.

    Raises RangeError naming the strip where its readings make no sense.
    """
    return tuple(_strip(str(name), rows, solid) for name, rows in table.groupby("strip", sort=True))


def _strip(name, rows, solid):
    set_ups = tuple(_set_up(name, spans, part) for spans, part in rows.groupby(["span_mm", "load_span_mm"], sort=True))
    thickness = float(rows["thickness_mm"].mean()) / 1e3
    try:
        if solid:
            found = _bending_only(set_ups[-1])
        else:
            found = two_span_rigidities(
                Q_([s.span for s in set_ups], "m"), Q_([s.load_span for s in set_ups], "m"), Q_([1.0] * len(set_ups), "N"),
                Q_([s.slope for s in set_ups], "m"), Q_([s.width for s in set_ups], "m"))
    except CompositeKitError as err:
        raise RangeError(f"strip {name}: {err}") from err
    return Strip(name, thickness, set_ups, found.flexural_rigidity, found.shear_rigidity, found.condition_number, found.caution)


def _set_up(strip, spans, rows):
    loads, deflections = rows["load_N"].to_numpy(float), rows["deflection_mm"].to_numpy(float) / 1e3
    line = linregress(loads, deflections)
    if not line.slope > 0:
        raise RangeError(f"strip {strip}: on span {spans[0]:g} mm it does not sink more under more load; check the order of its readings.")
    return SetUp(strip, spans[0] / 1e3, spans[1] / 1e3, float(rows["width_mm"].mean()) / 1e3, loads, deflections,
                 float(line.slope), float(line.intercept))


def _bending_only(longest):
    """A solid laminate: shear is too small to tell, so the longest span gives the bending."""
    bending, _ = compliance_terms(longest.span, longest.load_span)
    return Rigidities(Q_(bending / (longest.slope * longest.width), "N*m"), None, 1.0, 0.0, "")


def strip_steps(strip: Strip) -> tuple[Step, ...]:
    """The working of one strip, for a hand calculator."""
    steps = [Step(f"strip {strip.name}, {s.words}", "w/P = slope of the line through the readings",
                  {"readings": len(s.loads), "width b": Q_(s.width, "m").to("mm"), "line starts at": Q_(s.offset, "m").to("mm")},
                  Q_(s.slope, "m/N").to("mm/N"), "straight line with an offset, least squares") for s in strip.set_ups]
    if strip.shear_rigidity is None:
        return (*steps, Step(f"strip {strip.name}: bending", "D = (2 S³ − 3 S L² + L³)/(96 b w/P), longest span", {},
                             strip.flexural_rigidity, "ASTM D7250, restated openly (SW-09, read second-hand)"))
    terms = {}
    for s in strip.set_ups:
        bending, shear = compliance_terms(s.span, s.load_span)
        terms |= {f"w b/P at {s.span * 1e3:g} mm": Q_(s.slope * s.width, "m^2/N").to("mm^2/N"), f"bending term at {s.span * 1e3:g} mm": Q_(bending, "m^3"),
                  f"shear term at {s.span * 1e3:g} mm": Q_(shear, "m")}
    relation = "w b/P = (2 S³ − 3 S L² + L³)/(96 D) + (S − L)/(4 U), two spans, two unknowns"
    source = "ASTM D7250, restated openly (SW-09, read second-hand)"
    return (*steps, Step(f"strip {strip.name}: bending D, per width", relation, terms, strip.flexural_rigidity, source),
            Step(f"strip {strip.name}: core shear U, per width", relation, {}, strip.shear_rigidity.to("kN/m"), source))
