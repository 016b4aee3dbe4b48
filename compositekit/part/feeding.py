"""How resin is fed and drawn off, as the part file says it: a layout by name, or lines drawn by hand."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from .quantities import Length, LengthOrNought, Time, TimeOrNought
from .shapes import Pair, Strict


class DrawnLine(Strict):
    """A feed or vent line drawn by hand on the part laid flat, corner by corner, in metres."""

    kind: Literal["feed", "vent"]
    points: list[Pair] = Field(min_length=2)
    opens: TimeOrNought | None = Field(default=None, description="when the clamp of a feed line is opened, on the clock of the fill; left out: at once")
    closes: Time | None = Field(default=None, description="when it is clamped for good; left out: never")

    @model_validator(mode="after")
    def _sound(self):
        if self.kind == "vent" and (self.opens is not None or self.closes is not None):
            raise ValueError("a vent line takes no opens or closes: the fill opens and clamps feed lines by the clock, but not vents. A vent pulls from the start; "
                             "what it does when resin reaches it is chosen on page 04")
        if self.closes is not None and self.opens is not None and self.closes <= self.opens:
            raise ValueError("closes must be later than opens")
        return self


class FeedPlan(Strict):
    """How resin is fed and drawn off."""

    layout: Literal["centre line", "rim to centre", "side to side", "end to end", "rungs", "drawn"]
    rungs: int = Field(default=1, ge=1, description="number of feed lines across, for the layout rungs")
    lines: list[DrawnLine] = Field(default_factory=list, description="the lines of the layout drawn")
    flow_mesh: bool = False
    feed_bore: Length = Field(default="10 mm", validate_default=True)
    feed_hose: Length = Field(default="2 m", validate_default=True, description="length of hose from the bucket to the feed line")
    pot_below: LengthOrNought = Field(default="0 m", validate_default=True, description="height of the part above the resin bucket")

    @model_validator(mode="after")
    def _lines_for_drawn(self):
        kinds = [line.kind for line in self.lines]
        if self.layout == "drawn" and not {"feed", "vent"} <= set(kinds):
            raise ValueError(f'the layout "drawn" needs at least one feed and one vent under lines; there are {kinds.count("feed")} and {kinds.count("vent")}')
        return self
