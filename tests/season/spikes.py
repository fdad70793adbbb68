"""Spikes and temperatures for the season's tests, all invented."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from hypothesis import strategies as st

from spikecheck.season.temperatures import measured_courses, season_course
from spikecheck.thresholds.season import load_season_numbers
from spikecheck.vocabulary.spike_record import SpikeRecord
from spikecheck.vocabulary.temperatures import DailyReading, Recorded
from spikecheck.vocabulary.verdict import Verdict

NUMBERS = load_season_numbers("wheat")
FIRST = datetime(2026, 5, 1, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def place(*means, until=FIRST + 400 * DAY, first=date(2026, 5, 1), numbers=NUMBERS):
    """The temperatures of a place from 1 May 2026 on: one mean a day, then the outlook.

    A mean of None is a day of which nothing is known.
    """
    return season_course([_days(first, means)], until=until, zone=UTC, numbers=numbers)


def measured(*means, first=date(2026, 5, 1), numbers=NUMBERS):
    """The same without an outlook, a course for each time without a gap."""
    return measured_courses([_days(first, means)], zone=UTC, numbers=numbers)


def _days(first, means):
    days = (
        DailyReading(first + k * DAY, mean, mean)
        for k, mean in enumerate(means)
        if mean is not None
    )
    return Recorded(tuple(days), FIRST)


def spike(number=1, *, cross="C-014", **what):
    """A spike as it stands, emasculated on 1 May 2026 at 12:00 UTC unless said otherwise."""
    known = {"place": "House 2", "selected_at": FIRST, "emasculated_at": FIRST + 12 * HOUR}
    return SpikeRecord(cross, number, "wheat", "Ardelle", "Sunno 7", **known | what)


_WAY = ("selected_at", "emasculated_at", "checked_at", "bagged_at", "pollinated_at", "rebagged_at",
        "harvested_at", "threshed_at")  # fmt: skip


@st.composite
def spikes(draw):
    """Any spike that came some way in order, perhaps a control, perhaps given up."""
    steps = draw(st.integers(0, len(_WAY)))
    moment, record = FIRST, {}
    for name in _WAY[:steps]:
        moment += draw(st.integers(0, 400)) * HOUR
        record[name] = moment
    control = draw(st.booleans())
    if control:
        record = {
            name: at for name, at in record.items() if name not in ("pollinated_at", "rebagged_at")
        }
    if "checked_at" in record:
        # Bagged without a valid check is possible, so the verdict may be either.
        record["verdict"] = draw(st.sampled_from(Verdict))
        record["near_anthesis"] = draw(st.booleans())
    if draw(st.integers(0, 9)) == 0:
        record["given_up_at"] = moment
    return SpikeRecord(
        f"C-{draw(st.integers(1, 4)):03}", draw(st.integers(1, 9)),
        draw(st.sampled_from(["wheat", "rice", "barley", "spelt"])), "Ardelle", "Sunno 7",
        place=draw(st.sampled_from(["House 2", "Field", ""])), control=control, **record,
    )  # fmt: skip
