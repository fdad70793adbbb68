"""Puts the commands together; each stands in a file of its own."""

from __future__ import annotations

from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from spikecheck import __version__
from spikecheck.cli import app as app_command
from spikecheck.cli import (
    batch,
    calibrate,
    check,
    cross,
    demo,
    evaluate,
    label,
    people,
    synth,
    tags,
)
from spikecheck.cli.console import forgive_encoding
from spikecheck.cli.endings import plain_endings
from spikecheck.cli.records import (
    agenda,
    audit,
    backup,
    exchange,
    numbers,
    outcomes,
    parent,
    plan,
    record,
    report,
    session,
    spike,
    temperatures,
    verify,
)  # fmt: skip


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


_CHECKING = "Checking photos"
_SEASON = "The crossing season"
_KEEPING = "Keeping and exchanging records"
_BETTER = "Measuring and improving"
_TEAM = "The team"

app.command("check", epilog=check.EXAMPLES, rich_help_panel=_CHECKING)(check.check)
app.command("batch", epilog=batch.EXAMPLES, rich_help_panel=_CHECKING)(batch.batch)
app.command("demo", epilog=demo.EXAMPLES, rich_help_panel=_CHECKING)(demo.demo)
app.command("app", epilog=app_command.EXAMPLES, rich_help_panel=_CHECKING)(app_command.app)
for _name, _room in (
    ("parent", parent), ("cross", cross), ("plan", plan), ("session", session),
    ("tags", tags), ("record", record), ("spike", spike), ("temperatures", temperatures),
    ("audit", audit), ("numbers", numbers),
):  # fmt: skip
    app.add_typer(_room.commands, name=_name, epilog=_room.EXAMPLES, rich_help_panel=_SEASON)
app.command("agenda", epilog=agenda.EXAMPLES, rich_help_panel=_SEASON)(agenda.agenda)
app.command("outcomes", epilog=outcomes.EXAMPLES, rich_help_panel=_SEASON)(outcomes.outcomes)
app.command("report", epilog=report.EXAMPLES, rich_help_panel=_KEEPING)(report.report)
app.command("export", epilog=exchange.EXAMPLES_EXPORT, rich_help_panel=_KEEPING)(exchange.export)
app.add_typer(exchange.commands, name="brapi", epilog=exchange.EXAMPLES, rich_help_panel=_KEEPING)
app.command("verify", epilog=verify.EXAMPLES, rich_help_panel=_KEEPING)(verify.verify)
app.command("backup", epilog=backup.EXAMPLES_BACKUP, rich_help_panel=_KEEPING)(backup.backup)
app.command("restore", epilog=backup.EXAMPLES_RESTORE, rich_help_panel=_KEEPING)(backup.restore)
app.add_typer(people.commands, name="people", epilog=people.EXAMPLES, rich_help_panel=_TEAM)
app.command("evaluate", epilog=evaluate.EXAMPLES, rich_help_panel=_BETTER)(evaluate.evaluate)
app.command("label", epilog=label.EXAMPLES, rich_help_panel=_BETTER)(label.label)
app.command("calibrate", epilog=calibrate.EXAMPLES, rich_help_panel=_BETTER)(calibrate.calibrate)
app.command("synth", epilog=synth.EXAMPLES, rich_help_panel=_BETTER)(synth.synth)
