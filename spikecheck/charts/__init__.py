"""Charts, described once and drawn alike on pages and in papers."""

from spikecheck.charts.chart import Band, Chart, Level, Series

__all__ = ["Band", "Chart", "Level", "Series"]
