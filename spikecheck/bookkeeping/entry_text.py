"""What an entry of a spike's history says, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

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
}
