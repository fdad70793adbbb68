"""Conformal risk control: worked values, simulation, and its laws."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from spikecheck.assessment.conformal import Outcome, control_risk, limits_below, spikes_needed
from spikecheck.errors import CalibrationError, UsageError


def passes_at(scores: np.ndarray, limits: np.ndarray) -> np.ndarray:
    """A spike passes unless its highest score is above the limit."""
    return scores[:, None] <= limits[None, :]


def chosen_for(scores: list[float] | np.ndarray, alpha: float):
    """The choice among every limit that can matter."""
    row = np.asarray(scores, dtype=np.float64)
    limits = limits_below(row)
    return control_risk(limits, passes_at(row, limits), alpha=alpha)


@pytest.mark.parametrize(
    ("alpha", "least"), [(0.10, 9), (0.05, 19), (0.02, 49), (0.01, 99), (0.005, 199), (0.3, 3)]
)
def test_the_smallest_set_that_certifies(alpha: float, least: int):
    """``ceil(1 / alpha - 1)``: Angelopoulos et al. 2022, arXiv:2208.02814, with B = 1."""
    assert spikes_needed(alpha) == least
    scores = np.linspace(0.5, 1, least)
    assert chosen_for(scores, alpha).outcome is Outcome.CHOSEN
    fewer = chosen_for(scores[1:], alpha)
    assert (fewer.outcome, fewer.limit, fewer.passed, fewer.bound) == (
        Outcome.TOO_FEW, None, None, None,
    )  # fmt: skip
    assert (fewer.spikes, fewer.spikes_least) == (least - 1, least)


@pytest.mark.parametrize(
    ("spikes", "passed", "bound"), [(99, 0, 0.0100), (199, 1, 0.0100), (499, 3, 0.0080),
                                    (999, 8, 0.0090)],
)  # fmt: skip
def test_the_bound_of_so_many_that_pass(spikes: int, passed: int, bound: float):
    """``(passed + 1) / (n + 1)`` by the same paper's formula, computed by hand."""
    limits = np.array([0.2])
    passes = np.zeros((spikes, 1), dtype=bool)
    passes[:passed] = True
    choice = control_risk(limits, passes, alpha=0.01)
    assert (choice.passed, choice.limit) == (passed, 0.2)
    assert choice.bound == pytest.approx(bound, abs=1e-12)


@pytest.mark.parametrize("spikes", [199, 250, 498, 499, 998, 999])
def test_the_laxest_limit_is_taken(spikes: int):
    """One spike more passing would break the bound."""
    scores = np.linspace(0.001, 0.999, spikes)
    choice = chosen_for(scores, 0.01)
    assert choice.passed == int((scores <= choice.limit).sum())
    assert (choice.passed + 1) * 100 <= spikes + 1 < (choice.passed + 2) * 100
    laxer = np.nextafter(choice.limit, 1)
    assert (scores <= laxer).sum() == choice.passed + 1


def test_spikes_of_one_score_pass_together_or_not_at_all():
    scores = [0.1, *[0.2] * 5, *[0.9] * 293]
    choice = chosen_for(scores, 0.01)  # two may pass, but with 0.2 six would
    assert choice.passed == 1
    assert choice.limit == np.nextafter(0.2, 0)
    assert choice.bound == 2 / 300


def test_spikes_that_never_pass_count_as_spikes():
    choice = chosen_for([*[0.4] * 2, *[np.inf] * 197], 0.02)
    assert (choice.spikes, choice.passed, choice.limit) == (199, 2, 1.0)


def test_a_score_of_nought_passes_every_limit():
    choice = chosen_for([0.0, *[0.5] * 98], 0.01)
    assert (choice.outcome, choice.limit, choice.bound) == (Outcome.TOO_LAX, None, None)


def test_alpha_is_the_decimal_number_it_is_written_as():
    """0.3 as a float lies below 3/10, so that naive arithmetic would let one fewer pass."""
    assert chosen_for([0.1, 0.2, *[0.9] * 7], 0.3).passed == 2


@pytest.mark.parametrize("alpha", [0.0, 1.0, -0.1, 2.0, float("nan")])
def test_alpha_out_of_range(alpha: float):
    with pytest.raises(UsageError, match="lies between 0 and 1"):
        spikes_needed(alpha)


@pytest.mark.parametrize("score", [-0.1, 1.1, float("nan"), -np.inf])
def test_scores_that_are_no_scores(score: float):
    with pytest.raises(CalibrationError, match="no number from 0 to 1"):
        limits_below(np.array([0.5, score]))


def test_losses_that_fall_with_a_laxer_limit_are_refused():
    """The bound can fail badly for them: arXiv:2602.20151."""
    passes = np.zeros((99, 3), dtype=bool)
    passes[7] = [False, True, False]
    with pytest.raises(CalibrationError, match="not at a laxer one"):
        control_risk(np.array([0.1, 0.2, 0.3]), passes, alpha=0.01)


@pytest.mark.parametrize("limits", [[0.2, 0.1], [0.1, 0.1], [0.1, float("nan")]])
def test_limits_that_do_not_ascend_are_refused(limits: list[float]):
    with pytest.raises(CalibrationError, match="do not ascend"):
        control_risk(np.array(limits), np.zeros((99, 2), dtype=bool), alpha=0.01)


@pytest.mark.parametrize("shape", [(99, 2), (99,)])
def test_answers_that_do_not_fit_the_limits_are_refused(shape: tuple[int, ...]):
    with pytest.raises(CalibrationError, match="do not fit 3 limits"):
        control_risk(np.array([0.1, 0.2, 0.3]), np.zeros(shape, dtype=bool), alpha=0.01)


@pytest.mark.parametrize("alpha", [0.01, 0.05])
@pytest.mark.parametrize("spikes", [99, 150, 199])
def test_a_further_spike_passes_as_seldom_as_promised(spikes: int, alpha: float):
    """Uniform scores: a further one passes with probability ``limit``, known without drawing it.

    Its expectation is ``(k + 1) / (n + 1)`` with k the number allowed to pass, an order statistic
    of the uniform distribution; the paper's bounds are alpha and ``alpha - 2 / (n + 1)``.
    """
    rng = np.random.default_rng(20)
    repeats = 4000
    limits = np.array([chosen_for(rng.random(spikes), alpha).limit for _ in range(repeats)])
    error = limits.std() / np.sqrt(repeats)
    allowed = int(np.floor(alpha * (spikes + 1) - 1 + 1e-9))
    assert limits.mean() == pytest.approx((allowed + 1) / (spikes + 1), abs=4 * error)
    assert alpha - 2 / (spikes + 1) <= limits.mean() <= alpha + 4 * error


def test_the_simulation_tells_a_rule_without_the_finite_sample_term_apart():
    """Passing ``passed / n <= alpha`` breaks the promise: the simulation above can fail."""
    rng = np.random.default_rng(20)
    limits = np.array([np.sort(rng.random(99))[1] for _ in range(4000)])  # alpha 0.0101: one of 99
    assert limits.mean() > 0.0101 + 10 * limits.std() / np.sqrt(len(limits))


def test_ties_never_break_the_promise():
    """Scores of ten values only; a further spike is drawn for every calibration set."""
    rng = np.random.default_rng(21)
    broken = []
    for _ in range(4000):
        scores = rng.choice(np.arange(1, 11) / 10, size=60, p=np.arange(1, 11) / 55)
        choice = chosen_for(scores[:-1], 0.05)
        broken.append(scores[-1] <= (choice.limit if choice.limit is not None else -1))
    assert np.mean(broken) <= 0.05 + 4 * np.sqrt(0.05 * 0.95 / len(broken))


scores_of_spikes = st.lists(
    st.one_of(st.floats(0, 1), st.sampled_from([0.25, 0.5, np.inf])), min_size=1, max_size=60
)
shares = st.sampled_from([0.02, 0.05, 0.1, 0.3, 0.5, 0.9])


@given(scores_of_spikes, shares, st.randoms())
def test_the_order_of_the_spikes_changes_nothing(scores, alpha, random):
    shuffled = scores[:]
    random.shuffle(shuffled)
    assert chosen_for(shuffled, alpha) == chosen_for(scores, alpha)


@given(scores_of_spikes, shares)
def test_what_is_chosen_keeps_the_bound(scores, alpha):
    choice = chosen_for(scores, alpha)
    assert (choice.outcome is Outcome.TOO_FEW) == (len(scores) < spikes_needed(alpha))
    if choice.limit is None:
        return
    assert choice.passed == sum(score <= choice.limit for score in scores)
    assert choice.bound == (choice.passed + 1) / (len(scores) + 1) <= alpha


@given(scores_of_spikes, shares, st.floats(0, 1))
def test_one_more_miss_is_never_laxer(scores, alpha, factor):
    """A spike that scores lower than another did makes the limit no laxer."""
    before = chosen_for(scores, alpha)
    index = int(np.argmax(scores))
    assume(np.isfinite(scores[index]))
    worse = [*scores[:index], scores[index] * factor, *scores[index + 1 :]]
    after = chosen_for(worse, alpha)
    assert (after.limit or 0) <= (before.limit or 0)


@given(scores_of_spikes, st.tuples(shares, shares))
def test_a_smaller_share_is_never_laxer(scores, alphas):
    strict, lax = (chosen_for(scores, alpha) for alpha in sorted(alphas))
    assert (strict.limit or 0) <= (lax.limit or 0)


@given(scores_of_spikes, shares)
def test_twice_the_same_spikes_is_no_stricter(scores, alpha):
    """More data of the same kind: the finite-sample term shrinks, and with it the caution."""
    once, twice = chosen_for(scores, alpha), chosen_for(scores * 2, alpha)
    assert (twice.limit or 0) >= (once.limit or 0)


@given(scores_of_spikes, shares)
def test_spikes_that_pass_on_top_make_it_no_laxer(scores, alpha):
    before = chosen_for(scores, alpha)
    assume(before.limit is not None)
    after = chosen_for([*scores, 0.0], alpha)
    assert (after.limit or 0) <= before.limit
