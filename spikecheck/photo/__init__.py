"""From a file to a photo: decoding, upright, limits, quality."""

from spikecheck.photo.containers import PHOTO_SUFFIXES
from spikecheck.photo.quality import judge_quality
from spikecheck.photo.reading import decode_photo, read_photo

__all__ = ["PHOTO_SUFFIXES", "decode_photo", "judge_quality", "read_photo"]
