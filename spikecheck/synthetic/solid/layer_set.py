"""The manifest of a folder of layers: settings, and the digest of each render."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from spikecheck.errors import UsageError
from spikecheck.synthetic.manifest import MANIFEST, sha256_of, write_whole
from spikecheck.synthetic.solid.layer_file import SUFFIX, load_layers
from spikecheck.synthetic.version import GENERATOR_VERSION

if TYPE_CHECKING:
    from pathlib import Path

SCHEMA = "spikecheck.layer-set/1"


@dataclass(frozen=True, slots=True)
class Settings:
    """What decides how the renders of a folder look, beside their seeds.

    Parameters
    ----------
    samples
        Paths a pixel.
    long_side_px
        Longest side; None for 18 to 24 px/mm.
    plenty
        Whether many anthers are left where some are, and many look-alikes lie on all.
    generator
        Version of the generator.
    """

    samples: int
    long_side_px: int | None
    plenty: bool = False
    generator: str = GENERATOR_VERSION

    @property
    def digest(self) -> str:
        """SHA-256 of the settings."""
        return hashlib.sha256(json.dumps(asdict(self), sort_keys=True).encode()).hexdigest()


def layer_name(seed: int) -> str:
    """Return the name of a seed's render, without its ending."""
    return f"s{seed:07d}"


def entry_of(path: Path) -> dict[str, Any]:
    """Return what the manifest says of a file of layers.

    Raises
    ------
    RenderError
        If the file cannot be read.
    """
    record = load_layers(path).record
    data = path.read_bytes()
    return {
        "seed": record.seed, "file": path.name, "state": record.state,
        "families": dict(record.families), "florets": len(record.florets),
        "anthers_seen": sum(anther.visible_px > 0 for anther in record.anthers),
        "bytes": len(data), "sha256": sha256_of(data),
    }  # fmt: skip


class LayerSet:
    """The manifest of one folder, kept in step with its files.

    Parameters
    ----------
    folder
        Folder that exists.
    settings
        How it is rendered now.

    Raises
    ------
    UsageError
        If the folder was rendered with other settings.
    """

    def __init__(self, folder: Path, settings: Settings) -> None:
        self.folder, self.settings = folder, settings
        self.entries: dict[int, dict[str, Any]] = {}
        self.failed: dict[int, str] = {}
        self._read()
        for path in sorted(folder.glob(f"s*{SUFFIX}")):
            seed = int(path.name.removesuffix(SUFFIX)[1:])
            if seed not in self.entries:  # a run that was stopped before it said so
                self.entries[seed] = entry_of(path)

    def _read(self) -> None:
        try:
            manifest = json.loads((self.folder / MANIFEST).read_text(encoding="utf-8"))
            digest, entries = manifest["settings_sha256"], manifest["layers"]
        except FileNotFoundError:
            return
        except (ValueError, KeyError, TypeError) as error:
            raise UsageError(
                "its manifest is not understood", where=str(self.folder),
                cure="Render into another folder",
            ) from error  # fmt: skip
        if digest != self.settings.digest:
            raise UsageError(
                "was rendered with other settings", where=str(self.folder),
                cure="Render with the same samples and size, or into another folder",
            )  # fmt: skip
        self.entries = {
            int(entry["seed"]): entry
            for entry in entries
            if (self.folder / entry["file"]).is_file()
        }

    def save(self) -> None:
        """Write the manifest.

        Raises
        ------
        OutputError
            If it cannot be written.
        """
        manifest = {
            "schema": SCHEMA,
            "settings": asdict(self.settings),
            "settings_sha256": self.settings.digest,
            "layers": [self.entries[seed] for seed in sorted(self.entries)],
            "failed": {str(seed): why for seed, why in sorted(self.failed.items())},
        }
        write_whole(self.folder / MANIFEST, (json.dumps(manifest, indent=1) + "\n").encode())
