"""`spikecheck record threshed`, `seed-tested`, `given-up`: how a spike ends."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import (
    AtOption,
    ByOption,
    CorrectionReasonOption,
    CorrectsOption,
    NoteOption,
    SpikesArgument,
)
from spikecheck.cli.records.recorded_text import tell_steps
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.steps import StepDetail

commands = typer.Typer()

_OF = re.compile(r"\s*(\d{1,6})\s*(?:/|of)\s*(\d{1,6})\s*")
_ThirdOption = Annotated[
    str | None,
    typer.Option(metavar="SEEDS/FLORETS", help="The same for this third alone; give all three."),
]


@commands.command(
    "threshed",
    epilog="Example: spikecheck record threshed C-014/3 --seeds 12 --by AB\n\n"
    "By thirds: spikecheck record threshed C-014/3 --basal 3/6 --central 7/8 --apical 2/6 --by AB",
)
def threshed(
    spikes: SpikesArgument,
    by: ByOption,
    seeds: Annotated[
        int | None, typer.Option(metavar="N", min=0, help="Seeds set; the thirds tell it too.")
    ] = None,
    florets: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Of how many florets; those kept if left out."),
    ] = None,
    basal: _ThirdOption = None,
    central: _ThirdOption = None,
    apical: _ThirdOption = None,
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record how many seeds were counted."""
    from spikecheck.bookkeeping.seed_count import seed_count

    thirds = [_of(text) for text in (basal, central, apical)]

    def detail(spike: SpikeRecord) -> StepDetail:
        return seed_count(spike, seeds, florets, thirds)

    tell_steps(
        spikes, detail, at=at, by=by, note=note, corrects=corrects, reason=reason, store=store
    )


@commands.command(
    "seed-tested",
    epilog="Example: spikecheck record seed-tested C-014/3 --tested 8 --selfed 0 --by AB",
)
def seed_tested(
    spikes: SpikesArgument,
    by: ByOption,
    tested: Annotated[int, typer.Option(metavar="N", min=1, help="F1 seeds tested.")],
    selfed: Annotated[int, typer.Option(metavar="N", min=0, help="How many of them were selfed.")],
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record a test of F1 seed; each seed is told once, several tests add up."""
    from spikecheck.vocabulary.steps import SeedTested

    tell_steps(
        spikes, lambda _: SeedTested(tested, selfed), at=at, by=by, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


@commands.command(
    "given-up", epilog='Example: spikecheck record given-up C-014/3 --why "broken by hail" --by AB'
)
def given_up(
    spikes: SpikesArgument,
    by: ByOption,
    why: Annotated[str, typer.Option(metavar="TEXT", help="Why nothing more comes of it.")],
    at: AtOption = None,
    note: NoteOption = "",
    corrects: CorrectsOption = None,
    reason: CorrectionReasonOption = "",
    store: StoreOption = None,
) -> None:
    """Record that nothing more comes of the spike, and why."""
    from spikecheck.vocabulary.steps import GivenUp

    tell_steps(
        spikes, lambda _: GivenUp(why), at=at, by=by, note=note,
        corrects=corrects, reason=reason, store=store,
    )  # fmt: skip


def _of(text: str | None) -> tuple[int | None, int | None]:
    """Return seeds and florets of ``3/6``; None twice where nothing is given."""
    from spikecheck.errors import UsageError

    if text is None:
        return None, None
    found = _OF.fullmatch(text)
    if found is None:
        raise UsageError(f"{text[:40]!r} is not seeds of florets", cure="Write it like 3/6")
    return int(found[1]), int(found[2])
