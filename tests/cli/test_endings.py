"""Every way a command ends: a code, and at most one line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from spikecheck.cli.console import printable
from spikecheck.cli.endings import plain_endings
from spikecheck.errors import OutputError

MAIN = "from spikecheck.cli import main; main()"


def test_an_error_of_the_project_is_one_line_and_two(capsys):
    with pytest.raises(SystemExit) as ended, plain_endings():
        raise OutputError("cannot be\nwritten", where="a\x1b[2Jb", cure="Move it")
    assert ended.value.code == 2
    assert capsys.readouterr().err == "spikecheck: a [2Jb: cannot be written. Move it\n"


def test_ctrl_c_is_one_line_and_130(capsys):
    with pytest.raises(SystemExit) as ended, plain_endings():
        raise KeyboardInterrupt
    assert ended.value.code == 130
    assert capsys.readouterr().err == "spikecheck: stopped\n"


def test_mistakes_of_the_program_are_not_hidden():
    with pytest.raises(ZeroDivisionError), plain_endings():
        raise ZeroDivisionError


def test_ctrl_c_in_a_command_ends_with_130(folder):
    code = (
        "import os, signal, spikecheck.store\n"
        "spikecheck.store.open_store = lambda _: os.kill(os.getpid(), signal.SIGINT)\n" + MAIN
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "cross", "list"],
        check=False,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (done.returncode, done.stderr) == (130, "spikecheck: stopped\n")


def test_nobody_reading_is_quiet(folder):
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-c", MAIN, "cross", "list"], check=False, stdout=writer,
        stderr=subprocess.PIPE, text=True, timeout=60, restore_signals=False,
    )  # fmt: skip
    os.close(writer)
    assert (done.returncode, done.stderr) == (141, "")


def test_a_terminal_that_cannot_show_a_letter_gets_a_stand_in(folder):
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    command = [sys.executable, "-c", MAIN, "cross"]
    add = [*command, "add", "Küste", "--female", "Ähre", "--male", "麦"]
    done = subprocess.run(
        add, check=False, capture_output=True, text=True, timeout=60, env=environment
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Added cross K?ste, female ?hre, male ?" in done.stdout


def test_the_installed_command_is_the_same(folder):
    command = Path(sys.executable).with_name("spikecheck")
    done = subprocess.run(
        [command, "check", "none.jpg"], check=False, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 2
    assert done.stderr.startswith("spikecheck: none.jpg: no such file. ")
    assert done.stderr.count("\n") == 1


def test_printable_keeps_letters_and_drops_what_steers():
    assert printable("Ähre 麦\x1b[31m\n\u202e") == "Ähre 麦 [31m  "
