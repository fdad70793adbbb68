"""Commands run in this process, with a finder that reports what the name of a photo asks for."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from PIL import Image
from typer.testing import CliRunner

from tests.builders import MODEL, anther, findings, quality

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary import Calibration, Findings, Photo


class NamedFinder:
    """An anther is left in L3 of every photo whose name holds ``left``; others are clean."""

    model = MODEL

    def __init__(self, calibration: Calibration | None = None) -> None:
        self._calibration = calibration

    def find(self, photo: Photo) -> Findings:
        anthers = [anther("L3")] if "left" in Path(photo.file).name else []
        return replace(findings(anthers=anthers), calibration=self._calibration)


@pytest.fixture
def named_finder(monkeypatch: pytest.MonkeyPatch) -> None:
    """Put the stand-in finder where commands look for the real one; every photo is good."""
    stand_in = ModuleType("spikecheck.pipeline.finders")
    stand_in.default_finder = lambda _, calibration=None: NamedFinder(calibration)  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "spikecheck.pipeline.finders", stand_in)
    monkeypatch.setattr("spikecheck.photo.judge_quality", lambda *_, **__: quality(), raising=False)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SPIKECHECK_STORE", str(tmp_path / "records"))
    monkeypatch.setenv("SPIKECHECK_CALIBRATION", "shipped")
    return tmp_path


@pytest.fixture
def make_photo(folder: Path) -> Callable[[str], str]:
    """Write a photo of a name; no two are alike."""
    shade = iter(range(60, 200))

    def write(name: str) -> str:
        file = folder / name
        file.parent.mkdir(exist_ok=True)
        Image.new("RGB", (400, 1000), (next(shade), 120, 90)).save(file)
        return name

    return write


@pytest.fixture
def run() -> Callable[..., SimpleNamespace]:
    """Run a command, with ``typed`` on standard input; return exit code, output and errors."""

    def invoke(*args: object, typed: str = "") -> SimpleNamespace:
        from spikecheck.cli.commands import app

        result = CliRunner().invoke(
            app, [str(arg) for arg in args], prog_name="spikecheck", input=typed
        )
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return SimpleNamespace(code=result.exit_code, out=result.stdout, err=result.stderr)

    return invoke
