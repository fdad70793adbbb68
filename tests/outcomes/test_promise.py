"""What was promised beside what came."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import UsageError
from spikecheck.outcomes import (
    Measure,
    Promise,
    Standing,
    compare_with_promise,
    passed_with_selfing,
    selfed_seed,
)
from spikecheck.vocabulary import Verdict
from tests.outcomes.spikes import control, seed_tested

MEASURE = Measure.PASSED_WITH_SELFING
PROMISE = Promise("of passed spikes still hold an anther", high=0.05)


def came(events, trials):
    return passed_with_selfing(
        control(int(k < events), 20, k, computed_verdict=Verdict.PASS) for k in range(trials)
    )


@pytest.mark.parametrize(
    ("events", "trials", "standing", "needed"),
    [
        (0, 59, Standing.KEPT, 0),
        (0, 58, Standing.OPEN, 1),
        (0, 20, Standing.OPEN, 39),
        (1, 60, Standing.OPEN, 33),
        (1, 93, Standing.KEPT, 0),
        (6, 20, Standing.BROKEN, 0),
    ],
)
def test_how_it_stands(events, trials, standing, needed):
    found = compare_with_promise(PROMISE, came(events, trials), MEASURE)
    assert (found.standing, found.needed) == (standing, needed)


def test_sentences():
    broken = compare_with_promise(PROMISE, came(6, 20), MEASURE).sentence
    assert broken == (
        "Promised: at most 5.0 % of passed spikes still hold an anther. Came: 6 of 20 passed "
        "spikes with selfed seed, 30 % (95 % interval 12 % to 54 %). That is more than was "
        "promised: do not rely on a pass until you know why; look at the spikes concerned, and "
        "calibrate on photos of your own."
    )
    nothing = compare_with_promise(PROMISE, None, MEASURE)
    assert (nothing.standing, nothing.needed) == (Standing.OPEN, 59)
    assert nothing.sentence.endswith(
        "Nothing was counted yet. Too few to tell: 59 more passed spikes without selfed seed would "
        "show that the promise is kept as far as seed shows it."
    )
    one = compare_with_promise(PROMISE, came(0, 58), MEASURE).sentence
    assert "1 more passed spike without" in one


def test_less_than_promised_and_promises_of_nothing():
    wide = Promise("of passed spikes still hold an anther", low=0.3, high=0.5)
    found = compare_with_promise(wide, came(0, 40), MEASURE)
    assert found.standing is Standing.BETTER
    assert "Promised: 30 % to 50 % of" in found.sentence
    assert compare_with_promise(Promise("x", 1.0), None, MEASURE).standing is Standing.KEPT


def test_seed_stands_beside_a_promise_of_seed():
    (rate,) = selfed_seed([seed_tested(9, 30)])
    found = compare_with_promise(Promise("of seed selfed", 0.02), rate, Measure.SELFED_SEED)
    assert found.standing is Standing.BROKEN
    assert "9 of 30 tested seeds selfed" in found.sentence


def test_spikes_that_differ_keep_and_break_no_promise_seed_by_seed():
    """Taken one by one 12 of 60 seeds, exact interval 11 to 32 %, would break 5 %, and 3 of 240,
    one-sided upper limit 3.2 %, would keep it; but they all come from one spike."""
    promise = Promise("of the seed of passed spikes is selfed", 0.05)
    for several, seed_by_seed in (
        ([(12, 12), (0, 12), (0, 12), (0, 12), (0, 12)], "20 % (95 % interval 11 % to 32 %)"),
        ([(3, 10), *[(0, 23)] * 10], "1.2 % (95 % interval 0.26 % to 3.6 %)"),
    ):
        (rate,) = selfed_seed(seed_tested(x, n, k) for k, (x, n) in enumerate(several, start=1))
        found = compare_with_promise(promise, rate, Measure.SELFED_SEED)
        assert (found.standing, found.needed) == (Standing.OPEN, 0)
        assert seed_by_seed in found.sentence
        assert "Spikes differ more than chance explains: by spike it is" in found.sentence
        assert found.sentence.endswith("Too few spikes to tell.")


def test_what_seed_shows_is_not_what_is_left():
    kept = compare_with_promise(PROMISE, came(0, 59), MEASURE).sentence
    assert kept.endswith("The promise is kept as far as seed shows it.")


@given(st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
       st.floats(0.01, 0.99))  # fmt: skip
def test_so_many_more_keep_it(counts, bound):
    promise = Promise("of passed spikes", bound)
    found = compare_with_promise(promise, came(*counts), MEASURE)
    if found.standing is Standing.OPEN:
        later = came(counts[0], counts[1] + found.needed)
        assert compare_with_promise(promise, later, MEASURE).standing is Standing.KEPT


@pytest.mark.parametrize(("low", "high"), [(0.5, 0.1), (-0.1, 0.2), (0, 1.1), (0, 0)])
def test_a_promise_is_a_share(low, high):
    with pytest.raises(UsageError, match="low before high"):
        Promise("x", low=low, high=high)
