"""Where the people file lies: beside the records, unless it is named."""

from __future__ import annotations

import os
from pathlib import Path

from spikecheck.access.people_file import PEOPLE_NAME, PEOPLE_VARIABLE, PeopleFile
from spikecheck.store.location import find_place


def people_file(location: str | None) -> PeopleFile:
    """Return the people file of the records at ``location``.

    Parameters
    ----------
    location
        Where the records are, as for :func:`spikecheck.store.open_store`. The environment variable
        SPIKECHECK_PEOPLE comes before it, and names a file that has to be there to be read.

    Raises
    ------
    StoreError
        If the place of the records cannot be understood or made.
    """
    named = os.environ.get(PEOPLE_VARIABLE)
    if named:
        return PeopleFile(Path(named).expanduser(), expected=True)
    return PeopleFile(find_place(location).photos.parent / PEOPLE_NAME)
