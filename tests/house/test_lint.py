"""The linter, the formatter and the type checker have nothing to say."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys

import pytest

from tests.house.repository import ROOT, python_files

CHECKED = [str(path) for path in python_files()]


def run(tool: str, *arguments: str) -> str:
    """Run an installed tool from the top of the repository; return what it said if it failed."""
    if importlib.util.find_spec(tool) is None:
        reason = f"{tool} is not installed"
        if os.environ.get("CI"):
            pytest.fail(f"{reason}; in CI it must be there")
        pytest.skip(reason)
    done = subprocess.run(
        [sys.executable, "-m", tool, *arguments],
        check=False, cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    return "" if done.returncode == 0 else done.stdout + done.stderr


def test_ruff_finds_nothing():
    assert run("ruff", "check", "--no-cache", "--output-format=concise", *CHECKED) == ""


def test_every_file_is_formatted():
    assert run("ruff", "format", "--no-cache", "--check", *CHECKED) == ""


def test_types_fit_strictly():
    assert run("mypy", "--strict") == ""
