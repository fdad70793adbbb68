"""What people read goes through the catalogue: literals are wrapped, and only literals."""

from __future__ import annotations

import ast
import re
from typing import TYPE_CHECKING

from tests.house.repository import ROOT, python_files, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WORDS = re.compile(r"[^\W\d_]{2}")
LOOKS_UP = re.compile(r"^from spikecheck.language import .*\b_\b", re.MULTILINE)
TRANSLATE, MARK = {"_", "ngettext", "pgettext"}, {"N_", "NN_"}
SHOWS = {
    "button", "caption", "camera_input", "checkbox", "date_input", "datetime_input",
    "download_button", "error", "expander", "feedback", "file_uploader", "form_submit_button",
    "header", "info", "link_button", "markdown", "metric", "multiselect", "number_input",
    "page_link", "pills", "popover", "radio", "segmented_control", "select_slider", "selectbox",
    "slider", "spinner", "status", "subheader", "success", "text", "text_area", "text_input",
    "time_input", "title", "toast", "toggle", "warning", "write",
    "notice", "faint", "strong", "heading",
}  # fmt: skip
"""Functions of Streamlit and of ``widgets.plain`` whose first argument is read by people."""
READ = {"label", "help", "placeholder", "caption", "show_spinner", "title", "body"}
"""Names of arguments that are read by people."""
NO_WORDS_FIRST = {"page_link"}
"""Functions whose first argument is an address."""
ARITHMETIC = {"audit", "practice", "outcomes"}
"""Rooms that pages and commands ask for figures; they refuse what only a mistake can ask."""
AT_EACH_VISIT = "app/streamlit_app.py"
"""The page's script, which runs for a visitor, unlike other modules."""


def called(node: ast.Call) -> str:
    """The last name of what is called."""
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def bare_words(node: ast.AST) -> Iterator[ast.AST]:
    """Literals with words in an expression, those inside calls left out."""
    if isinstance(node, ast.Constant):
        if isinstance(node.value, str) and WORDS.search(node.value):
            yield node
    elif isinstance(node, ast.JoinedStr):
        for part in node.values:
            yield from bare_words(part.value if isinstance(part, ast.FormattedValue) else part)
    elif isinstance(node, ast.IfExp | ast.BinOp | ast.BoolOp):
        for part in ast.iter_child_nodes(node):
            yield from bare_words(part)


def calls(path: Path) -> Iterator[ast.Call]:
    return (node for node in ast.walk(tree_of(path)) if isinstance(node, ast.Call))


def place(path: Path, node: ast.AST) -> str:
    return f"{path}:{node.lineno}"


def test_what_pages_show_is_wrapped():
    bare = []
    for path in python_files("app"):
        for call in calls(path):
            name = called(call)
            if name not in SHOWS:
                continue
            shown = [one.value for one in call.keywords if one.arg in READ]
            if name not in NO_WORDS_FIRST:
                shown += call.args[:1]
            bare += [place(path, node) for one in shown for node in bare_words(one)]
    assert bare == []


def test_errors_are_wrapped_where_others_of_the_file_are():
    bare = []
    for path in python_files("spikecheck", "app"):
        if path.parts[1] in ARITHMETIC:
            continue
        if not LOOKS_UP.search((ROOT / path).read_text(encoding="utf-8")):
            continue
        for call in calls(path):
            if not called(call).endswith("Error") or not any(
                one.arg in ("where", "cure") for one in call.keywords
            ):
                continue
            shown = [*call.args[:1], *(one.value for one in call.keywords if one.arg == "cure")]
            bare += [place(path, node) for one in shown for node in bare_words(one)]
    assert bare == []


def test_only_whole_texts_are_looked_up():
    """Values go in afterwards: a text put together before is in no catalogue."""

    def put_together(node: ast.AST) -> bool:
        if isinstance(node, ast.Call):
            return called(node) in {"format", "join"}
        return isinstance(node, ast.JoinedStr | ast.BinOp)

    odd = []
    for path in python_files("spikecheck", "app"):
        for call in calls(path):
            name = called(call)
            if name in TRANSLATE and any(put_together(one) for one in call.args):
                odd.append(place(path, call))
            if name in MARK and not all(isinstance(one, ast.Constant) for one in call.args):
                odd.append(place(path, call))
    assert odd == []


def test_no_text_is_translated_before_it_is_known_who_reads():
    """At import nobody has chosen a language: constants are marked with ``N_`` only."""
    early = []
    for path in python_files("spikecheck", "app"):
        if path.as_posix() == AT_EACH_VISIT:
            continue
        inside = {
            id(node)
            for function in ast.walk(tree_of(path))
            if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            for part in ([function.body] if isinstance(function, ast.Lambda) else function.body)
            for node in ast.walk(part)
        }
        early += [
            place(path, call)
            for call in calls(path)
            if called(call) in TRANSLATE and isinstance(call.func, ast.Name)
            if id(call) not in inside
        ]
    assert early == []
