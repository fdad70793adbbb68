"""Reads one group of thresholds from TOML into its frozen dataclass.

Every number in a group's TOML file is a table of four entries: ``value``, ``unit``, ``reason``
(why this number) and ``source`` (where it comes from). The file and the dataclass must name the
same numbers: a misspelt or missing one is an error, never a silent default.
"""

from __future__ import annotations

import dataclasses
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any, TypeVar

from spikecheck.errors import ThresholdError
from spikecheck.language import N_, _

if TYPE_CHECKING:
    from collections.abc import Mapping

G = TypeVar("G")
_ENTRIES = {"value", "unit", "reason", "source"}
_CURE = N_("Install spikecheck again or mend the file")


@dataclass(frozen=True, slots=True)
class Threshold:
    """One deciding number with its documentation."""

    name: str
    value: float
    unit: str
    reason: str
    source: str


def read_group_text(group: str) -> str:
    """Return the TOML text of ``group``, as it is shipped."""
    return files("spikecheck.thresholds").joinpath(f"{group}.toml").read_text(encoding="utf-8")


def parse_group(text: str, *, group: str) -> tuple[Threshold, ...]:
    """Parse a group's TOML text.

    Raises
    ------
    ThresholdError
        If the text is no TOML or an entry is missing, superfluous or of another type.
    """
    try:
        tables: Mapping[str, Any] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ThresholdError(
            _("not valid TOML ({error})").format(error=error),
            where=f"{group}.toml",
            cure=_(_CURE),
        ) from error
    found = []
    for name, table in tables.items():
        where = f"{group}.toml, {name}"
        if not isinstance(table, dict) or set(table) != _ENTRIES:
            raise ThresholdError(
                _("needs exactly the entries {entries}").format(entries=sorted(_ENTRIES)),
                where=where,
                cure=_(_CURE),
            )
        value = table["value"]
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ThresholdError(
                _("value is no number: {value!r}").format(value=value), where=where, cure=_(_CURE)
            )
        texts = [table[entry] for entry in ("unit", "reason", "source")]
        if not all(isinstance(entry, str) and entry.strip() for entry in texts):
            raise ThresholdError(_("unit, reason and source need text"), where=where, cure=_(_CURE))
        found.append(Threshold(name, value, *texts))
    return tuple(found)


def build_group(kind: type[G], thresholds: tuple[Threshold, ...], *, group: str) -> G:
    """Put parsed thresholds into the dataclass ``kind``.

    Raises
    ------
    ThresholdError
        If file and dataclass do not name the same numbers.
    """
    wanted = {field.name for field in dataclasses.fields(kind)}  # type: ignore[arg-type]
    named = {threshold.name for threshold in thresholds}
    if wanted != named:
        odd = ", ".join(sorted(wanted ^ named))
        raise ThresholdError(
            _("missing or unknown numbers: {odd}").format(odd=odd),
            where=f"{group}.toml",
            cure=_(_CURE),
        )
    return kind(**{threshold.name: threshold.value for threshold in thresholds})
