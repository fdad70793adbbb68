"""Holds Ctrl-C back for a moment."""

from __future__ import annotations

import signal
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def interrupts_held() -> Iterator[None]:
    """Hold Ctrl-C back while a step must not be cut in two; it takes effect right afterwards.

    A process started inside never receives Ctrl-C: its parent decides when it ends. On systems
    that cannot hold signals back, nothing is held.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
