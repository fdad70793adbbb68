"""Opens a photo: what kind it is, how large, how many pictures.

Everything that can be refused is refused from the header, before a pixel is decoded.
"""

from __future__ import annotations

import struct
import zlib
from contextlib import contextmanager
from io import BytesIO
from typing import TYPE_CHECKING

from spikecheck.errors import PhotoError
from spikecheck.language import N_, _
from spikecheck.photo.containers import Container, tell_container

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL import Image

    from spikecheck.thresholds import ReadingThresholds

DECODER_ERRORS = (
    OSError,  # truncated, unidentified
    SyntaxError,  # broken PNG, TIFF and HEIF headers
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    EOFError,
    RuntimeError,  # libheif
    MemoryError,
    AttributeError,
    struct.error,
    zlib.error,
)
"""What decoders raise on damaged bytes: their plug-ins check little and share no base class."""

_COPY_AGAIN = N_("Copy it again from the phone or camera, or take the photo again")
_SMALLER = N_("Set the camera to its ordinary picture size or save a smaller copy")
_READ = N_("JPEG, PNG, WebP, TIFF or HEIC")
_SUBFILE_TYPE, _DNG_VERSION = 254, 50706
_REDUCED_OR_MASK = 0b101
_MOVING = ("PNG", "WEBP")
_PIXELS_PER_MEGAPIXEL = 1_000_000


def open_image(data: bytes, *, file: str, thresholds: ReadingThresholds) -> Image.Image:
    """Return the photo in ``data``; its pixels are decoded when they are first asked for.

    Of a file with several pictures the first, or the one named as primary, is returned where the
    others only accompany it: phones add depth maps, gain maps and a second lens's view.

    Raises
    ------
    PhotoError
        If it is empty, no photo, damaged, an animation or too large.
    """
    from PIL import Image

    if not data:
        raise PhotoError(_("is empty (0 bytes)"), where=file, cure=_(_COPY_AGAIN))
    container = _readable_container(data, file=file)
    try:
        with damage_named(file):
            image = Image.open(BytesIO(data), formats=container.decoders)
            _refuse_large(image, file=file, thresholds=thresholds)
            _refuse_several(image, file=file)
    except Image.DecompressionBombError as error:
        raise PhotoError(
            _("has far more than the {largest_photo_megapixels:g} megapixels that are read").format(
                largest_photo_megapixels=thresholds.largest_photo_megapixels
            ),
            where=file,
            cure=_(_SMALLER),
        ) from error
    return image


@contextmanager
def damage_named(file: str) -> Iterator[None]:
    """Turn whatever a decoder raises into one line about ``file``.

    Raises
    ------
    PhotoError
        If the body of the ``with`` raised one of :data:`DECODER_ERRORS`.
    """
    try:
        yield
    except DECODER_ERRORS as error:
        raise PhotoError(_("is damaged or cut short"), where=file, cure=_(_COPY_AGAIN)) from error


def _readable_container(data: bytes, *, file: str) -> Container:
    container = tell_container(data)
    if container is None:
        raise PhotoError(
            _("is not a photo: its content is not {read}").format(read=_(_READ)),
            where=file,
            cure=_("Give the photo as it came from the phone or camera"),
        )
    if not container.decoders:
        raise PhotoError(
            _("is a {container}, which is not read").format(container=container.name),
            where=file,
            cure=_("Save it as {read}").format(read=_(_READ)),
        )
    if "HEIF" in container.decoders:
        from pillow_heif import register_heif_opener

        register_heif_opener()
    return container


def _refuse_large(image: Image.Image, *, file: str, thresholds: ReadingThresholds) -> None:
    megapixels = image.width * image.height / _PIXELS_PER_MEGAPIXEL
    if megapixels > thresholds.largest_photo_megapixels:
        raise PhotoError(
            _(
                "has {megapixels:.0f} megapixels, more than the "
                "{largest_photo_megapixels:g} that are read"
            ).format(
                megapixels=megapixels, largest_photo_megapixels=thresholds.largest_photo_megapixels
            ),
            where=file,
            cure=_(_SMALLER),
        )
    longest_px = max(image.size)
    if longest_px > thresholds.longest_side_px:
        raise PhotoError(
            _(
                "is {longest_px} pixels long, more than the {longest_side_px:g} that are read"
            ).format(longest_px=longest_px, longest_side_px=thresholds.longest_side_px),
            where=file,
            cure=_(_SMALLER),
        )


def _refuse_several(image: Image.Image, *, file: str) -> None:
    frames = getattr(image, "n_frames", 1)
    if image.format in _MOVING and frames > 1:
        raise PhotoError(
            _("is an animation of {frames} pictures").format(frames=frames),
            where=file,
            cure=_("Save the one picture to be checked as JPEG or PNG"),
        )
    if image.format == "TIFF":
        _refuse_raw_or_pages(image, frames, file=file)


def _refuse_raw_or_pages(image: Image.Image, pages: int, *, file: str) -> None:
    """Refuse raw camera files and documents of several pages, which share the structure of TIFF.

    A further page may be a thumbnail or a mask (bits of tag 254, TIFF 6.0 p. 36); a first page
    that is a thumbnail belongs to a raw file.
    """
    if _tag(image, _DNG_VERSION) or _tag(image, _SUBFILE_TYPE) & _REDUCED_OR_MASK:
        raise PhotoError(
            _("is a raw camera file, which is not read"), where=file, cure=_("Save it as JPEG")
        )
    for page in range(1, pages):
        image.seek(page)
        if not _tag(image, _SUBFILE_TYPE) & _REDUCED_OR_MASK:
            raise PhotoError(
                _("holds {pages} pages").format(pages=pages),
                where=file,
                cure=_("Save the one picture to be checked as JPEG or PNG"),
            )
    image.seek(0)


def _tag(image: Image.Image, tag: int) -> int:
    """Return a whole-numbered tag of the present page; 0 when it is absent."""
    tags = getattr(image, "tag_v2", {})
    value = tags.get(tag, 0)
    return value if isinstance(value, int) else int(tag == _DNG_VERSION)
