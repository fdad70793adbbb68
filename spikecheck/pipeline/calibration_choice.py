"""Which calibration is in force: the user's own, or the one that comes with the network."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.assessment.calibration_file import read_calibration
from spikecheck.errors import CalibrationError
from spikecheck.language import _

if TYPE_CHECKING:
    from spikecheck.vocabulary import Calibration, Finder, ModelIdentity

CALIBRATION_VARIABLE = "SPIKECHECK_CALIBRATION"
SHIPPED = "shipped"
"""Stands in place of a file for the calibration that comes with the network."""
_FILE = "calibration.toml"


def own_calibration_file() -> Path:
    """Return the file of the user's own calibration, which may not be there.

    The environment variable SPIKECHECK_CALIBRATION names it; otherwise it lies in the user's
    configuration folder.
    """
    given = os.environ.get(CALIBRATION_VARIABLE)
    if given and given != SHIPPED:
        return Path(given).expanduser()
    import platformdirs

    return platformdirs.user_config_path("spikecheck", appauthor=False) / _FILE


def calibration_in_force(choice: str | None, *, model: ModelIdentity) -> Calibration | None:
    """Return the user's own calibration, or None when the shipped one is in force.

    Parameters
    ----------
    choice
        A file, or ``"shipped"``. None takes the one that SPIKECHECK_CALIBRATION says (a file or
        ``"shipped"``), else the user's own file where there is one.
    model
        What looks at the photos; a calibration of another model is refused.

    Raises
    ------
    CalibrationError
        If the file that was named is not there, cannot be used, or belongs to another model.
    """
    named = choice or os.environ.get(CALIBRATION_VARIABLE) or None
    if named == SHIPPED:
        return None
    file = own_calibration_file() if named is None else Path(named).expanduser()
    if named is None and not file.exists():
        return None
    try:
        return read_calibration(file, model=model)
    except CalibrationError as error:
        raise CalibrationError(
            error.what,
            where=error.where,
            cure=_("Run spikecheck calibrate again, or add --calibration {shipped}").format(
                shipped=SHIPPED
            ),
        ) from error


def finder_in_force(choice: str | None) -> Finder:
    """Return what looks at the photos, with the calibration in force.

    Parameters
    ----------
    choice
        As in :func:`calibration_in_force`.

    Raises
    ------
    CalibrationError
        As in :func:`calibration_in_force`.
    """
    from spikecheck.pipeline.finders import default_finder
    from spikecheck.thresholds import load_thresholds

    thresholds = load_thresholds()
    shipped = default_finder(thresholds)
    own = calibration_in_force(choice, model=shipped.model)
    return shipped if own is None else default_finder(thresholds, own)


def own_calibration(choice: str | None) -> Calibration | None:
    """Return the user's own calibration for what looks at the photos now, as above."""
    from spikecheck.pipeline.finders import default_finder
    from spikecheck.thresholds import load_thresholds

    return calibration_in_force(choice, model=default_finder(load_thresholds()).model)
