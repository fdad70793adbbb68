"""Runs a command of this room: progress on standard error, an error as one line."""

from __future__ import annotations

import logging
import sys
from typing import TYPE_CHECKING

from spikecheck.errors import SpikecheckError

if TYPE_CHECKING:
    from collections.abc import Callable

_BAD_INPUT = 2


def run(main: Callable[[], None]) -> None:
    """Run ``main``; an error of the project ends the process with 2 and one line."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    try:
        main()
    except SpikecheckError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(_BAD_INPUT)
