"""The manifest beside a network, ``model.toml``: what it is, and every number that was tuned.

::

    task = "florets"                 # as its folder is named
    version = "1"
    sha256 = "…"                     # of model.onnx, 64 hex digits
    outputs = ["maps", "strangeness"]

    [input]                          # what it wants to see, such as px_per_mm = 20
    [training]                       # set_sha256, seed, recipe
    [metrics]                        # how it did where it was measured
    [tuned]                          # limits of this network, see spikecheck.networks.tuned
    [calibration]                    # fields of Calibration, and scaling of logits

Every fault is one :class:`~spikecheck.errors.ModelError` that names file, entry and cure.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, TypeVar

from spikecheck.errors import ModelError, UsageError
from spikecheck.language import N_, _
from spikecheck.vocabulary import Calibration

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

G = TypeVar("G")
CURE = N_("Install spikecheck again, or make the network anew")
_HEX = re.compile(r"[0-9a-f]{64}")
_TABLES = ("input", "training", "metrics", "tuned")


@dataclass(frozen=True, slots=True, eq=False)
class Manifest:
    """What stands in ``model.toml``.

    Parameters
    ----------
    path
        The file it was read from.
    task, version
        What the network does, and which one it is.
    sha256
        Hex digest of the network file.
    outputs
        Names of what the network gives.
    input, training, metrics, tuned
        The tables of these names, as they stand there.
    calibration
        The table of this name, or None when the network was not calibrated.
    text_sha256
        Hex digest of the manifest itself.
    """

    path: Path
    task: str
    version: str
    sha256: str
    outputs: tuple[str, ...]
    input: Mapping[str, Any]
    training: Mapping[str, Any]
    metrics: Mapping[str, Any]
    tuned: Mapping[str, Any]
    calibration: Mapping[str, Any] | None
    text_sha256: str

    def numbers(self, kind: type[G], table: str = "tuned", *, prefix: str = "") -> G:
        """Return the numbers of a table in a dataclass whose fields are all float.

        Parameters
        ----------
        kind
            The dataclass; the table must hold at least its fields.
        table
            ``"tuned"`` or ``"calibration"``.
        prefix
            Stands before the field's name in the table.

        Raises
        ------
        ModelError
            If the table lacks a number.
        """
        held = (self.calibration or {}) if table == "calibration" else self.tuned
        values = {}
        for field in fields(kind):  # type: ignore[arg-type]
            name = prefix + field.name
            value = held.get(name)
            if isinstance(value, bool) or not isinstance(value, int | float):
                raise ModelError(
                    _("[{table}] needs a number {name}").format(table=table, name=name),
                    where=str(self.path),
                    cure=_(CURE),
                )
            values[field.name] = float(value)
        return kind(**values)

    def pass_limit(self) -> Calibration | None:
        """Return the calibration the network ships with, or None when it has none.

        A table that holds scaling alone has no pass limit: too few spikes were there to choose one.

        Raises
        ------
        ModelError
            If the table is there and incomplete or out of range.
        """
        names = {each.name for each in fields(Calibration)}
        if self.calibration is None or names.isdisjoint(self.calibration):
            return None
        try:
            return Calibration(
                **{each.name: self.calibration[each.name] for each in fields(Calibration)}
            )
        except KeyError as error:
            raise self._fault(f"[calibration] lacks {error}") from error
        except (TypeError, UsageError) as error:
            raise self._fault(f"[calibration] is not understood ({error})") from error

    def _fault(self, what: str) -> ModelError:
        return ModelError(what, where=str(self.path), cure=_(CURE))


def read_manifest(path: Path) -> Manifest:
    """Read a manifest.

    Parameters
    ----------
    path
        The ``model.toml``.

    Raises
    ------
    ModelError
        If it cannot be read, is no TOML, or an entry is missing or of another type.
    """

    def fault(what: str) -> ModelError:
        return ModelError(what, where=str(path), cure=_(CURE))

    try:
        data = path.read_bytes()
        tables = tomllib.loads(data.decode("utf-8"))
    except OSError as error:
        raise fault(f"cannot be read ({error.strerror})") from error
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise fault(f"is not valid TOML ({error})") from error
    wrong = next(_wrong_entries(tables), None)
    if wrong is not None:
        raise fault(wrong)
    return Manifest(
        path=path, task=tables["task"], version=tables["version"], sha256=tables["sha256"],
        outputs=tuple(tables["outputs"]), **{name: tables[name] for name in _TABLES},
        calibration=tables.get("calibration"), text_sha256=hashlib.sha256(data).hexdigest(),
    )  # fmt: skip


def _wrong_entries(tables: Mapping[str, Any]) -> Iterator[str]:
    for name in ("task", "version", "sha256"):
        if not isinstance(tables.get(name), str) or not tables[name].strip():
            yield f"needs a text {name}"
    if not _HEX.fullmatch(str(tables.get("sha256"))):
        yield "sha256 is not 64 hex digits"
    outputs = tables.get("outputs")
    if not isinstance(outputs, list) or not outputs or not all(isinstance(o, str) for o in outputs):
        yield "needs outputs, a list of names"
    for name in _TABLES:
        if not isinstance(tables.get(name), dict):
            yield f"needs a table [{name}]"
    if not isinstance(tables.get("calibration", {}), dict):
        yield "calibration is no table"
