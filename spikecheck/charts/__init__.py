"""Charts, described once and drawn alike on pages and in papers."""

from spikecheck.charts.chart import Band, Chart, Level, Series
from spikecheck.charts.pdf_drawing import drawing
from spikecheck.charts.svg_text import svg
from spikecheck.charts.values import ValueTable, values

__all__ = ["Band", "Chart", "Level", "Series", "ValueTable", "drawing", "svg", "values"]
