"""Takes in the photos of one spike: several files, or the camera of the device."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.errors import SpikecheckError
from spikecheck.photo import PHOTO_SUFFIXES
from visit import Step, current_visit
from widgets.plain import show_problems

if TYPE_CHECKING:
    from streamlit.runtime.uploaded_file_manager import UploadedFile


def show_intake() -> None:
    """Show the inputs for photos, then the photos taken so far."""
    visit = current_visit()
    uploads, shot = f"uploads-{visit.round}", f"shot-{visit.round}"
    st.file_uploader(
        "Photos of this spike",
        type=sorted(PHOTO_SUFFIXES),
        accept_multiple_files=True,
        key=uploads,
        on_change=_take_in,
        args=(uploads,),
        max_upload_size=round(resources.thresholds().reading.largest_file_mb),
    )
    st.caption(
        "Photograph two sides of the spike or more, each close up. On a phone, the button above "
        "also opens the phone's own camera."
    )
    if st.toggle("Use the camera inside this page", key="camera"):
        st.caption(
            "Browsers allow this only on the computer that runs spikecheck, or over HTTPS. The "
            "phone's own camera gives sharper photos."
        )
        st.camera_input(
            "Take one side of the spike, then the other",
            key=shot,
            resolution="1080p",
            on_change=_take_in,
            args=(shot,),
        )
    show_problems(visit.problems[Step.PHOTOS])
    _show_taken()


def _take_in(key: str) -> None:
    """Move what the input ``key`` holds to the draft and empty the input."""
    visit = current_visit()
    visit.problems.clear()
    given: list[UploadedFile] | UploadedFile | None = st.session_state[key]
    files = given if isinstance(given, list) else [] if given is None else [given]
    for file in files:
        try:
            visit.draft.add_photo(
                file.getvalue(), file=file.name, thresholds=resources.thresholds()
            )
        except SpikecheckError as error:
            visit.problems[Step.PHOTOS].append(str(error))
    if files:
        visit.round += 1


def _drop(sha256: str) -> None:
    visit = current_visit()
    visit.problems.clear()
    visit.draft.drop_photo(sha256)


def _show_taken() -> None:
    for number, photo in enumerate(current_visit().draft.photos, start=1):
        with st.container(border=True, horizontal=True, vertical_alignment="center"):
            st.image(photo.preview, width=110)
            st.text(f"Photo {number}: {photo.file}", width=190)
            st.button(
                f"Leave out photo {number}",
                key=f"drop-{photo.sha256}",
                on_click=_drop,
                args=(photo.sha256,),
            )
