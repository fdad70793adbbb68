"""What every visit shares: the records, the finder and the thresholds, opened once."""

from __future__ import annotations

import os
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.labelling import LABEL_FOLDER_VARIABLE
from spikecheck.language import _
from spikecheck.store import open_store
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Calibration, Finder, Photo


@st.cache_resource(show_spinner=False)
def store() -> Store:
    """Return the records, where ``SPIKECHECK_STORE`` says or in the user's data folder.

    Raises
    ------
    StoreError
        If they cannot be opened.
    """
    return open_store(None)


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


def label_folder() -> Path | None:
    """Return the folder whose photos may be marked, which the command named; else None."""
    given = os.environ.get(LABEL_FOLDER_VARIABLE)
    return Path(given) if given else None


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


@st.cache_resource(max_entries=4, show_spinner=False)
def _decoded(path: Path, changed_ns: int) -> Photo:  # noqa: ARG001  (part of the cache's key)
    from spikecheck.photo import read_photo

    return read_photo(path, thresholds=thresholds().reading)
