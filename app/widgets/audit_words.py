"""Words and signs that several parts of the audit page share."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import resources
from audit_visit import current_audit
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.language import N_, _, in_language, language
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.audit_steps import Leftovers
from who import require_here

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary.spike_audit import SpikeAudit

VERDICT_SIGNS = {Verdict.PASS: "\N{CHECK MARK}", Verdict.REVIEW: "\N{WARNING SIGN}"}
LEFTOVER_WORDS = {
    Leftovers.NONE: N_("nothing is left"),
    Leftovers.MARKED: N_("something is left"),
    Leftovers.UNSURE: N_("not sure"),
}
_PUNCTUATION = re.compile(r"([!-/:-@\[-`{-~])")


def label(text: str) -> str:
    """Return ``text`` as the label of a button, which is read as Markdown, so that it shows as is.

    CommonMark 0.31, 2.4: every ASCII punctuation character may be escaped by a backslash.
    """
    return _PUNCTUATION.sub(r"\\\1", text)


def reader_words(audit: SpikeAudit) -> str:
    """Return who read a spike a second time, and whether that person knew the first reading."""
    if audit.read_blind:
        return audit.read_by
    return _("{name} (not blind)").format(name=audit.read_by)


def audit_once(seen: int, work: Callable[[str], tuple[str, ...]]) -> None:
    """Do ``work`` in a callback and tell what came of it, once, however often it was tapped.

    Parameters
    ----------
    seen
        How many times the visit had recorded when the button was drawn.
    work
        Takes the name of who does it, and returns what to tell, one line each.
    """
    person = require_here(Action.AUDIT)
    audit = current_audit()
    with in_language(language()), resources.one_writer():  # see `record_once`
        if seen != audit.recorded:
            return
        audit.told = audit.problems = ()
        try:
            audit.told = work(person.name)
        except SpikecheckError as error:
            audit.problems = (str(error),)
            return
        audit.recorded += 1
