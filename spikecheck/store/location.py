"""Where the records lie: a folder, or a database of one's own with a photo folder.

A folder holds everything: ``spikecheck.sqlite`` and ``photos/``. With a database URL the photos
go to the folder named by ``SPIKECHECK_PHOTOS``; for an SQLite URL they may also stay beside the
database file.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.language import _
from spikecheck.store.durable import make_folder
from spikecheck.store.postgresql import DRIVER, PLAIN_NAMES

if TYPE_CHECKING:
    from sqlalchemy import URL

STORE_VARIABLE = "SPIKECHECK_STORE"
PHOTOS_VARIABLE = "SPIKECHECK_PHOTOS"
DATABASE_NAME = "spikecheck.sqlite"
PHOTOS_NAME = "photos"


@dataclass(frozen=True, slots=True)
class StorePlace:
    """Database and photo folder of one store.

    Parameters
    ----------
    url
        SQLAlchemy URL; may hold a password, so it is never shown.
    shown
        The same for people: a folder, or the URL without its password.
    photos
        Folder of the photos.
    """

    url: URL
    shown: str
    photos: Path


def refuse_nothing(location: str | None) -> None:
    """Find out whether a folder holds records, making nothing.

    What is no folder, or cannot be one, is told when it is opened; so does a database server.

    Raises
    ------
    StoreError
        If there are none.
    """
    given = location or os.environ.get(STORE_VARIABLE) or None
    if given is None:
        import platformdirs

        given = str(platformdirs.user_data_path("spikecheck", appauthor=False))
    folder = Path(given).expanduser()
    cannot_be = folder.is_file() or not folder.parent.is_dir()
    if "://" in given or cannot_be or (folder / DATABASE_NAME).exists():
        return
    raise StoreError(
        _("no records are there"),
        where=given,
        cure=_("Mend --store or {store_variable}; nothing was made").format(
            store_variable=STORE_VARIABLE
        ),
    )


def find_place(location: str | None) -> StorePlace:
    """Return where the store of ``location`` lies, making its folder where it lacks.

    Parameters
    ----------
    location
        A folder or an SQLAlchemy URL. None takes the environment variable SPIKECHECK_STORE, or
        else the user's data folder.

    Raises
    ------
    StoreError
        If the folder's parent does not exist, the folder cannot be made, the URL is not
        understood, keeps nothing, or comes without a photo folder.
    """
    given = location or os.environ.get(STORE_VARIABLE) or None
    if given is None:
        import platformdirs

        folder = platformdirs.user_data_path("spikecheck", appauthor=False)
        return _in_folder(folder, make_parents=True)
    if "://" in given:
        return _in_database(given)
    return _in_folder(Path(given).expanduser(), make_parents=False)


def _in_folder(folder: Path, *, make_parents: bool) -> StorePlace:
    _make(folder, make_parents=make_parents)
    database = (folder / DATABASE_NAME).resolve()
    from sqlalchemy import URL

    url = URL.create("sqlite", database=str(database))
    return StorePlace(url, str(folder), folder / PHOTOS_NAME)


def _in_database(given: str) -> StorePlace:
    from sqlalchemy import make_url
    from sqlalchemy.exc import ArgumentError

    try:
        url = make_url(given)
    except (ArgumentError, ValueError) as error:
        raise StoreError(
            _("the database address is not understood"),
            cure=_("Write it like postgresql://user@host/name, or give a folder"),
        ) from error
    shown = _without_secrets(url)
    if url.get_backend_name() in PLAIN_NAMES:
        url = url.set(drivername=DRIVER)
    photos = os.environ.get(PHOTOS_VARIABLE) or None
    if url.get_backend_name() == "sqlite":
        file = (url.database or "").removeprefix("file:")
        if file in {"", ":memory:"} or url.query.get("mode") == "memory":
            raise StoreError(
                _("a database in memory keeps nothing"), where=shown, cure=_("Give a folder")
            )
        photos = photos or str(Path(file).parent / PHOTOS_NAME)
    if photos is None:
        raise StoreError(
            _("a database needs a folder for the photos"),
            where=shown,
            cure=_("Set {photos_variable} to a folder").format(photos_variable=PHOTOS_VARIABLE),
        )
    _make(Path(photos), make_parents=False)
    return StorePlace(url, shown, Path(photos))


def _without_secrets(url: URL) -> str:
    """Return the address for people; passwords may also stand among its parameters."""
    secret = {name: "hidden" for name in url.query if "password" in name.casefold()}
    return url.update_query_dict(secret).render_as_string(hide_password=True)


def _make(folder: Path, *, make_parents: bool) -> None:
    try:
        make_folder(folder, make_parents=make_parents)
    except FileNotFoundError as error:
        raise StoreError(
            _("the folder above it does not exist"),
            where=str(folder),
            cure=_("Make that folder first, or mend the path"),
        ) from error
    except FileExistsError as error:
        raise StoreError(
            _("this is a file"), where=str(folder), cure=_("Give the folder that holds the records")
        ) from error
    except OSError as error:
        raise StoreError(
            _("the folder cannot be made ({reason})").format(reason=error.strerror),
            where=str(folder),
            cure=_("Give a folder that you may write to"),
        ) from error
