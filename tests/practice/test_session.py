"""What is drawn: the bounds, the seed, and more of what is missed."""

from __future__ import annotations

import dataclasses
from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from spikecheck.errors import UsageError
from spikecheck.practice import (
    SizeClass,
    block_over,
    draw_session,
    kind_of,
    may_answer,
    miss_shares,
    photos_in_block,
    weight_of,
)
from spikecheck.vocabulary import AntherStage
from spikecheck.vocabulary.third import Third
from tests.practice.photos import (
    GREEN,
    NUMBERS,
    YELLOW,
    answer,
    clean,
    found,
    leftover,
    overlooked,
    photo,
)

AREAS = {SizeClass.SMALL: 0.1, SizeClass.MIDDLE: 0.5, SizeClass.LARGE: 2.0}
PLACES = {Third.BASAL: 0.1, Third.CENTRAL: 0.5, Third.APICAL: 0.9}
kinds = st.fixed_dictionaries(
    {
        "stage": st.sampled_from(AntherStage),
        "area_mm2": st.sampled_from(list(AREAS.values())),
        "position": st.sampled_from(list(PLACES.values())),
    }
)
pasts = st.lists(
    st.builds(lambda made, kind: made("past", **kind), st.sampled_from([found, overlooked]), kinds),
    max_size=25,
)


def pool_of(leftovers, cleans):
    return [
        *(photo(f"leftover {n:03}", leftover(**kind)) for n, kind in enumerate(leftovers)),
        *(photo(f"clean {n:03}") for n in range(cleans)),
    ]


def test_a_block_and_the_least_time_of_viewing():
    assert photos_in_block(NUMBERS) == 120
    assert not block_over(1199.9, NUMBERS)
    assert block_over(1200, NUMBERS)
    assert not may_answer(9.9, NUMBERS)
    assert may_answer(10, NUMBERS)
    assert not may_answer(nan, NUMBERS)


@given(
    st.lists(kinds, min_size=1, max_size=90), st.integers(1, 90), pasts,
    st.integers(0, 2**32), st.none() | st.integers(2, 150),
)  # fmt: skip
@settings(max_examples=60)
def test_a_session_keeps_its_bounds(leftovers, cleans, past, seed, photos_most):
    pool = pool_of(leftovers, cleans)
    session = draw_session(pool, past, NUMBERS, seed=seed, photos_most=photos_most)
    dirty = sum(not item.clean for item in session)
    assert 0.20 <= dirty / len(session) <= 0.50
    assert len({item.photo for item in session}) == len(session)
    assert set(session) <= set(pool)
    assert len(session) * NUMBERS.viewing_s <= 20 * 60
    assert photos_most is None or len(session) <= photos_most
    again = draw_session(pool[::-1], past[::-1], NUMBERS, seed=seed, photos_most=photos_most)
    assert again == session


@pytest.mark.parametrize(
    ("leftovers", "cleans", "photos"),
    [(1, 1, 2), (1, 4, 5), (1, 50, 5), (50, 1, 2), (3, 12, 15), (7, 28, 35), (80, 80, 120)],
)
def test_a_session_is_as_long_as_the_pool_allows(leftovers, cleans, photos):
    pool = pool_of([{}] * leftovers, cleans)
    assert len(draw_session(pool, [], NUMBERS, seed=1)) == photos


def test_no_wish_makes_a_session_longer_than_a_block():
    pool = pool_of([{}] * 80, 80)
    assert len(draw_session(pool, [], NUMBERS, seed=1, photos_most=150)) == 120


def test_the_share_varies_and_so_does_the_order():
    pool = pool_of([{}] * 60, 60)
    sessions = [draw_session(pool, [], NUMBERS, seed=n, photos_most=20) for n in range(200)]
    shares = {sum(not item.clean for item in session) for session in sessions}
    assert shares == set(range(4, 11))
    assert 20 < sum(not session[0].clean for session in sessions) < 120  # 35 % expected


def test_smoothing_by_hand():
    """One of four is assumed to be missed; of three green ones two were: (1 + 2) / (4 + 3)."""
    past = [found("a", stage=GREEN), overlooked("b", stage=GREEN), overlooked("c", stage=GREEN)]
    shares = miss_shares([*past, clean("d")], NUMBERS)
    assert shares[GREEN] == pytest.approx(3 / 7)
    assert shares[YELLOW] == pytest.approx(1 / 4)
    item = photo("e", leftover(stage=GREEN, area_mm2=2, position=0.5))
    assert weight_of(item, shares, NUMBERS) == pytest.approx((3 / 7 + 1 / 4 + 3 / 7) / 3)


def test_a_photo_weighs_what_its_hardest_leftover_does():
    shares = miss_shares([overlooked(str(n), stage=GREEN) for n in range(5)], NUMBERS)
    easy, hard = leftover(stage=YELLOW), leftover(stage=GREEN)
    both = weight_of(photo("a", easy, hard), shares, NUMBERS)
    assert both == weight_of(photo("b", hard), shares, NUMBERS)
    assert both > weight_of(photo("c", easy), shares, NUMBERS)


@given(pasts, kinds, kinds)
def test_what_is_missed_more_in_every_trait_never_weighs_less(past, one, other):
    shares = miss_shares(past, NUMBERS)
    assert all(0 < share < 1 for share in shares.values())
    traits = [kind_of(leftover(**kind), NUMBERS).traits for kind in (one, other)]
    weights = [weight_of(photo("a", leftover(**kind)), shares, NUMBERS) for kind in (one, other)]
    if all(shares[a] >= shares[b] for a, b in zip(*traits, strict=True)):
        assert weights[0] >= weights[1]


@given(pasts, st.integers(1, 20), st.integers(0, 2**32), st.sampled_from(AntherStage))
@settings(max_examples=60)
def test_more_misses_of_a_stage_never_draw_fewer_of_it(past, misses, seed, stage):
    """Draw for draw: with the same seed, misses instead of finds of one stage.

    All leftovers of the pool have one size and third, so only the stage tells them apart; the past
    is given in others, so that nothing else changes.
    """
    pool = pool_of([{"stage": one} for one in AntherStage for _ in range(12)], 40)
    traits = {"stage": stage, "area_mm2": 2.0, "position": 0.9}
    drawn = []
    for made in (found, overlooked):
        answers = [*past, *(made(str(n), **traits) for n in range(misses))]
        session = draw_session(pool, answers, NUMBERS, seed=seed, photos_most=30)
        drawn.append(sum(item.leftovers[0].stage is stage for item in session if not item.clean))
    assert drawn[1] >= drawn[0]


def test_what_is_missed_is_drawn_more_often():
    """Green always missed, yellow always found: more green ones, by an exact sign test."""
    pool = pool_of([{"stage": stage} for stage in (GREEN, YELLOW) for _ in range(30)], 60)
    past = [
        made(f"{stage} {n}", stage=stage)
        for stage, made in ((GREEN, overlooked), (YELLOW, found)) for n in range(12)
    ]  # fmt: skip

    def drawn(answers):
        sessions = [draw_session(pool, answers, NUMBERS, seed=n, photos_most=20) for n in range(99)]
        stages = [item.leftovers[0].stage for one in sessions for item in one if not item.clean]
        return stages.count(GREEN), len(stages)

    assert binomtest(*drawn(past), 0.5, alternative="greater").pvalue < 1e-6
    assert binomtest(*drawn([]), 0.5).pvalue > 0.001


def test_what_cannot_be_is_one_line():
    twice = [photo("a", leftover()), photo("b"), photo("a")]
    with pytest.raises(UsageError, match="a: a photo is there twice"):
        draw_session(twice, [], NUMBERS, seed=1)
    for pool in ([], [photo("a")], [photo("a"), photo("b")], [photo("a", leftover())]):
        with pytest.raises(UsageError, match="no session can be made"):
            draw_session(pool, [], NUMBERS, seed=1)
    with pytest.raises(UsageError, match="no session can be made"):
        draw_session(pool_of([{}], 9), [], NUMBERS, seed=1, photos_most=1)
    with pytest.raises(UsageError, match="no leftover to weigh"):
        weight_of(photo("a"), {}, NUMBERS)


def test_other_numbers_are_kept_too():
    numbers = dataclasses.replace(NUMBERS, viewing_s=100.0, leftovers_least=0.4)
    session = draw_session(pool_of([{}] * 30, 30), [answer(photo("x"))], numbers, seed=3)
    assert len(session) == 12
    assert 0.4 <= sum(not item.clean for item in session) / 12 <= 0.5
