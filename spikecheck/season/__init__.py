"""Season arithmetic: what time and temperature say of when to come back to a spike."""

from spikecheck.season.course import DailyReading, Reading, TemperatureCourse
from spikecheck.season.thermal_time import GrowthRange, moment_reached, thermal_time

__all__ = [
    "DailyReading", "GrowthRange", "Reading", "TemperatureCourse", "moment_reached", "thermal_time",
]  # fmt: skip
