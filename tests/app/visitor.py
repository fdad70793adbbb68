"""Someone who uses the page in a test."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from streamlit.testing.v1 import AppTest
    from streamlit.testing.v1.element_tree import Button

_LAYOUT = re.compile(r"</?span[^>]*>")  # says nothing: colour, words kept in one piece
LITERAL = {"html", "text"}
"""Kinds of element that show text as it is, without reading it as Markdown."""


@dataclass
class Visitor:
    """Drives the page by what can be seen on it.

    Parameters
    ----------
    page
        The page.
    """

    page: AppTest

    def said(self) -> str:
        """Return everything the page says, as one text."""
        page = self.page
        elements = [*page.get("html"), *page.text, *page.markdown, *page.caption]
        said = "\n".join(
            str(one.proto.body if one.type in LITERAL else one.value) for one in elements
        )
        return _LAYOUT.sub("", said)

    def labels(self) -> list[str]:
        """Return what is written on the buttons."""
        return [one.label for one in self.page.button]

    def listed(self) -> list[str]:
        """Return the names of the spikes in the list, in its order."""
        rows = [one for one in self.page.button if one.label == "Open"]
        return [str(one.key).removeprefix("open-") for one in rows]

    def button(self, label: str) -> Button:
        """Return the button with this label."""
        return next(one for one in self.page.button if one.label == label)

    def press(self, label: str) -> None:
        """Press the button with this label."""
        self.button(label).click().run()
        assert not self.page.exception

    def go_to(self, screen: str) -> None:
        """Open another screen by the name of its file."""
        self.page.switch_page(f"screens/{screen}.py").run()
        assert not self.page.exception

    def choose(self, *, spike: int = 1, by: str = "Ilse") -> None:
        """Choose the cross SPICA-7, and give a spike and a name."""
        self.page.selectbox("cross").set_value("SPICA-7")
        self.page.number_input("spike").set_value(spike)
        self.page.text_input("by").set_value(by)
        self.page.run()

    def add_cross(self, **texts: str) -> None:
        """Fill in the form for a new cross and send it."""
        for key, text in texts.items():
            self.page.text_input(f"new-{key}").set_value(text)
        self.press("Add this cross")

    def upload(self, *files: tuple[str, bytes], control: str = "") -> None:
        """Give photos to the control of this name, or to the one for more photos of the spike."""
        names = (control,) if control else ("first", "side")
        uploader = next(
            one for one in self.page.file_uploader if str(one.key).rpartition("-")[0] in names
        )
        uploader.set_value([(name, data, "image/png") for name, data in files])
        self.page.run()
        assert not self.page.exception

    def check(self, *photos: bytes) -> None:
        """Go as far as the verdict."""
        self.choose()
        self.upload(*((f"{number}.png", data) for number, data in enumerate(photos, start=1)))

    def record(self, *photos: bytes) -> None:
        """Go as far as the record."""
        self.check(*photos)
        self.press("Record this check")
