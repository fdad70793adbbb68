"""Planned crosses and parents made safe to keep."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary.cross import WHEAT, Cross
from spikecheck.vocabulary.pedigree import format_pedigree
from spikecheck.vocabulary.pedigree_notation import parse_pedigree
from spikecheck.vocabulary.plan import SEEDS_MOST, PlannedParent
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from datetime import datetime

    from spikecheck.vocabulary.plan import PlannedCross


def tidy_cross(planned: PlannedCross, moment: datetime) -> Cross:
    """Return the cross as it is kept.

    Parameters
    ----------
    planned
        As typed.
    moment
        When it is recorded, UTC.

    Raises
    ------
    UsageError
        If a text cannot be kept, both parents are the same, or so many seeds cannot be wanted.
    """
    female = tidy_name(planned.female.name, what=_("the female parent"))
    male = tidy_name(planned.male.name, what=_("the male parent"))
    if female == male:
        raise UsageError(
            _("female and male are both {female}").format(female=female),
            cure=_("A line selfs by itself; name another male"),
        )
    seeds = planned.seeds_wanted
    if seeds is not None and not 1 <= seeds <= SEEDS_MOST:
        raise UsageError(
            _("seeds wanted are 1 or more, got {seeds}").format(seeds=seeds),
            cure=_("Leave it out or mend it"),
        )
    return Cross(
        id=tidy_id(planned.id, what=_("the id of the cross")),
        female=female,
        male=male,
        note=tidy_note(planned.note, what=_("the note")),
        created_at=moment,
        purpose=tidy_note(planned.purpose, what=_("the purpose")),
        seeds_wanted=seeds,
        crop=planned.crop or WHEAT,
        project=_name_or_none(planned.project, "the project"),
    )


def tidy_parent(parent: PlannedParent) -> PlannedParent:
    """Return the parent as it is kept, its pedigree in the canonical form.

    Raises
    ------
    UsageError
        If a text cannot be kept.
    PedigreeError
        If the pedigree is not in Purdy notation.
    """
    pedigree = tidy_note(parent.pedigree, what=_("the pedigree"))
    return PlannedParent(
        name=tidy_name(parent.name, what=_("the name of the parent")),
        accession=_name_or_none(parent.accession, "the accession"),
        pedigree=format_pedigree(parse_pedigree(pedigree)) if pedigree else "",
        place=_name_or_none(parent.place, "the plot or pot"),
    )


def _name_or_none(text: str, what: str) -> str:
    return tidy_name(text, what=what) if text.strip() else ""
