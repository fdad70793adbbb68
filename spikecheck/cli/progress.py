"""A progress bar on a terminal, nothing elsewhere."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Self

from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from spikecheck.cli.console import complain, err, printable, say

if TYPE_CHECKING:
    from types import TracebackType


class Bar:
    """Counts what is done, on standard error when that is a terminal.

    Lines are written above the bar, so that neither damages the other.

    Parameters
    ----------
    title
        What is going on, in a word.
    """

    def __init__(self, title: str) -> None:
        self._progress = Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            TimeRemainingColumn(),
            console=err(),
            transient=True,
            disable=not sys.stderr.isatty(),
        )
        self._task = self._progress.add_task(title, total=None)

    def __enter__(self) -> Self:
        self._progress.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._progress.stop()

    def set(self, done: int, total: int) -> None:
        """Show that ``done`` of ``total`` are done."""
        self._progress.update(self._task, completed=done, total=total)

    def say(self, line: str) -> None:
        """Write a line to standard output."""
        if sys.stdout.isatty() and not self._progress.disable:
            self._progress.console.print(line)
        else:
            say(line)

    def complain(self, message: object) -> None:
        """Write a line to standard error."""
        if self._progress.disable:
            complain(message)
        else:
            self._progress.console.print(f"spikecheck: {printable(str(message))}")
