"""Connects to the database of a place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.language import N_, _

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from spikecheck.store.location import StorePlace

_INSTALL = N_("Install it: pip install 'spikecheck[postgres]'")


def connect(place: StorePlace, *, wait_s: float) -> Engine:
    """Return what connects to the database of ``place``; nothing is opened yet.

    Parameters
    ----------
    place
        Where the store lies.
    wait_s
        How long to wait while another process writes, s.

    Raises
    ------
    StoreError
        If its driver is not installed.
    """
    from sqlalchemy.exc import NoSuchModuleError

    from spikecheck.store.engine import make_engine
    from spikecheck.store.postgresql import BACKEND

    try:
        return make_engine(place.url, wait_s=wait_s)
    except (NoSuchModuleError, ImportError) as error:
        postgresql = place.url.get_backend_name() == BACKEND
        raise StoreError(
            _("no driver for this kind of database is installed"),
            where=place.shown,
            cure=_(_INSTALL) if postgresql else _("Install the driver, or give a folder"),
        ) from error
