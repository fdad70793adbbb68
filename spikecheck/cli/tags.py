"""`spikecheck tags`: the printed tags that hang on spikes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.endings import BAD_INPUT
from spikecheck.cli.records.record_options import ByOption
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.tags import LettersInDoubt
    from spikecheck.vocabulary import CrossTag, SeenTag

EXAMPLES = "Example: spikecheck tags print C-014/1-14 --pdf tags.pdf --by AB"

_LETTERS_TOLD = 20
_CROSSES_TOLD = 8

commands = typer.Typer(no_args_is_help=True, help="Print the tags that hang on spikes; read them.")


@commands.command(
    "print",
    epilog="Example: spikecheck tags print C-014/1-14 --pdf tags.pdf --by AB\n\n"
    "For several crosses: spikecheck tags print C-014/1-6 C-015/1-8 --pdf tags.pdf --by AB",
)
def print_tags(
    spikes: Annotated[
        list[str],
        typer.Argument(
            metavar="SPIKE", help="Spikes, such as C-014/1-14; they may be new.", show_default=False
        ),
    ],
    pdf: Annotated[Path, typer.Option(metavar="FILE", help="The sheets, to be printed at 100 %.")],
    by: ByOption,
    paper: Annotated[str, typer.Option(metavar="NAME", help="a4 or letter.")] = "a4",
    store: StoreOption = None,
) -> None:
    """Print tags true to size; a spike that has a tag keeps it, so a sheet can be printed again."""
    from spikecheck.bookkeeping.tag_printing import printed_tags
    from spikecheck.cli.console import printable, say
    from spikecheck.errors import OutputError
    from spikecheck.store import open_store

    with open_store(store) as records:
        sheets, tags = printed_tags(records, spikes, by=by, paper=paper)
    try:
        pdf.write_bytes(sheets)
    except OSError as error:
        raise OutputError(
            f"cannot be written ({error.strerror})", where=str(pdf),
            cure="Name another file; the tags are recorded, so nothing is lost",
        ) from error  # fmt: skip
    _complain_of_letters(tags)
    several = "1 tag" if len(tags) == 1 else f"{len(tags)} tags"
    say(
        printable(f"{several} in {pdf}. Print at 100 %; the line on the sheet must measure 100 mm.")
    )


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


def _complain_of_letters(tags: Sequence[CrossTag]) -> None:
    """Say which letters may be missing on the print, on whose tags, and what to do."""
    from spikecheck.cli.console import complain
    from spikecheck.tags import letters_of_the_viewer, letters_without_font

    boxes = letters_without_font(tags)
    if boxes.letters:
        complain(
            f"no font here has the letters {_letters(boxes)}: they are printed as empty boxes on "
            f"the tags of {_spikes(boxes)}. Write those names on the tags by hand, or give the "
            "parents names in Latin letters"
        )
    foreign = letters_of_the_viewer(tags)
    if foreign.letters:
        complain(
            f"the letters {_letters(foreign)} are left to the fonts of the program that prints, "
            f"on the tags of {_spikes(foreign)}: where it lacks them they stay blank. Look at the "
            "sheet before you print it; if they are missing, write those names on the tags by "
            "hand, or give the parents names in Latin letters"
        )


def _letters(doubt: LettersInDoubt) -> str:
    told, more = doubt.letters[:_LETTERS_TOLD], len(doubt.letters) - _LETTERS_TOLD
    return f"{told} and {more} more" if more > 0 else told


def _spikes(doubt: LettersInDoubt) -> str:
    from spikecheck.season.agenda import spike_list

    numbers: dict[str, list[int]] = {}
    for tag in doubt.tags:
        numbers.setdefault(tag.cross, []).append(tag.spike)
    told = [f"{cross}/{spike_list(several)}" for cross, several in numbers.items()]
    more = len(told) - _CROSSES_TOLD
    words = "; ".join(told[:_CROSSES_TOLD])
    return f"{words}; and of {more} more crosses" if more > 0 else words


def _words(tag: SeenTag) -> str:
    from spikecheck.vocabulary.tag_code import shown_code

    scale = "no scale: folded, hidden or too small in the photo for px/mm right to 2 %"
    if tag.scale is not None:
        scale = f"{tag.scale.px_per_mm:.2f} px/mm ({tag.scale.low:.2f} to {tag.scale.high:.2f})"
    colour = "colours not corrected: its grey steps are hidden, or contradict each other"
    if tag.correction is not None:
        red, _, blue = tag.correction.gains
        colour = f"neutral light takes red times {red:.2f} and blue times {blue:.2f}"
    return f"tag {shown_code(tag.code)}, {scale}, {colour}"
