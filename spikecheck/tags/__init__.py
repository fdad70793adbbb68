"""Printing cross tags: codes with a check character, sheets true to size."""

from spikecheck.tags.lettering import letters_without_font
from spikecheck.tags.sheets import PAPERS_MM, tag_sheets

__all__ = ["PAPERS_MM", "letters_without_font", "tag_sheets"]
