"""What is wrong with a table of temperatures, by line and column; nothing of it is half taken."""

from __future__ import annotations

from spikecheck.errors import TableError

_LISTED_MOST = 20


class CellError(Exception):
    """What is wrong with one cell, before its place is known; never leaves this part.

    Parameters
    ----------
    what
        What is wrong.
    cure
        What to do, where that is more than to correct the cell.
    """

    def __init__(self, what: str, *, cure: str = "") -> None:
        super().__init__(what)
        self.cure = cure


class Problems:
    """Gathers problems while a table is read.

    Parameters
    ----------
    table
        What the table is called in messages.
    """

    def __init__(self, table: str) -> None:
        self._table = table
        self._listed: list[str] = []
        self._cures: dict[str, None] = {}
        self._count = 0

    def add(self, line: int, column: int | None, what: str | CellError) -> None:
        """Note a problem; line and column count from 1, None stands for the whole line."""
        self._count += 1
        if isinstance(what, CellError) and what.cure:
            self._cures[what.cure] = None
        if len(self._listed) < _LISTED_MOST:
            place = f"line {line}" if column is None else f"line {line}, column {column}"
            self._listed.append(f"{place}: {what}")

    def __bool__(self) -> bool:
        return self._count > 0

    def error(self) -> TableError:
        """Return what was gathered: the first 20 problems, the rest counted."""
        rest = self._count - len(self._listed)
        return TableError(
            "; ".join(self._listed) + (f"; and {rest} more" if rest else ""),
            where=self._table,
            cure="; ".join(
                ("Nothing was taken in", *(self._cures or ("correct it and try again",)))
            ),
        )

    def raise_if_any(self) -> None:
        """Raise what was gathered, if anything.

        Raises
        ------
        TableError
            If there is a problem.
        """
        if self:
            raise self.error()
