"""When to come back, against published days, and the laws of a window."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.errors import SeasonError
from spikecheck.season import (
    ThermalClock,
    WarmthBasis,
    anthers_expected,
    harvest,
    moment_reached,
    receptivity,
    valid_until,
)
from spikecheck.season.clock import growth_range
from spikecheck.thresholds.season import load_season_numbers
from tests.season.spikes import DAY, FIRST, HOUR, NUMBERS, place, spike

ASSUMED = ThermalClock.without_temperatures(NUMBERS)
EMASCULATED = FIRST + 12 * HOUR


def at(air_c, days=400):
    return ThermalClock.of(place(*[air_c] * days, until=FIRST), NUMBERS)


def test_without_temperatures_the_published_days_come_out():
    """Hayes & Garber 1921, p. 70: from 1 day on; about 3 days: common practice; de Vries 1971,
    from memory: receptive for 4 to 13 days."""
    window = receptivity(spike(), ASSUMED)
    assert window.first.middle - EMASCULATED == DAY
    assert window.best.middle - EMASCULATED == 3 * DAY
    assert window.last.middle - EMASCULATED == 8.5 * DAY
    assert window.best.basis is WarmthBasis.ASSUMED
    assert window.last.early < EMASCULATED + 4 * DAY, "and warm days may come"
    assert window.last.late > EMASCULATED + 13 * DAY, "and cool days may come"


@pytest.mark.parametrize(("air_c", "least", "most"), [(22, 2, 3), (12, 4, 6)])
def test_warm_and_cool_days_as_in_practice(air_c, least, most):
    """Common practice: pollination 2 to 3 days after emasculation when warm, 4 to 6 when cool."""
    best = receptivity(spike(), at(air_c)).best.middle
    assert least <= (best - EMASCULATED) / DAY <= most


def test_seed_is_ripe_after_the_published_thermal_time():
    """26 winter wheat cultivars, 2 years: 937 to 956 degree-days, base 0, anthesis to maturity."""
    window = harvest(spike(pollinated_at=EMASCULATED), at(20))
    assert (window.first.middle - EMASCULATED) / DAY == pytest.approx(937 / 20)
    assert (window.last.middle - EMASCULATED) / DAY == pytest.approx(956 / 20)
    assert window.first.middle < window.best.middle < window.last.middle


def test_a_control_ripens_from_its_emasculation():
    assert harvest(spike(control=True), at(20)) == harvest(spike(pollinated_at=EMASCULATED), at(20))


def test_rice_is_pollinated_the_next_morning():
    """Emasculated in the afternoon, pollinated next morning; stigmas live 3 to 7 days (Yoshida
    1981, p. 57)."""
    clock = ThermalClock.without_temperatures(load_season_numbers("rice"))
    afternoon = FIRST + 16 * HOUR
    window = receptivity(spike(emasculated_at=afternoon), clock)
    assert FIRST + DAY + 8 * HOUR <= window.best.middle <= FIRST + DAY + 12 * HOUR
    assert (window.last.middle - afternoon) / DAY == pytest.approx(5)


def test_a_check_with_an_anther_near_anthesis_holds_hours_a_clean_one_a_day():
    clean = spike(checked_at=EMASCULATED)
    near = spike(checked_at=EMASCULATED, near_anthesis=True)
    assert valid_until(clean, at(20)).middle - EMASCULATED == DAY
    assert valid_until(near, at(20)).middle - EMASCULATED == 6 * HOUR


def test_what_lies_in_the_outlook_is_told_and_bounded():
    clock = ThermalClock.of(place(10, 14, 18), NUMBERS)
    window = receptivity(spike(), clock)
    assert window.first.basis is WarmthBasis.MEASURED
    assert window.last.basis is WarmthBasis.OUTLOOK
    middle = moment_reached(
        place(10, 14, 18).course, EMASCULATED, NUMBERS.receptive_last, growth_range(NUMBERS)
    )
    assert abs((window.last.middle - middle).total_seconds()) < 1
    assert window.last.early < window.last.middle < window.last.late


def test_a_place_whose_temperatures_begin_later_is_as_good_as_unknown():
    season = place(25, 25)
    assert not ThermalClock.since(EMASCULATED, season, NUMBERS).assumed
    assert ThermalClock.since(FIRST - HOUR, season, NUMBERS).assumed
    assert ThermalClock.since(EMASCULATED, None, NUMBERS).assumed


def test_beyond_what_is_known_there_is_no_moment():
    clock = ThermalClock.of(place(1, 1, until=FIRST), NUMBERS)
    window = receptivity(spike(), clock)
    assert window.best.middle is None
    assert window.best.basis is WarmthBasis.OUTLOOK


def test_anthers_that_a_complete_emasculation_pulls():
    """Hayes & Garber 1921, p. 71: 16 florets, 48 anthers; rice has 6 a floret."""
    assert anthers_expected(16, NUMBERS) == 48
    assert anthers_expected(10, load_season_numbers("rice")) == 60


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (lambda: receptivity(spike(emasculated_at=None), ASSUMED), "not emasculated yet"),
        (lambda: valid_until(spike(), ASSUMED), "not checked yet"),
        (lambda: harvest(spike(), ASSUMED), "not pollinated yet"),
        (lambda: receptivity(spike(emasculated_at=FIRST - DAY), at(20)), "no temperatures are"),
    ],
)
def test_what_cannot_be_said_yet_is_told(asked, said):
    with pytest.raises(SeasonError, match=said):
        asked()


warmth = st.lists(st.floats(-5, 40), min_size=3, max_size=20)


def moments(window):
    return [window.first, window.best, window.last]


@given(warmth)
def test_bounds_and_windows_are_in_order(means):
    for one in moments(receptivity(spike(), ThermalClock.of(place(*means), NUMBERS))):
        far = datetime.max.replace(tzinfo=FIRST.tzinfo)
        assert (one.early or far) <= (one.middle or far) <= (one.late or far)
    window = receptivity(spike(), ThermalClock.of(place(*means), NUMBERS))
    for part in ("early", "middle", "late"):
        known = [getattr(one, part) for one in moments(window)]
        known = [one for one in known if one is not None]
        assert known == sorted(known)


@given(warmth, st.floats(0.1, 10))
def test_warmer_is_never_later(means, warmer):
    cool = receptivity(spike(), ThermalClock.of(place(*means), NUMBERS))
    warm = receptivity(spike(), ThermalClock.of(place(*[m + warmer for m in means]), NUMBERS))
    for late, early in zip(moments(cool), moments(warm), strict=True):
        assert late.middle is None or early.middle <= late.middle + HOUR / 3600
