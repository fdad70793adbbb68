"""Every text of a report, to find out which letters it needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.reports.blocks import Facts, Figure, Pictures, Table, Text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from spikecheck.charts import Chart
    from spikecheck.reports.blocks import Block, Report


def texts_of(report: Report) -> Iterator[str]:
    """Yield every text that stands in a report, line by line."""
    for text in _texts(report):
        yield from text.split("\n")


def _texts(report: Report) -> Iterator[str]:
    yield report.title
    yield report.running
    for section in report.sections:
        yield section.heading
        for block in section.blocks:
            yield from _of_block(block)


def _of_block(block: Block) -> Iterator[str]:
    if isinstance(block, Text):
        yield block.text
    elif isinstance(block, Facts):
        for pair in block.pairs:
            yield from pair
    elif isinstance(block, Table):
        yield block.name
        for row in (block.head, *block.rows):
            yield from row
    elif isinstance(block, Pictures):
        for shot in block.shots:
            yield shot.caption if shot.jpeg else shot.told
    else:
        yield from _of_chart(block)


def _of_chart(figure: Figure) -> Iterator[str]:
    chart: Chart = figure.chart
    yield from (chart.title, chart.told, chart.x_name, chart.y_name, *chart.x_names)
    yield from (series.name for series in chart.series)
    yield from (band.name for band in chart.bands)
    yield from (level.name for level in chart.levels)
