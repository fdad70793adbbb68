"""Temperatures of a place: typed, from a table, or a constant; joined, and continued ahead."""

from spikecheck.season.temperatures.outlooks import Outlook
from spikecheck.season.temperatures.season_course import (
    SeasonCourse,
    measured_courses,
    season_course,
)
from spikecheck.season.temperatures.table import read_temperature_table
from spikecheck.season.temperatures.typed import typed_constant, typed_days

__all__ = [
    "Outlook", "SeasonCourse", "measured_courses", "read_temperature_table",
    "season_course", "typed_constant", "typed_days",
]  # fmt: skip
