"""Which batches to mix when, so that the part never waits and no bucket grows old.

Caution: mixed resin heats itself; never refill a half-used warm pot, and keep the spare batch unmixed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import RangeError
from ..units import Q_, checked, checked_fields, say
from .counts import single


@checked_fields(mix_at="s", ready_at="s", drawn_from="s >= 0", used_up_by="s >= 0", resin="kg >= 0", hardener="kg > 0", life="s > 0")
class Batch:
    """One bucket: when to start mixing, when it is ready, drawn from and used up by; resin, hardener; its working life."""

    number: int
    mix_at: object
    ready_at: object
    drawn_from: object
    used_up_by: object
    resin: object
    hardener: object
    life: object

    @property
    def mass(self):
        """Resin and hardener together."""
        return self.resin + self.hardener

    @property
    def share_used(self) -> float:
        """Age when used up, as a share of its working life."""
        return float((self.si.used_up_by - self.si.mix_at) / self.si.life)


@dataclass(frozen=True)
class BatchPlan:
    """The batches in order, the share of its life a batch may use, and the scale the weights are rounded to."""

    batches: tuple
    safe_share: float
    scale_resolution: object


@checked(resin_mass="kg > 0", fill_time="s > 0", mixing_time="s >= 0", largest_batch="kg > 0", scale_resolution="kg > 0",
         mix_ratio="1 in 0.001..2", safe_share="1 in 0.05..1", hardener_tolerance="1 in 0.001..0.1")
@single()
def batch_plan(resin_mass, fill_time, life_of, mixing_time, largest_batch, scale_resolution, mix_ratio, safe_share=0.5,
               hardener_tolerance=0.02, draw=None):
    """Batches that cover the resin a part draws, exactly once and each while it is young.

    resin_mass  [kg]  mixed resin the whole infusion takes
    fill_time  [s]  time from opening the clamp to a full part
    life_of  function from a mass (a quantity) to the working life (a quantity) of a bucket of it
    mixing_time  [s]  weighing, mixing and pouring one batch, one person
    largest_batch  [kg]  most that is mixed at once
    scale_resolution  [kg]  step of the scale, 1 g for one
    mix_ratio  [1]  hardener per resin by mass, 0.27 for 100:27
    safe_share  [1]  share of its life a bucket may have used when it runs out; 0.5 if left out, own judgement
    hardener_tolerance  [1]  how far rounding may push the hardener; 0.02 if left out, own judgement (PR-R04)
    draw  how the part draws: rising times [s] from 0 to fill_time and the share drawn by then, from 0 to 1; a straight front if left out
    Returns BatchPlan; time 0 is the opening of the clamp, the first batch is mixed before it.
    Raises UnitError; RangeError also where no plan exists, saying what stands in the way and what to change.
    Relation: drawn m(t) = M sqrt(t/T), so a bucket from m1 to m2 is drawn over T (m2^2 - m1^2)/M^2, unless draw says otherwise
    Valid: without draw a line feed at constant pressure and viscosity; drawn first from the oldest bucket.
    Source: FL-R01 (read) for the demand; half a pot life PR-R27 (own judgement).
    """
    units = int(np.ceil(resin_mass / scale_resolution - 1e-9))
    if units > 10_000_000:
        raise RangeError(f"the scale steps {units} times for this resin; give a scale_resolution nearer to a gram.")
    shop = _Shop(units, fill_time, life_of, mixing_time, scale_resolution, mix_ratio, safe_share, hardener_tolerance,
                 least=_least_batch(mix_ratio, hardener_tolerance), draw=_draw(draw, fill_time))
    most = min(int(largest_batch / scale_resolution + 1e-9), units)
    if most < shop.least:
        _refuse_scale(shop, most)
    if units / most > 500:
        raise RangeError(f"no batch plan: {units / most:.0f} batches of {say(Q_(largest_batch, 'kg'), 'g')} would be wanted; allow larger ones.")
    sizes = _sizes_from_the_end(shop, most)
    return BatchPlan(tuple(shop.schedule(sizes)), safe_share, Q_(scale_resolution, "kg"))


def _draw(draw, fill_time):
    if draw is None:
        return None
    times, shares = (np.asarray(values, dtype=float) for values in draw)
    if times.ndim != 1 or times.shape != shares.shape or times.size < 2 or np.any(np.diff(times) < 0) or np.any(np.diff(shares) < 0):
        raise RangeError("draw needs two lists of one length, times and shares, both rising.")
    if abs(times[-1] - fill_time) > 1e-6 * fill_time or times[0] != 0 or shares[0] != 0 or abs(shares[-1] - 1) > 1e-6:
        raise RangeError(f"draw runs from {times[0]:g} s, share {shares[0]:g}, to {times[-1]:g} s, share {shares[-1]:g}; "
                         f"it must run from nought to the fill time of {fill_time:g} s and a share of 1.")
    return times, shares / shares[-1]


def _least_batch(mix_ratio, tolerance):
    """Scale steps of the smallest batch whose hardener stays within tolerance however it rounds."""
    return max(int(np.ceil(0.5 * (1 + mix_ratio) ** 2 / (tolerance * mix_ratio))) + 1, 2)


@dataclass
class _Shop:
    """Everything a batch is judged by. Masses are counted in scale steps."""

    units: int
    fill_time: float
    life_of: object
    mixing_time: float
    step: float
    ratio: float
    share: float
    tolerance: float
    least: int
    draw: tuple | None = None

    def __post_init__(self):
        self._lives = {}

    def drawn_at(self, steps):
        if self.draw is not None:
            return float(np.interp(steps / self.units, self.draw[1], self.draw[0]))
        return self.fill_time * (steps / self.units) ** 2

    def life(self, size):
        if size not in self._lives:
            mass = Q_(size * self.step, "kg")
            answer = self.life_of(mass)
            try:
                seconds = float(answer.m_as("s"))
            except Exception as err:
                raise RangeError(f"life_of({say(mass, 'g')}) gave {answer!r}; it must give a time with a unit.") from err
            if not seconds > 0:
                raise RangeError(f"life_of({say(mass, 'g')}) gave {answer!r}; a working life must be above nought.")
            self._lives[size] = seconds
        return self._lives[size]

    def ready(self, end, size, deadline):
        """A batch is ready when the one before runs out, or earlier if the mixer must start on the next."""
        return min(self.drawn_at(end - size), deadline)

    def fits(self, end, size, deadline):
        age = self.drawn_at(end) - self.ready(end, size, deadline) + self.mixing_time
        return age <= self.share * self.life(size) * (1 + 1e-12)

    def schedule(self, sizes):
        """Batches in order of use from their sizes, each checked once more against its own life."""
        ends = np.cumsum(sizes)
        batches, deadline = [], np.inf
        for number in range(len(sizes), 0, -1):
            size, end = int(sizes[number - 1]), int(ends[number - 1])
            if not self.fits(end, size, deadline):
                _refuse_age(self, end, size, deadline)
            ready = self.ready(end, size, deadline)
            hardener = round(size * self.ratio / (1 + self.ratio))
            batches.append(Batch.from_si(
                number=number, mix_at=ready - self.mixing_time, ready_at=ready, drawn_from=self.drawn_at(end - size),
                used_up_by=self.drawn_at(end), resin=(size - hardener) * self.step, hardener=hardener * self.step,
                life=self.life(size)))
            deadline = ready - self.mixing_time
        return batches[::-1]


def _sizes_from_the_end(shop, most):
    """Largest batches that stay young, taken from the end of the fill backwards, since the slow end is what limits."""
    sizes, end, deadline = [], shop.units, np.inf
    while end > 0:
        size = _largest_fitting(shop, end, min(most, end), deadline)
        if 0 < end - size < shop.least:  # leave the scale a batch it can weigh
            if end < 2 * shop.least:
                _refuse_scale(shop, most) if most < end else _refuse_age(shop, end, end, deadline)
            size = end - shop.least
        sizes.append(size)
        deadline = shop.ready(end, size, deadline) - shop.mixing_time
        end -= size
    return sizes[::-1]


def _largest_fitting(shop, end, most, deadline):
    """Bisection on the size: a larger batch is drawn from earlier and lives shorter, so fitting is a single change."""
    if shop.fits(end, most, deadline):
        return most
    if most < shop.least or not shop.fits(end, shop.least, deadline):
        _refuse_age(shop, end, min(shop.least, most), deadline)
    low, high = shop.least, most
    while high - low > max(1, low // 200):  # half a per cent is closer than anybody pours
        middle = (low + high) // 2
        low, high = (middle, high) if shop.fits(end, middle, deadline) else (low, middle)
    return low


def _refuse_age(shop, end, size, deadline):
    age = shop.drawn_at(end) - shop.ready(end, size, deadline) + shop.mixing_time
    raise RangeError(
        f"no batch plan: at {shop.drawn_at(end) / 60:.3g} min even a batch of {say(Q_(size * shop.step, 'kg'), 'g')} would be "
        f"{age / 60:.3g} min old when used up, but may use {shop.share:.0%} of a working life of {shop.life(size) / 60:.3g} min, that is "
        f"{shop.share * shop.life(size) / 60:.3g} min. Shorten the fill (more feed lines, flow mesh), take a slower hardener, "
        "work cooler or mix faster.")


def _refuse_scale(shop, most):
    least = say(Q_(shop.least * shop.step, "kg"), "g")
    raise RangeError(
        f"no batch plan: with a scale that steps {say(Q_(shop.step, 'kg'), 'g')} the smallest batch that keeps the hardener within "
        f"{shop.tolerance:.1%} is {least}, but the largest allowed is {say(Q_(most * shop.step, 'kg'), 'g')} of "
        f"{say(Q_(shop.units * shop.step, 'kg'), 'g')} needed. Use a finer scale or larger batches.")
