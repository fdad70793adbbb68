"""`spikecheck verify`: proves history and photos."""

from __future__ import annotations

from typing import Annotated

import typer

from spikecheck.cli.store_option import StoreOption

EXAMPLES = """Example: spikecheck verify

With a hash written down earlier: spikecheck verify --head 4f6c…"""


def verify(
    head: Annotated[
        str | None,
        typer.Option(
            metavar="HASH",
            help="A hash that an earlier verify printed: proves that nothing before it was "
            "written anew.",
        ),
    ] = None,
    store: StoreOption = None,
) -> None:
    """Prove that the history and every photo are what they were when they were written."""
    from spikecheck.cli.console import complain, printable, say
    from spikecheck.cli.progress import Bar
    from spikecheck.errors import ChainError, UsageError
    from spikecheck.store import open_store

    if head is not None and not head.strip():  # of a script whose variable is empty
        raise UsageError("--head is empty", cure="Give the hash that was written down")
    with open_store(store, make=False) as records:
        with Bar("looking") as bar:
            found = records.verify(head=head, on_progress=bar.set)
        where = records.location
    for fault in found.faults:
        complain(fault)
    if found.faults:
        raise ChainError(
            f"{len(found.faults)} faults found", where=where,
            cure="Keep this store as it is, and compare it with your last backup",
        )  # fmt: skip
    if found.head_found is False:
        raise ChainError(
            f"the chain has no entry with the hash {head}", where=where,
            cure="Compare the hash with what was written down; else the history was written anew",
        )  # fmt: skip
    say(
        printable(
            f"{found.entries} entries, {found.spikes} spikes, {found.photos} photos and overlays: "
            f"all as they were written, in {where}"
        )
    )
    if found.head_found:
        say("The hash written down earlier stands in the chain.")
    say(f"Head of the chain: {found.head}")
    say("Written down elsewhere, it proves later that nothing before it was written anew.")
