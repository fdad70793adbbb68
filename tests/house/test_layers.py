"""Imports go one way: the contracts in ``pyproject.toml`` hold and no module needs itself."""

from __future__ import annotations

import tomllib
from graphlib import TopologicalSorter

import grimp
import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

from tests.house.repository import ROOT


@pytest.fixture
def at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    # the linter configures logging, which would silence every logger there is for later tests
    monkeypatch.setattr("logging.config.dictConfig", lambda _: None)


@pytest.mark.usefixtures("at_the_root")
def test_the_contracts_hold(capsys: pytest.CaptureFixture[str]):
    status = lint_imports(config_filename="pyproject.toml", no_cache=True, no_logo=True)
    assert status == EXIT_STATUS_SUCCESS, capsys.readouterr().out


def test_every_room_has_its_place_in_the_layers():
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = contracts["tool"]["importlinter"]["contracts"][0]["layers"]
    placed = {room.strip() for line in layers for room in line.split("|")}
    rooms = {
        path.parent.name for path in (ROOT / "spikecheck").glob("*/__init__.py")
    }  # fmt: skip
    assert rooms <= placed


def test_no_module_needs_itself():
    graph = grimp.build_graph("spikecheck", cache_dir=None, exclude_type_checking_imports=True)
    needs = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    order = list(TopologicalSorter(needs).static_order())  # raises CycleError with the cycle
    assert set(order) >= {"spikecheck.errors", "spikecheck.vocabulary"}
