"""What is printed on the tag that hangs on a spike."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CrossTag:
    """One tag.

    Parameters
    ----------
    code
        Its opaque code with check character, without blanks, as the QR symbol holds it.
    cross
        Id of the cross.
    female, male
        Names of the parents.
    spike
        Number of the spike in the cross, from 1.
    """

    code: str
    cross: str
    female: str
    male: str
    spike: int
