"""A recipe: which images to draw. The same recipe and generator version give the same set."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spikecheck.errors import UsageError
from spikecheck.synthetic.kinds import kind_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

JPEG_QUALITY = 92
_CURE = "Mend the recipe; synthetic_images/README.md describes it"
_SEED_MOST = 2**32 - 1
_QUALITIES = range(50, 101)


@dataclass(frozen=True, slots=True)
class ImageOrder:
    """One image to draw.

    Parameters
    ----------
    kind
        Its kind.
    seed
        Its seed.
    px_per_mm
        Its scale; None draws one at random.
    jpeg_quality
        Quality of the JPEG, 50-100.

    Raises
    ------
    UsageError
        If a value is out of range or there is no such kind.
    """

    kind: str
    seed: int
    px_per_mm: float | None = None
    jpeg_quality: int = JPEG_QUALITY

    def __post_init__(self) -> None:
        kind_of(self.kind)
        if not 0 <= self.seed <= _SEED_MOST:
            raise UsageError(f"a seed lies in 0 to {_SEED_MOST}, got {self.seed}")
        if self.jpeg_quality not in _QUALITIES:
            raise UsageError(f"a JPEG quality lies in 50 to 100, got {self.jpeg_quality}")

    @property
    def image(self) -> str:
        """Name of the image file."""
        return f"{self.kind}_{self.seed:05d}.jpg"

    @property
    def truth(self) -> str:
        """Name of the truth file."""
        return f"{self.kind}_{self.seed:05d}.json"

    def entry(self) -> dict[str, Any]:
        """Return the order as it stands in a manifest."""
        return {
            "kind": self.kind, "seed": self.seed, "px_per_mm": self.px_per_mm,
            "jpeg_quality": self.jpeg_quality,
        }  # fmt: skip


def orders_of(
    kinds: Sequence[str], count: int, seed: int, px_per_mm: float | None
) -> tuple[ImageOrder, ...]:
    """Return ``count`` orders that take the kinds in turn, with seeds counting up from ``seed``.

    Raises
    ------
    UsageError
        If no kind is given or the count is below 1.
    """
    if not kinds:
        raise UsageError("no kind of image was asked for", cure="Name at least one")
    if count < 1:
        raise UsageError(f"the number of images is 1 or more, got {count}")
    return tuple(
        ImageOrder(kinds[index % len(kinds)], seed + index, px_per_mm) for index in range(count)
    )


def read_recipe(path: Path) -> tuple[ImageOrder, ...]:
    """Read a recipe file.

    It is a JSON object with ``images``, a list of objects with ``kind`` and ``seed``, and, for
    all of them, ``px_per_mm`` (a number or null) and ``jpeg_quality``.

    Raises
    ------
    UsageError
        If it cannot be read or understood.
    """
    try:
        entry = json.loads(path.read_text(encoding="utf-8"))
        scale = entry.get("px_per_mm")
        quality = int(entry.get("jpeg_quality", JPEG_QUALITY))
        orders = tuple(
            ImageOrder(str(image["kind"]), int(image["seed"]), scale, quality)
            for image in entry["images"]
        )
    except OSError as error:
        raise UsageError(
            f"cannot be read ({error.strerror})", where=str(path), cure=_CURE
        ) from error
    except (ValueError, TypeError, AttributeError, KeyError) as error:
        raise UsageError(f"not understood ({error!r})", where=str(path), cure=_CURE) from error
    if len({order.image for order in orders}) != len(orders):
        raise UsageError("names an image twice", where=str(path), cure=_CURE)
    return orders
