"""Crosses and parents as a plan names them, before they are recorded."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.vocabulary.cross import WHEAT

# Far above any cross by hand: what is larger was typed wrong.
SEEDS_MOST = 1_000_000


@dataclass(frozen=True, slots=True)
class PlannedParent:
    """A parent as a plan names it.

    Parameters
    ----------
    name
        Its name.
    accession, pedigree, place
        What is known of it; empty where nothing is.
    """

    name: str
    accession: str = ""
    pedigree: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class PlannedCross:
    """A cross as a plan names it.

    Parameters
    ----------
    id
        The user's own id.
    female, male
        Its parents.
    purpose, note, project
        Free texts, may be empty.
    seeds_wanted
        F1 seeds wanted, 1 or more, or None.
    crop
        Which crop's numbers hold.
    """

    id: str
    female: PlannedParent
    male: PlannedParent
    purpose: str = ""
    seeds_wanted: int | None = None
    crop: str = WHEAT
    project: str = ""
    note: str = ""
