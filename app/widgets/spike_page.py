"""The page of one spike: how it stands, what comes next, its history, its checks."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.bookkeeping.next_steps import coming_step
from spikecheck.bookkeeping.recording import as_it_stands
from spikecheck.bookkeeping.standing import standing_line
from spikecheck.language import _, isolated
from spikecheck.vocabulary import StepKind
from spikecheck.vocabulary.tag_code import shown_code
from spikecheck.vocabulary.words import crop_word, spike_name
from visit import current_visit
from who import require_here
from widgets.cautions import show_short_cautions
from widgets.cover import is_covered, show_cover
from widgets.override import show_override
from widgets.plain import Tone, heading, notice
from widgets.recorded_check import show_recorded_check
from widgets.spike_history import show_history
from widgets.step_form import season_now, show_outcome, show_step_form

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.vocabulary import SpikeRecord, Verdict
    from visit import SpikeName


def show_spike_page(store: Store, spike: SpikeName) -> None:
    """Show one spike.

    Raises
    ------
    SpikecheckError
        If the records cannot be read.
    """
    visit = current_visit()
    st.button(_("Back to the list of spikes"), on_click=_back, width="stretch")
    cross, number = spike
    record, season = as_it_stands(store, cross, number), season_now(store)
    heading(_("Spike {cross}/{number}").format(cross=cross, number=number))
    _show_standing(record, standing_line(record, season.zone))
    show_outcome()
    task = next(iter(season.agenda([record])), None)
    coming = coming_step(record, task)
    if task is not None:
        notice(_("Next: {sentence}").format(sentence=task.sentence), tone=Tone.HINT)
    if record.harvested_at is None and record.given_up_at is None:
        _lead_to_check(spike, comes_next=coming is StepKind.CHECKED)
    show_short_cautions()
    st.subheader(_("Record a step"))
    show_step_form(store, (spike,), coming=coming)
    if is_covered(record):
        show_cover(record, key=f"{cross}/{number}")
        return
    show_history(store, spike, zone=season.zone)
    checks = store.checks(cross, number)
    if not checks:
        return
    st.subheader(_("Checks"))
    # Not the one recorded last: older photos may be filed later.
    latest = next(check for check in checks if check.id == record.check)
    show_override(latest, by=visit.by, decide=partial(_decide, check=latest.id))
    for check in checks:
        show_recorded_check(check)


def _back() -> None:
    require_here(Action.SEE_RECORDS)
    current_visit().open_spike(None)


def _show_standing(record: SpikeRecord, line: str) -> None:
    known = [line.removeprefix(f"{spike_name(record.cross, record.spike)}: ")]
    known.append(
        _("Female {female}, male {male}, {crop}").format(
            female=record.female, male=record.male, crop=crop_word(record.crop)
        )
    )
    if record.tag:
        known.append(_("Tag {code}").format(code=shown_code(record.tag)))
    if record.session:
        where = ", ".join(isolated(one) for one in (record.session, record.place) if one)
        known.append(_("Session {session}").format(session=where))
    st.text("\n".join(known))


def _lead_to_check(spike: SpikeName, *, comes_next: bool) -> None:
    if not st.button(
        _("Take photos and check this spike"),
        type="primary" if comes_next else "secondary",
        width="stretch",
    ):
        return
    visit = current_visit()
    if (visit.cross, visit.spike) != spike or visit.draft.recorded is not None:
        visit.begin(spike[1])
    visit.cross, visit.chosen = spike[0], True
    st.switch_page("screens/check.py")


def _decide(
    store: Store, *, verdict: Verdict, by: str, reason: str, earlier: int, check: int
) -> None:  # fmt: skip
    """File a person's word on a check, unless there are more than ``earlier`` by now."""
    with resources.one_writer():
        if len(store.check(check).overrides) == earlier:
            store.override(check, by, reason, verdict)
