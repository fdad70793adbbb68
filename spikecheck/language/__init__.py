"""Words, dates and numbers in the reader's language.

English is what stands in the code, wrapped in :func:`_`, :func:`ngettext` or :func:`pgettext`
(GNU gettext); other languages lie in ``catalogue/``. Where nobody chose a language (commands,
records, logs) texts stay English and days and numbers keep their ISO spelling, so that files and
scripts do not depend on who made them.
"""

from spikecheck.language.chosen import (
    LANGUAGES,
    Language,
    ask_for_language,
    in_language,
    language,
    language_of_locale,
)
from spikecheck.language.isolates import goes_right_to_left, isolated, without_isolates
from spikecheck.language.numbers import day, day_and_time, listing, number, percent, weekday
from spikecheck.language.words import N_, NN_, _, ngettext, pgettext

__all__ = [
    "LANGUAGES",
    "NN_",
    "N_",
    "Language",
    "_",
    "ask_for_language",
    "day",
    "day_and_time",
    "goes_right_to_left",
    "in_language",
    "isolated",
    "language",
    "language_of_locale",
    "listing",
    "ngettext",
    "number",
    "percent",
    "pgettext",
    "weekday",
    "without_isolates",
]
