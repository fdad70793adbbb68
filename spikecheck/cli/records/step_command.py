"""Makes a command of a step: its own options between those that every step takes."""

from __future__ import annotations

import inspect
from typing import TYPE_CHECKING, Any, get_type_hints

from spikecheck.cli.records.record_options import (
    AtOption,
    ByOption,
    CorrectionReasonOption,
    CorrectsOption,
    NoteOption,
    SessionOption,
    SpikesArgument,
)
from spikecheck.cli.records.recorded_text import tell_steps
from spikecheck.cli.store_option import StoreOption

if TYPE_CHECKING:
    from collections.abc import Callable

    import typer

    from spikecheck.bookkeeping.recording import DetailOf

_NEEDED = inspect.Parameter.empty
_FIRST: dict[str, tuple[Any, object]] = {
    "spikes": (SpikesArgument, _NEEDED),
    "by": (ByOption, _NEEDED),
}
_LAST: dict[str, tuple[Any, object]] = {
    "at": (AtOption, None),
    "session": (SessionOption, ""),
    "note": (NoteOption, ""),
    "corrects": (CorrectsOption, None),
    "reason": (CorrectionReasonOption, ""),
    "store": (StoreOption, None),
}


def add_step(
    commands: typer.Typer, name: str, maker: Callable[..., DetailOf], *, examples: str
) -> None:
    """Add the command of one step.

    Parameters
    ----------
    commands
        Where to.
    name
        Of the command.
    maker
        Takes the step's own options, as a Typer command would, and returns what happened to a
        spike, given the spike; its docstring is the command's help.
    examples
        The end of the help.
    """

    def command(**given: Any) -> None:  # noqa: ANN401  (each option has a type of its own)
        shared = {name: given.pop(name) for name in (*_FIRST, *_LAST)}
        tell_steps(shared.pop("spikes"), maker(**given), **shared)

    own = inspect.signature(maker).parameters
    kinds = get_type_hints(maker, localns={"DetailOf": Any}, include_extras=True)
    parameters = {
        **_FIRST, **{name: (kinds[name], one.default) for name, one in own.items()}, **_LAST,
    }  # fmt: skip
    kind = inspect.Parameter.KEYWORD_ONLY
    command.__signature__ = inspect.Signature(  # type: ignore[attr-defined]
        [
            inspect.Parameter(name, kind, annotation=annotation, default=default)
            for name, (annotation, default) in parameters.items()
        ]
    )
    command.__annotations__ = {name: annotation for name, (annotation, _) in parameters.items()}
    command.__doc__ = maker.__doc__
    commands.command(name, epilog=examples)(command)
