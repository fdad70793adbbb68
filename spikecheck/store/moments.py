"""Points in time: always with a time zone, kept in UTC.

SQLite has no type for time zones and would hand back bare times; this type puts UTC back on.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import DateTime
from sqlalchemy.types import TypeDecorator

from spikecheck.errors import UsageError
from spikecheck.language import _

if TYPE_CHECKING:
    from sqlalchemy import Dialect


class UtcDateTime(TypeDecorator[datetime]):
    """A ``datetime`` with time zone, in UTC both ways."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Turn ``value`` to UTC on its way in.

        Raises
        ------
        UsageError
            If it has no time zone.
        """
        if value is None:
            return None
        if value.tzinfo is None:
            raise UsageError(
                _("the time {value} has no time zone").format(value=value.isoformat()),
                cure=_("Give it one"),
            )
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Put UTC on ``value`` on its way out."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


# Of crossing seasons; a day outside of them was typed wrong, and is out of reach of reckoning.
YEARS = range(1900, 2200)


def now() -> datetime:
    """Return the time now, UTC."""
    return datetime.now(UTC)
