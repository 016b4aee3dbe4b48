"""Buckets and scale against their limits: typical, and with the shortest pot life of the catalogue's row."""

from __future__ import annotations

from ..units import Q_, say
from .findings import Check
from .flow_checks import CAUTIOUS, OWN_SHEET

SCALE_SHARE = 0.01        # scale step over hardener, PR-R04 (own judgement)
SMALLEST = 0.1            # kg, the smallest bucket that is worth mixing
SOURCE = "share of a bucket's life, own judgement"
REMEDY = "fill faster (page 04), mix smaller batches, work cooler or take a slower hardener"


def bucket_checks(part, facts, typical, short, catalyst) -> tuple[Check, ...]:
    """Checks of the mixing plan. typical and short give the life of a mass; short is None where the pot life is the shop's own."""
    batches = facts["batches"]
    if not batches:
        return _no_plan(part, facts, typical if short is None else short)
    found = [_age(batches, typical, facts["safe_share"], "" if short is None else " (typical pot life)", REMEDY)]
    if short is not None:
        found.append(_age(batches, short, facts["safe_share"], f" (shortest pot life, {CAUTIOUS})", OWN_SHEET + REMEDY))
    return tuple(found) if catalyst else (*found, _scale(part, batches))


def _age(batches, life, safe_share, case, remedy):
    """The bucket that has used most of its life; its number is left to the source, so that the check keeps its name."""
    oldest = max(batches, key=lambda batch: _old(batch) / life(batch.mass))
    return Check(f"age of the oldest bucket for its size when used up{case}", _old(oldest), (safe_share * life(oldest.mass)).to("min"), "at most",
                 f"bucket {oldest.number}, {safe_share:.0%} of the life of {say(oldest.mass, 'kg')}; {SOURCE}", remedy)


def _old(batch):
    return (batch.used_up_by - batch.mix_at).to("min")


def _scale(part, batches):
    smallest = min(batches, key=lambda batch: batch.si.hardener)
    return Check(f"scale step over the hardener of bucket {smallest.number}", (part.workshop.scale_step / smallest.hardener).to("percent"), Q_(100 * SCALE_SHARE, "percent"),
                 "at most", "1 % of the hardener, PR-R04 (own judgement)", "weigh the hardener on a finer scale, or mix larger batches")


def _no_plan(part, facts, life):
    """No plan is a failure by itself; the time it takes to mix one bucket shows whether there could be any."""
    return (
        Check("buckets in a mixing plan that holds", Q_(0.0, ""), Q_(1.0, ""), "at least", "a part cannot be fed without one", f"{REMEDY}; where the scale is what stands in the way, a finer one"),
        Check("time to mix a bucket, against what 100 g may use of its life", part.workshop.mixing_time.to("min"),
              (facts["safe_share"] * life(Q_(SMALLEST, "kg"))).to("min"), "at most", SOURCE, "mix faster, work cooler or take a slower hardener"))
