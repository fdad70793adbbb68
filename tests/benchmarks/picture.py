"""A photo as large as a phone takes it, drawn from a seed."""

from __future__ import annotations

from io import BytesIO

import numpy as np
from PIL import Image

from spikecheck.synthetic.image import make_image

ROWS = 4000  # 4000 x 3000 is the 12 megapixels of most phones
_KIND = "leftover_yellow"
_SEED = 25  # a long spike: at 42 px/mm it fills the 4000 rows
_PX_PER_MM = 42.0
_QUALITY = 92


def draw_photo(rows: int = ROWS) -> bytes:
    """Return a JPEG file of ``rows`` x 3/4 ``rows`` pixels with a prepared spike that fills it.

    The drawn frame is narrower than a phone's; its sides are continued by mirroring.
    """
    pixels = make_image(_KIND, seed=_SEED, px_per_mm=_PX_PER_MM * rows / ROWS).pixels
    frame = (rows, rows * 3 // 4)
    missing = [max(wanted - have, 0) for wanted, have in zip(frame, pixels.shape, strict=False)]
    sides = [(gap // 2, gap - gap // 2) for gap in missing]
    whole = np.pad(pixels, [*sides, (0, 0)], mode="reflect")[: frame[0], : frame[1]]
    file = BytesIO()
    Image.fromarray(whole).save(file, "JPEG", quality=_QUALITY)
    return file.getvalue()
