"""What an entry of a spike's history says, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    match detail:
        case Selected(growth_stage=stage):
            return "" if stage is None else f"growth stage {stage}"
        case Tagged(code=code):
            return f"tag {shown_code(code)}"
        case Emasculated(florets=florets, anthers=anthers, method=method):
            return f"{florets} florets, {anthers} anthers pulled" + (method and f", {method}")
        case Checked(check=check, verdict=verdict, near_anthesis=near):
            ripe = ", an anther near anthesis seen" if near else ""
            return f"{verdict.value} (check {check}){ripe}"
        case Overridden(check=check, verdict=verdict, reason=reason):
            return f"check {check} set to {verdict.value}: {reason}"
        case Bagged(unchecked_reason=reason):
            return f"without a check that holds: {reason}" if reason else ""
        case Pollinated(male=male, other_male_reason=reason):
            return f"male {male}" + (f", not as planned: {reason}" if reason else "")
        case _:
            return _seed_said(detail)


def _seed_said(detail: StepDetail) -> str:
    match detail:
        case Threshed(seeds=seeds, florets=florets, thirds=thirds):
            parts = [
                f"{name} {third.seeds} of {third.florets}"
                for name, third in zip(THIRDS, thirds or (), strict=False)
            ]
            return f"{seeds} seeds of {florets} florets" + (f" ({', '.join(parts)})" if parts else "")
        case SeedTested(tested=tested, selfed=selfed):
            return f"{selfed} selfed of {tested} tested"
        case GivenUp(reason=reason):
            return reason
        case _:
            return ""
