"""Which answers count towards a sign-off."""

from __future__ import annotations

from itertools import count

from spikecheck.practice import Decision, SignOff, sign_off, sign_off_test
from tests.practice.photos import NUMBERS, REVIEW, answer, clean, found, leftover, overlooked, photo

ENOUGH = next(n for n in count(1) if sign_off_test(NUMBERS).misses_most(n) is not None)


def finds(count, prefix="found"):
    return [found(f"{prefix} {number}") for number in range(count)]


def test_only_photos_with_leftovers_count():
    answers = [clean(str(number), verdict=REVIEW) for number in range(100)]
    assert sign_off(answers, NUMBERS) == SignOff(Decision.NOT_YET, 0, 0)
    assert sign_off([*answers, *finds(ENOUGH)], NUMBERS) == SignOff(Decision.SIGNED_OFF, ENOUGH, 0)


def test_a_photo_seen_before_does_not_count_again():
    again = finds(ENOUGH - 1) * 3
    assert sign_off(again, NUMBERS) == SignOff(Decision.NOT_YET, ENOUGH - 1, 0)
    corrected = [overlooked("found 0"), *finds(ENOUGH)]
    assert sign_off(corrected, NUMBERS) == SignOff(Decision.NOT_YET, ENOUGH, 1)


def test_saying_review_to_everything_signs_nobody_off():
    blind = [answer(photo(str(n), leftover()), verdict=REVIEW) for n in range(60)]
    assert sign_off(blind, NUMBERS).decision is Decision.MORE_PRACTICE


def test_the_first_decision_stands():
    late = [overlooked(str(number)) for number in range(30)]
    assert sign_off([*finds(ENOUGH), *late], NUMBERS).decision is Decision.SIGNED_OFF
    assert sign_off([*late, *finds(200)], NUMBERS).decision is Decision.MORE_PRACTICE
