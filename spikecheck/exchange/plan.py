"""Crossing plans from CSV files."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, BinaryIO

from spikecheck.errors import PedigreeError, SpikecheckError, UsageError
from spikecheck.exchange.plan_columns import PLAN_COLUMN_NAMES, column_places
from spikecheck.exchange.table_reading import read_table
from spikecheck.vocabulary import WHEAT, format_pedigree, parse_pedigree
from spikecheck.vocabulary.plan import SEEDS_MOST, PlannedCross, PlannedParent
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from spikecheck.exchange.table_reading import TableRow

_WHOLE = re.compile(r"[0-9]{1,9}")


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One planned cross, as the store can take it.

    Parameters
    ----------
    line
        Line of the file in which the row begins, from 1.
    planned
        The cross with its parents; pedigrees are in their canonical form.
    """

    line: int
    planned: PlannedCross


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a row cannot be taken in.

    Parameters
    ----------
    line
        Line of the file, from 1, as an editor shows it.
    column
        Header of the column, or empty where the whole row is meant.
    column_number
        Its number, from 1, or None.
    what, cure
        What was found and what to do about it.
    """

    line: int
    column: str
    column_number: int | None
    what: str
    cure: str

    @property
    def where(self) -> str:
        """Line, and column where one is meant."""
        column = f", column {self.column_number} ({self.column})" if self.column else ""
        return f"line {self.line}{column}"

    def __str__(self) -> str:
        """One line: where, what, cure."""
        return str(SpikecheckError(self.what, where=self.where, cure=self.cure))


def read_plan(
    file: BinaryIO, *, crops: Collection[str] = ()
) -> Iterator[PlanRow | Problem]:  # fmt: skip
    """Return the rows of a crossing plan, in order, read as they are asked for.

    Parameters
    ----------
    file
        A CSV file, as :func:`~spikecheck.exchange.table_reading.read_table` reads it, with the
        columns of :data:`~spikecheck.exchange.plan_columns.PLAN_COLUMNS` in any order.
    crops
        Crops that are known; without, any name will do.

    Returns
    -------
    iterator
        A row that can be taken in, or each problem of one that cannot, in the order of line and
        column. Whether an id comes twice or is taken is for the store to say, which knows all of
        them.

    Raises
    ------
    TableError
        At once, if the header cannot be; while reading, if the file is no table from there on.
    """
    table = read_table(file, known=PLAN_COLUMN_NAMES)
    places = column_places(table.columns)
    width = len(table.columns.cells)
    return (one for row in table.rows for one in _row(row, places, width, crops))


def _row(
    row: TableRow, places: dict[str, int], width: int, crops: Collection[str]
) -> list[PlanRow] | list[Problem]:
    reading = _Reading(row, places)
    if any(cell.strip() for cell in row.cells[width:]):
        return [
            Problem(
                row.line, "", None, f"the row has {len(row.cells)} cells, the header {width}",
                'Put a text that holds the delimiter between quotes: "a, b"',
            )
        ]  # fmt: skip
    planned = PlannedCross(
        id=reading.text("cross", tidy_id),
        female=reading.parent("female"),
        male=reading.parent("male"),
        purpose=reading.text("purpose", tidy_note),
        seeds_wanted=reading.seeds(),
        crop=reading.crop(crops),
        project=reading.optional("project", tidy_name),
        note=reading.text("note", tidy_note),
    )
    # Fields are not read in the order of the file, where one column may stand anywhere.
    told = sorted(reading.problems, key=lambda one: (one.line, one.column_number or 0))
    return told or [PlanRow(row.line, planned)]


class _Reading:
    """One row being read; what is wrong with it gathers in ``problems``."""

    def __init__(self, row: TableRow, places: dict[str, int]) -> None:
        self.problems: list[Problem] = []
        self._row, self._places = row, places

    def text(self, column: str, tidy: Callable[..., str]) -> str:
        """Return a text as ``tidy`` leaves it, or an empty one after a problem."""
        try:
            return tidy(self._cell(column), what=column)
        except UsageError as error:
            self._problem(column, error.what, error.cure)
            return ""

    def optional(self, column: str, tidy: Callable[..., str]) -> str:
        """Return the same; an empty cell is no problem."""
        return self.text(column, tidy) if self._cell(column).strip() else ""

    def parent(self, side: str) -> PlannedParent:
        """Return the parent of ``side``."""
        return PlannedParent(
            name=self.text(side, tidy_name),
            accession=self.optional(f"{side}_accession", tidy_name),
            pedigree=self._pedigree(f"{side}_pedigree"),
            place=self.optional(f"{side}_place", tidy_name),
        )

    def crop(self, known: Collection[str]) -> str:
        """Return the crop in lower case, wheat where the cell is empty."""
        crop = self.optional("crop", tidy_name).lower()
        if crop and known and crop not in known:
            near = difflib.get_close_matches(crop, known, n=1)
            meant = f"Did you mean {near[0]}? " if near else ""
            self._problem(
                "crop", f"no crop is called {crop}", f"{meant}Known are {', '.join(sorted(known))}"
            )
        return crop or WHEAT

    def seeds(self) -> int | None:
        """Return how many seeds are wanted."""
        text = self._cell("seeds_wanted").strip()
        if not text:
            return None
        if not _WHOLE.fullmatch(text) or not 1 <= int(text) <= SEEDS_MOST:
            self._problem(
                "seeds_wanted", f"{text[:40]} is no number of seeds",
                f"Give a whole number from 1 to {SEEDS_MOST}, or leave it empty",
            )  # fmt: skip
            return None
        return int(text)

    def _pedigree(self, column: str) -> str:
        text = self._cell(column).strip()
        if not text:
            return ""
        try:
            return format_pedigree(parse_pedigree(text))
        except PedigreeError as error:
            at = error.where.replace("column", "character")
            self._problem(column, f"{error.what} (at {at})" if at else error.what, error.cure)
            return ""

    def _cell(self, column: str) -> str:
        place = self._places.get(column)
        return "" if place is None or place >= len(self._row.cells) else self._row.cells[place]

    def _problem(self, column: str, what: str, cure: str) -> None:
        place = self._places.get(column, 0)
        line = self._row.line_of(place)
        self.problems.append(Problem(line, column, place + 1, what, cure))
