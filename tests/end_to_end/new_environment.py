"""A new virtual environment with one wheel and exactly what the wheel says it needs.

The packages it needs are linked from the running environment, so that no package index is asked.
Nothing else is linked: a dependency that the wheel does not declare is missing there, and so is
the checkout, which the running environment may hold as an editable install.
"""

from __future__ import annotations

import os
import subprocess
import sys
import venv
from importlib.metadata import Distribution, distribution
from pathlib import Path
from types import SimpleNamespace

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

_SCRIPTS = "Scripts" if os.name == "nt" else "bin"
_WORDS_OF_THE_CHECKOUT = ("PYTHON", "SPIKECHECK", "VIRTUAL_ENV", "STREAMLIT", "COV")


class NewEnvironment:
    """A virtual environment with the wheel installed."""

    def __init__(self, folder: Path, wheel: Path) -> None:
        venv.create(folder, with_pip=False, symlinks=os.name != "nt")
        self.folder = folder
        self.python = folder / _SCRIPTS / "python"
        self.command = folder / _SCRIPTS / "spikecheck"
        (self.site,) = folder.glob("[Ll]ib/**/site-packages")
        subprocess.run(
            [
                sys.executable, "-m", "pip", "--python", self.python, "install", "--quiet",
                "--disable-pip-version-check", "--no-deps", "--no-index", wheel,
            ],
            check=True,
        )  # fmt: skip
        (metadata,) = self.site.glob("spikecheck-*.dist-info")
        for needed in _needed(Distribution.at(metadata)):
            self._link(needed)

    def run(self, *command: object, cwd: Path) -> SimpleNamespace:
        """Run a program of the environment; nothing of the checkout is told to it."""
        done = subprocess.run(
            [str(part) for part in command],
            check=False, cwd=cwd, env=self.variables(cwd), capture_output=True, text=True,
            timeout=300,
        )  # fmt: skip
        return SimpleNamespace(code=done.returncode, out=done.stdout, err=done.stderr)

    def variables(self, home: Path) -> dict[str, str]:
        """Return the environment variables for a program that runs in ``home``."""
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith(_WORDS_OF_THE_CHECKOUT)
        }
        return {**kept, "HOME": str(home), "XDG_DATA_HOME": str(home / "data")}

    def _link(self, needed: Distribution) -> None:
        if needed.files is None:
            raise AssertionError(f"{needed.name} does not tell its files")
        for top in {file.parts[0] for file in needed.files} - {"..", "__pycache__"}:
            source = Path(str(needed.locate_file(top)))
            link = self.site / top
            if source.exists() and not link.exists():
                link.symlink_to(source)


def _needed(wheel: Distribution) -> list[Distribution]:
    """Return what a distribution needs, and what that needs, and so on."""
    found: dict[str, Distribution] = {}
    open_ends = [(wheel, "")]
    seen = set()
    while open_ends:
        holder, extra = open_ends.pop()
        for text in holder.requires or ():
            requirement = Requirement(text)
            if requirement.marker and not requirement.marker.evaluate({"extra": extra}):
                continue
            name = canonicalize_name(requirement.name)
            found.setdefault(name, distribution(name))
            for wanted in ("", *requirement.extras):
                if (name, wanted) not in seen:
                    seen.add((name, wanted))
                    open_ends.append((found[name], wanted))
    return list(found.values())
