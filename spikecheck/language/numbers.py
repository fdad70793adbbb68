"""Days, moments and numbers as the reader's language writes them (Unicode CLDR, through Babel).

Where nobody chose a language: ISO 8601 days, decimal points, per cent with a blank.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.language.chosen import Language, language
from spikecheck.language.isolates import isolated

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

# English as most of the world writes days: 5 May 2026 cannot be taken for the fifth of May in one
# country and something else in another.
_LOCALES = {Language.ENGLISH: "en_GB", Language.SPANISH: "es"}


def day(when: date) -> str:
    """Return a day: ``2026-05-04`` without a language, else like ``4 May 2026``."""
    chosen = language()
    if chosen is None:
        return f"{when:%Y-%m-%d}"
    from babel.dates import format_date

    return format_date(when, "d MMM y", locale=_LOCALES[chosen])


def weekday(when: date) -> str:
    """Return a day with its weekday: ``Mon 2026-05-04``, else like ``Mon 4 May 2026``."""
    chosen = language()
    if chosen is None:
        return f"{when:%a %Y-%m-%d}"
    from babel.dates import format_date

    return format_date(when, "EEE d MMM y", locale=_LOCALES[chosen])


def day_and_time(when: datetime) -> str:
    """Return a moment to the minute, in the zone it is given in: ``2026-05-04 14:05``."""
    return f"{day(when)} {when:%H:%M}"


def number(value: float, digits: int = 0) -> str:
    """Return a number with ``digits`` decimals: ``1.5``, in Spanish ``1,5``; no grouping."""
    plain, chosen = f"{value:z.{digits}f}", language()  # z: no minus before a nought
    if chosen is None:
        return plain
    from babel.numbers import get_decimal_symbol

    # Rounded by Python in every language: a figure must not change with who reads it.
    return plain.replace(".", get_decimal_symbol(_LOCALES[chosen]))


def percent(share: float, digits: int = 0) -> str:
    """Return a share 0..1 as per cent, with a no-break space before the sign (SI, ISO 80000-1)."""
    blank = " " if language() is None else "\N{NO-BREAK SPACE}"
    return f"{number(100 * share, digits)}{blank}%"


def listing(parts: Sequence[str]) -> str:
    """Return parts as a list in a sentence: ``a, b and c``; empty without parts."""
    from babel.lists import format_list

    chosen = language() or Language.ENGLISH
    parts = parts if language() is None else [isolated(one) for one in parts]
    return format_list(list(parts), locale=_LOCALES[chosen]) if parts else ""
