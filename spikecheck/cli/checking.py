"""Checks the photos of one spike and draws what was found, for the commands that do so."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from spikecheck.vocabulary import CheckResult


def check_with_overlays(
    photos: Sequence[Path], *, calibration: str | None
) -> tuple[CheckResult, list[bytes]]:
    """Return the result for photos of one spike, and an overlay file's bytes for each photo.

    Parameters
    ----------
    photos
        The photo files.
    calibration
        A file, ``"shipped"``, or None for the one in force.
    """
    from spikecheck.cli.overlay_files import overlay_bytes
    from spikecheck.pipeline import check_files
    from spikecheck.pipeline.calibration_choice import finder_in_force
    from spikecheck.thresholds import load_thresholds

    thresholds = load_thresholds()
    finder = finder_in_force(calibration)
    result, decoded = check_files(photos, finder=finder, thresholds=thresholds)
    overlays = [
        overlay_bytes(photo, seen, result=result, number=number)
        for number, (photo, seen) in enumerate(zip(decoded, result.photos, strict=True))
    ]
    return result, overlays
