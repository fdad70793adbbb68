"""Names that look like markup, and what the page would read as markup."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from visitor import Visitor

NASTY = [
    "<b>bold</b>",
    "*stars* _and_ `ticks`",
    ":red[red] :smile: :material/grass:",
    "[link](https://example.org) $x^2$",
    "<script>alert(1)</script>",
]
"""Markup of HTML, of Markdown, and of Streamlit's own additions to it."""

NASTY_ID = "<b>b</b> *s* _u_ `t` :red[r] [l](https://example.org) $x^2$"
"""All of it at once, short enough for an id."""


def read_as_markup(visitor: Visitor) -> str:
    """Return all text that Streamlit takes for Markdown or HTML."""
    page = visitor.page
    kinds = ("markdown", "caption", "header", "subheader", "title", "error", "warning", "success")
    texts = [str(one.value) for kind in kinds for one in getattr(page, kind)]
    texts += [str(one.proto.body) for one in page.get("html")]
    widgets = [*page.button, *page.toggle, *page.text_input, *page.text_area, *page.expander]
    texts += [one.label for one in widgets]
    texts += [image.caption for images in page.image for image in images.proto.imgs]
    return "\n".join(texts)
