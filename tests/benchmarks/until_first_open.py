"""Runs the command with the arguments given and ends it when it first opens the photo.

Run by :mod:`tests.benchmarks.starting`: ``until_first_open.py PHOTO ARGUMENT…``.
"""

from __future__ import annotations

import os
import sys

PHOTO_REACHED = 90  # no exit code of the command


def run_until_open(photo: str) -> None:
    def look(event: str, arguments: tuple[object, ...]) -> None:
        if event == "open" and str(arguments[0]) == photo:
            os._exit(PHOTO_REACHED)

    sys.addaudithook(look)
    from spikecheck.cli import main  # after the hook: loading it is part of the start

    main()


if __name__ == "__main__":
    run_until_open(sys.argv.pop(1))
