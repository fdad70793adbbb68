"""What the system tells about processes: cores, memory. Linux only: it is read from ``/proc``."""

from __future__ import annotations

import os
from pathlib import Path

_PROC = Path("/proc")
_MB_PER_KIB = 1024 / 1e6  # /proc says kB and means KiB


def use_cores(count: int) -> None:
    """Keep this process, and those it starts, on ``count`` cores."""
    os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:count])


def peak_memory_mb() -> float:
    """Return the most memory this process ever held (VmHWM), in MB."""
    return _field(_PROC / "self" / "status", "VmHWM")


def tree_of(pid: int) -> list[int]:
    """Return a process and all that it started, and they in turn."""
    parents = {}
    for folder in _PROC.glob("[0-9]*"):
        try:
            # the name, in brackets, may hold blanks; the parent is the second word after it
            parents[int(folder.name)] = int(
                (folder / "stat").read_text().rpartition(")")[2].split()[1]
            )
        except (OSError, ValueError):
            continue  # ended meanwhile
    tree = [pid]
    for member in tree:
        tree += [child for child, parent in parents.items() if parent == member]
    return tree


def memory_mb(pid: int) -> dict[str, float]:
    """Return what a process holds, in MB; nothing of one that has ended.

    ``resident`` counts pages shared with other processes in full, ``share`` by its share in them
    (PSS), ``peak`` is the most it ever held.
    """
    folder = _PROC / str(pid)
    try:
        return {
            "resident": _field(folder / "status", "VmRSS"),
            "peak": _field(folder / "status", "VmHWM"),
            "share": _field(folder / "smaps_rollup", "Pss"),
        }
    except (OSError, KeyError):
        return {}


def _field(file: Path, name: str) -> float:
    lines = dict(line.split(":", 1) for line in file.read_text().splitlines() if ":" in line)
    return float(lines[name].split()[0]) * _MB_PER_KIB
