"""What kind of file some bytes are, told by the bytes alone: a file's ending may lie."""

from __future__ import annotations

from dataclasses import dataclass

PHOTO_SUFFIXES = frozenset(
    {".jpg", ".jpeg", ".jpe", ".mpo", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".hif"}
)
"""Endings, in lower case, of files worth opening in a folder; the content then decides."""

_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"mif1", b"mif2")
_SEQUENCE_BRANDS = (b"msf1", b"hevc", b"hevx")
_AVIF_BRANDS = (b"avif", b"avis")
_BRAND_AT = slice(8, 12)


@dataclass(frozen=True, slots=True)
class Container:
    """A kind of file.

    Parameters
    ----------
    name
        What people call it.
    decoders
        Names of the Pillow decoders that may read it; none when it is not read as a photo.
    """

    name: str
    decoders: tuple[str, ...] = ()


_JPEG = Container("JPEG", ("JPEG", "MPO"))
_PNG = Container("PNG", ("PNG",))
_WEBP = Container("WebP", ("WEBP",))
_TIFF = Container("TIFF", ("TIFF",))
_HEIC = Container("HEIC", ("HEIF",))

_SIGNATURES: tuple[tuple[bytes, Container], ...] = (
    (b"\xff\xd8\xff", _JPEG),
    (b"\x89PNG\r\n\x1a\n", _PNG),
    (b"II*\x00", _TIFF),
    (b"MM\x00*", _TIFF),
    (b"GIF8", Container("GIF picture or animation")),
    (b"BM", Container("BMP picture")),
    (b"%PDF", Container("PDF document")),
    (b"PK\x03\x04", Container("ZIP archive or office document")),
    (b"\xff\x0a", Container("JPEG XL picture")),
    (b"\x00\x00\x00\x0cJXL ", Container("JPEG XL picture")),
    (b"\x00\x00\x00\x0cjP  ", Container("JPEG 2000 picture")),
    (b"8BPS", Container("layered picture of an image editor")),
)


def tell_container(data: bytes) -> Container | None:
    """Return what kind of file ``data`` is by its first bytes, or None when it is none known.

    Notes
    -----
    Only signatures are compared; the rest may still be damaged.
    """
    for signature, container in _SIGNATURES:
        if data.startswith(signature):
            return container
    if data.startswith(b"RIFF") and data[_BRAND_AT] == b"WEBP":
        return _WEBP
    if data[4:8] == b"ftyp":
        return _tell_brand(data[_BRAND_AT])
    return None


def _tell_brand(brand: bytes) -> Container:
    """Tell HEIC from the videos and pictures that share its file structure (ISO 14496-12)."""
    if brand in _HEIF_BRANDS:
        return _HEIC
    if brand in _AVIF_BRANDS:
        return Container("AVIF picture")
    if brand in _SEQUENCE_BRANDS:
        return Container("HEIF picture sequence")
    return Container("video or raw camera file")
