"""Cells of CSV tables that no spreadsheet takes for a formula.

A text that a spreadsheet would calculate gets one apostrophe before it; reading takes exactly
that one away again. A text that has apostrophes before such a character of its own gets one more,
so that every text comes back as it was.

References
----------
OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return.
"""

from __future__ import annotations

import math
import re
from datetime import date, datetime
from enum import Enum

from spikecheck.errors import UsageError

Cell = str | int | float | bool | date | datetime | None

# Besides the ASCII characters their full-width and small forms, which spreadsheets in East Asian
# settings read alike; blanks before them do not always help.
_FORMULA = r"=+\-@＝＋－＠﹦﹢﹣﹫"  # noqa: RUF001
_TO_GUARD = re.compile(rf"'*(?:[\t\r\n]|\s*[{_FORMULA}])")
_GUARDED = re.compile(rf"'+(?:[\t\r\n]|\s*[{_FORMULA}])")


def guarded(text: str) -> str:
    """Return ``text`` as it is safe in a cell."""
    return f"'{text}" if _TO_GUARD.match(text) else text


def unguarded(cell: str) -> str:
    """Return the text that :func:`guarded` made ``cell`` of."""
    return cell[1:] if _GUARDED.match(cell) else cell


def written(cell: Cell) -> str:
    """Return ``cell`` as it stands in a file.

    Numbers stay numbers, also negative ones; yes and no stand for true and false; days and moments
    are written in ISO 8601; None is an empty cell.

    Raises
    ------
    UsageError
        If a number is not finite.
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float):
        if not math.isfinite(cell):
            raise UsageError(f"{cell} cannot stand in a table", cure="Leave the cell empty")
        return str(cell)
    if isinstance(cell, date | datetime):
        return cell.isoformat()
    return guarded(str(cell.value) if isinstance(cell, Enum) else cell)
