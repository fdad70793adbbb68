"""The gallery of a session: a page of tiles, or one spike large; turned by buttons and by keys."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from itertools import islice
from typing import TYPE_CHECKING

import streamlit as st

import resources
from audit_visit import current_audit
from spikecheck.access import Action
from spikecheck.audit import SpikeName
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, in_language, language
from spikecheck.vocabulary import Verdict
from spikecheck.vocabulary.words import spike_name, verdict_word
from who import require_here
from widgets.audit_filters import show_filters
from widgets.audit_spike import show_spike
from widgets.audit_style import TILE, TILES
from widgets.audit_words import VERDICT_SIGNS, label
from widgets.plain import Tone, literal, notice
from widgets.verdict import uncertain_percent

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.supervision.gallery import GalleryPage
    from spikecheck.vocabulary import SpikeRecord

# Letters: arrows belong to whatever choice or slider has the focus.
_BEFORE, _NEXT = "B", "N"
_AHEAD = 2  # pages, so that a quick reader does not catch up with what gets ready
_FACES = 2  # shown on a tile; all of them when the spike is opened


@st.fragment
def show_gallery(session: str) -> None:
    """Show the choices and the chosen page, or the opened spike; the page's other parts stay."""
    require_here(Action.AUDIT)
    try:
        if current_audit().opened is None:
            show_filters(session)
            _show_page(session)
        else:
            _show_opened(session)
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


@st.fragment
def _show_page(session: str) -> None:
    """Show the chosen page; when it turns, only this runs, and the choices above it stay."""
    require_here(Action.AUDIT)
    if current_audit().opened is not None:
        st.rerun()  # a tile was tapped: the choices give way to the spike, too
    try:
        with in_language(language()):  # asked once, not for each word of each tile
            _show_tiles(session)
        resources.settle("gallery")
    except SpikecheckError as error:
        notice(str(error), tone=Tone.PROBLEM)


def _show_tiles(session: str) -> None:
    audit, gallery = current_audit(), resources.gallery()
    page = gallery.page(session, audit.choice, audit.page)
    audit.page = page.number
    if not page.records:
        notice(_("No spike fits this choice."), tone=Tone.HINT)
        return
    _show_turns(page)
    tiles = _tiles(page)
    with st.container(key=TILES):
        for place, (record, html) in enumerate(zip(page.records, tiles, strict=True)):
            name = SpikeName(record.cross, record.spike)
            with st.container(key=f"{TILE}-{place}"):
                st.html(html)
                st.button(
                    label(spike_name(record.cross, record.spike)), key=f"audit-open-{place}",
                    on_click=_open, args=(name,), type="tertiary", width="stretch",
                )  # fmt: skip
    if page.number + 1 < page.pages:
        ahead = gallery.photos_ahead(session, audit.choice, page.number + 1, pages=_AHEAD)
        resources.thumbnails().prepare(ahead)


def _show_turns(page: GalleryPage) -> None:
    told = _("Spikes {first} to {last} of {total}").format(
        first=page.first, last=page.first + len(page.records) - 1, total=page.total
    )
    with st.container(horizontal=True, vertical_alignment="center", key="audit-turns"):
        st.button(
            _("Page before"), key="audit-page-before", on_click=_turn, args=(page.number - 1,),
            disabled=page.number == 0, shortcut=_BEFORE,
        )  # fmt: skip
        st.button(
            _("Next page"), key="audit-page-next", on_click=_turn, args=(page.number + 1,),
            disabled=page.number + 1 >= page.pages, shortcut=_NEXT,
        )  # fmt: skip
        st.text(told)


def _tiles(page: GalleryPage) -> Iterator[str]:
    """Yield the picture and the words of each spike as HTML."""
    shown = [photos[:_FACES] for photos in page.photos]
    wanted = [
        photo
        for record, photos in zip(page.records, shown, strict=True)
        if (record.cross, record.spike) not in page.hidden
        for photo in photos
    ]
    made = iter(resources.thumbnails().of(wanted))
    for record, photos in zip(page.records, shown, strict=True):
        if (record.cross, record.spike) in page.hidden:
            words = escape(_("drawn: hidden until it is read again"))
            yield f'<div class="audit-faces"><span>{words}</span></div>'
            continue
        name = spike_name(record.cross, record.spike)
        faces = "".join(
            _face(one, name, number) for number, one in enumerate(islice(made, len(photos)), 1)
        )
        none = escape(_("no photo"))
        faces = faces or f"<span>{none}</span>"
        told = _told(record, page)
        yield f'<div class="audit-faces">{faces}</div><div class="audit-told">{told}</div>'


def _face(thumbnail: bytes | None, name: str, number: int) -> str:
    if thumbnail is None:
        lacking = escape(_("picture missing or damaged"))
        return f"<span>{lacking}</span>"
    told = escape(_("{spike}, photo {number}").format(spike=name, number=number))
    data = b64encode(thumbnail).decode()
    return f'<img src="data:image/jpeg;base64,{data}" alt="{told}">'


def _told(record: SpikeRecord, page: GalleryPage) -> str:
    if record.verdict is None:
        return escape(_("not checked"))
    sign, word = VERDICT_SIGNS[record.verdict], verdict_word(record.verdict)
    if record.sent_back:  # whatever the check said holds no more
        sign, word = VERDICT_SIGNS[Verdict.REVIEW], _("sent back")
    said = [f"<b>{sign} {escape(word)}</b>"]
    fact = None if record.check is None else page.facts.get(record.check)
    if fact is not None and fact.risk is not None:
        said.append(escape(_("risk {share}").format(share=uncertain_percent(fact.risk))))
    if record.overridden:
        by = _("set by {name}").format(name=record.overridden_by)
        said.append(literal(by))
    return " · ".join(said)


def _show_opened(session: str) -> None:
    audit = current_audit()
    names = [
        SpikeName(one.cross, one.spike) for one in resources.gallery().chosen(session, audit.choice)
    ]
    opened = audit.opened
    if opened is None:
        return
    # A spike opened from the result, or decided since, need not be among those that are chosen.
    inside = opened in names
    here = names.index(opened) if inside else -1
    with st.container(horizontal=True, vertical_alignment="center"):
        st.button(
            _("Back to the gallery"), key="audit-close", on_click=_open, args=(None,),
            shortcut="Esc",
        )  # fmt: skip
        for words, there, key in (
            (_("Spike before"), here - 1, _BEFORE), (_("Next spike"), here + 1, _NEXT),
        ):  # fmt: skip
            there_is = 0 <= there < len(names)
            st.button(
                words, key=f"audit-spike-{key}", on_click=_open, disabled=not there_is,
                args=(names[there] if there_is else opened,), shortcut=key,
            )  # fmt: skip
        if inside:
            st.text(_("{number} of {total}").format(number=here + 1, total=len(names)))
    show_spike(opened)


def _turn(page: int) -> None:
    require_here(Action.AUDIT)
    current_audit().page = page


def _open(spike: SpikeName | None) -> None:
    require_here(Action.AUDIT)
    audit = current_audit()
    audit.opened, audit.told, audit.problems = spike, (), ()
