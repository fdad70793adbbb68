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
from pathlib import Path
from typing import TYPE_CHECKING

from typer.exceptions import TyperException

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
    """Turn errors of project and usage, Ctrl-C and a closed pipe into a code and at most a line.

    Any other exception is a mistake of the program and is not hidden.
    """
    try:
        yield
    except SpikecheckError as error:
        complain(error)
        sys.exit(BAD_INPUT)
    except TyperException as error:
        message = error.format_message()
        if not message or "\n" in message:  # no mistake: without any words a command shows help
            raise
        complain(f"{message}{'' if message.endswith(('.', '?')) else '.'} {_way_out(error)}")
        sys.exit(BAD_INPUT)
    except KeyboardInterrupt:
        complain("stopped")
        sys.exit(STOPPED)
    except BrokenPipeError:
        # Python flushes standard output once more at exit; give it somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(UNREAD)


def _way_out(error: TyperException) -> str:
    """Return the cure for words on the command line that were not understood."""
    dashed = [word for word in sys.argv[1:] if word.startswith("-") and Path(word).is_file()]
    if dashed:
        return f"For the file of that name write ./{dashed[0]}"
    context = getattr(error, "ctx", None)
    return f"See {context.command_path if context else 'spikecheck'} --help"
