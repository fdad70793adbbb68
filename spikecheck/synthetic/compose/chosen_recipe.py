"""A recipe of single photos: of which layer each is made, and how."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from spikecheck.errors import UsageError
from spikecheck.synthetic.kinds import kind_of

if TYPE_CHECKING:
    from pathlib import Path

_CURE = "Mend the recipe; synthetic_images/README.md describes it"


@dataclass(frozen=True, slots=True)
class ChosenPhoto:
    """One photo.

    Parameters
    ----------
    name
        Its name, without an ending.
    kind
        A name in :data:`spikecheck.synthetic.kinds.KINDS`.
    layer
        Seed of the spike's layer.
    beside
        Seed of the layer that things beside and behind it are taken from.
    number
        Which of the layer's photos it is in a set that
        :mod:`spikecheck.synthetic.compose.folder` makes.

    Raises
    ------
    UsageError
        If there is no such kind, a number is negative or the name is no file name.
    """

    name: str
    kind: str
    layer: int
    beside: int
    number: int

    def __post_init__(self) -> None:
        kind_of(self.kind)
        if min(self.layer, self.beside, self.number) < 0:
            raise UsageError(f"seeds and numbers of photos are 0 or more: {self.name}")
        if not self.name.replace("_", "").isalnum():
            raise UsageError(f"a name is made of letters, digits and _, got {self.name!r}")

    def entry(self) -> dict[str, Any]:
        """Return the photo as it stands in a recipe."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class ChosenRecipe:
    """Photos that were chosen one by one.

    Parameters
    ----------
    samples
        Paths a pixel of the layers.
    seed
        Seed of the set that the photos were chosen from.
    photos
        The photos, each name once.
    """

    samples: int
    seed: int
    photos: tuple[ChosenPhoto, ...]

    @property
    def layers(self) -> tuple[int, ...]:
        """Seeds of the layers that are needed, counting up."""
        return tuple(sorted({seed for one in self.photos for seed in (one.layer, one.beside)}))


def read_chosen(path: Path) -> ChosenRecipe:
    """Read a recipe file: a JSON object with the fields of :class:`ChosenRecipe`.

    Raises
    ------
    UsageError
        If it cannot be read or understood.
    """
    try:
        entry = json.loads(path.read_text(encoding="utf-8"))
        photos = tuple(ChosenPhoto(**photo) for photo in entry["photos"])
        recipe = ChosenRecipe(int(entry["samples"]), int(entry["seed"]), photos)
    except OSError as error:
        raise UsageError(
            f"cannot be read ({error.strerror})", where=str(path), cure=_CURE
        ) from error
    except (ValueError, TypeError, AttributeError, KeyError) as error:
        raise UsageError(f"not understood ({error!r})", where=str(path), cure=_CURE) from error
    if len({photo.name for photo in photos}) != len(photos):
        raise UsageError("names a photo twice", where=str(path), cure=_CURE)
    return recipe
