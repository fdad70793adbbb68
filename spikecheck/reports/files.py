"""Both files of a session's report, made from the records."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.reports.contents import session_report
from spikecheck.reports.gathering import gather_session
from spikecheck.reports.html_file import report_html
from spikecheck.reports.pdf_file import report_pdf
from spikecheck.reports.small_pictures import make_small_pictures

if TYPE_CHECKING:
    from collections.abc import Callable
    from zoneinfo import ZoneInfo

    from spikecheck.store import Store


@dataclass(frozen=True, slots=True)
class ReportFiles:
    """A report as files.

    Parameters
    ----------
    name
        What to call them, without suffix: the session's id in letters that every disk takes.
    pdf, html
        Bytes of the files.
    """

    name: str
    pdf: bytes
    html: bytes


def report_files(
    store: Store,
    session_id: str,
    *,
    by: str,
    zone: ZoneInfo,
    at: datetime | None = None,
    on_progress: Callable[[int, int], None] | None = None,
) -> ReportFiles:
    """Return the report of a session in the reader's language, English where nobody chose one.

    Parameters
    ----------
    store
        The records.
    session_id
        Id of the session.
    by
        Who makes it; may be empty.
    zone
        Of the moments that it shows.
    at
        When it is made, with time zone; None is now. Two reports of the same records, moment and
        language are the same, byte by byte.
    on_progress
        Called after each picture with how many are made and of how many.

    Raises
    ------
    StoreError
        If there is no such session, or the records cannot be read.
    """
    facts = gather_session(
        store, session_id, made_at=datetime.now(UTC) if at is None else at, made_by=by, zone=zone
    )
    report = session_report(facts, make_small_pictures(store, facts, on_progress=on_progress))
    return ReportFiles(file_name(facts.session.id), report_pdf(report), report_html(report))


def file_name(session_id: str) -> str:
    """Return a name for a file, without suffix, from the id of a session."""
    kept = "".join(one if one.isalnum() or one in "-_" else "_" for one in session_id)
    return f"session_{kept}"
