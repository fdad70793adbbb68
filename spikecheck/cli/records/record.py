"""`spikecheck record`: what happened to spikes, step by step."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

import typer

from spikecheck.cli.records.record_options import AtOption, ByOption, SpikeArgument
from spikecheck.cli.records.recorded_text import tell_spikes, typed_moment
from spikecheck.cli.records.step_command import add_step
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from spikecheck.bookkeeping.recording import DetailOf
    from spikecheck.vocabulary.spike_record import SpikeRecord
    from spikecheck.vocabulary.steps import StepDetail

EXAMPLES = 'Example: spikecheck record emasculated C-014/3 --florets 20 --anthers 60 --by "AB"'

_OF = re.compile(r"\s*(\d{1,6})\s*(?:/|of)\s*(\d{1,6})\s*")
_ThirdOption = Annotated[
    str | None,
    typer.Option(metavar="SEEDS/FLORETS", help="The same for this third alone; give all three."),
]

commands = typer.Typer(no_args_is_help=True, help="Record what happened to spikes.")


def _selected(
    stage: Annotated[
        int | None, typer.Option(metavar="BBCH", min=0, max=99, help="Growth stage (BBCH, Zadoks).")
    ] = None,
) -> DetailOf:
    """Record that it was chosen, before anthesis and clear of the flag leaf."""
    from spikecheck.vocabulary.steps import Selected

    return lambda _: Selected(stage)


def _tagged(
    tag: Annotated[str, typer.Option(metavar="CODE", help="Code of the tag, as printed on it.")],
) -> DetailOf:
    """Record that a tag hangs on it; one printed for it belongs to it already."""
    from spikecheck.vocabulary.steps import Tagged
    from spikecheck.vocabulary.tag_code import read_code

    code = read_code(tag)
    return lambda _: Tagged(code)


def _emasculated(
    florets: Annotated[int, typer.Option(metavar="N", min=1, help="Florets kept.")],
    anthers: Annotated[int, typer.Option(metavar="N", min=0, help="Anthers pulled, counted.")],
    method: Annotated[
        str, typer.Option(metavar="NAME", help="How, such as clip, in your own words.")
    ] = "",
    yellow: Annotated[
        bool, typer.Option("--yellow", help="Some anthers were turning yellow: pollen is close.")
    ] = False,
) -> DetailOf:
    """Record that the anthers were pulled."""
    from spikecheck.vocabulary.steps import Emasculated

    return lambda _: Emasculated(florets, anthers, method, yellow)


def _control() -> DetailOf:
    """Keep it as a control: emasculated, bagged, never pollinated."""
    from spikecheck.vocabulary.steps import KeptAsControl

    return lambda _: KeptAsControl()


def _bagged(
    unchecked: Annotated[
        str, typer.Option(metavar="REASON", help="Why it is bagged without a check that holds.")
    ] = "",
) -> DetailOf:
    """Record that the bag went on: only after a check that passes and still holds."""
    from spikecheck.vocabulary.steps import Bagged

    return lambda _: Bagged(unchecked)


def _pollinated(
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
) -> DetailOf:
    """Record that pollen was brought."""
    from spikecheck.vocabulary.steps import Pollinated

    shed = None if pollen_at is None else typed_moment(pollen_at)
    return lambda spike: Pollinated(spike.male if male is None else male, shed, other_male)


def _rebagged() -> DetailOf:
    """Record that the bag went back on after pollination."""
    from spikecheck.vocabulary.steps import Rebagged

    return lambda _: Rebagged()


def _harvested() -> DetailOf:
    """Record that the spike was cut."""
    from spikecheck.vocabulary.steps import Harvested

    return lambda _: Harvested()


def _threshed(
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
) -> DetailOf:
    """Record how many seeds were counted."""
    thirds = [_of(text) for text in (basal, central, apical)]

    def detail(spike: SpikeRecord) -> StepDetail:
        from spikecheck.bookkeeping.seed_count import seed_count

        return seed_count(spike, seeds, florets, thirds)

    return detail


def _seed_tested(
    tested: Annotated[int, typer.Option(metavar="N", min=1, help="F1 seeds tested.")],
    selfed: Annotated[int, typer.Option(metavar="N", min=0, help="How many of them were selfed.")],
) -> DetailOf:
    """Record a test of F1 seed; each seed is told once, several tests add up."""
    from spikecheck.vocabulary.steps import SeedTested

    return lambda _: SeedTested(tested, selfed)


def _given_up(
    why: Annotated[str, typer.Option(metavar="TEXT", help="Why nothing more comes of it.")],
) -> DetailOf:
    """Record that nothing more comes of the spike, and why."""
    from spikecheck.vocabulary.steps import GivenUp

    return lambda _: GivenUp(why)


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
        tell_spikes(records, [(records.spikes.one(cross, number), ())])


def _of(text: str | None) -> tuple[int | None, int | None]:
    """Return seeds and florets of ``3/6``; None twice where nothing is given."""
    from spikecheck.errors import UsageError

    if text is None:
        return None, None
    found = _OF.fullmatch(text)
    if found is None:
        raise UsageError(f"{text[:40]!r} is not seeds of florets", cure="Write it like 3/6")
    return int(found[1]), int(found[2])


for _name, _maker, _options in (
    ("selected", _selected, "C-014/1-4 --stage 55"),
    ("tagged", _tagged, 'C-014/3 --tag "K7Q2 9XMT"'),
    ("emasculated", _emasculated, "C-014/3 --florets 20 --anthers 60"),
    ("control", _control, "C-014/9"),
    ("bagged", _bagged, "C-014/1-4"),
    ("pollinated", _pollinated, "C-014/1-4"),
    ("rebagged", _rebagged, "C-014/1-4"),
    ("harvested", _harvested, "C-014/1-9"),
    ("threshed", _threshed, "C-014/3 --basal 3/6 --central 7/8 --apical 2/6"),
    ("seed-tested", _seed_tested, "C-014/3 --tested 8 --selfed 0"),
    ("given-up", _given_up, 'C-014/3 --why "broken by hail"'),
):
    add_step(
        commands, _name, _maker, examples=f"Example: spikecheck record {_name} {_options} --by AB"
    )
