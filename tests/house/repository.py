"""The files of the repository, as git tracks them, and the package's code as syntax trees."""

from __future__ import annotations

import ast
import shutil
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def tracked_files() -> tuple[Path, ...]:
    """Every tracked file that is there, relative to the root."""
    git = shutil.which("git")
    assert git is not None, "the house rules are about what git tracks"
    listed = subprocess.run(
        [git, "-C", str(ROOT), "ls-files", "-z"], capture_output=True, check=True
    )
    names = listed.stdout.decode().split("\0")
    return tuple(Path(name) for name in names if name and (ROOT / name).exists())


def python_files(*tops: str) -> list[Path]:
    """Tracked Python files, all or those under some top-level names."""
    return [
        path
        for path in tracked_files()
        if path.suffix == ".py" and (not tops or path.parts[0] in tops)
    ]


@cache
def tree_of(path: Path) -> ast.Module:
    """Parse one tracked Python file."""
    return ast.parse((ROOT / path).read_text(encoding="utf-8"), filename=str(path))


def module_name(path: Path) -> str:
    """Dotted name of a module of the package."""
    parts = path.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
