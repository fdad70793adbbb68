"""Shares seeds among processes that render, and replaces a process that dies or hangs."""

from __future__ import annotations

import contextlib
import json
import os
import selectors
import subprocess
import sys
import threading
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from spikecheck.synthetic.solid.layer_set import Settings

_TRIES = 2  # a render that fails twice is left out
_PATIENCE_S = 3.0  # for a process that is told that there is no more


@dataclass(frozen=True, slots=True)
class Crew:
    """Who renders.

    Parameters
    ----------
    folder
        Where to.
    settings
        How.
    variant
        Mitsuba variant, or ``auto``.
    workers
        Processes.
    gpus
        GPUs they are spread over, as CUDA numbers them; empty leaves that to each.
    timeout_s
        A render that takes longer is given up.
    """

    folder: Path
    settings: Settings
    variant: str
    workers: int
    gpus: tuple[str, ...]
    timeout_s: float

    def render(
        self,
        seeds: Sequence[int],
        *,
        done: Callable[[dict[str, Any]], None],
        failed: Callable[[int, str], None],
    ) -> None:
        """Render seeds; the callbacks come one at a time, in whatever order renders end.

        Parameters
        ----------
        seeds
            What is to be rendered.
        done
            Called with the manifest entry of each render.
        failed
            Called with each seed that was given up, and why.
        """
        queue: SimpleQueue[tuple[int, int]] = SimpleQueue()
        for seed in seeds:
            queue.put((seed, 1))
        lock = threading.Lock()
        threads = [
            threading.Thread(target=self._work, args=(number, queue, lock, done, failed))
            for number in range(min(self.workers, len(seeds)))
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    def _work(
        self,
        number: int,
        queue: SimpleQueue[tuple[int, int]],
        lock: threading.Lock,
        done: Callable[[dict[str, Any]], None],
        failed: Callable[[int, str], None],
    ) -> None:
        process: subprocess.Popen[str] | None = None
        try:
            while True:
                try:
                    seed, tries = queue.get_nowait()
                except Empty:
                    return
                if process is None:
                    process = self._start(number)
                answer = _ask(process, seed, self.timeout_s)
                if answer is not None:
                    with lock:
                        done(json.loads(answer))
                    continue
                why = _end(process)
                process = None
                if tries < _TRIES:
                    queue.put((seed, tries + 1))
                else:
                    with lock:
                        failed(seed, why)
        finally:
            if process is not None:
                _end(process)

    def _start(self, number: int) -> subprocess.Popen[str]:
        surroundings = dict(os.environ)
        if self.gpus:
            surroundings["CUDA_VISIBLE_DEVICES"] = self.gpus[number % len(self.gpus)]
        for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
            surroundings.setdefault(name, "1")
        threads = max(1, (os.cpu_count() or 1) // self.workers)
        command = [
            sys.executable, "-m", "spikecheck.synthetic.solid.worker", str(self.folder),
            "--variant", self.variant, "--samples", str(self.settings.samples),
            "--threads", str(threads),
        ]  # fmt: skip
        if self.settings.long_side_px is not None:
            command += ["--long-side", str(self.settings.long_side_px)]
        if self.settings.plenty:
            command.append("--plenty")
        return subprocess.Popen(  # noqa: S603  (this interpreter, arguments of ours)
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=surroundings
        )


def _ask(process: subprocess.Popen[str], seed: int, timeout_s: float) -> str | None:
    """Send a seed and wait for the answer; None when the process died or hangs."""
    if process.stdin is None or process.stdout is None:
        return None
    try:
        process.stdin.write(f"{seed}\n")
        process.stdin.flush()
    except OSError:  # it is gone
        return None
    with selectors.DefaultSelector() as waiting:
        waiting.register(process.stdout, selectors.EVENT_READ)
        if not waiting.select(timeout_s):
            return None
    return process.stdout.readline().strip() or None


def _end(process: subprocess.Popen[str]) -> str:
    """End a process, gently if it waits for seeds, and say how it ended."""
    for pipe in (process.stdin, process.stdout):
        if pipe is not None:
            with contextlib.suppress(OSError):  # closing sends what is left; it may be gone
                pipe.close()
    try:
        code = process.wait(_PATIENCE_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
        return "took too long"
    return f"the renderer ended with code {code}"
