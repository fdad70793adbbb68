"""What every visit shares: the records, the finder and the thresholds, opened once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from spikecheck.store import open_store
from spikecheck.thresholds import load_thresholds

if TYPE_CHECKING:
    from spikecheck.store import Store
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Finder


@st.cache_resource(show_spinner="Opening the records")
def store() -> Store:
    """Return the records, where ``SPIKECHECK_STORE`` says or in the user's data folder.

    Raises
    ------
    StoreError
        If they cannot be opened.
    """
    return open_store(None)


@st.cache_resource(show_spinner="Getting ready")
def finder() -> Finder:
    """Return what looks at the photos."""
    from spikecheck.pipeline.finders import default_finder

    return default_finder(thresholds())


def thresholds() -> Thresholds:
    """Return the numbers that decide."""
    return load_thresholds()
