"""Writes and reads calibration files: the pass limit chosen on one's own photos.

A calibration belongs to the network whose scores it was chosen on; the file names both, and is
refused for any other network.
"""

from __future__ import annotations

import json
import math
import tomllib
from typing import TYPE_CHECKING, Any

from spikecheck.errors import CalibrationError, OutputError, UsageError
from spikecheck.language import N_, _
from spikecheck.vocabulary import Calibration, ModelIdentity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

CALIBRATION_SCHEMA = "spikecheck.calibration/1"

_CURE = N_("Calibrate again, or leave the file away to use the shipped calibration")
_SHARES = ("pass_score_most", "alpha", "bound")
_COUNTS = ("spikes", "passed")
_TEXTS = ("name", "sha256")
_MODEL = ("name", "version", "sha256")


def calibration_toml(calibration: Calibration) -> str:
    """Return the entries of ``calibration`` as lines of TOML, every digit kept."""
    lines = [f"{key} = {_quoted(getattr(calibration, key))}" for key in _TEXTS]
    lines += [f"{key} = {float(getattr(calibration, key))!r}" for key in _SHARES]
    lines += [f"{key} = {int(getattr(calibration, key))}" for key in _COUNTS]
    return "\n".join(lines) + "\n"


def calibration_of(entries: Mapping[str, Any], *, where: str) -> Calibration:
    """Return the calibration that a TOML table holds; entries of other names are left alone.

    Parameters
    ----------
    entries
        The table as it was read.
    where
        The file, for the message.

    Raises
    ------
    CalibrationError
        If an entry is missing, of another type, or the entries do not fit together: a bound that
        its own counts do not prove is not believed.
    """
    found: dict[str, Any] = {
        **{key: _entry(entries, key, (str,), where=where) for key in _TEXTS},
        **{key: _entry(entries, key, (int,), where=where) for key in _COUNTS},
        **{key: float(_entry(entries, key, (int, float), where=where)) for key in _SHARES},
    }
    try:
        calibration = Calibration(**found)
    except UsageError as error:
        raise CalibrationError(error.what, where=where, cure=_(_CURE)) from error
    provable = (calibration.passed + 1) / (calibration.spikes + 1)
    if not math.isclose(calibration.bound, provable) or provable > calibration.alpha:
        raise CalibrationError(
            _(
                "promises {bound:g} and {alpha:g}, where {passed} of {spikes} prove {provable:g}"
            ).format(
                bound=calibration.bound,
                alpha=calibration.alpha,
                passed=calibration.passed,
                spikes=calibration.spikes,
                provable=provable,
            ),
            where=where,
            cure=_(_CURE),
        )
    return calibration


def write_calibration(calibration: Calibration, path: Path, *, model: ModelIdentity) -> None:
    """Write a calibration file.

    Parameters
    ----------
    calibration
        The limit and what it rests on.
    path
        The file; one that is there is replaced.
    model
        The network whose scores the limit is for.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    lines = [f"schema = {_quoted(CALIBRATION_SCHEMA)}", "", "[model]"]
    lines += [f"{key} = {_quoted(getattr(model, key))}" for key in _MODEL]
    text = "\n".join(lines) + "\n\n[calibration]\n" + calibration_toml(calibration)
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise OutputError(
            _("the calibration cannot be written ({reason})").format(reason=error.strerror),
            where=str(path),
            cure=_("Name a file in a folder that you may write to"),
        ) from error


def read_calibration(path: Path, *, model: ModelIdentity) -> Calibration:
    """Read a calibration file that was made for ``model``.

    Raises
    ------
    CalibrationError
        If it cannot be read, is no calibration file, lacks an entry, or was made for another
        network.
    """
    where = str(path)
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise CalibrationError(
            _("cannot be read ({reason})").format(reason=error.strerror), where=where, cure=_(_CURE)
        ) from error
    except ValueError as error:  # not TOML, or not even text
        raise CalibrationError(
            _("is no TOML ({error})").format(error=error), where=where, cure=_(_CURE)
        ) from error
    if content.get("schema") != CALIBRATION_SCHEMA:
        raise CalibrationError(
            _("is no calibration file of schema {calibration_schema}").format(
                calibration_schema=CALIBRATION_SCHEMA
            ),
            where=where,
            cure=_(_CURE),
        )
    tables = {name: content.get(name) for name in ("model", "calibration")}
    made_for, entries = tables["model"], tables["calibration"]
    if not isinstance(made_for, dict) or not isinstance(entries, dict):
        raise CalibrationError(_("lacks [model] or [calibration]"), where=where, cure=_(_CURE))
    named = ModelIdentity(*(_entry(made_for, key, (str,), where=where) for key in _MODEL))
    if named != model:
        raise CalibrationError(
            _(
                "was made for {named} {version} ({sha256}), not for {model} {model_version} "
                "({model_sha256})"
            ).format(
                named=named.name,
                version=named.version,
                sha256=named.sha256[:12],
                model=model.name,
                model_version=model.version,
                model_sha256=model.sha256[:12],
            ),
            where=where,
            cure=_(_CURE),
        )
    return calibration_of(entries, where=where)


def _entry(entries: Mapping[str, Any], key: str, kinds: tuple[type, ...], *, where: str) -> Any:  # noqa: ANN401  (whatever TOML holds, of one of the kinds)
    value = entries.get(key)
    if isinstance(value, bool) or not isinstance(value, kinds):
        raise CalibrationError(
            _("lacks the entry {key}, or it is of another kind").format(key=key),
            where=where,
            cure=_(_CURE),
        )
    return value


def _quoted(text: str) -> str:
    """Return a basic string of TOML: one of JSON, which alone leaves DEL as it is."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")
