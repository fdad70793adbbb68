"""Programs that go off at the same moment, for tests of what they do to each other."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path
    from typing import Any


def run_together(
    program: Path, names: Sequence[str], words: Callable[[str], Sequence[object]]
) -> dict[str, Any]:
    """Let one program a name go off at the same moment; return what each told.

    Parameters
    ----------
    program
        Says ``ready``, waits for a line on its input, and ends with one line of JSON.
    names
        One a program.
    words
        Returns the arguments of the program of a name.
    """
    programs = {
        name: subprocess.Popen(
            [sys.executable, program, *map(str, words(name))],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for name in names
    }  # fmt: skip
    try:
        for one in programs.values():
            assert one.stdout is not None
            assert one.stdout.readline() == "ready\n"
        for one in programs.values():
            assert one.stdin is not None
            one.stdin.write("go\n")
            one.stdin.flush()
        told = {}
        for name, one in programs.items():
            out, complaint = one.communicate(timeout=60)
            assert (one.returncode, complaint) == (0, "")
            told[name] = json.loads(out)
    finally:
        for one in programs.values():
            one.kill()
            one.communicate()
    return told
