"""Charts for tests."""

from __future__ import annotations

import math

from spikecheck.charts import Band, Chart, Level, Series

SHARES = Chart(
    title="Share of bad spikes by technician",
    told="Ida lies above what chance explains.",
    x_name="Technician",
    y_name="Share of bad spikes",
    series=(
        Series("Share", ((0, 0.02), (1, 0.18), (2, 0.01)), joined=False, marked=True, flagged=(1,)),
    ),
    bands=(Band("Explained by chance", ((0, 0.0, 0.1), (1, 0.0, 0.12), (2, 0.0, 0.2))),),
    levels=(Level("All together", 0.045),),
    y_percent=True,
    x_names=("Bo Holm", "Ida Berg", "Zoë"),
)
GAPS = Chart(
    title="Sensitivity index by session",
    told="It rises.",
    x_name="Session",
    y_name="d\N{PRIME}",
    series=(Series("d\N{PRIME}", ((1, 1.2), (2, math.nan), (3, 1.9), (4, 2.4))),),
    bands=(Band("95 % interval", ((1, 0.5, 1.9), (2, 0.6, math.inf), (3, 1.2, 2.6))),),
)
STEPS = Chart(
    title="Chance to pass",
    told="It falls.",
    x_name="Share of bad spikes",
    y_name="Chance to pass",
    series=tuple(
        Series(f"Plan {k}", tuple((x / 50, (1 - x / 50) ** k) for x in range(11)), stepped=k == 3)
        for k in range(1, 6)
    ),
    x_percent=True,
    y_percent=True,
)
EMPTY = Chart("Nothing", "Nothing yet.", "Session", "d")
EVERY = (SHARES, GAPS, STEPS, EMPTY)
