"""Runs one piece of work a time on every core, and survives the death of a process.

Few pieces are under way at any moment, so memory does not grow with their number. When a process
dies (most often killed by the system for lack of memory), the pieces then under way are run again,
one alone, so that the one at fault is known by name and the others get their result.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from typing import TYPE_CHECKING, TypeVar

from spikecheck.pipeline.interrupts import children_spared, interrupts_held

if TYPE_CHECKING:
    from collections.abc import Callable, Generator, Iterable, Iterator
    from multiprocessing.connection import Connection

T = TypeVar("T")
R = TypeVar("R")

_AHEAD = 2  # pieces handed out per process, so that none waits for the next


def core_count() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def run_pool(
    work: Callable[[T], R], items: Iterable[T], *, workers: int
) -> Iterator[tuple[T, R | None]]:
    """Yield every item with its result, as they are ready.

    Parameters
    ----------
    work
        A function at the top of a module; runs in another process.
    items
        What to work on; taken as needed.
    workers
        Number of processes, at least 1.

    Yields
    ------
    tuple of item and result
        The result is None when the process that worked on the item alone died. An exception of
        ``work`` is raised here.
    """
    source = iter(items)
    while True:
        suspects = yield from _run(work, source, workers=workers, ahead=_AHEAD * workers)
        if not suspects:
            return
        alone = iter(suspects)
        while True:
            culprits = yield from _run(work, alone, workers=1, ahead=1)
            if not culprits:
                break
            for culprit in culprits:
                yield culprit, None


def _run(
    work: Callable[[T], R], source: Iterator[T], *, workers: int, ahead: int
) -> Generator[tuple[T, R | None], None, list[T]]:
    """Work until the source is empty or a process dies; return the items then under way."""
    context = multiprocessing.get_context("spawn")
    lifeline, held_end = context.Pipe(duplex=False)
    pool = ProcessPoolExecutor(
        workers, mp_context=context, initializer=_end_when_let_go, initargs=(lifeline,)
    )
    pending: dict[Future[R], T] = {}
    suspects: list[T] = []

    def hand_out(count: int) -> None:
        for item in islice(source, count):
            try:
                with interrupts_held(), children_spared():
                    pending[pool.submit(work, item)] = item
            except BrokenProcessPool:
                suspects.append(item)
                return

    try:
        hand_out(ahead)
        while pending:
            done, _ = wait(pending, return_when=FIRST_COMPLETED)
            for future in done:
                item = pending.pop(future)
                if isinstance(future.exception(), BrokenProcessPool):
                    suspects.append(item)
                    continue
                yield item, future.result()
                if not suspects:
                    hand_out(1)
    except BaseException:
        held_end.close()  # what is under way is not wanted any more
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
        held_end.close()
        lifeline.close()
    return suspects


def _end_when_let_go(lifeline: Connection) -> None:
    """Make a worker end at once when its parent closes its end of the lifeline, or is gone."""

    def watch() -> None:
        lifeline.poll(None)
        os._exit(1)

    threading.Thread(target=watch, daemon=True, name="lifeline").start()
