"""From stored pixels to what every stage sees: 8 bit, RGB, sRGB, upright."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import PhotoError
from spikecheck.language import _
from spikecheck.photo.colour_profile import transform_to_srgb

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray
    from PIL import Image

_BAND_ROWS = 256
_BANDS_AT_ONCE = 2
_SIXTEEN_BIT = ("I;16", "I;16B", "I;16L", "I;16N")
_INDEXED = ("1", "P", "PA")
_WITH_ALPHA = {"RGBA": "RGB", "LA": "L"}
_PREMULTIPLIED = {"RGBa": "RGBA", "La": "LA"}
_PLAIN = ("RGB", "L", "CMYK")
_WHITE = 255


def srgb_pixels(image: Image.Image, *, file: str) -> NDArray[np.uint8]:
    """Convert a decoded image to sRGB, not yet upright.

    Transparent parts are laid on white: cut-out pictures are looked at on a white page. Of 16-bit
    channels the upper 8 bits are kept.

    Returns
    -------
    ndarray of uint8, shape (rows, columns, 3)
        RGB.

    Raises
    ------
    PhotoError
        If the values are of a kind that has no fixed meaning as colour, such as floating point.

    Notes
    -----
    The image is converted in bands of rows that fit the processor's cache, two at a time: three
    times faster than at once, and without a second whole copy.
    """
    image = _simplified(image, file=file)
    convert = _band_converter(image)
    pixels = np.empty((image.height, image.width, 3), np.uint8)

    def fill(top: int) -> None:
        bottom = min(top + _BAND_ROWS, image.height)
        pixels[top:bottom] = np.asarray(convert(image.crop((0, top, image.width, bottom))))

    with ThreadPoolExecutor(_BANDS_AT_ONCE) as pool:
        for _ in pool.map(fill, range(0, image.height, _BAND_ROWS)):
            pass
    return pixels


def turned_upright(pixels: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """Apply an EXIF orientation.

    Parameters
    ----------
    pixels
        uint8 array of shape (rows, columns, 3).
    orientation
        1..8 of EXIF 2.3, tag 0x0112.

    Returns
    -------
    ndarray of uint8
        Of shape (columns, rows, 3) for 5 to 8; ``pixels`` itself for 1.
    """
    import cv2

    turns: dict[int, Callable[[NDArray[np.uint8]], object]] = {
        2: lambda stored: cv2.flip(stored, 1),
        3: lambda stored: cv2.rotate(stored, cv2.ROTATE_180),
        4: lambda stored: cv2.flip(stored, 0),
        5: cv2.transpose,
        6: lambda stored: cv2.rotate(stored, cv2.ROTATE_90_CLOCKWISE),
        7: lambda stored: cv2.rotate(cv2.transpose(stored), cv2.ROTATE_180),
        8: lambda stored: cv2.rotate(stored, cv2.ROTATE_90_COUNTERCLOCKWISE),
    }
    turn = turns.get(orientation)
    return pixels if turn is None else np.asarray(turn(pixels), np.uint8)


def _simplified(image: Image.Image, *, file: str) -> Image.Image:
    """Return the image in mode RGB, L, CMYK, RGBA or LA."""
    from PIL import Image

    if image.mode in _SIXTEEN_BIT:
        upper = Image.fromarray((np.asarray(image) >> 8).astype(np.uint8))
        upper.info["icc_profile"] = image.info.get("icc_profile")
        return upper
    if image.mode in _INDEXED or "transparency" in image.info:
        image = image.convert("RGBA")
    elif image.mode in _PREMULTIPLIED:
        image = image.convert(_PREMULTIPLIED[image.mode])
    elif image.mode in {"YCbCr", "RGBX"}:
        image = image.convert("RGB")
    if image.mode not in {*_PLAIN, *_WITH_ALPHA}:
        raise PhotoError(
            _("holds values of an unusual kind ({mode})").format(mode=image.mode),
            where=file,
            cure=_("Save it as JPEG or as PNG with 8 or 16 bits"),
        )
    return image


def _band_converter(image: Image.Image) -> Callable[[Image.Image], Image.Image]:
    """Return what turns a band of ``image`` into RGB."""
    from PIL import Image

    colour_mode = _WITH_ALPHA.get(image.mode, image.mode)
    transform = transform_to_srgb(image.info.get("icc_profile"), colour_mode)

    def convert(band: Image.Image) -> Image.Image:
        alpha = band.getchannel("A") if image.mode in _WITH_ALPHA else None
        colours = _in_mode(band, colour_mode)
        rgb = _in_mode(colours, "RGB") if transform is None else transform.apply(colours)
        if alpha is None:
            return rgb
        page = Image.new("RGB", band.size, (_WHITE, _WHITE, _WHITE))
        page.paste(rgb, mask=alpha)
        return page

    return convert


def _in_mode(image: Image.Image, mode: str) -> Image.Image:
    """Convert, without the copy that Pillow makes of an image already in ``mode``."""
    return image if image.mode == mode else image.convert(mode)
