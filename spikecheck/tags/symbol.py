"""The QR symbol of a code (ISO/IEC 18004), made by segno."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import TagError
from spikecheck.vocabulary.tag_code import CODE_LENGTH
from spikecheck.vocabulary.tag_layout import QR_MODULES

if TYPE_CHECKING:
    from collections.abc import Sequence


def qr_modules(code: str) -> Sequence[Sequence[int]]:
    """Return the modules of ``code``, row by row from the top: 1 dark, 0 light.

    Version 1 at level H, of which about 30 % of the codewords may be lost: a tag is creased, and
    what lies over it is not chosen.

    Raises
    ------
    TagError
        If the text does not fit the version and level that the tag's layout has room for.
    """
    import segno

    try:
        symbol = segno.make_qr(code, version=1, error="h", mode="alphanumeric", boost_error=False)
    except ValueError as error:  # segno's DataOverflowError is one
        raise TagError(
            f"does not fit the tag's QR symbol ({error})", where=code,
            cure=f"A code has {CODE_LENGTH} characters",
        ) from error  # fmt: skip
    modules = [list(row) for row in symbol.matrix]
    return modules[:QR_MODULES]
