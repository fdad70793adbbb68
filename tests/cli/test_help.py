"""Every command explains itself, with an example that runs, and starts fast."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
import typer.main
from typer.testing import CliRunner

import spikecheck
from spikecheck.cli.commands import app

ROOT = Path(__file__).resolve().parents[2]
HEAVY = {
    "PIL", "alembic", "cv2", "numpy", "onnxruntime", "scipy", "skimage", "sqlalchemy", "streamlit",
}  # fmt: skip


def leaves(command, path=()):
    """Every command that does something, as (words, command)."""
    subcommands = getattr(command, "commands", None)
    if subcommands is None:
        return [(path, command)]
    return [leaf for name, sub in subcommands.items() for leaf in leaves(sub, (*path, name))]


ROOT_COMMAND = typer.main.get_command(app)
LEAVES = leaves(ROOT_COMMAND)
NAMES = [" ".join(path) for path, _ in LEAVES]


def examples(command):
    """The command lines after the colon of each paragraph of the epilog."""
    paragraphs = re.split(r"\n\s*\n", command.epilog or "")
    return [" ".join(p.split()).split(": ", 1)[1] for p in paragraphs if ": " in p]


def test_all_commands_are_there():
    assert set(NAMES) == {
        "check", "batch", "demo", "app", "evaluate", "synth", "label", "calibrate",
        "cross add", "cross change", "cross list", "cross show",
        "tags print", "tags read", "agenda", "outcomes",
        "people add", "people list", "people change", "people remove", "report",
        "export", "verify", "backup", "restore", "brapi write", "brapi read", "plan template",
        "plan take-in", "parent add", "parent list", "parent show", "parent change",
        "session add", "session list", "session show", "spike show", "spike list",
        "spike take-back", "temperatures add", "temperatures take-in", "temperatures constant",
        "temperatures show", "numbers show", "numbers change", "numbers estimate",
        "audit plan", "audit draw", "audit reading", "audit decide", "audit show", "audit labels",
        "record selected", "record tagged", "record emasculated", "record control",
        "record override", "record bagged", "record pollinated", "record rebagged",
        "record harvested", "record threshed", "record seed-tested", "record given-up",
    }  # fmt: skip


@pytest.mark.parametrize(("path", "command"), LEAVES, ids=NAMES)
def test_every_command_has_one_line_of_purpose_and_an_example(path, command):
    assert command.help
    assert "\n" not in command.help.strip()
    assert len(command.help) <= 100
    assert examples(command)
    for parameter in command.params:
        if parameter.param_type_name == "option":
            assert parameter.help, parameter.name


@pytest.mark.parametrize(("path", "command"), LEAVES, ids=NAMES)
def test_every_example_is_understood(path, command):
    for example in examples(command):
        words = shlex.split(example)
        assert words[: len(path) + 1] == ["spikecheck", *path]
        command.make_context(example, words[len(path) + 1 :])


@pytest.mark.parametrize("path", [path for path, _ in LEAVES], ids=NAMES)
def test_every_command_is_in_the_documentation(path):
    told = "".join((ROOT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md"))
    assert f"spikecheck {' '.join(path)}" in told


@pytest.mark.parametrize("path", [(), ("cross",), *[path for path, _ in LEAVES]], ids=str)
def test_help_is_shown(path):
    result = CliRunner().invoke(app, [*path, "--help"], prog_name="spikecheck")
    assert result.exit_code == 0
    assert "Example: spikecheck" in result.stdout


def test_no_command_shows_help_as_a_usage_error():
    result = CliRunner().invoke(app, [], prog_name="spikecheck")
    assert result.exit_code == 2
    assert "Checking photos" in result.stdout + result.stderr


def test_version_is_the_packages():
    result = CliRunner().invoke(app, ["--version"])
    assert result.stdout == f"spikecheck {spikecheck.__version__}\n"


@pytest.mark.parametrize("args", [["nothing"], ["check"], ["check", "--nothing"]])
def test_usage_errors_end_with_two(args):
    result = CliRunner().invoke(app, args)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr


def test_help_loads_nothing_heavy():
    code = (
        "import sys; from spikecheck.cli import main; sys.argv = ['spikecheck', '--help']\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(' '.join(sorted({name.split('.')[0] for name in sys.modules})), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert HEAVY & set(done.stderr.split()) == set()
