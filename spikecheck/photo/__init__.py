"""From a file to a photo: decoding, upright, limits, quality."""
