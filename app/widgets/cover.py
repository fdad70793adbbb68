"""First readings that are covered on every page until the second one, and a button to see them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.language import _
from spikecheck.supervision.covering import Lookers, is_to_be_covered
from who import allowed, current_person, require_here
from widgets.plain import Tone, faint, notice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary import SpikeRecord

_NAMELESS = "looked-without-a-name"


def is_covered(record: SpikeRecord) -> bool:
    """Return whether the first reading of a spike is covered for this visit's person."""
    if not allowed(Action.AUDIT):
        return False
    return is_to_be_covered(record, current_person().name) and not has_looked(record)


def has_looked(record: SpikeRecord) -> bool:
    """Return whether this visit's person chose to see the first reading of a spike.

    Whoever looked in this tab without a name may be anybody who gives one later.
    """
    if _of_this_tab().looked("", record):
        return True
    name = current_person().name
    return bool(name) and resources.lookers().looked(name, record)


def look(records: Sequence[SpikeRecord]) -> None:
    """Note that this visit's person is shown the first readings of these spikes."""
    name = current_person().name
    (resources.lookers() if name else _of_this_tab()).look(name, records)


def show_cover(record: SpikeRecord, *, key: str) -> None:
    """Show that the first reading of a spike is covered, and a button to see it all the same."""
    notice(
        _("Drawn for a second reading and not read yet: its first verdict is covered until then."),
        tone=Tone.HINT,
    )
    st.button(
        _("Show it all the same"), key=f"uncover-{key}", on_click=_uncover, args=(record,),
        width="stretch",
    )  # fmt: skip
    faint(_("If you read it a second time after that, your reading is recorded as not blind."))


def _uncover(record: SpikeRecord) -> None:
    require_here(Action.SEE_RECORDS)
    look([record])


def _of_this_tab() -> Lookers:
    if _NAMELESS not in st.session_state:
        st.session_state[_NAMELESS] = Lookers()
    lookers: Lookers = st.session_state[_NAMELESS]
    return lookers
