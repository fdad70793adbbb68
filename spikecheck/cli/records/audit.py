"""`spikecheck audit`: a sample of a session is drawn, read a second time, and decided."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import ByOption, NoteOption, SpikeArgument
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.audit import SpikeName
    from spikecheck.store import Store
    from spikecheck.vocabulary.audit_steps import LeftoverMark

EXAMPLES = "Example: spikecheck audit show S-0504"

commands = typer.Typer(
    no_args_is_help=True, help="Audit a session: draw a sample, read it again, decide."
)

_Session = Annotated[str, typer.Argument(metavar="SESSION", help="Its id.", show_default=False)]
_Detect = Annotated[
    float | None, typer.Option(metavar="SHARE", help="Share of bad spikes to notice, such as 0.05.")
]
_Miss = Annotated[
    float | None, typer.Option(metavar="P", help="Risk that a session so bad passes all the same.")
]
_Good = Annotated[
    float, typer.Option(metavar="SHARE", help="Share of bad spikes that is good enough to pass.")
]
_Alarm = Annotated[
    float | None, typer.Option(metavar="P", help="Risk that a session good enough fails.")
]
_Marks = Annotated[
    list[str] | None,
    typer.Option(
        "--left", metavar="PLACE",
        help="Where: photo and floret, as 1:L5, or photo, column and row in px, as 2:812,1430.",
    ),
]  # fmt: skip


class _Parted(StrEnum):
    """By what the lot is parted, without loading the room that draws."""

    NONE = "none"
    TECHNICIAN = "technician"


@commands.command("plan", epilog="Example: spikecheck audit plan S-0504 --detect 0.05 --miss 0.1")
def plan(
    session: _Session,
    detect: _Detect = None,
    miss: _Miss = None,
    good: _Good = 0.0,
    alarm: _Alarm = None,
    store: StoreOption = None,
) -> None:
    """Say how many spikes of a session to read again, and what that is worth."""
    from spikecheck.cli.console import say
    from spikecheck.store import open_store
    from spikecheck.supervision import session_audit, session_plan

    with open_store(store, make=False) as records:
        lot = session_audit(records, session).lot
    planned = session_plan(
        lot, detect_share=detect, miss_risk=miss, good_share=good, false_alarm_risk=alarm
    )
    say(planned.sentence)
    if planned.reference_sentence:
        say(planned.reference_sentence)


@commands.command("draw", epilog="Example: spikecheck audit draw S-0504 --by GR")
def draw(
    session: _Session,
    by: ByOption,
    detect: _Detect = None,
    miss: _Miss = None,
    good: _Good = 0.0,
    alarm: _Alarm = None,
    parted: Annotated[
        _Parted, typer.Option("--part-by", help="By what to part the lot before the draw.")
    ] = _Parted.NONE,
    store: StoreOption = None,
) -> None:
    """Draw the sample of a session by the plan, and record who is drawn."""
    from spikecheck.audit import Strata
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.supervision import draw_session, session_audit, session_plan

    with open_store(store, make=False) as records:
        lot = session_audit(records, session).lot
        planned = session_plan(
            lot, detect_share=detect, miss_risk=miss, good_share=good, false_alarm_risk=alarm
        )
        drawn = draw_session(records, session, planned.plan, by=by, strata=Strata(parted.value))
    say(planned.sentence)
    say(printable(f"Drawn from chain head {drawn.chain_head}:"))
    for name in drawn.drawn:
        say(printable(str(name)))


@commands.command(
    "reading", epilog="Example: spikecheck audit reading C-014/3 --left 1:812,1430 --by GR"
)
def reading(
    spike: SpikeArgument,
    by: ByOption,
    clean: Annotated[bool, typer.Option("--clean", help="Nothing is left: pass.")] = False,
    left: _Marks = None,
    unsure: Annotated[bool, typer.Option("--unsure", help="Not sure: review.")] = False,
    not_blind: Annotated[
        bool, typer.Option("--not-blind", help="The reader knew what the first check said.")
    ] = False,
    note: NoteOption = "",
    store: StoreOption = None,
) -> None:
    """Record a second reading of a drawn spike; look at its photos only, not at the first one."""
    from spikecheck.cli.console import printable, say
    from spikecheck.errors import UsageError
    from spikecheck.store import open_store
    from spikecheck.supervision import read_again
    from spikecheck.vocabulary.audit_steps import Leftovers

    if clean + bool(left) + unsure != 1:
        raise UsageError(
            "a reading says one thing", cure="Give --clean, --unsure, or --left for each place"
        )
    with open_store(store, make=False) as records:
        name = _named(records, spike)
        marks = _marks(records, name, left or ())
        said = Leftovers.NONE if clean else Leftovers.UNSURE if unsure else Leftovers.MARKED
        read_again(records, name, said, marks=marks, by=by, note=note, blind=not not_blind)
    say(printable(f"{name}: read again by {by}"))


@commands.command(
    "decide",
    epilog='Example: spikecheck audit decide C-014/3 --send-back --reason "green tip" --by GR',
)
def decide_spike(
    spike: SpikeArgument,
    by: ByOption,
    confirm: Annotated[bool, typer.Option("--confirm", help="The check stands.")] = False,
    send_back: Annotated[
        bool, typer.Option("--send-back", help="It holds no more: open the bag and check anew.")
    ] = False,
    reason: Annotated[
        str, typer.Option(metavar="TEXT", help="Why; needed to send a spike back.")
    ] = "",
    clean: Annotated[
        bool, typer.Option("--clean", help="Nothing is left in any of its photos, as a label.")
    ] = False,
    left: _Marks = None,
    anew: Annotated[
        bool, typer.Option("--anew", help="Take the place of the decision that stands.")
    ] = False,
    note: NoteOption = "",
    store: StoreOption = None,
) -> None:
    """Decide about a spike that was read twice."""
    from spikecheck.cli.records.recorded_text import tell_spikes
    from spikecheck.errors import UsageError
    from spikecheck.store import open_store
    from spikecheck.supervision import decide
    from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers

    if confirm == send_back:
        raise UsageError("a decision says one thing", cure="Give --confirm or --send-back")
    if clean and left:
        raise UsageError("a photo cannot be clean and hold a leftover", cure="Give one of them")
    decision = AuditDecision.CONFIRMED if confirm else AuditDecision.SENT_BACK
    said = Leftovers.NONE if clean else Leftovers.MARKED if left else Leftovers.UNSURE
    with open_store(store, make=False) as records:
        name = _named(records, spike)
        record = decide(
            records, name, decision, by=by, reason=reason, leftovers=said,
            marks=_marks(records, name, left or ()), note=note, anew=anew,
        )  # fmt: skip
        tell_spikes(records, [(record, ())])


@commands.command("show", epilog="Example: spikecheck audit show S-0504")
def show(session: _Session, store: StoreOption = None) -> None:
    """Show how far the audit of a session is: sample, agreement, control charts in words."""
    from spikecheck.bookkeeping.local_time import local_zone
    from spikecheck.cli.console import printable, say
    from spikecheck.store import open_store
    from spikecheck.supervision import session_audit
    from spikecheck.supervision.audit_text import audit_lines
    from spikecheck.supervision.session_audit import earlier_looks

    with open_store(store, make=False) as records:
        audit = session_audit(records, session)
        lines = audit_lines(audit, records.spikes.audited(), local_zone(), earlier_looks(records))
    for line in lines:
        say(printable(line))


@commands.command("labels", epilog="Example: spikecheck audit labels S-0504 --to labels")
def labels(
    session: _Session,
    to: Annotated[Path, typer.Option(metavar="FOLDER", help="Where to; made where it lacks.")],
    store: StoreOption = None,
) -> None:
    """Write the photos decided about with truth files, for calibrate and label."""
    from spikecheck.cli.console import say
    from spikecheck.store import open_store
    from spikecheck.supervision import export_audit_labels

    with open_store(store, make=False) as records:
        made = export_audit_labels(records, session, to)
    say(
        f"{len(made.photos)} photos written: {made.leftover_spikes} spikes with a leftover, "
        f"{made.clean_spikes} clean; {made.unsaid} left out, since nobody said what is in them."
    )


def _named(store: Store, text: str) -> SpikeName:
    from spikecheck.audit import SpikeName
    from spikecheck.bookkeeping.spike_names import spike_named

    return SpikeName(*spike_named(store, text))


def _marks(store: Store, name: SpikeName, texts: Sequence[str]) -> tuple[LeftoverMark, ...]:
    from spikecheck.supervision.marks import read_marks

    return read_marks(store, name, texts)
