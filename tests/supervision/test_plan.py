"""The plan of a session: risks kept, the standard beside it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from spikecheck.errors import UsageError
from spikecheck.supervision import session_plan
from spikecheck.supervision.charts import plan_chart


@given(st.integers(1, 300), st.sampled_from([0.01, 0.02, 0.05, 0.1]))
def test_a_session_so_bad_passes_no_more_often_than_said(lot: int, share: float):
    planned = session_plan(lot, detect_share=share, miss_risk=0.1)
    plan = planned.plan
    assert planned.detect >= share * lot - 1e-9
    passes = hypergeom.cdf(plan.accept, lot, planned.detect, plan.sample)
    assert passes <= 0.1 + 1e-12  # equal but for a rounding is kept
    assert planned.missed == pytest.approx(passes)
    if plan.sample > 1 and plan.accept == 0:  # one spike less would not do
        assert hypergeom.cdf(0, lot, planned.detect, plan.sample - 1) > 0.1 + 1e-12


def test_the_reference_plan_of_two_hundred_spikes():
    """Code letter G for lots of 151 to 280 at level II (ISO 2859-1, Table 1)."""
    planned = session_plan(200)
    assert planned.reference is not None
    assert planned.reference.code_letter == "G"
    assert "acceptance numbers are from memory" in planned.reference_sentence
    assert session_plan(1).reference is None
    assert session_plan(1).reference_sentence == ""


@pytest.mark.parametrize("given", [{"detect_share": 0.0}, {"detect_share": 1.2},
                                   {"detect_share": 0.05, "good_share": 0.05}])  # fmt: skip
def test_shares_out_of_range_are_refused(given: dict[str, float]):
    with pytest.raises(UsageError):
        session_plan(50, **given)


def test_an_empty_lot_has_no_plan():
    with pytest.raises(UsageError, match="no spike of the session"):
        session_plan(0)


def test_the_curve_begins_at_one_and_shows_what_is_to_be_noticed():
    planned = session_plan(200)
    curve, noticed = plan_chart(planned).series
    assert curve.points[0] == (0.0, 1.0)
    shares = [share for _bad, share in curve.points]
    assert shares == sorted(shares, reverse=True)
    assert noticed.points == ((float(planned.detect), planned.missed),)
    assert curve.points[planned.detect][1] == pytest.approx(planned.missed)


@pytest.mark.parametrize(
    ("lot", "asked", "told"),
    [
        (1, {}, "Look at the one spike of the session: nothing is left to the draw"),
        (3, {}, "Look at all 3 spikes: nothing is left to the draw. The session passes"),
        (2, {"detect_share": 0.5, "miss_risk": 0.5}, "Look at 1 of 2 spikes; the session passes"),
        (185, {}, "Look at 38 of 185 spikes; the session passes if none of them is bad. If 10 of"),
        (185, {"detect_share": 0.1, "miss_risk": 0.05, "good_share": 0.01,
               "false_alarm_risk": 0.1}, "Look at 41 of 185 spikes; the session passes with 1 bad"),
    ],
)  # fmt: skip
def test_a_plan_is_told_as_one_would_say_it(lot, asked, told):
    assert session_plan(lot, **asked).sentence.startswith(told)


def test_a_small_probability_is_not_told_as_none():
    """Hypergeometric: none of the 10 bad spikes of 200 is in the sample."""
    planned = session_plan(200, miss_risk=0.004)
    assert planned.missed == pytest.approx(hypergeom.cdf(0, 200, 10, planned.plan.sample))
    assert planned.sentence.endswith("with a probability of 0.4 %.")
    assert session_plan(200, miss_risk=1e-4).sentence.endswith("with a probability of 0.010 %.")
    assert session_plan(200).sentence.endswith("with a probability of 9 %.")
