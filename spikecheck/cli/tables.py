"""An evaluation as tables: scores, families of images, mistakes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.box import SIMPLE_HEAD
from rich.table import Table

from spikecheck.cli.console import complain, printable, say, say_table

if TYPE_CHECKING:
    from spikecheck.evaluation import Evaluation, Proportion, Row

_MISTAKES_LISTED = 5


def show_evaluation(evaluation: Evaluation) -> None:
    """Write the verdict table and the scores to standard output, unreadable files to the other."""
    from spikecheck.evaluation import rows, verdict_table

    for outcome in evaluation.outcomes:
        if outcome.error is not None:
            complain(outcome.error)
    verdicts = Table(
        "right answer", title="Verdicts, photos", box=SIMPLE_HEAD, title_justify="left"
    )
    for answer in ("pass", "review"):
        verdicts.add_column(f"told {answer}", justify="right")
    for line in verdict_table(evaluation):
        verdicts.add_row(line.truth, str(line.passed), str(line.reviewed))
    say_table(verdicts)
    scores = Table("what", title="Scores", box=SIMPLE_HEAD, title_justify="left")
    for heading in ("count", "value", "95 % interval"):
        scores.add_column(heading, justify="right", no_wrap=True)
    lines = rows(evaluation)
    if not lines:
        say("No photo has a truth file (of the same name, ending in .json): nothing to compare.")
        return
    for number, row in enumerate(lines):
        last = number + 1 == len(lines) or lines[number + 1].group != row.group
        scores.add_row(*_cells(row), end_section=last)
    say_table(scores)
    say("Good photos: nothing is wrong with them and the spike is prepared.")
    compared = len(evaluation.comparisons)
    say(f"{compared} of {len(evaluation.outcomes)} photos have truth and could be read.")
    at_most = evaluation.verdicts.leftover_passed.upper
    if at_most is not None:
        say(f"Spikes with a leftover that pass: at most {at_most:.1%}, with 95 % confidence.")


def show_mistakes(evaluation: Evaluation) -> None:
    """Write what became of points marked by hand, and the costliest mistakes by file."""
    from spikecheck.evaluation import failures, marked_photos

    marked = marked_photos(evaluation)
    if marked:
        points = Table("photo", title="Marked points", box=SIMPLE_HEAD, title_justify="left")
        points.add_column("found", justify="right", no_wrap=True)
        points.add_column("verdict")
        points.add_column("told")
        for photo in marked:
            count = f"{photo.found}/{photo.points}"
            points.add_row(printable(photo.file), count, photo.verdict, ", ".join(photo.told))
        say_table(points)
    found = failures(evaluation)
    if not found:
        return
    listed = min(_MISTAKES_LISTED, len(found))
    worst = Table(
        "photo", "what happened", title=f"Mistakes, the costliest {listed} of {len(found)}",
        box=SIMPLE_HEAD, title_justify="left",
    )  # fmt: skip
    for failure in found[:listed]:
        worst.add_row(printable(failure.file), failure.what)
    say_table(worst)


def show_families(evaluation: Evaluation, kind: str) -> None:
    """Write a line for each family of one kind."""
    from spikecheck.evaluation import family_lines

    table = Table(
        kind, title=f"By {kind}; visible means 0.25 mm² or more of an anther",
        box=SIMPLE_HEAD, title_justify="left",
    )  # fmt: skip
    for heading in (
        "photos", "visible leftover passes", "clean passes", "visible found", "false marks a photo",
        "florets F1",
    ):  # fmt: skip
        table.add_column(heading, justify="right")
    for line in family_lines(evaluation, kind):
        table.add_row(
            printable(line.family), str(line.photos), _share(line.leftover_passed),
            _share(line.clean_passed), _share(line.recall), _plain(line.false_marks),
            _plain(line.cavity_f1),
        )  # fmt: skip
    say_table(table)


def _share(share: Proportion) -> str:
    if share.share is None:
        return ""
    return f"{share.events}/{share.trials} {share.share:.1%}"


def _plain(value: float | None) -> str:
    return "" if value is None else f"{value:.3f}"


def _cells(row: Row) -> tuple[str, str, str, str]:
    count = "" if row.trials is None else f"{row.events}/{row.trials}"
    value = "" if row.value is None else _number(row.value, share=row.trials is not None)
    interval = ""
    if row.low is not None and row.high is not None:
        interval = f"{row.low:.1%} to {row.high:.1%}"
    return f"{row.group}: {row.name}", count, value, interval


def _number(value: float, *, share: bool) -> str:
    return f"{value:.1%}" if share else f"{value:.3f}"
