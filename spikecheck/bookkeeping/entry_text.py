"""What an entry of a spike's history says, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from spikecheck.language import _, isolated
from spikecheck.vocabulary.audit_steps import (
    AuditDecided,
    AuditDecision,
    DrawnForAudit,
    Leftovers,
    ReadAgain,
)
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
from spikecheck.vocabulary.words import (
    pulled_words,
    seed_set_words,
    step_words,
    third_word,
    verdict_word,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary.audit_steps import LeftoverMark
    from spikecheck.vocabulary.entry import Entry
    from spikecheck.vocabulary.steps import StepDetail


def entry_words(entry: Entry) -> str:
    """Return what happened, with note, session and what it corrects, in the reader's language."""
    kind = step_words(entry.kind)
    if entry.step is None:
        return _("entry {number} ({kind}) is taken back: {reason}").format(
            number=entry.corrects, kind=kind, reason=entry.reason
        )
    said = _said(entry.step.detail)
    words = f"{kind}, {said}" if said else kind
    if entry.step.session:
        words += _(", session {session}").format(session=entry.step.session)
    if entry.step.note:
        words += f" ({isolated(' '.join(entry.step.note.split()))})"
    if entry.corrects is not None:
        words += _("; instead of entry {number}: {reason}").format(
            number=entry.corrects, reason=entry.reason
        )
        if entry.recorded_by != entry.step.by:
            words += f" [{isolated(entry.recorded_by)}]"
    return words


def _said(detail: StepDetail) -> str:
    say = _SAID.get(type(detail))
    return "" if say is None else say(detail)


def _emasculated(detail: Emasculated) -> str:
    said = pulled_words(detail.florets, detail.anthers)
    if detail.method:
        said += f", {detail.method}"
    return said + _(", some turning yellow") if detail.near_anthesis else said


def _checked(detail: Checked) -> str:
    ripe = _(", an anther near anthesis seen") if detail.near_anthesis else ""
    said = _("{verdict} (check {check})").format(
        verdict=verdict_word(detail.verdict), check=detail.check
    )
    return said + ripe


def _bagged(detail: Bagged) -> str:
    reason = detail.unchecked_reason
    return _("without a check that holds: {reason}").format(reason=reason) if reason else ""


def _pollinated(detail: Pollinated) -> str:
    reason = detail.other_male_reason
    said = _("male {male}").format(male=detail.male)
    return said + _(", not as planned: {reason}").format(reason=reason) if reason else said


def _threshed(detail: Threshed) -> str:
    parts = [
        _("{third} {seeds} of {florets}").format(
            third=third_word(name), seeds=third.seeds, florets=third.florets
        )
        for name, third in zip(THIRDS, detail.thirds or (), strict=False)
    ]
    said = seed_set_words(detail.seeds, detail.florets)
    return f"{said} ({', '.join(parts)})" if parts else said


def _selected(detail: Selected) -> str:
    stage = detail.growth_stage
    return "" if stage is None else _("growth stage {stage}").format(stage=stage)


def _overridden(detail: Overridden) -> str:
    return _("check {check} set to {verdict}: {reason}").format(
        check=detail.check, verdict=verdict_word(detail.verdict), reason=detail.reason
    )


def _seed_tested(detail: SeedTested) -> str:
    return _("{selfed} selfed of {tested} tested").format(
        selfed=detail.selfed, tested=detail.tested
    )


def _drawn(detail: DrawnForAudit) -> str:
    return _(
        "{sample} of {lot} spikes, passes with {accept} bad at most (chain head {head})"
    ).format(
        sample=detail.sample, lot=detail.lot, accept=detail.accept, head=detail.chain_head[:12]
    )


def _read_again(detail: ReadAgain) -> str:
    left = _leftovers(detail.leftovers, detail.marks)
    if not detail.blind:
        left = _("{reading}, not blind").format(reading=left)
    verdict = verdict_word(detail.verdict)
    if detail.check is None:
        return f"{verdict}, {left}"
    said = _("{verdict} (check {check})").format(verdict=verdict, check=detail.check)
    return f"{said}, {left}"


def _decided(detail: AuditDecided) -> str:
    sent_back = detail.decision is AuditDecision.SENT_BACK
    if detail.check is None:
        said = _("the spike is sent back") if sent_back else _("the spike is confirmed")
    else:
        told = _("check {check} is sent back") if sent_back else _("check {check} is confirmed")
        said = told.format(check=detail.check)
    said += f", {_leftovers(detail.leftovers, detail.marks)}"
    return f"{said}: {detail.reason}" if detail.reason else said


def _leftovers(leftovers: Leftovers, marks: tuple[LeftoverMark, ...]) -> str:
    if leftovers is Leftovers.NONE:
        return _("nothing left")
    if leftovers is Leftovers.UNSURE:
        return _("not sure whether anything is left")
    places = [
        mark.floret
        or _("row {row}, column {column} of photo {photo}").format(
            row=mark.row, column=mark.column, photo=mark.photo[:8]
        )
        for mark in marks
    ]
    return _("left: {places}").format(places="; ".join(places))


# Each stands beside the one kind of detail it takes, which the type of a table cannot say.
_SAID: dict[type, Callable[[Any], str]] = {
    Selected: _selected,
    Tagged: lambda detail: _("tag {code}").format(code=shown_code(detail.code)),
    Emasculated: _emasculated,
    Checked: _checked,
    Overridden: _overridden,
    Bagged: _bagged,
    Pollinated: _pollinated,
    Threshed: _threshed,
    SeedTested: _seed_tested,
    GivenUp: lambda detail: detail.reason,
    DrawnForAudit: _drawn,
    ReadAgain: _read_again,
    AuditDecided: _decided,
}
