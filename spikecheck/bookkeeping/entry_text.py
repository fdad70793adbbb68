"""What an entry of a spike's history says, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from spikecheck.vocabulary.audit_steps import AuditDecided, DrawnForAudit, Leftovers, ReadAgain
from spikecheck.vocabulary.steps import (
    THIRDS,
    Bagged,
    Checked,
    Emasculated,
    GivenUp,
    Overridden,
    Pollinated,
    SeedTested,
    Selected,
    Tagged,
    Threshed,
)
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary.audit_steps import LeftoverMark
    from spikecheck.vocabulary.entry import Entry
    from spikecheck.vocabulary.steps import StepDetail


def entry_words(entry: Entry) -> str:
    """Return what happened, with note, session and what it corrects."""
    kind = entry.kind.replace("_", " ")
    if entry.step is None:
        return f"entry {entry.corrects} ({kind}) is taken back: {entry.reason}"
    said = _said(entry.step.detail)
    words = f"{kind}, {said}" if said else kind
    if entry.step.session:
        words += f", session {entry.step.session}"
    if entry.step.note:
        words += f" ({' '.join(entry.step.note.split())})"
    if entry.corrects is not None:
        words += f"; instead of entry {entry.corrects}: {entry.reason}"
        if entry.recorded_by != entry.step.by:
            words += f" [{entry.recorded_by}]"
    return words


def _said(detail: StepDetail) -> str:
    say = _SAID.get(type(detail))
    return "" if say is None else say(detail)


def _emasculated(detail: Emasculated) -> str:
    said = f"{detail.florets} florets, {detail.anthers} anthers pulled"
    if detail.method:
        said += f", {detail.method}"
    return f"{said}, some turning yellow" if detail.near_anthesis else said


def _checked(detail: Checked) -> str:
    ripe = ", an anther near anthesis seen" if detail.near_anthesis else ""
    return f"{detail.verdict.value} (check {detail.check}){ripe}"


def _bagged(detail: Bagged) -> str:
    reason = detail.unchecked_reason
    return f"without a check that holds: {reason}" if reason else ""


def _pollinated(detail: Pollinated) -> str:
    reason = detail.other_male_reason
    return f"male {detail.male}" + (f", not as planned: {reason}" if reason else "")


def _threshed(detail: Threshed) -> str:
    parts = [
        f"{name} {third.seeds} of {third.florets}"
        for name, third in zip(THIRDS, detail.thirds or (), strict=False)
    ]
    said = f"{detail.seeds} seeds of {detail.florets} florets"
    return f"{said} ({', '.join(parts)})" if parts else said


def _selected(detail: Selected) -> str:
    return "" if detail.growth_stage is None else f"growth stage {detail.growth_stage}"


def _overridden(detail: Overridden) -> str:
    return f"check {detail.check} set to {detail.verdict.value}: {detail.reason}"


def _drawn(detail: DrawnForAudit) -> str:
    return (
        f"{detail.sample} of {detail.lot} spikes, passes with {detail.accept} bad at most "
        f"(chain head {detail.chain_head[:12]})"
    )


def _read_again(detail: ReadAgain) -> str:
    of = "" if detail.check is None else f" (check {detail.check})"
    return f"{detail.verdict.value}{of}, {_leftovers(detail.leftovers, detail.marks)}"


def _decided(detail: AuditDecided) -> str:
    of = "the spike" if detail.check is None else f"check {detail.check}"
    said = f"{of} is {detail.decision.replace('_', ' ')}"
    said += f", {_leftovers(detail.leftovers, detail.marks)}"
    return f"{said}: {detail.reason}" if detail.reason else said


def _leftovers(leftovers: Leftovers, marks: tuple[LeftoverMark, ...]) -> str:
    if leftovers is Leftovers.NONE:
        return "nothing left"
    if leftovers is Leftovers.UNSURE:
        return "not sure whether anything is left"
    places = [
        mark.floret or f"row {mark.row}, column {mark.column} of photo {mark.photo[:8]}"
        for mark in marks
    ]
    return f"left: {'; '.join(places)}"


# Each stands beside the one kind of detail it takes, which the type of a table cannot say.
_SAID: dict[type, Callable[[Any], str]] = {
    Selected: _selected,
    Tagged: lambda detail: f"tag {shown_code(detail.code)}",
    Emasculated: _emasculated,
    Checked: _checked,
    Overridden: _overridden,
    Bagged: _bagged,
    Pollinated: _pollinated,
    Threshed: _threshed,
    SeedTested: lambda detail: f"{detail.selfed} selfed of {detail.tested} tested",
    GivenUp: lambda detail: detail.reason,
    DrawnForAudit: _drawn,
    ReadAgain: _read_again,
    AuditDecided: _decided,
}
