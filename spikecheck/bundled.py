"""Where the data that travel with the package lie: app, networks, demo photos.

In a checkout they stand at the top of the repository; in an installed wheel they stand inside the
package. Everything that needs one of them asks here.
"""

from __future__ import annotations

from pathlib import Path

from spikecheck.errors import InstallationError

_PACKAGE = Path(__file__).resolve().parent


def bundled_folder(name: str) -> Path:
    """Return the folder ``name`` that travels with the package.

    Parameters
    ----------
    name
        ``"app"``, ``"models"`` or ``"synthetic_images"``.

    Raises
    ------
    InstallationError
        If the installation lacks the folder.
    """
    for parent in (_PACKAGE / "_bundled", _PACKAGE.parent):
        folder = parent / name
        if folder.is_dir():
            return folder
    raise InstallationError(
        f"this installation lacks its {name} folder", cure="Install spikecheck again from its wheel"
    )
