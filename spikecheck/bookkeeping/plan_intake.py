"""Takes a crossing plan in, all of it or nothing."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, BinaryIO

from spikecheck.errors import SpikecheckError, TableError
from spikecheck.exchange.plan import Problem, read_plan
from spikecheck.store.plans import FAULTS_MOST
from spikecheck.thresholds.season import CROPS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from spikecheck.store import Store
    from spikecheck.vocabulary.plan import PlannedCross

_TOLD_EVERY = 200


def take_in_plan(
    store: Store,
    file: BinaryIO,
    *,
    name: str,
    by: str = "",
    try_only: bool = False,
    on_progress: Callable[[int, int], None] | None = None,
) -> tuple[int, tuple[SpikecheckError, ...]]:
    """Record every cross of a plan with its parents, or none.

    Parameters
    ----------
    store
        Where to.
    file
        A CSV table of :data:`~spikecheck.exchange.plan_columns.PLAN_COLUMNS`, read row by row.
    name
        What messages call the file.
    by
        Who plans, or empty.
    try_only
        Tell what would happen and record nothing.
    on_progress
        Called now and then with how many bytes were read and of how many.

    Returns
    -------
    count, faults
        How many crosses could be taken in, and the first faults by line and column, 50 at most.
        With any fault nothing is recorded.

    Raises
    ------
    TableError
        If the file is no such table.
    """
    size = os.fstat(file.fileno()).st_size

    def rows() -> Iterator[tuple[str, PlannedCross | SpikecheckError]]:
        for count, row in enumerate(read_plan(file, crops=CROPS), start=1):
            if on_progress is not None and count % _TOLD_EVERY == 0:
                on_progress(min(file.tell(), size), size)
            where = f"{name}, line {row.line}"
            if isinstance(row, Problem):
                yield where, TableError(row.what, where=f"{name}, {row.where}", cure=row.cure)
            else:
                yield where, row.planned

    try:
        return store.plans.take_in(rows(), by=by, try_only=try_only)
    except TableError as error:
        where = f"{name}, {error.where}" if error.where else name
        raise TableError(error.what, where=where, cure=error.cure) from error


def there_may_be_more(faults: tuple[SpikecheckError, ...]) -> bool:
    """Say whether reading ended early because there were too many faults."""
    return len(faults) >= FAULTS_MOST
