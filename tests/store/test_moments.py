from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.exc import StatementError

from spikecheck.errors import UsageError
from spikecheck.store.engine import make_engine, writing
from spikecheck.store.location import find_place
from spikecheck.store.moments import UtcDateTime

if TYPE_CHECKING:
    from collections.abc import Iterator

_TABLE = sa.Table("moments", sa.MetaData(), sa.Column("at", UtcDateTime))
_ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))


@pytest.fixture
def engine(empty_database: str) -> Iterator[sa.Engine]:
    made = make_engine(find_place(empty_database).url, wait_s=0.2)
    with writing(made) as connection:
        _TABLE.create(connection)
    yield made
    made.dispose()


@given(
    at=st.datetimes(datetime(1970, 1, 2), datetime(9999, 12, 30), timezones=_ZONES)  # noqa: DTZ001
)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_time_comes_back_the_same_instant_in_utc(engine: sa.Engine, at: datetime):
    with writing(engine) as connection:
        connection.execute(_TABLE.delete())
        connection.execute(_TABLE.insert().values(at=at))
        found = connection.execute(sa.select(_TABLE.c.at)).scalar_one()
    assert found == at
    assert found.tzinfo is UTC


def test_no_time_stays_no_time(engine: sa.Engine):
    with writing(engine) as connection:
        connection.execute(_TABLE.insert().values(at=None))
        assert connection.execute(sa.select(_TABLE.c.at)).scalar_one() is None


def test_time_without_zone_is_refused(engine: sa.Engine):
    with (
        pytest.raises(StatementError, match=r"2026-06-01T12:00:00 has no time zone\. Give") as told,
        writing(engine) as connection,
    ):
        connection.execute(_TABLE.insert().values(at=datetime(2026, 6, 1, 12)))  # noqa: DTZ001
    assert isinstance(told.value.orig, UsageError)
