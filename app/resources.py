"""What every visit shares: the records, the finder and the thresholds, opened once."""

from __future__ import annotations

import gc
import os
import threading
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.labelling import LABEL_FOLDER_VARIABLE
from spikecheck.language import _
from spikecheck.store import open_store
from spikecheck.store.people_place import people_file
from spikecheck.thresholds import load_thresholds
from spikecheck.thresholds.access import load_access

if TYPE_CHECKING:
    from spikecheck.access.door import Door
    from spikecheck.access.people_file import PeopleFile
    from spikecheck.coaching import Pool
    from spikecheck.practice import Mark
    from spikecheck.store import RecordedPhoto, Store
    from spikecheck.supervision.covering import Lookers
    from spikecheck.supervision.gallery import Gallery
    from spikecheck.supervision.thumbnails import Thumbnails
    from spikecheck.thresholds import Thresholds
    from spikecheck.thresholds.practice import PracticeThresholds
    from spikecheck.vocabulary import Calibration, Finder, Photo


_ONE_DOOR = threading.Lock()


@st.cache_resource(show_spinner=False)
def store() -> Store:
    """Return the records, where ``SPIKECHECK_STORE`` says or in the user's data folder.

    Raises
    ------
    StoreError
        If they cannot be opened.
    """
    return open_store(None)


def door() -> Door:
    """Return what lets people in, for the people file that belongs to the records.

    Raises
    ------
    StoreError
        If the place of the records cannot be understood.
    """
    with _ONE_DOOR:  # two visitors who come first together must find the same one
        return _door(people_file(None))


@cache
def _door(file: PeopleFile) -> Door:
    from spikecheck.access.door import Door

    return Door(file, load_access())


@st.cache_resource(show_spinner=False)
def gallery() -> Gallery:
    """Return the galleries of the sessions in the records."""
    from spikecheck.supervision.gallery import Gallery

    return Gallery(store())


@st.cache_resource(show_spinner=False)
def lookers() -> Lookers:
    """Return who looked at covered first readings, of all visits, by name."""
    from spikecheck.supervision.covering import Lookers

    return Lookers()


@st.cache_resource(show_spinner=False)
def thumbnails() -> Thumbnails:
    """Return the thumbnails of the overlays in the records; what is out of use is swept away."""
    from spikecheck.supervision.thumbnails import Thumbnails, thumbnail_folder

    made = Thumbnails(thumbnail_folder(), store().overlay)
    made.sweep()
    return made


@st.cache_resource(show_spinner=False)
def one_writer() -> threading.Lock:
    """Return what lets one visitor at a time look at a spike and then record on it."""
    return threading.Lock()


@st.cache_resource(show_spinner=False)
def finder() -> Finder:
    """Return what looks at the photos, with the calibration in force.

    Raises
    ------
    CalibrationError
        If the user's own calibration cannot be used.
    """
    from spikecheck.pipeline.finders import default_finder

    return default_finder(thresholds(), calibration())


@st.cache_resource(show_spinner=False)
def calibration() -> Calibration | None:
    """Return the user's own calibration as it was when the page began, or None without one.

    Raises
    ------
    CalibrationError
        If it cannot be used.
    """
    from spikecheck.pipeline.calibration_choice import own_calibration

    return own_calibration(None)


def thresholds() -> Thresholds:
    """Return the numbers that decide."""
    return load_thresholds()


@cache
def settle(part: str) -> None:  # noqa: ARG001  (once a part)
    """Leave what is loaded by now out of every later search for garbage.

    Streamlit searches all objects after each tap, and meanwhile nothing more of the page is sent:
    with the libraries of the first visits among them that costs a third of the tap. The visits of
    that moment are left out as well, so what they hold may stay until the server ends: a few of
    them, once a part.

    Parameters
    ----------
    part
        Part of the app that was just shown, whose libraries are loaded by now.
    """
    gc.collect()
    gc.freeze()


def label_folder() -> Path | None:
    """Return the folder whose photos may be marked, which the command named; else None."""
    given = os.environ.get(LABEL_FOLDER_VARIABLE)
    return Path(given) if given else None


def moment() -> datetime:
    """Return the server's time, UTC: it says how long a photo was looked at."""
    return datetime.now(UTC)


@st.cache_resource(show_spinner=False)
def practice_numbers() -> PracticeThresholds:
    """Return the numbers of practice as they were when the page began.

    Raises
    ------
    ThresholdError
        If the programme's own ones cannot be used.
    """
    from spikecheck.coaching import numbers_in_force

    return numbers_in_force(os.environ)


def practice_pool() -> Pool | None:
    """Return the photos to practise with, or None where no folder was named.

    Raises
    ------
    UsageError
        If a folder is none, or holds no photo.
    """
    from spikecheck.coaching import practice_folders

    folders = practice_folders(os.environ)
    if not folders:
        return None
    changed = tuple(one.stat().st_mtime_ns if one.exists() else 0 for one in folders)
    return _pool(folders, changed)


@st.cache_resource(max_entries=2, show_spinner=False)
def _pool(folders: tuple[Path, ...], changed_ns: tuple[int, ...]) -> Pool:  # noqa: ARG001  (key)
    from spikecheck.coaching import read_pool

    return read_pool(folders, practice_numbers())


@st.cache_resource(show_spinner=False)
def practice_marks() -> dict[tuple[int, int], tuple[Mark, ...]]:
    """Return the marks set so far on photos on view, by session and place in it.

    They outlive a page that is loaded again, and nothing else: only an answer is recorded.
    """
    return {}


def photo_to_mark(path: Path) -> Photo:
    """Return one photo, decoded; the last few are kept, unless their file changes.

    Raises
    ------
    PhotoError
        If it cannot be read.
    """
    from spikecheck.errors import PhotoError

    try:
        changed_ns = path.stat().st_mtime_ns
    except OSError as error:
        raise PhotoError(
            _("cannot be read ({reason})").format(reason=error.strerror),
            where=path.name,
            cure=_("Bring the photo back"),
        ) from error
    return _decoded(path, changed_ns)


def filed_photo(photo: RecordedPhoto) -> Photo:
    """Return one photo of the records, decoded; the last few are kept.

    Raises
    ------
    StoreError
        If it is missing or damaged.
    PhotoError
        If it cannot be decoded.
    """
    return _filed(photo.sha256, photo)


@st.cache_resource(max_entries=4, show_spinner=False)
def _filed(sha256: str, _photo: RecordedPhoto) -> Photo:
    from spikecheck.photo import decode_photo

    # Not under its own name: what someone called it may tell what is in it.
    return decode_photo(
        store().photo(_photo), file=f"photo {sha256[:8]}", thresholds=thresholds().reading
    )


@st.cache_resource(max_entries=4, show_spinner=False)
def _decoded(path: Path, changed_ns: int) -> Photo:  # noqa: ARG001  (part of the cache's key)
    from spikecheck.photo import read_photo

    return read_photo(path, thresholds=thresholds().reading)
