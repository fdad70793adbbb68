"""Printing cross tags: codes with a check character, sheets true to size."""

from spikecheck.tags.lettering import LettersInDoubt, letters_of_the_viewer, letters_without_font
from spikecheck.tags.sheets import PAPERS_MM, tag_sheets

__all__ = [
    "PAPERS_MM", "LettersInDoubt", "letters_of_the_viewer", "letters_without_font", "tag_sheets",
]  # fmt: skip
