"""Finding the printed cross tag in a photo: identity, scale, colour."""

from spikecheck.tag_reading.grey import correct_colour
from spikecheck.tag_reading.read import read_tags

__all__ = ["correct_colour", "read_tags"]
