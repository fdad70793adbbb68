"""Writes and reads layers: one file each, there whole or not at all.

Only covered pixels are kept: about 4 MB a render, loaded in some 20 ms. Colour and depth are
stored as they are (they hardly shrink and unpacking costs time), the rest is packed.
"""

from __future__ import annotations

import io
import json
import zipfile
from typing import TYPE_CHECKING, Any

import numpy as np

from spikecheck.errors import RenderError
from spikecheck.synthetic.manifest import write_whole
from spikecheck.synthetic.solid.layers import Layers
from spikecheck.synthetic.solid.record_file import record_entry, record_from

if TYPE_CHECKING:
    from pathlib import Path

SUFFIX = ".layers.npz"
_SCHEMA = "spikecheck.layers/1"
_CURE = "Render it again"


def save_layers(layers: Layers, folder: Path, name: str) -> Path:
    """Write layers to ``NAME.layers.npz`` in a folder.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    covered = (layers.alpha > 0) | (layers.organ > 0)
    record = {"schema": _SCHEMA, **record_entry(layers.record)}
    text = np.frombuffer(json.dumps(record).encode(), np.uint8)
    arrays: dict[str, tuple[np.ndarray[Any, Any], bool]] = {
        "radiance": (layers.radiance[covered], False),
        "depth_mm": (layers.depth_mm[covered], False),
        "alpha": (layers.alpha[covered], True),
        "organ": (layers.organ[covered], True),
        "covered": (np.packbits(covered), True),
        "size": (np.array(covered.shape, np.int32), False),
        "record": (text, True),
    }
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for key, (array, packed) in arrays.items():
            entry = zipfile.ZipInfo(f"{key}.npy")
            entry.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
            member = io.BytesIO()
            np.lib.format.write_array(member, np.ascontiguousarray(array), allow_pickle=False)
            archive.writestr(entry, member.getvalue(), compresslevel=1)
    path = folder / f"{name}{SUFFIX}"
    write_whole(path, data.getvalue())
    return path


def load_layers(path: Path) -> Layers:
    """Read layers.

    Parameters
    ----------
    path
        A file that :func:`save_layers` wrote.

    Raises
    ------
    RenderError
        If the file is missing, broken or of another version.
    """
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as archive:
            entry = json.loads(archive["record"].tobytes())
            if entry["schema"] != _SCHEMA:
                raise RenderError(
                    f"{_SCHEMA} expected, got {entry['schema']}", where=str(path), cure=_CURE
                )
            height, width = (int(side) for side in archive["size"])
            bits = np.unpackbits(archive["covered"], count=height * width)
            covered = bits.reshape(height, width).astype(bool)
            return Layers(
                radiance=_spread(archive["radiance"], covered),
                alpha=_spread(archive["alpha"], covered),
                organ=_spread(archive["organ"], covered),
                depth_mm=_spread(archive["depth_mm"], covered),
                record=record_from(entry),
            )
    except (OSError, ValueError, KeyError, TypeError, zipfile.BadZipFile) as error:
        raise RenderError(
            f"not readable as layers ({error})", where=str(path), cure=_CURE
        ) from error


def _spread(values: np.ndarray[Any, Any], covered: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    out = np.zeros((*covered.shape, *values.shape[1:]), values.dtype)
    out[covered] = values
    return out
