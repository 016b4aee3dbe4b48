"""Page 07: the traveller for the day. Buckets, front and cure on one sheet; what happened goes into the build log."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np

from ..errors import PartFileError
from ..part.tables import front_from_text
from ..studies.build_day import build_day
from ..studies.day_cure import DEMOULD, HARD, HARDENED
from ..studies.day_damp import takes_water
from ..studies.day_front import LEAST
from ..studies.day_log import entry_bucket, entry_drop, entry_front, entry_room, entry_weight
from ..studies.resin_budget import resin_budget
from ..units import Q_, say
from . import tables
from .build_day_pictures import DayPictures
from .build_log import BuildLog


def typed(text: str, name: str) -> float | None:
    """The number somebody typed; None where nothing is there yet."""
    if not text.strip():
        return None
    try:
        value = float(text)
    except ValueError:
        value = np.nan
    if not np.isfinite(value):
        raise PartFileError(f'{name}: "{text.strip()}" is not a number. Write figures only, decimals with a point, or leave the box empty.')
    return value


class BuildDayPanel(DayPictures):
    """The day of the open part."""

    def make_controls(self):
        shop = self.part.part.workshop
        late = {"continuous_update": False}
        empty = {"value": "", "placeholder": "not yet", **late}
        found = {
            "temperature": w.FloatSlider(value=shop.temperature.m_as("degC"), min=5, max=40, step=0.5, description="room, °C", **late),
            "humidity": w.FloatSlider(value=shop.relative_humidity.m_as("percent"), min=10, max=95, step=1, description="humidity of the air, %", **late),
            "drop_start": w.Text(description="drop test: absolute pressure at the start, mbar", **empty),
            "drop_end": w.Text(description="drop test: at the end, mbar", **empty),
            "drop_minutes": w.Text(description="drop test: minutes between", **empty),
            "readings": w.Textarea(value="", placeholder="5 120, 10 180", rows=2, description="front on the slowest way: minutes millimetres, …", **late),
            "gel_hours": w.Text(description="a thin film of this resin gelled after, h", **empty),
            "warmer": w.FloatSlider(value=0, min=0, max=40, step=1, description="cure warmer than the room by, °C", **late),
            "cure_hours": w.FloatSlider(value=0, min=0, max=336, step=6, description="hours until you want to demould (0 = not decided)", **late),
            "weight": w.Text(description="finished part on the scale, kg", **empty),
        }
        if not any(takes_water(self.part.part, self.part.catalogue)):
            del found["humidity"]      # nothing in this part takes water from the air
        return found

    def compute(self, temperature, drop_start, drop_end, drop_minutes, readings, gel_hours, warmer, cure_hours, weight, humidity=None):
        part = self._changed_part(temperature, humidity)
        read = [typed(*pair) for pair in ((drop_start, "drop test, start"), (drop_end, "drop test, end"), (drop_minutes, "drop test, minutes"))]
        drop = None if None in read else (Q_(read[0], "mbar"), Q_(read[1], "mbar"), Q_(read[2], "min"))
        gelled, mass = typed(gel_hours, "gel of a thin film"), typed(weight, "finished weight")
        return build_day(part, self.part.catalogue, drop=drop, readings=front_from_text(readings, LEAST) if readings.strip() else None,
                         weighed=None if mass is None else Q_(mass, "kg"), cure_temperature=Q_(temperature + warmer, "degC"),
                         cure_time=Q_(cure_hours, "hour") if cure_hours else None, gel_seen=None if gelled is None else Q_(gelled, "hour"),
                         filed=self.part.part, budget=self._budget(part, temperature))

    def _changed_part(self, temperature, humidity):
        shop, changes = self.part.part.workshop, {}
        if abs(shop.temperature.m_as("degC") - temperature) > 1e-6:
            changes["workshop.temperature"] = f"{temperature:g} degC"
        if humidity is not None and abs(shop.relative_humidity.m_as("percent") - humidity) > 1e-6:
            changes["workshop.relative_humidity"] = f"{humidity:g} %"
        return self.part.part.changed(changes) if changes else self.part.part

    def _budget(self, part, temperature):
        """The resin budget, worked out again only when part or temperature changed; damp air takes no resin."""
        asked = (id(self.part.part), temperature)
        if getattr(self, "_kept", (None, None))[0] != asked:
            self._kept = (asked, resin_budget(part, self.part.catalogue))
        return self._kept[1]

    # --- the words ---

    def headline(self, result):
        full = f"full after {result.fill.m_as('min'):.0f} min" if np.isfinite(result.fill.magnitude) else "NOT full before the resin gels"
        seen = "as seen" if result.front.seen else "as calculated"
        mixed = sum((card.resin + card.hardener for card in result.cards), Q_(0.0, "g"))
        buckets = f"{len(result.cards)} bucket{'' if len(result.cards) == 1 else 's'}, {say(mixed, 'kg')} mixed" if result.cards else "no mixing plan holds"
        if result.leak is None:
            bag = "bag not tested yet"
        else:
            bag = f"bag {'holds' if result.leak.test.holds else 'LEAKS'} ({say(result.leak.test.rise, 'mbar/min')})"
        return f"{bag}; {buckets}; part {full} ({seen}); {self._demould(result)}"

    def _demould(self, result):
        if result.cure is None:
            return "demould by the data sheet"
        slow = result.cure.not_before
        return f"demould not before {slow:.0f} h at this room temperature, an estimate" if np.isfinite(slow) else "too cold to demould within two weeks"

    def extra_html(self, result):
        said = [result.front.words]
        if result.leak is None:
            said.append("Drop test not done. Pump off, vent clamped, read the absolute pressure now and after ten minutes, and put all three figures in on the left.")
        else:
            said.append(f"With the vent clamped and that leak, the bag stands at {say(result.leak.pressure_at_end, 'mbar')} after {say(result.leak.until, 'min')}.")
        said += [self._damp(result), self._cure(result)]
        words = "".join(f"<p>{html.escape(text)}</p>" for text in said)
        return words + self._cards(result) + self._log(result) + self._tasks(result)

    def _damp(self, result):
        wet = result.damp
        if wet.boils_at is None:
            return "In this room water is ice: nothing is said of how it boils under the bag. Warm the room before anything is mixed."
        said = (f"Free water boils under the bag below {say(wet.boils_at, 'mbar')}; the bag stands at {wet.free_margin:.2f} times that"
                f"{', so a drip or a damp core bubbles' if wet.free_margin < 1 else ''}.")
        if wet.moisture is not None:
            said += (f" Cloth in balance with this air holds {wet.moisture:.1%} of water, {say(wet.water, 'g')} in all of it, which boils off below 1/{wet.margin:.2f} of "
                     f"the bag's pressure. Under the bag it would settle at {wet.held_at:.0%} humidity: {'vacuum alone does not dry it' if wet.held_at > 0.9 else 'vacuum helps to dry it'}.")
        return said

    def _cure(self, result):
        if result.cure is None:
            return ""
        clock = result.cure
        times = " to ".join(f"{np.ceil(time):.0f} h" if np.isfinite(time) else "more than two weeks" for time in clock.when)
        return (f"Cure clock, an estimate: at {clock.oven - 273.15:.0f} °C the resin's Tg ({HARD}) stands {DEMOULD:g} °C above the room after {times}. {HARDENED}.")

    def _cards(self, result):
        if not result.cards:
            return f"<p>{html.escape(result.budget.no_plan)}</p>"
        rows = [{"bucket": card.number, "start mixing, min": f"{card.mix_at.m_as('min'):+.0f}", "ready, min": f"{card.ready_at.m_as('min'):+.0f}",
                 "resin, g": f"{card.resin.m_as('g'):.5g}", "hardener, g": f"{card.hardener.m_as('g'):.5g}", "empty by, min": f"{card.used_up_by.m_as('min'):.0f}",
                 "kicks off after, min": f"{card.life.m_as('min'):.0f}"} for card in result.cards]
        spare = result.budget.spare
        return tables.rows(rows, "Mixing cards, minutes from opening the clamp; the first bucket stands ready when it opens") + (
            f"<p>Reserve, weighed out and left unmixed: {say(spare[0], 'g')} resin and {say(spare[1], 'g')} hardener.</p>")

    def _log(self, result):
        if not result.built:
            return "<p>The build log is empty: the buttons below write into it.</p>"
        rows = [{"what": line.what, "built": line.built, "planned": line.planned or None, "when": line.when, "remark": line.note or None} for line in result.built]
        return tables.rows(rows, "Planned beside built, from the build log")

    def _tasks(self, result):
        rows = [{"what": task.what, "where": task.group, "how much": task.much or None} for task in result.tasks]
        return tables.rows(rows, "Check list. Boxes to tick are on the printed build sheet, page 08, here and for the mixing cards")

    # --- the log ---

    def make_record(self):
        entries = {"Drop test": self._log_drop, "Room": self._log_room, "Front readings": self._log_front, "Finished weight": self._log_weight}
        entries |= {f"Bucket {card.number} mixed": (lambda number=card.number: self._log_bucket(number)) for card in (self.result.cards if self.result else ())}
        return BuildLog(self.part, entries, self.refresh)

    def _answer(self):
        if self.result is None:
            raise PartFileError("There is no answer to write down; mend what the page complains of first.")
        return self.result

    def _log_drop(self):
        if self._answer().leak is None:
            raise PartFileError("Put in the drop test first: start, end and the minutes between, all three.")
        return *entry_drop(self.result.leak), ""

    def _log_room(self):
        self._answer()
        damp = self.controls.get("humidity")
        return *entry_room(Q_(self.controls["temperature"].value, "degC"), damp and Q_(damp.value, "percent")), ""

    def _log_front(self):
        if not self._answer().front.seen:
            raise PartFileError("Put in readings of the front first.")
        return *entry_front(self.result.front), f"readings {' '.join(self.controls['readings'].value.split())} (min mm)"

    def _log_weight(self):
        if self._answer().weighed is None or not self.controls["weight"].value.strip():
            raise PartFileError("Put in the finished weight first.")
        return *entry_weight(self.result.weighed), ""

    def _log_bucket(self, number):
        card = next((card for card in self._answer().cards if card.number == number), None)
        if card is None:
            raise PartFileError(f"There is no bucket {number} in the plan as it stands now.")
        return *entry_bucket(card), ""
