"""Holds Ctrl-C back for a moment."""

from __future__ import annotations

import signal
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def interrupts_held() -> Iterator[None]:
    """Hold Ctrl-C back while a step must not be cut in two; it takes effect right afterwards."""
    if threading.current_thread() is not threading.main_thread():
        yield  # Ctrl-C only ever interrupts the main thread
        return
    held: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: held.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        if held:
            signal.raise_signal(signal.SIGINT)


@contextmanager
def children_spared() -> Iterator[None]:
    """Let processes started inside never receive Ctrl-C: their parent decides when they end.

    A child starts with the signals blocked that its parent's thread blocks. On systems that
    cannot block signals, nothing happens.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
