"""A disk without a byte left under records kept by SQLite."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

_PROGRAM = Path(__file__).with_name("full_disk_process.py")
# A mount that only this process sees, and that ends with it; no rights are needed where the system
# lets users have namespaces of their own.
_APART = ["unshare", "--map-root-user", "--mount"]


@pytest.fixture
def apart() -> list[str]:
    """The words that run a program where it may mount a small disk of its own."""
    if shutil.which(_APART[0]) is None:
        pytest.skip("there is no unshare here, which lets a test have a small disk of its own")
    may = "mount -t tmpfs -o size=1m tmpfs /mnt"
    tried = subprocess.run([*_APART, "sh", "-c", may], capture_output=True, check=False, timeout=60)
    if tried.returncode:
        pytest.skip("this system lets nobody mount a small disk of one's own")
    return _APART


def test_a_full_disk_is_told_and_takes_nothing_away(apart: list[str], tmp_path: Path):
    done = subprocess.run(
        [*apart, sys.executable, _PROGRAM, tmp_path],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    told = json.loads(done.stdout)
    records = tmp_path / "records"
    assert told["opened while full"] == (
        f"{records}: the disk is full, and a little room is needed to read the records as well. "
        "Make room and try again; nothing was recorded, and no record is lost"
    )
    assert told["recorded while full"] == (
        f"{records}: the disk is full. Make room and try again; nothing was recorded"
    )
    assert told["read while full"] == told["once there is room"] == ["C-1"]
