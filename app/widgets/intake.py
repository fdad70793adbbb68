"""Takes in photos of one spike: files, the phone's camera, or the camera inside the page."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import streamlit as st

import resources
from kept import begin, keep
from spikecheck.access import Action
from spikecheck.bookkeeping.bench import photos_most
from spikecheck.errors import SpikecheckError
from spikecheck.language import _, ngettext
from spikecheck.photo import PHOTO_SUFFIXES
from visit import Step, current_visit
from who import require_here
from widgets.bench_style import CAMERA
from widgets.plain import show_problems

if TYPE_CHECKING:
    from collections.abc import Sequence

    from streamlit.runtime.uploaded_file_manager import UploadedFile


def ask_for_photo(
    label: str, *, name: str, instead_of: Sequence[str] = (), main: bool = True, anew: bool = False
) -> None:
    """Show one large control that opens the camera of a phone, or the files of a computer.

    Parameters
    ----------
    label
        What is asked for.
    name
        Tells it from other such controls on the page.
    instead_of
        SHA-256 of the photos whose place the new one takes.
    main
        Whether it is the next thing to do; it is coloured then.
    anew
        Whether the photo begins another check of the same spike.
    """
    key = f"{name}-{current_visit().round}"
    box = f"{CAMERA}-{'main' if main else 'other'}-{name}"
    with st.container(key=box):
        # The control says what it is for itself: its own words are English on every page.
        refused = _("This file cannot be taken: it is not a photo, or it is too large.")
        st.html(
            f"<style>.st-key-{box} [data-testid=stFileUploaderDropzone] button::after "
            f"{{content: {_quoted(label)}}}"
            f".st-key-{box} [data-testid=stFileChip] [role=alert]::after "
            f"{{content: {_quoted(refused)}}}</style>"
        )
        st.file_uploader(
            label,
            type=["image/*", *sorted(PHOTO_SUFFIXES)],  # the first lets phones offer the camera
            accept_multiple_files=True,
            key=key,
            on_change=_take_in,
            args=(key, tuple(instead_of), anew),
            max_upload_size=round(resources.thresholds().reading.largest_file_mb),
            label_visibility="collapsed",
        )


def offer_camera_here() -> None:
    """Offer the camera inside the page, where browsers allow it."""
    visit = current_visit()
    if not st.toggle(_("Use the camera inside this page"), key="camera"):
        return
    st.caption(
        _(
            "Browsers allow this only on the computer that runs spikecheck, or over HTTPS. The "
            "phone's own camera gives sharper photos."
        )
    )
    shot = f"shot-{visit.round}"
    # The words of its button are English on every page.
    words = _quoted(_("Take the photo"))
    st.html(
        "<style>[data-testid=stCameraInputButton] {font-size: 0}"
        f"[data-testid=stCameraInputButton]::after {{font-size: 1rem; content: {words}}}</style>"
    )
    st.camera_input(
        _("Take one side of the spike, then the other"),
        key=shot,
        resolution="1080p",
        on_change=_take_in,
        args=(shot, (), False),
    )


def show_taken() -> None:
    """Show the photos of this check, each with a way to leave it out again."""
    photos = current_visit().draft.photos
    count = len(photos)
    with st.expander(ngettext("{n} photo of this spike", "{n} photos of this spike", count)
                     .format(n=count)):  # fmt: skip
        for number, photo in enumerate(photos, start=1):
            title = _("Photo {n}: {file}").format(n=number, file=photo.file)
            with st.container(border=True, horizontal=True, vertical_alignment="center"):
                st.image(photo.preview, width=110, alt=_("Photo {n}").format(n=number))
                st.text(title, width=190)
                st.button(
                    _("Leave out photo {n}").format(n=number),
                    key=f"drop-{photo.sha256}",
                    on_click=_drop,
                    args=(photo.sha256,),
                )


def show_photo_problems() -> None:
    """Show what went wrong with the files that came last."""
    show_problems(current_visit().problems[Step.PHOTOS])


def room_for_more() -> bool:
    """Return whether another face may be added."""
    return len(current_visit().draft.photos) < photos_most()


def _quoted(words: str) -> str:
    """Return ``words`` as a string of a style sheet, which no markup can end."""
    return json.dumps(words, ensure_ascii=False).replace("<", "\\3c ")


def _take_in(key: str, instead_of: tuple[str, ...], anew: bool) -> None:  # noqa: FBT001
    """Move what the input ``key`` holds to the draft and empty the input."""
    require_here(Action.CHECK)
    visit = current_visit()
    given: list[UploadedFile] | UploadedFile | None = st.session_state[key]
    files = given if isinstance(given, list) else [] if given is None else [given]
    if not files:
        return
    if anew:
        chosen = visit.chosen
        begin(visit.spike)
        visit.chosen = chosen
    visit.forget_outcome()
    for file in files:
        try:
            visit.draft.add_photo(
                file.getvalue(),
                file=file.name,
                thresholds=resources.thresholds(),
                instead_of=instead_of,
            )
        except SpikecheckError as error:
            visit.problems[Step.PHOTOS].append(str(error))
    visit.round += 1
    keep()


def _drop(sha256: str) -> None:
    require_here(Action.CHECK)
    visit = current_visit()
    visit.problems.clear()
    visit.draft.drop_photo(sha256)
    keep()
