"""What page 04 says in words about times, distances and the fill of the real surface."""

from __future__ import annotations

import html

import numpy as np

from ..units import Q_, say
from . import tables

SAID_EDGE = {"none: closed up": "none", "bevelled, bridged at its foot": "bevelled", "square, with a gap beside it": "square"}
SAID_VENT = {"it passes air only (microporous)": "microporous", "it is clamped at the first resin": "closes", "it stays open": "bleeds"}


def said_edge(edge_gap) -> str:
    """The kind of core edge in the words of the control."""
    return next(words for words, name in SAID_EDGE.items() if name == edge_gap)


def minutes_said(time) -> str:
    """A time in minutes, or that it never comes."""
    minutes = time.m_as("min")
    return f"{minutes:.0f} min" if 10 <= minutes < np.inf else say(time.to("min"), digits=2) if minutes < 10 else "never, it gels first"


def span_said(metres) -> str:
    """Least and greatest of some distances."""
    low, high = f"{metres.min():.2f}", f"{metres.max():.2f}"
    return low if low == high else f"{low} to {high}"


def fill_sentence(fill) -> str:
    """How the fill of the real surface ends, in one sentence."""
    spots = len(fill.pockets)
    area = sum((spot.area for spot in fill.pockets), Q_(0.0, "cm^2"))
    together = say(area, "cm^2" if area.m_as("cm^2") < 500 else "m^2", 2)
    dry = ("no dry spot is closed off" + ("" if fill.arrives else " before that") if not spots else
           f"{spots} dry spot{'s are' if spots > 1 else ' is'} closed off from the vents, {together} together")
    if fill.arrives:
        time = f"in {minutes_said(fill.fill_time)} of {minutes_said(fill.time_allowed)} allowed"
        return f"On the real surface: {fill.wet_words} {time}; {dry}." if not spots else f"On the real surface: {fill.wet_words}, {together} closed off from the vents, {time}."
    share = (fill.stalled_area / fill.area).m_as("")
    return f"On the real surface: stalls; {share:.0%} of it is still dry when the resin gels at {minutes_said(fill.gel_time)}; {dry}."


def colder_words(colder, wet="full") -> str:
    """What becomes of the straight runs or the surface in a colder room; ``wet`` says how far it gets wet."""
    end = f"{wet} in {minutes_said(colder.fill_time)}" if np.isfinite(colder.fill_time.magnitude) else "the resin gels first"
    return f"{end} ({minutes_said(colder.time_allowed)} allowed: the time {'still holds' if colder.holds else 'does not hold'})"


def fill_html(fill, flow) -> str:
    """The fill beside rule of thumb and straight runs, its checks, zones, lines and dry spots."""
    head = f"<h4>The real surface, filled</h4><p>{html.escape(fill_sentence(fill))}</p>"
    beside = tables.rows([
        {"way of reckoning": "rule of thumb", "what it says": f"{say(flow.thumb.value, 'm', 2)} from feed to vent, where {say(flow.thumb.limit, 'm', 2)} is usual"},
        {"way of reckoning": "straight runs", "what it says": f"{minutes_said(flow.fill_time)}, longest {say(flow.distance, 'm', 2)}"},
        {"way of reckoning": "the surface, filled", "what it says": f"{minutes_said(fill.fill_time)} (permeability range: {minutes_said(fill.fill_time_low)} to {minutes_said(fill.fill_time_high)})"}],
        "Three ways to reckon the same fill")
    density = fill.resin_density
    zones = tables.rows([{"zone": zone, "last wet after": minutes_said(time)} for zone, time in fill.zones], "Zone by zone, on the real surface")
    lines = tables.rows([{"line": line.name, "lets in": (line.volume[-1] * density).to("kg"), "draws at first": line.peak.to("L/min"), "draws in the end": line.rate[-1].to("L/min")}
                         for line in fill.inflow], "Feed lines; the hose's own content is counted in")
    drawn_off = f"The vents draw off {say((fill.drawn_off * density).to('kg'), digits=2)} into the catch pot by then."
    off = f"<p>{html.escape(drawn_off)}</p>" if fill.drawn_off.magnitude > 0 else ""
    spots = tables.rows([{"dry spot": spot.name.removeprefix("dry spot "), "where": f"{spot.zone}, {spot.skin}, at ({spot.place.m_as('m')[0]:.2f}, {spot.place.m_as('m')[1]:.2f}) m",
                          "closed off": spot.area, "after": minutes_said(spot.closes), "stays dry, at least": spot.stays_dry, "what to do": spot.advice} for spot in fill.pockets],
                        "Dry spots: the front closes them off from every vent, and the air in them is only pressed together")
    return head + tables.checks(fill.checks, "Checks of the filled surface") + beside + spots + zones + lines + off
