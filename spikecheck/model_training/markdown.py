"""Tables for cards, in Markdown."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.evaluation import Row


def table(headings: Sequence[str], lines: Iterable[Sequence[str]]) -> str:
    """Return a table, its first column to the left and the others to the right."""
    rule = ["---", *["---:"] * (len(headings) - 1)]
    return "\n".join(f"| {' | '.join(map(_cell, line))} |" for line in (headings, rule, *lines))


def percent(share: float | None) -> str:
    """Return a share in percent with one digit; nothing when there is none."""
    return "" if share is None else f"{100 * share:.1f} %"


def plain(value: float | None) -> str:
    """Return a number with three digits; nothing when there is none."""
    return "" if value is None else f"{value:.3f}"


def counted(events: int | None, trials: int | None) -> str:
    """Return "events of trials"; nothing where nothing was counted."""
    return "" if not trials else f"{events} of {trials}"


def row_cells(row: Row) -> tuple[str, str, str, str]:
    """Return a row of scores as cells: name, count, value, interval."""
    shares = row.trials is not None
    interval = ""
    if row.low is not None and row.high is not None:
        interval = f"{100 * row.low:.1f} to {100 * row.high:.1f} %"
    value = percent(row.value) if shares else plain(row.value)
    return row.name, counted(row.events, row.trials), value, interval


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
