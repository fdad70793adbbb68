"""How a command ends: exit codes, and one line for whatever was wrong.

0
    pass, or the command did its work
1
    review
2
    bad input or usage
130
    stopped with Ctrl-C
141
    nobody read the output any more
"""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from spikecheck.cli.console import complain
from spikecheck.errors import SpikecheckError

if TYPE_CHECKING:
    from collections.abc import Iterator

DONE = 0
REVIEW = 1
BAD_INPUT = 2
STOPPED = 130
UNREAD = 141


@contextmanager
def plain_endings() -> Iterator[None]:
    """Turn the project's errors, Ctrl-C and a closed pipe into an exit code and at most a line.

    Any other exception is a mistake of the program and is not hidden.
    """
    try:
        yield
    except SpikecheckError as error:
        complain(error)
        sys.exit(BAD_INPUT)
    except KeyboardInterrupt:
        complain("stopped")
        sys.exit(STOPPED)
    except BrokenPipeError:
        # Python flushes standard output once more at exit; give it somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(UNREAD)
