"""Keeps decoders from writing to the terminal: a refused photo is one line, of our own."""

from __future__ import annotations

import logging
import os
import threading
import warnings
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_STANDARD_ERROR = 2

# Warning filters and file descriptors belong to the process, and so does memory: one photo is
# decoded at a time.
_ONE_AT_A_TIME = threading.Lock()

logging.getLogger("PIL").addHandler(logging.NullHandler())


@contextmanager
def alone_and_quiet() -> Iterator[None]:
    """Let one thread at a time decode, and drop Python warnings meanwhile.

    Decoders warn of broken metadata, which is left out, and of truncation, which is refused.
    """
    with _ONE_AT_A_TIME, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@contextmanager
def standard_error_dropped() -> Iterator[None]:
    """Drop what is written to the standard error: libtiff reports there, past Python."""
    try:
        kept = os.dup(_STANDARD_ERROR)
    except OSError:  # closed, as for a service: nothing to keep clean
        yield
        return
    try:
        with open(os.devnull, "wb") as nowhere:  # noqa: PTH123  (a descriptor is needed)
            os.dup2(nowhere.fileno(), _STANDARD_ERROR)
        yield
    finally:
        os.dup2(kept, _STANDARD_ERROR)
        os.close(kept)
