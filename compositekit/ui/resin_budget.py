"""How much resin, where it goes, and when each bucket is mixed and used up."""

from __future__ import annotations

import html

import ipywidgets as w
import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import Patch

from ..studies.resin_budget import INLET_RULE, resin_budget
from ..units import Q_, say
from . import style, tables
from .panel import Panel
from .record import RecordDecision
from .steps import next_step

ITEMS = ("fibre plies", "cut faces of the core", "grooves, slits and holes", "flow mesh", "feed line and the gap round it", "hoses from the bucket",
         "peel ply", "trim and seams", "heel of the bucket", "catch pot", "reserve")
FILLS = (("#b9c6e0", ""), ("#e2b9ae", "//"), ("#b7d6cc", ".."), ("#dcc6ea", ""), ("#eadbb0", "\\\\"), ("#c9c9c9", ""), ("#d5e3f5", "xx"), ("#f2d9d2", ""),
         ("#d9ebe4", "--"), ("#eee6f4", ".."), ("#ffffff", ""))
SHOWN = 14     # bucket numbers that fit the picture


class ResinBudgetPanel(Panel):
    """Reserve, batch size, room and mixing time against the resin bill and the mixing plan."""

    figsize = (9.8, 4.6)

    def __init__(self, file):
        self.file = file
        super().__init__(file.part)

    def make_controls(self):
        shop = self.file.part.workshop
        most, warm, minutes = shop.largest_batch.m_as("kg"), shop.temperature.m_as("degC"), shop.mixing_time.m_as("min")
        return {
            "contingency": w.IntSlider(value=10, min=0, max=40, description="reserve, % of the sum"),
            "largest": w.FloatSlider(value=most, min=min(0.2, most), max=max(6, most), step=0.1, readout_format=".3g", description="largest batch, kg"),
            "temperature": w.FloatSlider(value=warm, min=min(10, warm), max=max(35, warm), step=1, readout_format=".3g", description="room and resin, °C"),
            "mixing": w.FloatSlider(value=minutes, min=min(1, minutes), max=max(20, minutes), step=1, readout_format=".3g", description="weigh, mix and pour, min"),
        }

    def changes(self, largest, temperature, mixing, **_) -> dict:
        """What differs from the saved part."""
        shop = self.file.part.workshop
        rows = (("largest_batch", largest, shop.largest_batch, "kg"), ("temperature", temperature, shop.temperature, "degC"), ("mixing_time", mixing, shop.mixing_time, "min"))
        return {f"workshop.{name}": f"{new:g} {unit}" for name, new, old, unit in rows if abs(new - old.m_as(unit)) > 1e-9}

    def compute(self, contingency, **values):
        changes = self.changes(**values)
        part = self.file.part.changed(changes) if changes else self.file.part
        return resin_budget(part, self.file.catalogue, contingency=contingency / 100)

    # --- picture ---

    def build(self, fig):
        self.where, self.when = fig.subplots(1, 2, width_ratios=[1, 1.45])
        self.where.set(xlim=(-0.6, 1.6), ylim=(0, 20), xlabel="items too small for a name: table below", xticks=[0, 1], ylabel="resin and hardener, kg", title="where it goes")
        self.where.set_xticklabels(["stays in\nthe part", "thrown\naway"])
        self.where.grid(axis="x", visible=False)
        self.bars, self.names = {}, {}
        for name, (fill, hatch) in zip(ITEMS, FILLS, strict=True):
            (self.bars[name],) = self.where.bar([0], [0], width=0.85, facecolor=fill, edgecolor=style.INK, hatch=hatch, linewidth=0.8)
            self.names[name] = self.where.text(0, 0, "", ha="center", va="center", fontsize=8.5, bbox={"facecolor": style.PAPER, "edgecolor": "none", "alpha": 0.75, "pad": 0.8})
        self.ranges = [self.where.plot([], [], color=style.INK, linestyle="-", linewidth=1.6, marker="_", markersize=12)[0] for _ in range(2)]

        self.when.set(xlim=(-20, 120), ylim=(0, 20), xlabel="minutes from opening the clamp", ylabel="mixed resin used, kg", title="bucket by bucket")
        self.mixing = PolyCollection([], facecolor="#eadbb0", edgecolor=style.INK, hatch="///", linewidth=0.8, zorder=2)
        self.using = PolyCollection([], facecolor="#c9d5ea", edgecolor=style.INK, linewidth=0.8, zorder=2)
        self.safe = LineCollection([], colors=style.INK, linewidths=2.6, zorder=3)
        self.life = LineCollection([], colors=style.RUST, linewidths=1.4, linestyles=[(0, (3, 2))], zorder=2.5)
        for marks in (self.mixing, self.using, self.safe, self.life):
            self.when.add_collection(marks, autolim=False)
        (self.curve,) = self.when.plot([], [], color=style.BLUE, linestyle="-", zorder=4)
        (self.clamp,) = self.when.plot([0, 0], [0, 1e4], color=style.QUIET, linestyle=":", linewidth=1.2)
        self.numbers = [self.when.text(0, 0, "", fontsize=9, ha="right", va="center", zorder=5) for _ in range(SHOWN)]
        self.no_plan = self.when.text(0.5, 0.5, "", transform=self.when.transAxes, ha="center", va="center", fontsize=11, bbox={"facecolor": style.PAPER, "edgecolor": style.RUST})
        shown = [Patch(facecolor="#eadbb0", edgecolor=style.INK, hatch="///", label="mixing"), Patch(facecolor="#c9d5ea", edgecolor=style.INK, label="ready until used up")]
        lines = [self.when.plot([], [], label=label, **look)[0] for label, look in (
            ("resin the part has drawn", {"color": style.BLUE, "linestyle": "-"}), ("may be used until here", {"color": style.INK, "linestyle": "none", "marker": "|", "markersize": 11, "markeredgewidth": 2.6}),
            ("to the end of its life", {"color": style.RUST, "linestyle": (0, (3, 2)), "linewidth": 1.4}))]
        fig.legend(handles=[*shown, *lines], loc="outside lower right", ncols=3, fontsize=9, frameon=False)
        return [*self.bars.values(), *self.names.values(), *self.ranges, self.mixing, self.using, self.safe, self.life, self.curve, self.clamp, *self.numbers, self.no_plan]

    def draw(self, result):
        self._draw_bill(result)
        self._draw_plan(result)

    def _draw_bill(self, result):
        rows = {row.what: row for row in result.demand.items}
        most = max(result.demand.in_part[2], result.demand.thrown_away[2]).m_as("kg")
        self.where.set_ylim(0, next_step(1.05 * most))
        top = [0.0, 0.0]
        for name, bar in self.bars.items():
            row = rows.get(name)
            column, height = (0, 0.0) if row is None else (0 if row.stays_in_part else 1, row.si.typical)
            bar.set(x=column - 0.425, y=top[column], height=height, visible=height > 0)
            self.names[name].set_position((column, top[column] + height / 2))
            self.names[name].set_text(f"{SHORT.get(name, name)} {height:.2g}" if height > 0.055 * self.where.get_ylim()[1] else "")
            top[column] += height
        for line, column, three in zip(self.ranges, (0, 1), (result.demand.in_part, result.demand.thrown_away), strict=True):
            line.set_data([column + 0.5] * 2, [three[0].m_as("kg"), three[2].m_as("kg")])

    def _draw_plan(self, result):
        batches, total = result.batches, result.mixed.m_as("kg")
        ends = np.cumsum([batch.mass.m_as("kg") for batch in batches])
        starts = np.concatenate([[0.0], ends[:-1]]) if batches else ends
        minute = {name: np.array([getattr(batch.si, name) / 60 for batch in batches]) for name in ("mix_at", "ready_at", "used_up_by", "life")}
        fill = result.fill_time.m_as("min")
        first = minute["mix_at"].min() if batches else 0.0
        wide = next_step(1.15 * fill)
        self.when.set(xlim=(-next_step(1.25 * max(-first, 0.04 * wide)), wide), ylim=(0, next_step(1.05 * total)))
        self.mixing.set_verts(_boxes(minute["mix_at"], minute["ready_at"], starts, ends))
        self.using.set_verts(_boxes(minute["ready_at"], minute["used_up_by"], starts, ends))
        middle = (starts + ends) / 2
        safe = minute["mix_at"] + result.safe_share * minute["life"]
        self.safe.set_segments([[(x, a + 0.25 * (b - a)), (x, b - 0.25 * (b - a))] for x, a, b in zip(safe, starts, ends, strict=True)])
        self.life.set_segments([[(a, y), (b, y)] for a, b, y in zip(minute["used_up_by"], minute["mix_at"] + minute["life"], middle, strict=True)])
        self.curve.set_data(result.times.m_as("min"), result.drawn.m_as("kg"))
        for number, text in enumerate(self.numbers):
            there = number < len(batches)
            text.set_text(str(number + 1) if there else "")
            if there:
                text.set_position((minute["mix_at"][number] - 0.008 * wide, middle[number]))
        self.no_plan.set_text("" if batches else "no batch plan with these\ninputs: see Take care below")

    # --- words ---

    def headline(self, result):
        total, kept, lost = (three[1] for three in (result.demand.total, result.demand.in_part, result.demand.thrown_away))
        batches = f"{len(result.batches)} batch{'es' if len(result.batches) != 1 else ''}, the largest {say(max(b.mass for b in result.batches))}" if result.batches else "no batch plan"
        first = "Do not mix yet, the fill stalls (page 04). " if not result.flow.arrives else "Do not mix: buckets grow too old. " if result.void else "Do not mix. " if result.no_plan else ""
        return (f"{first}{say(total)} of resin and hardener with the reserve ({say(result.demand.total[0])} to {say(result.demand.total[2])}): {say(kept)} stays in the part, "
                f"{say(lost)} is thrown away. {batches[0].upper()}{batches[1:]}.")

    def alt(self, result):
        plan = f"{len(result.batches)} buckets in a timeline of {say(result.fill_time)} against the resin drawn" if result.batches else "no batch plan"
        return f"Stacked bars of resin that stays in the part and that is thrown away, and {plan}. {self.headline(result)} {result.verdict}"

    def extra_html(self, result):
        resin, hardener = result.resin_to_have
        have = (f"Have in the shop, for the high case: {say(resin)} of resin and {say(hardener)} of hardener. The plan mixes {say(result.mixed)}, in buckets whose life rests on {result.life_basis}; the reserve, "
                f"{say(sum(result.spare))}, stays unmixed until the last bucket runs low.")
        why = result.void or (result.no_plan and f"There is no mixing plan. {result.no_plan}")
        loud = f'<p role="alert"><b>{html.escape(why)}</b></p>' if why else ""
        return f"<p>{html.escape(have)}</p>{loud}" + self._card(result) + self._inlets(result) + tables.rows(
            [{"item": row.what, "low": row.low, "typical": row.typical, "high": row.high, "where it ends": "in the part" if row.stays_in_part else "thrown away",
              "figure from": f"{row.source}; {row.grade}"} for row in result.demand.items], "Where the resin goes")

    def _card(self, result):
        step = self.file.part.workshop.scale_step.m_as("g")
        places = max(0, int(np.ceil(-np.log10(step) - 1e-9)))
        grams = lambda mass: f"{mass.m_as('g'):.{places}f} g"  # noqa: E731
        clock = lambda time: f"{time.m_as('min'):+.0f} min"  # noqa: E731
        rows = [{"bucket": str(batch.number), "start mixing": clock(batch.mix_at), "resin": grams(batch.resin), "hardener": grams(batch.hardener), "together": grams(batch.mass),
                 "ready": clock(batch.ready_at), "used up": clock(batch.used_up_by), "dead at the latest": clock(batch.mix_at + batch.life)} for batch in result.batches]
        round_to = lambda mass: Q_(np.ceil(mass.m_as("g") / step - 1e-9) * step, "g")  # noqa: E731
        spare = [round_to(mass) for mass in result.spare]
        if sum(result.spare) > 0 * spare[0]:
            rows.append({"bucket": "reserve", "start mixing": "only if wanted", "resin": grams(spare[0]), "hardener": grams(spare[1]), "together": grams(sum(spare)),
                         "ready": "", "used up": "", "dead at the latest": ""})
        return tables.rows(rows, "Mixing card: times from opening the clamp (+0), weights to the scale's step")

    def _inlets(self, result):
        inlets = result.inlets
        return tables.rows([
            {"rule": "by mass", "inlets": inlets.by_mass, "how": INLET_RULE},
            {"rule": "by pressure", "inlets": inlets.by_pressure, "how": f"for information: so many lose 10 % of the pressure at {say(inlets.flow_rate)}, the rate in the first tenth of the fill; one alone loses {inlets.lost_share:.0%}, which page 04 has counted"},
            {"rule": "to have", "inlets": inlets.hoses, "how": f"the greater of the count by mass and one to each of {inlets.lines} feed line{'s' if inlets.lines > 1 else ''}; the resin in them is in the table"}],
            "How many inlets")

    def make_record(self):
        return RecordDecision(self.file, "resin and batches", self.offer)

    def offer(self):
        """The batches as dialled in, beside the same resin in smaller and larger ones."""
        if self.result is None:
            raise self.error
        values, result = self.values, self.result
        low, high = self.controls["largest"].min, self.controls["largest"].max
        sizes = [size for size in (values["largest"] / 2, values["largest"] * 2) if low <= size <= high]
        others = [self.compute(**values | {"largest": size}) for size in sizes]
        return dict(
            choice=f"{len(result.batches)} batches of at most {values['largest']:g} kg for {say(result.demand.total[1])}, reserve {values['contingency']} % of it unmixed, at {values['temperature']:g} °C",
            changes=self.changes(**values), alternatives=[f"largest batch {size:.2g} kg: {other.verdict}" for size, other in zip(sizes, others, strict=True)],
            numbers=[check.sentence() for check in result.checks], rests_on=result.rests_on)


SHORT = {"cut faces of the core": "core faces", "grooves, slits and holes": "cuts", "feed line and the gap round it": "feed line", "hoses from the bucket": "hoses",
         "heel of the bucket": "heel"}


def _boxes(left, right, low, high):
    return [np.array([[a, c], [b, c], [b, d], [a, d]]) for a, b, c, d in zip(left, right, low, high, strict=True)]
