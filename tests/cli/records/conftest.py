"""Records of an invented programme in the current folder, and what every refusal must be like."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from spikecheck.store import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from types import SimpleNamespace

NOW = datetime.now(UTC)


def ago(days: float) -> str:
    """Return a moment as people type it."""
    return f"{NOW - timedelta(days=days):%Y-%m-%d %H:%M}"


@pytest.fixture(autouse=True)
def records(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, whose store is ``records``; AB works in UTC."""
    monkeypatch.setenv("SPIKECHECK_BY", "AB")
    monkeypatch.setenv("SPIKECHECK_ZONE", "UTC")
    monkeypatch.setenv("COLUMNS", "110")
    open_store(str(folder / "records")).close()
    return folder


@pytest.fixture
def done(run: Callable[..., SimpleNamespace]) -> Callable[..., str]:
    """Run a command that must do its work without a complaint; return what it says."""

    def go(*words: object) -> str:
        ended = run(*words)
        assert (ended.code, ended.err) == (0, ""), f"{words}\n{ended}"
        return ended.out

    return go


@pytest.fixture
def refused(run: Callable[..., SimpleNamespace]) -> Callable[..., str]:
    """Run a command that must be refused: 2, one line on standard error with a cure."""

    def go(*words: object) -> str:
        ended = run(*words)
        assert ended.code == 2, f"{words}\n{ended}"
        line = ended.err
        assert line.startswith("spikecheck: "), line
        assert line.count("\n") == 1, line
        assert line.endswith("\n"), line
        assert line[:-1].isprintable(), line
        assert "Traceback" not in line
        assert len(line.removeprefix("spikecheck: ").split(". ")) >= 2, f"no cure: {line}"
        assert ended.out == "", ended.out
        return line

    return go


@pytest.fixture
def cross(done: Callable[..., str]) -> None:
    """The cross C-1 of Ferra and Olmo."""
    done("cross", "add", "C-1", "--female", "Ferra", "--male", "Olmo")


@pytest.fixture
def bagged(done: Callable[..., str], cross: None) -> None:
    """Spikes 1 and 2 of C-1, bagged six days ago."""
    done("record", "emasculated", "C-1/1-2", "--florets", 20, "--anthers", 60, "--at", ago(6.2))
    done("record", "bagged", "C-1/1-2", "--unchecked", "no camera", "--at", ago(6))
