"""How long a large store takes to answer: agenda, a session's list, one spike's page; plan intake.

Run it with ``python -m tests.benchmarks.season`` from the top of the repository.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

from sqlalchemy import event, select

from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.store import open_store
from spikecheck.store.season_tables import spike_states
from tests.benchmarks.large_store import fill
from tests.benchmarks.report import add_json_option, keep, show

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from spikecheck.store import Store
    from tests.benchmarks.large_store import LargeStore

_GOAL_MS = 200
_INTAKE_GOAL_S = 10
_INTAKE = Path(__file__).with_name("plan_intake_process.py")


def measure(*, spikes: int, open_spikes: int, repeats: int, rows: int) -> dict[str, Any]:
    """Return the samples of every question, the query plans, and of the intake."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "records"
        with open_store(str(folder)) as store:
            started = time.perf_counter()
            large = fill(store, count=spikes, open_spikes=open_spikes)
            filled_s = time.perf_counter() - started
        with open_store(str(folder)) as store:
            questions = _questions(store, large)
            figures: dict[str, Any] = {
                "spikes": large.spikes,
                "entries": large.entries,
                "open": large.open_spikes,
                "filled_s": filled_s,
                "database_mb": (folder / "spikecheck.sqlite").stat().st_size / 1e6,
                "wall_ms": {name: _timed(ask, repeats) for name, ask in questions.items()},
                "plans": {name: _plans(store, ask) for name, ask in questions.items()},
            }
        figures["intake"] = [_intake(Path(name), count) for count in (rows // 10, rows)]
    return figures


def _questions(store: Store, large: LargeStore) -> dict[str, Callable[[], object]]:
    def page() -> object:
        return (
            store.spikes.one(large.cross, 3),
            store.spikes.entries(large.cross, 3),
            store.checks(large.cross, 3),
        )

    def every_state() -> object:
        with store._database.reading() as connection:
            return connection.execute(select(spike_states.c.method)).scalars().all()

    return {
        "agenda": lambda: season_of(store, now=large.now).agenda(),
        "a session's list": lambda: store.spikes.in_session(large.session),
        "one spike's page": page,
        "one column of every spike": every_state,
    }


def _timed(ask: Callable[[], object], repeats: int) -> list[float]:
    samples = []
    for _ in range(repeats + 1):
        started = time.perf_counter()
        ask()
        samples.append((time.perf_counter() - started) * 1000)
    return samples


def _plans(store: Store, ask: Callable[[], object]) -> list[str]:
    """Return how SQLite goes about each query of a question, a line each."""
    asked: list[tuple[str, Any]] = []

    def remember(_0: object, _1: object, statement: str, values: Any, *_: object) -> None:
        if statement.startswith("SELECT"):
            asked.append((statement, values))

    engine = store._database.engine
    event.listen(engine, "before_cursor_execute", remember)
    try:
        ask()
    finally:
        event.remove(engine, "before_cursor_execute", remember)
    lines: dict[str, None] = {}
    with engine.connect() as connection:
        for statement, values in asked:
            plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", values)
            lines |= dict.fromkeys(str(row.detail) for row in plan)
    return list(lines)


def _intake(folder: Path, rows: int) -> dict[str, Any]:
    """Return wall time and peak memory of taking a plan in, in a process of its own."""
    plan = folder / f"plan_{rows}.csv"
    with plan.open("w", encoding="utf-8") as file:
        file.write("cross,female,male,crop,purpose,seeds_wanted,female_pedigree\n")
        for number in range(rows):
            file.write(
                f"P-{number:05d},Line {number % 300},Donor {number % 200},wheat,rust,30,Aldo/Esk\n"
            )
    done = subprocess.run(
        [sys.executable, str(_INTAKE), str(plan), str(folder / f"taken_in_{rows}")],
        check=True, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(Path.cwd())},
    )  # fmt: skip
    seconds, peak_mb = map(float, done.stdout.split())
    return {"rows": rows, "wall_s": seconds, "peak_mb": peak_mb}


def tell(figures: dict[str, Any]) -> None:
    """Print the tables."""
    whole = median(figures["wall_ms"]["one column of every spike"][1:])
    show(
        f"{figures['spikes']:,} spikes, {figures['entries']:,} entries, {figures['open']:,} spikes "
        f"open, {figures['database_mb']:.0f} MB; filled in {figures['filled_s']:.0f} s",
        ["question", "first, ms", "median, ms", "worst, ms", "/ every spike", f"<= {_GOAL_MS} ms"],
        [
            [
                name, f"{samples[0]:.1f}", f"{median(samples[1:]):.1f}", f"{max(samples):.1f}",
                f"{median(samples[1:]) / whole:.2f}",
                _reached(name, samples),
            ]
            for name, samples in figures["wall_ms"].items()
        ],
    )  # fmt: skip
    for name, lines in figures["plans"].items():
        show(f"Query plan, {name}", ["step"], [[line] for line in lines])
    show(
        f"Plan taken in, goal {_INTAKE_GOAL_S} s and memory that does not grow with the rows",
        ["rows", "wall, s", "peak memory, MB"],
        [
            [f"{one['rows']:,}", f"{one['wall_s']:.2f}", f"{one['peak_mb']:.0f}"]
            for one in figures["intake"]
        ],
    )


def _reached(name: str, samples: Sequence[float]) -> str:
    if name.startswith("one column"):
        return ""
    return "yes" if max(samples) <= _GOAL_MS else "no"


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--spikes", type=int, default=100_000, help="how many are written")
    parser.add_argument("--open", type=int, default=3_000, help="how many of them are on their way")
    parser.add_argument("--repeats", type=int, default=20, help="after a first time each")
    parser.add_argument("--rows", type=int, default=10_000, help="crosses of the plan taken in")
    add_json_option(parser)
    given = parser.parse_args(arguments)
    figures = measure(
        spikes=given.spikes, open_spikes=given.open, repeats=given.repeats, rows=given.rows
    )
    tell(figures)
    keep(figures, given.json)


if __name__ == "__main__":
    main()
