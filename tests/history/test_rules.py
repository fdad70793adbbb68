"""What may follow what; every refusal says why and what to do."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import StepError, UsageError
from spikecheck.history.replay import replay
from spikecheck.history.rules import after
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.steps import (
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Overridden,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    ThirdCount,
    Threshed,
)
from tests.history.spike_way import CONTROL_WAY, SPIKE, WAY, at, checked, step, steps


def told(details: tuple[object, ...]) -> str:
    with pytest.raises(StepError) as caught:
        replay(SPIKE, steps(details), places={})
    return str(caught.value)


def test_whole_way():
    record = replay(SPIKE, steps(), places={})
    assert (record.growth_stage, record.tag, record.florets, record.anthers) == (
        55, "K7Q29XMT", 20, 60,
    )  # fmt: skip
    assert (record.verdict, record.overridden, record.check) == (Verdict.PASS, False, 1)
    assert record.pollinated_male == "Olmo"
    assert (record.seeds, record.seed_florets, record.tested, record.selfed) == (12, 20, 8, 0)
    assert record.emasculated_at == at(2)
    assert record.harvested_at == at(7)


def test_control_is_bagged_harvested_and_threshed_without_pollen():
    record = replay(SPIKE, steps(CONTROL_WAY), places={})
    assert record.control
    assert record.pollinated_at is None
    assert (record.seeds, record.seed_florets) == (0, 20)


def test_place_comes_from_the_session_of_emasculation():
    one = step(Emasculated(20, 60))
    with_session = type(one)(one.detail, one.at, one.by, session="S1")
    record = replay(SPIKE, [with_session], places={"S1": "House 2"})
    assert (record.session, record.place) == ("S1", "House 2")


@pytest.mark.parametrize(
    ("way", "why"),
    [
        ((Pollinated("Olmo"),), "was not emasculated yet"),
        ((Emasculated(20, 60), Pollinated("Olmo")), "was not bagged yet"),
        ((Bagged(),), "was not emasculated yet"),
        ((Emasculated(20, 60), Bagged()), "was not checked"),
        ((checked(), Emasculated(20, 60), Bagged()), "was checked before it was emasculated"),
        ((Emasculated(20, 60), checked(Verdict.REVIEW), Bagged()), "stands at review"),
        ((Emasculated(20, 60), checked(Verdict.REVIEW), Bagged("no time")), "stands at review"),
        ((*WAY[:5], Pollinated("Ferra", None, "meant it")), "is of the female Ferra itself"),
        ((*WAY[:5], Pollinated("Tarn")), "is planned with the male Olmo, not Tarn"),
        ((*WAY[:6], Pollinated("Tarn", None, "more pollen")), "was pollinated with Olmo already"),
        ((*WAY[:5], Pollinated("Olmo", at(9))), "cannot get pollen that is not shed yet"),
        ((*WAY[:4], KeptAsControl(), Bagged(), Pollinated("Olmo")), "is a control spike"),
        ((*WAY[:6], KeptAsControl()), "was pollinated already"),
        ((*WAY[:5], Rebagged()), "was not pollinated yet"),
        ((*WAY[:5], Harvested()), "was not pollinated yet"),
        ((KeptAsControl(), Harvested()), "was not bagged yet"),
        ((Threshed(1, 2),), "was not harvested yet"),
        ((*WAY[:8], Threshed(12, 21)), "kept 20 florets, not 21"),
        ((*WAY[:8], SeedTested(1, 0)), "was not threshed yet"),
        ((*WAY, SeedTested(5, 0)), "gave 12 seeds, 13 cannot have been tested"),
        ((Emasculated(20, 60), Selected()), "was emasculated already"),
        ((Emasculated(20, 60), Emasculated(20, 60)), "was emasculated already"),
        ((*WAY[:8], checked(number=2)), "was harvested already"),
        ((*WAY, GivenUp("lost")), "was threshed already"),
        ((GivenUp("broken"), Selected()), "was given up"),
        ((Overridden(1, Verdict.PASS, "a shadow"),), "has no check"),
    ],
)
def test_what_cannot_have_happened_is_refused(way: tuple[object, ...], why: str):
    line = told(way)
    assert line.startswith("spike C-1/3: cannot be ")
    assert why in line
    assert line.count(". ") >= 1, "a cure follows"


def test_reason_opens_what_may_be_opened():
    unchecked = (Emasculated(20, 60), Bagged("camera broken"))
    assert replay(SPIKE, steps(unchecked), places={}).bagged_at == at(1)
    overridden = (
        Emasculated(20, 60), checked(Verdict.REVIEW, 4), Overridden(4, Verdict.PASS, "palea"),
        Bagged(),
    )  # fmt: skip
    record = replay(SPIKE, steps(overridden), places={})
    assert (record.verdict, record.computed_verdict) == (Verdict.PASS, Verdict.REVIEW)
    assert record.overridden
    other_male = (*WAY[:5], Pollinated("Tarn", None, "Olmo shed early"))
    assert replay(SPIKE, steps(other_male), places={}).pollinated_male == "Tarn"


def test_word_on_an_older_check_does_not_open_the_newer_one():
    way = (
        Emasculated(20, 60), checked(Verdict.REVIEW, 4), checked(Verdict.REVIEW, 5),
        Overridden(4, Verdict.PASS, "palea"), Bagged(),
    )  # fmt: skip
    assert "stands at review (check 5)" in told(way)


def test_override_can_be_taken_back():
    way = (
        Emasculated(20, 60), checked(), Overridden(1, Verdict.REVIEW, "I see one"), Bagged(),
    )  # fmt: skip
    assert "stands at review" in told(way)


def test_pollinated_once_more_with_the_same_male_keeps_the_first_moment():
    record = replay(SPIKE, steps((*WAY[:7], Pollinated("Olmo"))), places={})
    assert record.pollinated_at == at(5)
    assert record.rebagged_at is None, "the bag was off again"


def test_spike_that_held_a_ripe_anther_stays_near_anthesis():
    way = (Emasculated(20, 60), checked(Verdict.REVIEW, 1, near=True), checked(Verdict.PASS, 2))
    assert replay(SPIKE, steps(way), places={}).near_anthesis
    yellow = (Emasculated(20, 60, near_anthesis=True), checked())
    assert replay(SPIKE, steps(yellow), places={}).near_anthesis
    assert not replay(SPIKE, steps(), places={}).near_anthesis


def test_seed_tests_add_up():
    record = replay(SPIKE, steps((*WAY, SeedTested(4, 1))), places={})
    assert (record.tested, record.selfed) == (12, 1)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Selected(100),
        lambda: Emasculated(0, 0),
        lambda: Emasculated(3, -1),
        lambda: Threshed(3, 2),
        lambda: Threshed(0, 0),
        lambda: ThirdCount(2, 1),
        lambda: Threshed(2, 6, (ThirdCount(1, 2), ThirdCount(1, 2), ThirdCount(1, 2))),
        lambda: SeedTested(2, 3),
        lambda: SeedTested(0, 0),
    ],
)
def test_counts_that_cannot_be(make: object):
    with pytest.raises(UsageError):
        make()  # type: ignore[operator]


def test_no_two_steps_of_the_way_may_change_places():
    """Bar those that have no order: a tag at any time, a selection before its tag."""
    free = {(0, 1), (1, 2), (2, 3), (1, 3), (1, 4)}
    for first, second in combinations(range(len(WAY)), 2):
        if second != first + 1 or (first, second) in free:
            continue
        way = list(WAY)
        way[first], way[second] = way[second], way[first]
        if (first, second) == (5, 6):
            assert "was not pollinated yet" in told(tuple(way))
        else:
            told(tuple(way))


@given(st.data())
def test_known_facts_never_change_but_by_their_own_step(data: st.DataObject):
    """Whatever comes in whatever order: a step that is refused leaves no trace (it raises)."""
    record = SPIKE
    for hours in range(12):
        detail = data.draw(st.sampled_from(WAY))
        before = record
        try:
            record = after(record, step(detail, hours))
        except StepError:
            assert record is before
        else:
            assert record.cross == "C-1"
            if before.harvested_at is not None:
                assert record.harvested_at == before.harvested_at
            if before.pollinated_at is not None:
                assert record.pollinated_at == before.pollinated_at
