"""`spikecheck record`: what happened to spikes, step by step."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import (
    AtOption,
    ByOption,
    CorrectionReasonOption,
    CorrectsOption,
    NoteOption,
    SessionOption,
    SpikeArgument,
    SpikesArgument,
)
from spikecheck.cli.records.recorded_text import tell_spike, tell_steps, typed_moment
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.steps import StepDetail

EXAMPLES = 'Example: spikecheck record emasculated C-014/3 --florets 20 --anthers 60 --by "AB"'

commands = typer.Typer(no_args_is_help=True, help="Record what happened to spikes.")


@commands.command(
    "selected", epilog="Example: spikecheck record selected C-014/1-4 --stage 55 --by AB"
)
def selected(
    spikes: SpikesArgument,
    by: ByOption,
    stage: Annotated[
        int | None, typer.Option(metavar="BBCH", min=0, max=99, help="Growth stage (BBCH, Zadoks).")
    ] = None,
    at: AtOption = None,
    session: SessionOption = "",
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that it was chosen, before anthesis and clear of the flag leaf."""
    from spikecheck.vocabulary.steps import Selected

    tell_steps(
        spikes, lambda _: Selected(stage), at=at, by=by, session=session, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command(
    "tagged", epilog='Example: spikecheck record tagged C-014/3 --tag "K7Q2 9XMT" --by AB'
)
def tagged(
    spikes: SpikesArgument,
    by: ByOption,
    tag: Annotated[str, typer.Option(metavar="CODE", help="Code of the tag, as printed on it.")],
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that a tag hangs on it; one printed for it belongs to it already."""
    from spikecheck.vocabulary.steps import Tagged
    from spikecheck.vocabulary.tag_code import read_code

    code = read_code(tag)
    tell_steps(
        spikes, lambda _: Tagged(code), at=at, by=by, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command(
    "emasculated",
    epilog="Example: spikecheck record emasculated C-014/3 --florets 20 --anthers 60 --by AB",
)
def emasculated(
    spikes: SpikesArgument,
    by: ByOption,
    florets: Annotated[int, typer.Option(metavar="N", min=1, help="Florets kept.")],
    anthers: Annotated[int, typer.Option(metavar="N", min=0, help="Anthers pulled, counted.")],
    method: Annotated[
        str, typer.Option(metavar="NAME", help="How, such as clip, in your own words.")
    ] = "",
    yellow: Annotated[
        bool, typer.Option("--yellow", help="Some anthers were turning yellow: pollen is close.")
    ] = False,
    at: AtOption = None,
    session: SessionOption = "",
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that the anthers were pulled."""
    from spikecheck.vocabulary.steps import Emasculated

    tell_steps(
        spikes, lambda _: Emasculated(florets, anthers, method, yellow), at=at, by=by,
        session=session, note=note, corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command("control", epilog="Example: spikecheck record control C-014/9 --by AB")
def control(
    spikes: SpikesArgument,
    by: ByOption,
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Keep it as a control: emasculated, bagged, never pollinated."""
    from spikecheck.vocabulary.steps import KeptAsControl

    tell_steps(
        spikes, lambda _: KeptAsControl(), at=at, by=by, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command(
    "override", epilog='Example: spikecheck record override C-014/3 --reason "a palea" --by AB'
)
def override(
    spike: SpikeArgument,
    by: ByOption,
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why; it is kept for good.")],
    review: Annotated[
        bool, typer.Option("--review", help="It stands at review from now on, not at pass.")
    ] = False,
    at: AtOption = None,
    store: StoreOption = None,
) -> None:
    """Set your word against the verdict of the spike's latest check."""
    from spikecheck.bookkeeping.recording import as_it_stands
    from spikecheck.bookkeeping.spike_names import spike_named
    from spikecheck.errors import StepError
    from spikecheck.store import open_store
    from spikecheck.vocabulary.verdict import Verdict

    with open_store(store) as records:
        cross, number = spike_named(records, spike)
        record = as_it_stands(records, cross, number)
        if record.check is None:
            raise StepError("has no check", where=f"spike {cross}/{number}", cure="Check it first")
        moment = None if at is None else typed_moment(at)
        verdict = Verdict.REVIEW if review else Verdict.PASS
        records.override(record.check, by, reason, verdict, at=moment)
        tell_spike(records, records.spikes.one(cross, number))


@commands.command("bagged", epilog="Example: spikecheck record bagged C-014/1-4 --by AB")
def bagged(
    spikes: SpikesArgument,
    by: ByOption,
    unchecked: Annotated[
        str, typer.Option(metavar="REASON", help="Why it is bagged without a check that holds.")
    ] = "",
    at: AtOption = None,
    session: SessionOption = "",
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that the bag went on: only after a check that passes and still holds."""
    from spikecheck.vocabulary.steps import Bagged

    tell_steps(
        spikes, lambda _: Bagged(unchecked), at=at, by=by, session=session, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command("pollinated", epilog="Example: spikecheck record pollinated C-014/1-4 --by AB")
def pollinated(
    spikes: SpikesArgument,
    by: ByOption,
    male: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Who gave the pollen; the planned male if left out."),
    ] = None,
    pollen_at: Annotated[
        str | None, typer.Option(metavar="WHEN", help="When the pollen was shed or gathered.")
    ] = None,
    other_male: Annotated[
        str, typer.Option(metavar="REASON", help="Why it is another male than planned.")
    ] = "",
    at: AtOption = None,
    session: SessionOption = "",
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that pollen was brought."""
    from spikecheck.vocabulary.steps import Pollinated

    shed = None if pollen_at is None else typed_moment(pollen_at)

    def detail(spike: SpikeRecord) -> StepDetail:
        return Pollinated(spike.male if male is None else male, shed, other_male)

    tell_steps(
        spikes, detail, at=at, by=by, session=session, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command("rebagged", epilog="Example: spikecheck record rebagged C-014/1-4 --by AB")
def rebagged(
    spikes: SpikesArgument,
    by: ByOption,
    at: AtOption = None,
    session: SessionOption = "",
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that the bag went back on after pollination."""
    from spikecheck.vocabulary.steps import Rebagged

    tell_steps(
        spikes, lambda _: Rebagged(), at=at, by=by, session=session, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command("harvested", epilog="Example: spikecheck record harvested C-014/1-9 --by AB")
def harvested(
    spikes: SpikesArgument,
    by: ByOption,
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that the spike was cut."""
    from spikecheck.vocabulary.steps import Harvested

    tell_steps(
        spikes, lambda _: Harvested(), at=at, by=by, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip
