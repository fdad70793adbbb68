"""Reads the season's numbers of a crop from its TOML file, the missing ones from wheat's."""

from __future__ import annotations

import dataclasses
import math
import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any

from spikecheck.errors import ThresholdError
from spikecheck.language import N_, _
from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text
from spikecheck.thresholds.season.numbers import Basis, SeasonNumber, SeasonNumbers
from spikecheck.thresholds.season.order import order_problem
from spikecheck.vocabulary.cross import WHEAT

# Crops that have a file, and durum, of which nothing is known that differs from wheat.
CROPS = (WHEAT, "durum", "triticale", "rye", "barley", "oats", "rice")
_ALL_WHEAT = ("durum",)
_TEXTS = ("unit", "reason", "source", "basis")
_BOUNDS = ("least", "most")
_CURE = N_("Install spikecheck again or mend the file")


@dataclass(frozen=True, slots=True)
class RefitThresholds:
    """When a user's own seed set may say when stigmas are receptive.

    Units, reasons and sources: ``season/refit.toml``.
    """

    spikes_least: int
    spread_least: float
    share_of_best: float
    confidence: float


@cache
def refit_list() -> tuple[Threshold, ...]:
    """Return every threshold of re-estimation with unit, reason and source."""
    return parse_group(read_group_text("season/refit"), group="season/refit")


@cache
def load_refit() -> RefitThresholds:
    """Return the shipped thresholds of re-estimation.

    Raises
    ------
    ThresholdError
        If the file is incomplete.
    """
    return build_group(RefitThresholds, refit_list(), group="season/refit")


@cache
def load_season_numbers(crop: str) -> SeasonNumbers:
    """Return the shipped numbers of ``crop``.

    A crop that has no number of its own, or is not known at all, takes wheat's; the entry then
    says ``crop="wheat"``.

    Raises
    ------
    ThresholdError
        If a file is incomplete.
    """
    wheat = parse_crop(read_group_text(f"season/{WHEAT}"), crop=WHEAT)
    own: dict[str, dict[str, Any]] = {}
    if crop in CROPS and crop not in (WHEAT, *_ALL_WHEAT):
        own = parse_crop(read_group_text(f"season/{crop}"), crop=crop)
    entries = []
    for name, table in wheat.items():
        crops_own = own.get(name)
        if crops_own is not None and crops_own["unit"] != table["unit"]:
            raise ThresholdError(
                _("unit is not wheat's: {crops_own!r}").format(crops_own=crops_own["unit"]),
                where=f"season/{crop}.toml, {name}",
                cure=_(_CURE),
            )
        known = table | (crops_own or {})
        entries.append(
            SeasonNumber(
                name, known["value"], known["value"],
                unit=known["unit"], reason=known["reason"], source=known["source"],
                basis=Basis(known["basis"]), crop=WHEAT if crops_own is None else crop,
                least=known["least"], most=known["most"],
            )
        )  # fmt: skip
    return built(crop, tuple(entries))


def built(crop: str, entries: tuple[SeasonNumber, ...]) -> SeasonNumbers:
    """Return the numbers of ``crop`` that ``entries`` hold.

    Raises
    ------
    ThresholdError
        If two numbers contradict each other.
    """
    values = {entry.name: entry.value for entry in entries}
    problem = order_problem(values)
    if problem:
        raise ThresholdError(problem, where=crop, cure=_("Change either"))
    return SeasonNumbers(crop=crop, entries=entries, **values)


def parse_crop(text: str, *, crop: str) -> dict[str, dict[str, Any]]:
    """Return the tables of a crop's TOML text; wheat's must name every number, with its range.

    Raises
    ------
    ThresholdError
        If the text is no TOML, or an entry is missing, superfluous, out of range or of another
        type.
    """
    file = f"season/{crop}.toml"
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ThresholdError(
            _("not valid TOML ({error})").format(error=error), where=file, cure=_(_CURE)
        ) from error
    known = [
        field.name for field in dataclasses.fields(SeasonNumbers)
        if field.name not in ("crop", "entries")
    ]  # fmt: skip
    odd = set(tables) ^ set(known) if crop == WHEAT else set(tables) - set(known)
    if odd:
        raise ThresholdError(
            _("missing or unknown numbers: {odd}").format(odd=", ".join(sorted(odd))),
            where=file,
            cure=_(_CURE),
        )
    for name, table in tables.items():
        problem = _problem(table, ("value", *_BOUNDS) if crop == WHEAT else ("value",))
        if problem:
            raise ThresholdError(problem, where=f"{file}, {name}", cure=_(_CURE))
    return {name: tables[name] for name in known if name in tables}


def _problem(table: object, numbers: tuple[str, ...]) -> str:
    entries = {*numbers, *_TEXTS}
    if not isinstance(table, dict) or set(table) != entries:
        return f"needs exactly the entries {sorted(entries)}"
    for name in numbers:
        value = table[name]
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not math.isfinite(value)
        ):
            return f"{name} is no number: {value!r}"
    if not all(isinstance(table[name], str) and table[name].strip() for name in _TEXTS):
        return "unit, reason, source and basis need text"
    if table["basis"] not in list(Basis):
        return f"basis is none of {', '.join(Basis)}: {table['basis']!r}"
    return ""
