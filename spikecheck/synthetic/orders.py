"""Which images to draw. The same orders and generator version give the same set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spikecheck.errors import UsageError
from spikecheck.synthetic.kinds import kind_of

if TYPE_CHECKING:
    from collections.abc import Sequence

JPEG_QUALITY = 92
_SEED_MOST = 2**32 - 1


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

    Raises
    ------
    UsageError
        If a value is out of range or there is no such kind.
    """

    kind: str
    seed: int
    px_per_mm: float | None = None

    def __post_init__(self) -> None:
        kind_of(self.kind)
        if not 0 <= self.seed <= _SEED_MOST:
            raise UsageError(f"a seed lies in 0 to {_SEED_MOST}, got {self.seed}")

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
            "jpeg_quality": JPEG_QUALITY,
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
