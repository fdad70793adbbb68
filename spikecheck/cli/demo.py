"""`spikecheck demo`: the bundled photos, to see how it goes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from spikecheck.vocabulary import PhotoTruth

EXAMPLES = "Example: spikecheck demo"

DEMO_FOLDER = Path("spikecheck_demo")


def demo(
    overlay: Annotated[
        Path,
        typer.Option(metavar="FOLDER", help="Where to write the pictures with the findings."),
    ] = DEMO_FOLDER,
) -> None:
    """Check two bundled photos, a clean spike and one with a leftover, and draw what was found."""
    from spikecheck.cli.checking import check_with_overlays
    from spikecheck.cli.console import say
    from spikecheck.cli.overlay_files import write_overlays
    from spikecheck.cli.verdict_text import show_overlay_files, show_result
    from spikecheck.pipeline.calibration_choice import SHIPPED

    for number, (photo, truth) in enumerate(demo_photos()):
        if number:
            say()
        say(f"Photo: {photo}")
        say(f"In truth it shows {_what(truth)}.")
        say()
        result, overlays = check_with_overlays([photo], calibration=SHIPPED)
        show_result(result)
        show_overlay_files(write_overlays(overlays, [photo], folder=overlay))


def demo_photos() -> list[tuple[Path, PhotoTruth]]:
    """Return the plainest clean and leftover photo of the demo set, with their truth.

    Those are the one with the smallest file, which has the least in it, and the one with the fewest
    anthers and nothing else wrong with it.
    """
    from spikecheck.bundled import bundled_folder
    from spikecheck.errors import InstallationError
    from spikecheck.vocabulary import Verdict, read_truth

    folder = bundled_folder("synthetic_images") / "demo"
    truths = [read_truth(photo.with_suffix(".json")) for photo in sorted(folder.glob("*.jpg"))]
    clean = [truth for truth in truths if truth.verdict is Verdict.PASS]
    leftover = [truth for truth in truths if truth.anthers and not truth.problems]
    if not (clean and leftover):
        raise InstallationError(
            "this installation lacks its demo photos", cure="Install spikecheck again"
        )
    shown = (
        min(clean, key=lambda truth: (folder / truth.image).stat().st_size),
        min(leftover, key=lambda truth: len(truth.anthers)),
    )
    return [(folder / truth.image, truth) for truth in shown]


def _what(truth: PhotoTruth) -> str:
    count = len(truth.anthers)
    if not count:
        return "no anther left"
    told = (
        " ".join(filter(None, (anther.stage, _where(anther.floret)))) for anther in truth.anthers
    )
    return f"{count} {'anther' if count == 1 else 'anthers'} left: {', '.join(told)}"


def _where(floret: str | None) -> str:
    return f"in floret {floret}" if floret else "outside the florets"
