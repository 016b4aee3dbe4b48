"""Batch plans: the demand is covered exactly once, in order, by young buckets with the right hardener."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compositekit.errors import RangeError
from compositekit.infusion.batches import batch_plan
from compositekit.infusion.exotherm import bucket_life
from compositekit.units import Q_


def life_of(minutes):
    return lambda mass: Q_(minutes * (0.1 / max(mass.m_as("kg"), 0.01)) ** 0.1, "min")


@settings(max_examples=60, deadline=None, derandomize=True)
@given(kilograms=st.floats(0.5, 40), fill=st.floats(5, 180), life=st.floats(30, 400), mixing=st.floats(1, 12), largest=st.floats(1, 10),
       grams=st.sampled_from([0.1, 1, 5]), ratio=st.floats(0.1, 1.0), share=st.floats(0.3, 0.7))
def test_a_plan_holds_or_says_why(kilograms, fill, life, mixing, largest, grams, ratio, share):
    lives = life_of(life)
    try:
        plan = batch_plan(Q_(kilograms, "kg"), Q_(fill, "min"), lives, Q_(mixing, "min"), Q_(largest, "kg"), Q_(grams, "g"), ratio, share)
    except RangeError as err:
        assert "no batch plan" in str(err) and any(word in str(err) for word in ("Shorten the fill", "finer scale"))
        # a single careful bucket would not have done either
        single = mixing + fill <= share * lives(Q_(kilograms, "kg")).m_as("min") and kilograms <= largest
        assert not single or grams > 0.1  # only a coarse scale may stand in its way
        return
    batches = plan.batches
    poured = sum(batch.mass.m_as("g") for batch in batches)
    assert 0 <= poured - 1000 * kilograms + 1e-6 <= grams + 2e-6
    assert [batch.number for batch in batches] == list(range(1, len(batches) + 1))
    assert batches[0].drawn_from.m == 0 and batches[-1].used_up_by.m_as("min") == pytest.approx(fill)
    covered = 0.0
    for batch in batches:
        assert batch.drawn_from.m_as("min") == pytest.approx(fill * (covered / poured) ** 2, rel=1e-9, abs=1e-9)
        covered += batch.mass.m_as("g")
        assert batch.used_up_by.m_as("min") == pytest.approx(fill * (covered / poured) ** 2, rel=1e-9)
        assert batch.mass.m_as("kg") <= largest + 1e-9
        assert abs((batch.hardener / batch.resin).m_as("") / ratio - 1) <= 0.02
        for part in (batch.resin, batch.hardener):
            assert part.m_as("g") / grams == pytest.approx(round(part.m_as("g") / grams), abs=1e-6)
        assert batch.ready_at <= batch.drawn_from + Q_(1e-9, "s")
        assert (batch.used_up_by - batch.mix_at).m_as("min") <= share * lives(batch.mass).m_as("min") * (1 + 1e-9)
    for before, after in pairwise(batches):
        assert after.mix_at >= before.ready_at - Q_(1e-9, "s")  # one person mixes one batch at a time


def plan(**changes):
    settings = dict(resin_mass=Q_(12, "kg"), fill_time=Q_(2, "hour"), life_of=life_of(150), mixing_time=Q_(8, "min"), largest_batch=Q_(5, "kg"),
                    scale_resolution=Q_(1, "g"), mix_ratio=0.3)
    return batch_plan(**{**settings, **changes})


OWN = [
    (dict(life_of=life_of(12)), "Shorten the fill"),
    (dict(scale_resolution=Q_(2, "kg")), "finer scale"),
    (dict(largest_batch=Q_(10, "g"), scale_resolution=Q_(0.01, "g")), "allow larger ones"),
    (dict(life_of=lambda mass: 30), "a time with a unit"),
    (dict(life_of=lambda mass: Q_(-3, "min")), "above nought"),
]


@pytest.mark.parametrize("changes,words", OWN)
def test_refusals_say_why(changes, words):
    with pytest.raises(RangeError, match=words):
        plan(**changes)


def test_hotter_shop_wants_smaller_batches():
    """Same part and resin: warmth shortens the bucket, so the plan has at least as many batches."""
    counts = [len(plan(fill_time=Q_(50, "min"), largest_batch=Q_(12, "kg"), life_of=lambda mass, t=t: bucket_life(mass, Q_(t, "degC"), Q_(150, "min"))).batches)
              for t in (18, 25, 30)]
    assert counts == sorted(counts) and counts[0] < counts[-1]


def test_all_at_once_when_quick():
    """A quick fill and a long life want one bucket only, mixed before the clamp is opened."""
    only, = plan(resin_mass=Q_(2, "kg"), fill_time=Q_(10, "min")).batches
    assert only.mix_at.m_as("min") == pytest.approx(-8) and only.mass.m_as("g") == pytest.approx(2000)
    assert np.isclose(only.share_used, 18 / life_of(150)(only.mass).m_as("min"))
