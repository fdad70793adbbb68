"""Puts the commands together; each stands in a file of its own."""

from __future__ import annotations

from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from spikecheck import __version__
from spikecheck.cli import app as app_command
from spikecheck.cli import batch, calibrate, check, cross, demo, evaluate, label, synth, tags
from spikecheck.cli.console import forgive_encoding
from spikecheck.cli.endings import plain_endings


class _PlainEndings(TyperGroup):
    def make_context(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401  (as below)
        with plain_endings():
            return super().make_context(*args, **kwargs)

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401  (Typer keeps the type to itself)
        forgive_encoding()
        with plain_endings():
            return super().invoke(ctx)


def _show_version(asked: bool) -> None:
    if asked:
        typer.echo(f"spikecheck {__version__}")
        raise typer.Exit


app = typer.Typer(
    name="spikecheck",
    cls=_PlainEndings,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example: spikecheck check spike.jpg",
)


@app.callback()
def spikecheck(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Check photos of hand-emasculated spikes for leftover anthers before bagging."""


app.command("check", epilog=check.EXAMPLES)(check.check)
app.command("batch", epilog=batch.EXAMPLES)(batch.batch)
app.command("demo", epilog=demo.EXAMPLES)(demo.demo)
app.command("app", epilog=app_command.EXAMPLES)(app_command.app)
app.add_typer(cross.commands, name="cross", epilog=cross.EXAMPLES)
app.add_typer(tags.commands, name="tags", epilog=tags.EXAMPLES)
app.command("evaluate", epilog=evaluate.EXAMPLES)(evaluate.evaluate)
app.command("label", epilog=label.EXAMPLES)(label.label)
app.command("calibrate", epilog=calibrate.EXAMPLES)(calibrate.calibrate)
app.command("synth", epilog=synth.EXAMPLES)(synth.synth)
