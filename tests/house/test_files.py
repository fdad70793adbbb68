"""Small files, a tidy top level, nothing heavy, nothing of anyone's own machine."""

from __future__ import annotations

import re
from statistics import median

import pytest

from tests.house.repository import ROOT, python_files, tracked_files

LONGEST_LINES = 500
MEDIAN_LINES = 200
LARGEST_FILE_MB = 16
REPOSITORY_MB = 80
MB = 1_000_000
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "spikecheck", "models", "app",
    "tests", "synthetic_images",
}  # fmt: skip
OWN_MACHINE = re.compile(
    r"(?<![\w.$}/~-])/(?:work|home|root|tmp|Users)/"  # folders of one machine
    r"|[A-Za-z]:\\\\?Users"
    r"|--(?:extra-)?index-url|--find-links|--trusted-host"  # a package index of one place
)


def lines_of(path) -> int:
    return len((ROOT / path).read_text(encoding="utf-8").splitlines())


def test_no_python_file_is_long():
    long = {str(path): lines_of(path) for path in python_files() if lines_of(path) > LONGEST_LINES}
    assert long == {}


@pytest.mark.parametrize("top", ["spikecheck", "app", "tests"])
def test_python_files_are_small_as_a_rule(top: str):
    assert median(lines_of(path) for path in python_files(top)) < MEDIAN_LINES


def test_the_top_level_holds_exactly_what_belongs_there():
    found = {path.parts[0] for path in tracked_files() if not path.parts[0].startswith(".")}
    assert found == TOP_LEVEL


def test_no_file_and_not_the_whole_is_heavy():
    sizes = {str(path): (ROOT / path).stat().st_size for path in tracked_files()}
    assert {name: size for name, size in sizes.items() if size > LARGEST_FILE_MB * MB} == {}
    assert sum(sizes.values()) < REPOSITORY_MB * MB


def texts():
    """Every tracked text file with its lines."""
    for path in tracked_files():
        data = (ROOT / path).read_bytes()
        if b"\0" not in data:
            yield path, data.decode("utf-8").splitlines()


def test_nothing_tells_of_one_machine():
    own = [
        f"{path}:{number}: {line.strip()[:80]}"
        for path, lines in texts()
        if path.parts[:2] != ("tests", "house")
        for number, line in enumerate(lines, start=1)
        if OWN_MACHINE.search(line)
    ]
    assert own == []


@pytest.mark.parametrize(
    ("line", "own"),
    [
        ('open("/' + 'home/someone/spike.jpg")', True),
        ("cd /" + "tmp/try", True),
        ("pip install --" + "index-url somewhere", True),
        ('git clone "$here" "$work/spikecheck"', False),
        ("https://example.org/home/page", False),
        ("models/work/1", False),
    ],
)
def test_the_search_for_one_machine_knows_what_it_looks_for(line: str, own: bool):  # noqa: FBT001
    assert bool(OWN_MACHINE.search(line)) is own


def test_the_pin_file_names_versions_and_no_addresses():
    lines = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if line.strip() and not line.startswith("#")]
    assert pins
    odd = [line for line in pins if not re.fullmatch(r"[\w.-]+==[\w.+!]+( *;.*)?", line)]
    assert odd == []
