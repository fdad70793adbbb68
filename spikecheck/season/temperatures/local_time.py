"""Local times of a table without an offset, also where the clock changes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from spikecheck.season.temperatures.problems import CellError

if TYPE_CHECKING:
    from datetime import tzinfo


_DAY = timedelta(days=1)
_CURE = (
    "if the logger's clock does not change between summer and winter, name its time zone with "
    "--zone, such as --zone UTC, or --zone Etc/GMT-1 for UTC+1"
)


def moment_after(before: datetime | None, written: datetime, zone: tzinfo) -> datetime:
    """Return the moment that ``written`` means, UTC.

    Parameters
    ----------
    before
        The moment of the reading before it, UTC, or None for the first. In the hour that comes
        twice in autumn, a time that is not after it means the second pass.
    written
        As it stands in the table; without an offset it is local time of ``zone``.
    zone
        Of local times.

    Raises
    ------
    CellError
        If the clock jumped over it, or it is not after ``before``.
    """
    if written.tzinfo is not None:
        moment = written.astimezone(UTC)
    else:
        moment = written.replace(tzinfo=zone, fold=0).astimezone(UTC)
        if moment.astimezone(zone).replace(tzinfo=None) != written:
            raise CellError(
                f"{written:%Y-%m-%d %H:%M} does not exist: the clock was put forward over it",
                cure=_CURE,
            )
        if before is not None and moment <= before:
            moment = written.replace(tzinfo=zone, fold=1).astimezone(UTC)
    if before is not None and moment <= before:
        raise CellError(
            f"{written:%Y-%m-%d %H:%M} is not after the line before it",
            cure=_CURE if written.tzinfo is None and _changes_near(written, zone) else "",
        )
    return moment


def _changes_near(written: datetime, zone: tzinfo) -> bool:
    """Return whether the clock changes within a day."""
    day_before, day_after = (
        (written + days * _DAY).replace(tzinfo=zone).utcoffset() for days in (-1, 1)
    )
    return day_before != day_after
