"""Season arithmetic: what time and temperature say of when to come back to a spike."""

from spikecheck.season.calendar_file import agenda_calendar
from spikecheck.season.clock import ThermalClock, WarmthBasis
from spikecheck.season.course import TemperatureCourse
from spikecheck.season.thermal_time import GrowthRange, moment_reached, thermal_time
from spikecheck.season.windows import (
    Moment,
    Window,
    anthers_expected,
    harvest,
    receptivity,
    valid_until,
)

__all__ = [
    "GrowthRange", "Moment", "TemperatureCourse", "ThermalClock",
    "WarmthBasis", "Window", "agenda_calendar", "anthers_expected", "harvest", "moment_reached",
    "receptivity", "thermal_time", "valid_until",
]  # fmt: skip
