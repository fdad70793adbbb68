"""What is packed is what is read back."""

from io import BytesIO

import numpy as np
from PIL import Image

from spikecheck.imaging.encoding import encode_jpeg


def picture():
    row, column = np.mgrid[0:40, 0:60]
    return np.stack([row * 4, column * 4, row + column], axis=2).astype(np.uint8)


def opened(data):
    with Image.open(BytesIO(data)) as image:
        return image.format, np.asarray(image)


def test_jpeg_keeps_colours_closely_and_in_the_same_order():
    kind, pixels = opened(encode_jpeg(picture()))
    assert kind == "JPEG"
    assert np.abs(pixels.astype(int) - picture()).mean() < 3


def test_jpeg_keeps_thin_coloured_lines():
    line = np.zeros((16, 16, 3), np.uint8)
    line[:, 7] = (213, 94, 0)
    _, pixels = opened(encode_jpeg(line))
    assert pixels[8, 7, 0] > 180
    assert pixels[8, 5].max() < 40


def test_lower_quality_is_smaller():
    assert len(encode_jpeg(picture(), quality=30)) < len(encode_jpeg(picture()))
