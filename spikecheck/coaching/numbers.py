"""The numbers of practice in force: as shipped, or as a supervisor set them in a file."""

from __future__ import annotations

import dataclasses
import json
import math
import tomllib
from typing import TYPE_CHECKING

from spikecheck.errors import SpikecheckError, ThresholdError, UsageError
from spikecheck.practice import photos_in_session, sign_off_test
from spikecheck.thresholds.practice import PracticeThresholds, load_practice

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

PRACTICE_NUMBERS_VARIABLE = "SPIKECHECK_PRACTICE_NUMBERS"
"""Environment variable that names the file."""

_NAMES = tuple(field.name for field in dataclasses.fields(PracticeThresholds))
_FEWEST_PHOTOS = 2
_CURE = "Write lines such as viewing_s = 15, with the names of spikecheck/thresholds/practice.toml"


def numbers_in_force(environment: Mapping[str, str]) -> PracticeThresholds:
    """Return the numbers of the file that the environment names, else the shipped ones.

    Raises
    ------
    ThresholdError
        If the file cannot be used.
    """
    from pathlib import Path

    given = environment.get(PRACTICE_NUMBERS_VARIABLE, "")
    return read_numbers(Path(given)) if given else load_practice()


def read_numbers(path: Path) -> PracticeThresholds:
    """Read numbers from a TOML file of lines ``name = value``; what it leaves out is as shipped.

    Raises
    ------
    ThresholdError
        If it cannot be read, names a number that is none, or the numbers cannot be together.
    """
    where = str(path)
    try:
        given = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise ThresholdError(
            f"cannot be read ({error.strerror})", where=where, cure=_CURE
        ) from error
    except ValueError as error:  # of TOML, and of its encoding
        raise ThresholdError(f"not valid TOML ({error})", where=where, cure=_CURE) from error
    for name, value in given.items():
        if name not in _NAMES:
            raise ThresholdError(f"there is no number {name}", where=where, cure=_CURE)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ThresholdError(f"{name} is no number: {value!r}", where=where, cure=_CURE)
    numbers = dataclasses.replace(load_practice(), **{n: float(v) for n, v in given.items()})
    try:
        _refuse_what_cannot_be(numbers)
    except SpikecheckError as error:
        raise ThresholdError(error.what, where=where, cure=error.cure or _CURE) from error
    return numbers


def numbers_text(numbers: PracticeThresholds) -> str:
    """Return the numbers as JSON in one spelling, as they are recorded with a session."""
    values = {name: float(value) for name, value in dataclasses.asdict(numbers).items()}
    return json.dumps(values, sort_keys=True, separators=(",", ":"))


def recorded_numbers(text: str) -> PracticeThresholds:
    """Return the numbers recorded with a session; those it did not know yet are as shipped.

    Raises
    ------
    UsageError
        If the text is not what :func:`numbers_text` writes.
    """
    try:
        given = {name: float(value) for name, value in json.loads(text).items() if name in _NAMES}
    except (ValueError, TypeError, AttributeError) as error:
        raise UsageError(f"the numbers of a session cannot be read ({error})") from error
    return dataclasses.replace(load_practice(), **given)


def changed_numbers(numbers: PracticeThresholds) -> tuple[tuple[str, float, float], ...]:
    """Return name, value and shipped value of each number that differs from the shipped one."""
    shipped = dataclasses.asdict(load_practice())
    return tuple(
        (name, value, shipped[name])
        for name, value in dataclasses.asdict(numbers).items()
        if value != shipped[name]
    )


def _refuse_what_cannot_be(numbers: PracticeThresholds) -> None:
    values = dataclasses.asdict(numbers)
    for name, value in values.items():
        if not (math.isfinite(value) and value >= 0):
            raise UsageError(f"{name} is 0 or more, got {value}")
    for name in ("mark_radius_mm", "block_s", "expected_seen"):
        if values[name] == 0:
            raise UsageError(f"{name} is above 0")
    least, most = numbers.leftovers_least, numbers.leftovers_most
    if not 0 < least < most < 1:
        raise UsageError(
            f"shares need 0 < leftovers_least < leftovers_most < 1, got {least}, {most}"
        )
    if not 0 < numbers.expected_miss_share < 1 or not 0 < numbers.confidence < 1:
        raise UsageError("expected_miss_share and confidence lie above 0 and below 1")
    if not 0 < numbers.small_below_mm2 < numbers.large_from_mm2:
        raise UsageError("sizes need 0 < small_below_mm2 < large_from_mm2")
    if not 0 < numbers.viewing_s < numbers.block_s:
        raise UsageError("times need 0 < viewing_s < block_s")
    if photos_in_session(numbers) < _FEWEST_PHOTOS:
        raise UsageError(f"a session has {_FEWEST_PHOTOS} photos or more: see session_photos")
    sign_off_test(numbers)
