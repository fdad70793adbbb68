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


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["--nope"], "No such option: --nope. See spikecheck --help"),
        (["chek"], "No such command 'chek'. Did you mean 'check'? See spikecheck --help"),
        (["check"], "Missing argument 'PHOTO'. See spikecheck check --help"),
        (["cross", "add", "X"], "Missing option '--female'. See spikecheck cross add --help"),
    ],
)
def test_words_not_understood_are_one_line_and_two(run, words, line):
    done = run(*words)
    assert (done.code, done.out, done.err) == (2, "", f"spikecheck: {line}\n")


@pytest.mark.parametrize("number", ["0", "-1", "three", "1.5"])
def test_a_number_out_of_place_is_one_line(run, number):
    done = run("check", "a.jpg", "--cross", "C", "--spike", number, "--by", "AB")
    assert done.code == 2
    assert done.err.startswith("spikecheck: Invalid value for '--spike': ")
    assert done.err.endswith(". See spikecheck check --help\n")
    assert done.err.count("\n") == 1


def test_a_group_without_words_shows_its_help(run):
    for words in ([], ["cross"]):
        done = run(*words)
        assert done.code == 2
        assert "Usage: spikecheck" in done.out + done.err
        assert "See spikecheck" not in done.err


def test_a_file_that_starts_with_a_dash_is_told_how_to_be_named(run, folder, monkeypatch):
    (folder / "-a.jpg").write_bytes(b"")
    monkeypatch.setattr(sys, "argv", ["spikecheck", "check", "-a.jpg"])
    assert run("check", "-a.jpg").err.endswith(". For the file of that name write ./-a.jpg\n")


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
    environment = {
        **os.environ, "LC_ALL": "C.UTF-8", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0",
    }  # fmt: skip
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
