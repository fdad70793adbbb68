"""Round numbers along an axis."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.charts import Chart, Series
from spikecheck.charts.frame import frame
from spikecheck.charts.ticks import axis_ends, ticks
from spikecheck.language import Language, in_language

SPANS = st.tuples(
    st.floats(-1e6, 1e6).map(lambda value: round(value, 6)), st.floats(1e-4, 1e6)
).map(lambda pair: (pair[0], pair[0] + pair[1]))


@given(SPANS, st.integers(2, 12))
def test_ticks_are_round_rise_and_lie_on_the_axis(span, most):
    low, high = span
    found = ticks(low, high, most=most, as_percent=False, whole=False)
    assert len(found.at) >= 2
    steps = [after - before for before, after in zip(found.at, found.at[1:], strict=False)]
    assert all(step == pytest.approx(steps[0], rel=1e-4) for step in steps)
    slack = (high - low) * 1e-6
    assert low - slack <= found.at[0]
    assert found.at[-1] <= high + slack
    mantissa = float(f"{steps[0]:.4e}".split("e")[0])
    assert mantissa in {1, 2, 2.5, 5}


def test_per_cents_and_decimal_marks():
    found = ticks(0, 0.1, most=5, as_percent=True, whole=False)
    assert found.words() == ["0.0 %", "2.5 %", "5.0 %", "7.5 %", "10.0 %"]
    with in_language(Language.SPANISH):
        assert found.words()[1] == "2,5\N{NO-BREAK SPACE}%"


def test_whole_things_have_whole_ticks():
    assert ticks(1, 3, most=12, as_percent=False, whole=True).words() == ["1", "2", "3"]
    assert ticks(1, 1000, most=6, as_percent=False, whole=True).at[-1] == 1000


@pytest.mark.parametrize(
    ("values", "as_percent", "ends"),
    [
        ([0.02, 0.18], True, (0, 0.2)),
        ([0.2, 1.0], True, (0, 1)),
        ([0.0, 0.0], True, (0, 0.1)),
        ([3, 4], False, (3, 4)),
        ([1, 4], False, (0, 4)),
        ([-1.2, 3.1], False, (-2, 4)),
        ([], False, (0, 1)),
        ([5.0], False, (0, 6)),
    ],
)
def test_the_ends_of_the_y_axis(values, as_percent, ends):
    assert axis_ends(values, as_percent=as_percent) == pytest.approx(ends)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=20))
def test_shares_never_get_an_axis_beyond_all(values):
    low, high = axis_ends(values, as_percent=True)
    assert low == pytest.approx(0)
    assert max(values) <= high + 1e-9
    assert high <= 1


@pytest.mark.parametrize(("share", "top"), [(0.0, "10 %"), (1.0, "100 %")])
def test_shares_that_are_all_0_or_1_have_an_axis_of_shares(share, top):
    chart = Chart("", "", "", "", (Series("", ((0.0, 0.0), (1.0, share))),), y_percent=True)
    words = frame(chart, width=560.0, top=0.0).y_ticks.words()
    assert words[-1].startswith(top.split()[0])
    assert len(words) > 2
