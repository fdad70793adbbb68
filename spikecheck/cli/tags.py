"""`spikecheck tags`: the printed tags that hang on spikes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.endings import BAD_INPUT

if TYPE_CHECKING:
    from spikecheck.vocabulary import SeenTag

EXAMPLES = "Example: spikecheck tags read front.jpg"

commands = typer.Typer(no_args_is_help=True, help="Read the printed tags that hang on spikes.")


@commands.callback()
def tags() -> None:
    """Read the printed tags that hang on spikes."""


@commands.command("read", epilog="Example: spikecheck tags read front.jpg back.jpg")
def read(
    photos: Annotated[
        list[Path],
        typer.Argument(metavar="PHOTO", help="Photos with tags in view.", show_default=False),
    ],
) -> None:
    """Tell which tags are in photos: code, scale, colour of the light."""
    from spikecheck.cli.console import complain, printable, say
    from spikecheck.errors import PhotoError
    from spikecheck.photo import read_photo
    from spikecheck.tag_reading import read_tags
    from spikecheck.thresholds import load_thresholds

    thresholds = load_thresholds()
    unread = False
    for path in photos:
        try:
            photo = read_photo(path, thresholds=thresholds.reading)
        except PhotoError as error:
            complain(error)
            unread = True
            continue
        seen = read_tags(photo.pixels, thresholds=thresholds.tags)
        for words in map(_words, seen) if seen else ["no tag was read"]:
            say(printable(f"{path}: {words}"))
    if unread:
        raise typer.Exit(BAD_INPUT)


def _words(tag: SeenTag) -> str:
    from spikecheck.vocabulary.tag_code import shown_code

    scale = "no scale"
    if tag.scale is not None:
        scale = f"{tag.scale.px_per_mm:.2f} px/mm ({tag.scale.low:.2f} to {tag.scale.high:.2f})"
    colour = "colours not corrected: its grey steps are hidden, or contradict each other"
    if tag.correction is not None:
        red, _, blue = tag.correction.gains
        colour = f"neutral light takes red times {red:.2f} and blue times {blue:.2f}"
    return f"tag {shown_code(tag.code)}, {scale}, {colour}"
