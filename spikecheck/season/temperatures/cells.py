"""One cell of a table: a temperature in degrees C."""

from __future__ import annotations

import re
from statistics import fmean
from typing import TYPE_CHECKING

from spikecheck.season.course import COLDEST_C, WARMEST_C
from spikecheck.season.temperatures.problems import CellError

if TYPE_CHECKING:
    from collections.abc import Sequence

_NUMBER = re.compile(r"[+-]?\d{1,3}(?:[.,]\d+)?")
_UNIT = re.compile(r"\s*(?:°|º|deg\.?\s*)?\s*(?P<unit>[CFK])$", re.IGNORECASE)
# No crop is grown at such a mean; degrees F are (own judgement).
_MEAN_MOST_C = 45.0
SHOWN = 40  # characters of a cell that a message repeats


def air_c(text: str) -> float:
    """Return the temperature of a cell, degrees C; a decimal comma counts as a point.

    Raises
    ------
    CellError
        If it is empty, no number, in another unit, or cannot be an air temperature.
    """
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if not plain:
        raise CellError("the temperature is missing")
    unit = _UNIT.search(plain)
    if unit and unit["unit"].upper() != "C":
        raise CellError(f"{plain[:SHOWN]!r} is not in degrees C; change the unit to degrees C")
    number = plain[: unit.start()] if unit else plain
    if not _NUMBER.fullmatch(number):
        raise CellError(f"{plain[:SHOWN]!r} is no temperature")
    value = float(number.replace(",", "."))
    if not COLDEST_C <= value <= WARMEST_C:
        raise CellError(f"{value:g} cannot be an air temperature in degrees C; is it degrees F?")
    return value


def refuse_so_hot(several: Sequence[float]) -> None:
    """Refuse temperatures that each may be, but not all together.

    Raises
    ------
    CellError
        If they are rather degrees F.
    """
    if several and fmean(several) > _MEAN_MOST_C:
        raise CellError("so hot on average: is it degrees F? Change it to C")
