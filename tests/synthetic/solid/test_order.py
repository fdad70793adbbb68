"""A range of seeds is a mixed set with the stated shares."""

from collections import Counter

import pytest

from spikecheck.errors import UsageError
from spikecheck.synthetic.solid.order import SHARES, draw_order, drawn_state


def kind_of(seed: int) -> str:
    wish = draw_order(seed)
    if wish.state == "prepared":
        return "leftover" if wish.leftovers else "clean"
    return wish.state


def test_states_come_in_their_shares():
    counts = Counter(kind_of(seed) for seed in range(1500))
    assert sum(SHARES.values()) == pytest.approx(1)
    for kind, share in SHARES.items():
        # four standard deviations of a binomial count
        spread = 4 * (1500 * share * (1 - share)) ** 0.5
        assert abs(counts[kind] - 1500 * share) < spread, kind


def test_a_clean_spike_has_no_pose_of_leftovers():
    wishes = [draw_order(seed) for seed in range(200)]
    assert {w.pose_family for w in wishes if w.leftovers == 0} == {"none"}
    assert "none" not in {w.pose_family for w in wishes if w.leftovers}


def test_plenty_leaves_and_strews_more_on_the_same_spikes_and_no_anthers_on_clean_ones():
    for seed in range(200):
        wish, more = draw_order(seed), draw_order(seed, plenty=True)
        assert (more.state, more.plant_family, more.pose_family) == (
            wish.state, wish.plant_family, wish.pose_family,
        )  # fmt: skip
        if wish.leftovers:
            assert more.leftovers >= wish.leftovers + 4
        else:
            assert more.leftovers == wish.leftovers
        assert (wish.littered, more.littered) == (False, True)


def test_a_state_can_be_asked_for():
    assert all(draw_order(seed, state="heading").state == "heading" for seed in range(20))
    assert all(draw_order(seed, state="prepared").state == "prepared" for seed in range(20))


def test_an_unknown_state_is_refused():
    with pytest.raises(UsageError, match="ripe"):
        draw_order(1, state="ripe")


def test_what_a_seed_stands_for_is_told_without_drawing_it():
    for seed in range(200):
        wish, told = draw_order(seed), drawn_state(seed)
        assert wish.state == ("prepared" if told in {"leftover", "clean"} else told)
        assert (told == "leftover") == (wish.state == "prepared" and bool(wish.leftovers))
