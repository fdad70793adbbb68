"""Fills a small disk under records and tells what can still be done with them.

``full_disk_process.py folder``, run where it may mount: ends with one line of JSON.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import StoreError
from spikecheck.store import open_store
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

if TYPE_CHECKING:
    from spikecheck.store import Store


def _fill(path: Path) -> None:
    with path.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(bytes(512))
        except OSError:
            return


def _add(store: Store, name: str) -> None:
    # Longer than what is left of the log that is there already.
    planned = PlannedCross(name, PlannedParent("Ferra"), PlannedParent("Olmo"), note="n" * 4000)
    store.plans.add(planned)


def _names(records: str) -> list[str]:
    with open_store(records, wait_s=0.2) as store:
        return [one.cross.id for one in store.crosses()]


def _refusal(records: str) -> str:
    try:
        _names(records)
    except StoreError as error:
        return str(error)
    return ""


def main(folder: str) -> None:
    """Do it in ``folder``, where a disk of 2 MB is mounted for this process alone."""
    subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", folder], check=True, timeout=60
    )
    records, filler = str(Path(folder) / "records"), Path(folder) / "filler"
    with open_store(records, wait_s=0.2) as store:
        _add(store, "C-1")
    _fill(filler)
    told: dict[str, object] = {"opened while full": _refusal(records)}
    filler.unlink()
    with open_store(records, wait_s=0.2) as store:
        store.crosses()
        _fill(filler)
        try:
            _add(store, "C-2")
        except StoreError as error:
            told["recorded while full"] = str(error)
        told["read while full"] = [one.cross.id for one in store.crosses()]
    filler.unlink()
    told["once there is room"] = _names(records)
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(sys.argv[1])
