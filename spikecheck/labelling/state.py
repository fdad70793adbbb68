"""What one photo carries at one moment: marks a person made, and proposals nobody confirmed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.vocabulary import PhotoTruth

if TYPE_CHECKING:
    from spikecheck.vocabulary import TrueAnther, TrueFloret


@dataclass(frozen=True, slots=True)
class Proposal:
    """Something the check found that a person has neither confirmed nor refused.

    Parameters
    ----------
    number
        Tells it from the other proposals of this photo, from 1.
    mark
        What is proposed.
    score
        How sure the check is, 0..1; None where it does not say.
    """

    number: int
    mark: TrueAnther | TrueFloret
    score: float | None


@dataclass(frozen=True, slots=True)
class LabelState:
    """One photo's marks and proposals.

    Parameters
    ----------
    truth
        What people marked; ``complete`` only once somebody said that nothing is missing. This
        alone is ever saved.
    proposals
        What the check found and nobody has answered; never saved.
    """

    truth: PhotoTruth
    proposals: tuple[Proposal, ...] = ()


def blank_truth(image: str, *, width: int, height: int) -> PhotoTruth:
    """Return the truth of a photo that nobody has marked.

    Parameters
    ----------
    image
        Name of the photo's file.
    width, height
        Size of the upright photo, px.
    """
    return PhotoTruth(image, width, height, anthers=(), complete=False)
