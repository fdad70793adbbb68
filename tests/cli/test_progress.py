"""The bar appears on a terminal only, and lines keep clear of it."""

from __future__ import annotations

import os
import pty
import subprocess
import sys

SCRIPT = """
from spikecheck.cli.progress import Bar
with Bar("Checking") as bar:
    for done in range(1, 4):
        bar.set(done, 3)
        bar.say(f"line {done}")
        bar.complain(f"trouble {done}")
"""


def test_without_a_terminal_there_are_only_lines():
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout == "line 1\nline 2\nline 3\n"
    assert done.stderr == "".join(f"spikecheck: trouble {n}\n" for n in (1, 2, 3))


def test_on_a_terminal_there_is_a_bar_and_piped_output_stays_clean():
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-c", SCRIPT], stdout=subprocess.PIPE, stderr=theirs, text=True,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "100"},
    ) as process:  # fmt: skip
        os.close(theirs)
        output, _ = process.communicate(timeout=60)
        shown = bytearray()
        try:
            while chunk := os.read(ours, 65536):
                shown += chunk
        except OSError:  # the other end is closed: all is read
            pass
    os.close(ours)
    assert output == "line 1\nline 2\nline 3\n"
    assert b"Checking" in shown
    assert b"3/3" in shown
    assert b"spikecheck: trouble 2" in shown
