"""Everything that can be read on a page, whatever element it stands in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from google.protobuf.descriptor import FieldDescriptor

if TYPE_CHECKING:
    from collections.abc import Iterator

    from google.protobuf.message import Message
    from streamlit.testing.v1 import AppTest

READ = {
    "body", "label", "help", "placeholder", "options", "caption", "text", "title", "content",
    "page_title", "alt",
}  # fmt: skip
"""Fields of Streamlit's messages whose text people read."""
_STYLE = re.compile(r"<(style|script)>.*?</\1>", re.DOTALL)
_SPOKEN = re.compile(r'\b(?:alt|title|aria-label)="([^"]*)"')
_TAG = re.compile(r"<[^>]*>")


def shown_texts(page: AppTest) -> Iterator[str]:
    """Yield each text that is shown or spoken, tags of HTML left out."""
    for region in page._tree.children.values():
        yield from _of_node(region)


def _of_node(node: object) -> Iterator[str]:
    proto = getattr(node, "proto", None)
    if proto is not None and hasattr(proto, "ListFields"):
        yield from _of_message(proto)
    for child in getattr(node, "children", {}).values():
        yield from _of_node(child)


def _of_message(message: Message) -> Iterator[str]:
    for field, value in message.ListFields():
        values = value if isinstance(value, list) or hasattr(value, "extend") else [value]
        for one in values:
            if field.type == FieldDescriptor.TYPE_MESSAGE and hasattr(one, "ListFields"):
                yield from _of_message(one)
            elif field.name in READ and isinstance(one, str):
                spoken = _SPOKEN.findall(one)
                yield from filter(None, (*spoken, _TAG.sub(" ", _STYLE.sub("", one))))
