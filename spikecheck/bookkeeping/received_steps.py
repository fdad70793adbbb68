"""What a spike that came from elsewhere went through, as steps of a history."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.vocabulary.entry import Step
from spikecheck.vocabulary.steps import (
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    Threshed,
)
from spikecheck.vocabulary.tag_code import read_code

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.steps import StepDetail

_NOTE = "taken in from another record"


def steps_received(record: SpikeRecord) -> tuple[Step, ...]:
    """Return the steps that lead to ``record``, without checks: their photos did not come along.

    A session named there need not be recorded here, so it is told in the note. Who did it is told
    of emasculation and pollination only; when the tag was hung on and when the spike was kept as a
    control is not told either: they count from the first step and from the bag.

    Raises
    ------
    TagError
        If the tag has no code of ours.
    """
    where = f", session {record.session}" if record.session else ""
    return tuple(
        Step(detail, at=at, by=by or "not noted", note=_NOTE + where)
        for detail, at, by in _happened(record)
        if at is not None
    )


def _happened(record: SpikeRecord) -> Iterator[tuple[StepDetail, datetime | None, str]]:
    yield Selected(record.growth_stage), record.selected_at, ""
    if record.tag is not None:
        first = record.selected_at or record.emasculated_at
        yield Tagged(read_code(record.tag)), first, ""
    if record.florets is not None:
        detail = Emasculated(
            record.florets, record.anthers or 0, record.method, record.near_anthesis
        )
        yield detail, record.emasculated_at, record.emasculated_by
    if record.control:
        yield KeptAsControl(), record.bagged_at or record.emasculated_at, ""
    verdict = "not checked" if record.verdict is None else f"checked elsewhere: {record.verdict}"
    yield Bagged(verdict), record.bagged_at, ""
    if record.pollinated_male:
        reason = "" if record.pollinated_male == record.male else "as recorded elsewhere"
        detail_of = Pollinated(record.pollinated_male, record.pollen_at, reason)
        yield detail_of, record.pollinated_at, record.pollinated_by
    yield Rebagged(), record.rebagged_at, ""
    yield Harvested(), record.harvested_at, ""
    if record.seeds is not None and record.seed_florets is not None:
        threshed = Threshed(record.seeds, record.seed_florets, record.thirds)
        yield threshed, record.threshed_at, ""
        if record.tested and record.selfed is not None:
            yield SeedTested(record.tested, record.selfed), record.threshed_at, ""
    if record.given_up_reason:
        yield GivenUp(record.given_up_reason), record.given_up_at, ""
