"""What may follow what on a spike, and what each step adds to what is known of it.

Every rule looks at the spike as the steps before left it; steps come in the order in which they
happened, whenever they were written down.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from spikecheck.history.audit_rules import checked_anew, decided, drawn_for_audit, read_again
from spikecheck.history.refusals import TAKE_BACK, needs, not_yet, refused, shown_moment
from spikecheck.language import N_, _
from spikecheck.vocabulary.audit_steps import AuditDecided, DrawnForAudit, ReadAgain
from spikecheck.vocabulary.steps import (
    Bagged,
    Checked,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Overridden,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
    Threshed,
)  # fmt: skip
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.vocabulary.entry import Step
    from spikecheck.vocabulary.spike_record import SpikeRecord


# Its photos can still be read when the spike itself is lost, so that no sample stays open.
_CHECK_FIRST = N_(
    "Check it, or give the reason why not: on the page of the spike, in a command --unchecked"
)
_OF_ITS_PHOTOS = (ReadAgain, AuditDecided)


def after(record: SpikeRecord, step: Step, *, place: str = "") -> SpikeRecord:
    """Return the spike as ``step`` leaves it.

    Parameters
    ----------
    record
        The spike before.
    step
        What happened.
    place
        Place of the step's crossing session, or empty.

    Raises
    ------
    StepError
        If it cannot have happened to the spike as it was, with what was missing.
    """
    if record.given_up_at is not None and not isinstance(step.detail, _OF_ITS_PHOTOS):
        raise refused(
            record,
            step,
            _("was given up on {given_up_at}").format(given_up_at=shown_moment(record.given_up_at)),
            _(TAKE_BACK),
        )
    changed: SpikeRecord = _RULES[type(step.detail)](record, step, step.detail)
    if isinstance(step.detail, Emasculated):
        return replace(changed, session=step.session, place=place)
    return changed


def _selected(record: SpikeRecord, step: Step, detail: Selected) -> SpikeRecord:
    not_yet(record, step, record.selected_at, _("was selected already"))
    not_yet(record, step, record.emasculated_at, _("was emasculated already"))
    return replace(record, selected_at=step.at, growth_stage=detail.growth_stage)


def _tagged(record: SpikeRecord, _step: Step, detail: Tagged) -> SpikeRecord:
    # At any time: a tag may be printed while an earlier season is typed in.
    return replace(record, tag=detail.code)


def _emasculated(record: SpikeRecord, step: Step, detail: Emasculated) -> SpikeRecord:
    not_yet(record, step, record.emasculated_at, _("was emasculated already"))
    return replace(
        record, emasculated_at=step.at, emasculated_by=step.by, method=detail.method,
        florets=detail.florets, anthers=detail.anthers,
        near_anthesis=record.near_anthesis or detail.near_anthesis,
    )  # fmt: skip


def _checked(record: SpikeRecord, step: Step, detail: Checked) -> SpikeRecord:
    not_yet(record, step, record.harvested_at, _("was harvested already"))
    return replace(
        record, check=detail.check, checked_at=step.at, checked_by=step.by,
        verdict=detail.verdict, computed_verdict=detail.verdict, overridden=False,
        # Taken out or not: the spike that held such an anther is near anthesis from then on.
        near_anthesis=record.near_anthesis or detail.near_anthesis,
        overridden_by="", audit=checked_anew(record.audit),
        # Whoever was sent back opened the bag to look.
        bagged_at=None if record.sent_back and not record.pollinated_at else record.bagged_at,
        rebagged_at=None if record.sent_back else record.rebagged_at,
    )  # fmt: skip


def _overridden(record: SpikeRecord, step: Step, detail: Overridden) -> SpikeRecord:
    if record.check is None:
        raise refused(record, step, _("has no check"), _("Check it first"))
    if detail.check != record.check:
        return record  # a word on an older check; the latest one stands
    _not_sent_back(record, step)
    return replace(record, verdict=detail.verdict, overridden=True, overridden_by=step.by)


def _kept_as_control(record: SpikeRecord, step: Step, _detail: KeptAsControl) -> SpikeRecord:
    not_yet(record, step, record.pollinated_at, _("was pollinated already"))
    return replace(record, control=True)


def _bagged(record: SpikeRecord, step: Step, detail: Bagged) -> SpikeRecord:
    needs(record, step, record.emasculated_at, _("was not emasculated yet"), _("Record that first"))
    not_yet(
        record, step, record.pollinated_at, _("was pollinated already"), _("Record it as re-bagged")
    )
    _not_sent_back(record, step)
    if record.verdict is None and not detail.unchecked_reason:
        raise refused(
            record,
            step,
            _("was not checked"),
            _(_CHECK_FIRST),
        )
    if record.verdict is Verdict.REVIEW:
        raise refused(
            record,
            step,
            _("stands at review (check {check})").format(check=record.check),
            _("Go back to it and check again, or override the verdict with a reason"),
        )
    if (
        not detail.unchecked_reason
        and record.checked_at is not None
        and record.emasculated_at is not None
        and record.checked_at < record.emasculated_at
    ):
        raise refused(
            record,
            step,
            _("was checked before it was emasculated, not since"),
            _(_CHECK_FIRST),
        )
    return replace(record, bagged_at=step.at)


def _pollinated(record: SpikeRecord, step: Step, detail: Pollinated) -> SpikeRecord:
    needs(record, step, record.emasculated_at, _("was not emasculated yet"), _("Record that first"))
    needs(record, step, record.bagged_at, _("was not bagged yet"), _("Record that first"))
    not_yet(record, step, record.harvested_at, _("was harvested already"))
    _not_sent_back(record, step)
    if record.control:
        raise refused(record, step, _("is a control spike, never to be pollinated"), _(TAKE_BACK))
    if detail.male == record.female:
        raise refused(
            record,
            step,
            _("is of the female {male} itself").format(male=detail.male),
            _("Look at the tag of the male"),
        )
    if detail.male != record.male and not detail.other_male_reason:
        raise refused(
            record,
            step,
            _("is planned with the male {male}, not {detail_male}").format(
                male=record.male, detail_male=detail.male
            ),
            _(
                "Take the planned male, or give the reason for another: on the page of the "
                "spike, in a command --other-male"
            ),
        )
    if record.pollinated_at is not None and detail.male != record.pollinated_male:
        raise refused(
            record,
            step,
            _("was pollinated with {pollinated_male} already").format(
                pollinated_male=record.pollinated_male
            ),
            _(TAKE_BACK),
        )
    if detail.pollen_at is not None and detail.pollen_at > step.at:
        raise refused(
            record, step, _("cannot get pollen that is not shed yet"), _("Correct the times")
        )
    if record.pollinated_at is not None:
        return replace(record, rebagged_at=None)  # once more with the same male: the first counts
    return replace(
        record, pollinated_at=step.at, pollinated_by=step.by, pollinated_male=detail.male,
        pollen_at=detail.pollen_at,
    )  # fmt: skip


def _rebagged(record: SpikeRecord, step: Step, _detail: Rebagged) -> SpikeRecord:
    needs(record, step, record.pollinated_at, _("was not pollinated yet"), _("Record it as bagged"))
    not_yet(record, step, record.harvested_at, _("was harvested already"))
    return replace(record, rebagged_at=step.at)


def _harvested(record: SpikeRecord, step: Step, _detail: Harvested) -> SpikeRecord:
    not_yet(record, step, record.harvested_at, _("was harvested already"))
    if record.control:
        needs(record, step, record.bagged_at, _("was not bagged yet"), _("Record that first"))
    else:
        needs(
            record,
            step,
            record.pollinated_at,
            _("was not pollinated yet"),
            _("Record that first, or keep it as a control"),
        )
    return replace(record, harvested_at=step.at)


def _threshed(record: SpikeRecord, step: Step, detail: Threshed) -> SpikeRecord:
    not_yet(record, step, record.threshed_at, _("was threshed already"))
    needs(record, step, record.harvested_at, _("was not harvested yet"), _("Record that first"))
    if record.florets is not None and detail.florets > record.florets:
        raise refused(
            record,
            step,
            _("kept {florets} florets, not {detail_florets}").format(
                florets=record.florets, detail_florets=detail.florets
            ),
            _("Count again"),
        )
    return replace(
        record, threshed_at=step.at, seeds=detail.seeds, seed_florets=detail.florets,
        thirds=detail.thirds,
    )  # fmt: skip


def _seed_tested(record: SpikeRecord, step: Step, detail: SeedTested) -> SpikeRecord:
    needs(record, step, record.threshed_at, _("was not threshed yet"), _("Record that first"))
    tested = (record.tested or 0) + detail.tested
    if record.seeds is not None and tested > record.seeds:
        raise refused(
            record,
            step,
            _("gave {seeds} seeds, {tested} cannot have been tested").format(
                seeds=record.seeds, tested=tested
            ),
            _("Count again; give each seed once"),
        )
    return replace(record, tested=tested, selfed=(record.selfed or 0) + detail.selfed)


def _given_up(record: SpikeRecord, step: Step, detail: GivenUp) -> SpikeRecord:
    not_yet(record, step, record.threshed_at, _("was threshed already"))
    return replace(record, given_up_at=step.at, given_up_reason=detail.reason)


def _not_sent_back(record: SpikeRecord, step: Step) -> None:
    if record.sent_back:
        raise refused(
            record,
            step,
            _("was sent back by an audit"),
            _("Open the bag, look again and check it anew"),
        )


# Each rule takes the one kind of detail it stands beside, which the type of a table cannot say.
_RULES: dict[type, Callable[[SpikeRecord, Step, Any], SpikeRecord]] = {
    Selected: _selected,
    Tagged: _tagged,
    Emasculated: _emasculated,
    Checked: _checked,
    Overridden: _overridden,
    KeptAsControl: _kept_as_control,
    Bagged: _bagged,
    Pollinated: _pollinated,
    Rebagged: _rebagged,
    Harvested: _harvested,
    Threshed: _threshed,
    SeedTested: _seed_tested,
    GivenUp: _given_up,
    DrawnForAudit: drawn_for_audit,
    ReadAgain: read_again,
    AuditDecided: decided,
}
