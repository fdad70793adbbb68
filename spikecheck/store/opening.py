"""Opens the records: finds the place, connects, brings the tables up to date."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spikecheck.store.store import Store

_WAIT_S = 20.0
# In the photo folder: it is there for both kinds of database, and may be written to.
_DRAFTS = "drafts"


def open_store(location: str | None = None, *, wait_s: float = _WAIT_S, make: bool = True) -> Store:
    """Open the store.

    Parameters
    ----------
    location
        A folder, or the URL of a database such as ``postgresql://user@host/name`` (then the
        photos go to the folder named by the environment variable SPIKECHECK_PHOTOS; with an
        SQLite URL, else beside the database file). None takes the environment variable
        SPIKECHECK_STORE, or else the user's data folder.
    wait_s
        How long to wait while another process writes, s.
    make
        Whether to make a store where there is none.

    Returns
    -------
    Store
        Close it, or use it in a ``with`` statement.

    Raises
    ------
    StoreError
        If it cannot be opened: no such place, no server, no right, locked, no database, damaged,
        or written by a newer spikecheck; or there is none and none is to be made.
    """
    # Loaded here: the database library is heavy, and a command that needs no store starts fast.
    from spikecheck.store.connecting import connect
    from spikecheck.store.drafts import DraftFiles
    from spikecheck.store.failures import told_plainly
    from spikecheck.store.location import find_place, refuse_nothing
    from spikecheck.store.photo_files import PhotoFiles
    from spikecheck.store.revisions import bring_to_head
    from spikecheck.store.store import Store

    if not make:
        refuse_nothing(location)
    place = find_place(location)
    engine = connect(place, wait_s=wait_s)
    try:
        with told_plainly(place.shown):
            bring_to_head(engine, where=place.shown)
    except BaseException:
        engine.dispose()
        raise
    photos = PhotoFiles(place.photos)
    photos.sweep()
    drafts = DraftFiles(place.photos / _DRAFTS)
    return Store(engine, photos, drafts, location=place.shown)
