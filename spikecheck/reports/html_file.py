"""A report as one HTML file that needs nothing else: no script, no network, no other file."""

from __future__ import annotations

import unicodedata
from base64 import b64encode
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from spikecheck.charts import svg, values
from spikecheck.language import _

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

    from spikecheck.charts import Chart
    from spikecheck.reports.blocks import Report, Shot

# Line ends, joiners that scripts spell with, and what keeps a name from right to left in one piece.
_KEPT = "\n\u200c\u200d\N{FIRST STRONG ISOLATE}\N{POP DIRECTIONAL ISOLATE}"


def report_html(report: Report) -> bytes:
    """Return a report as an HTML file; the same, byte by byte, for the same report."""
    page = _environment().get_template("page.html.jinja")
    text = page.render(
        report=report,
        # The style is ours; nothing of a record goes into it.
        style=_own_markup(files("spikecheck.reports").joinpath("page.css").read_text("utf-8")),
        values_word=_("Values of this chart"),
    )
    return text.encode()


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader("spikecheck.reports", "."), autoescape=True,
        undefined=StrictUndefined, finalize=_shown, keep_trailing_newline=True,
    )  # fmt: skip
    made.globals.update(
        kind_of=lambda block: type(block).__name__, svg_of=_svg, data_of=_data, values_of=values
    )
    return made


def _own_markup(text: str) -> Markup:
    from markupsafe import Markup

    return Markup(text)  # noqa: S704  (only what is drawn here or ships with the package)


def _svg(chart: Chart) -> Markup:
    # Every text in it is escaped where it is drawn.
    return _own_markup(svg(chart))


def _data(shot: Shot) -> str:
    return "data:image/jpeg;base64," + b64encode(shot.jpeg).decode()


def _shown(value: object) -> object:
    """Compose accents, and drop what steers a display and no HTML file may hold."""
    if not isinstance(value, str) or hasattr(value, "__html__"):  # the latter is our own markup
        return value
    composed = unicodedata.normalize("NFC", value)
    return "".join(
        one
        for one in composed
        if one in _KEPT or unicodedata.category(one) not in {"Cc", "Cf", "Cs"}
    )
