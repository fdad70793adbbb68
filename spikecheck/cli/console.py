"""Writes to the terminal: results to standard output, everything else to standard error."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from rich.console import Console

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table
    from rich.text import Text


_TABLE_COLUMNS = 60  # a terminal narrower than this breaks every cell of a table


class _Quiet(Console):
    """A console that lets the command end when nobody reads any more, with its own exit code."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


def out() -> Console:
    """Return the console of standard output; text is written as it is, without markup.

    Lines are broken between words on a terminal and never elsewhere.
    """
    return _console(stderr=False)


def err() -> Console:
    """Return the console of standard error, alike."""
    return _console(stderr=True)


def _console(*, stderr: bool) -> Console:
    stream = sys.stderr if stderr else sys.stdout
    return _Quiet(
        stderr=stderr, markup=False, highlight=False, emoji=False, soft_wrap=not stream.isatty()
    )


def say(thing: RenderableType | Text = "") -> None:
    """Write one thing to standard output."""
    out().print(thing)


def say_table(table: Table) -> None:
    """Write a table, or on a terminal too narrow for one a line for each row's first cell and rest.

    Parameters
    ----------
    table
        Of strings.
    """
    console = out()
    if console.width >= _TABLE_COLUMNS:
        say(table)
        return
    if table.title:
        say(table.title)
    headings = [str(column.header) for column in table.columns]
    for first, *rest in zip(*(column.cells for column in table.columns), strict=True):
        told = [f"{head} {cell}" for head, cell in zip(headings[1:], rest, strict=True) if cell]
        say(f"{first}: {', '.join(told)}")
    say()


def complain(message: object) -> None:
    """Write one line to standard error."""
    err().print(f"spikecheck: {printable(str(message))}")


def printable(text: str) -> str:
    """Return text of the user's on one line, without characters that steer a terminal."""
    return "".join(char if char.isprintable() else " " for char in text)


def forgive_encoding() -> None:
    """Let output go on where the terminal cannot show a character."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
