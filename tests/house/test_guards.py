"""Every page and every callback of the app asks on the server who is there and what is allowed."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING, NamedTuple

import pytest

from tests.house.repository import python_files, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

APP = python_files("app")
SCREENS = [path for path in APP if path.parts[1] == "screens"]
CALLBACKS = {"on_click", "on_change", "on_submit"}
OPEN_TO_ALL = {
    ("app/widgets/sign_in.py", "_sign_in"),
    ("app/widgets/sign_in.py", "_sign_out"),
    ("app/reader.py", "choose"),
}
"""Whoever is not signed in may sign in, sign out and choose a language."""

Function = ast.FunctionDef | ast.Lambda


class Callback(NamedTuple):
    """What is handed over to be called when somebody acts."""

    path: Path
    line: int
    value: ast.expr
    around: tuple[ast.FunctionDef, ...]

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {ast.unparse(self.value)}"


def callbacks(path: Path) -> Iterator[Callback]:
    """Everything that a file hands over by keyword as a callback."""

    def below(node: ast.AST, around: tuple[ast.FunctionDef, ...]) -> Iterator[Callback]:
        if isinstance(node, ast.keyword) and node.arg in CALLBACKS:
            value = node.value
            if isinstance(value, ast.Call) and ast.unparse(value.func) == "partial":
                value = value.args[0]
            if not isinstance(value, ast.Constant):
                yield Callback(path, node.value.lineno, value, around)
        inside = (*around, node) if isinstance(node, ast.FunctionDef) else around
        for child in ast.iter_child_nodes(node):
            yield from below(child, inside)

    yield from below(tree_of(path), ())


def functions_named(name: str, paths: list[Path]) -> Iterator[tuple[Path, ast.FunctionDef]]:
    """Every function of a name in some files, methods and inner ones too."""
    for path in paths:
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.FunctionDef) and node.name == name:
                yield path, node


def methods_named(name: str, *, of: str | None) -> Iterator[tuple[Path, ast.FunctionDef]]:
    """Every method of a name, of one class, or of any where the class is not known."""
    for path in APP:
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.ClassDef) and of in {None, node.name}:
                yield from ((path, one) for one in node.body
                            if isinstance(one, ast.FunctionDef) and one.name == name)  # fmt: skip


def defined_in(name: str, path: Path) -> Path:
    """The file of the app that a name of a file is from: another's where it is imported."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom) and name in {one.name for one in node.names}:
            wanted = ("app", *str(node.module).split("."))
            return next(one for one in APP if one.with_suffix("").parts == wanted)
    return path


def asks(function: ast.FunctionDef) -> bool:
    """Whether a function asks for an action before anything else that it does."""
    for statement in function.body:
        if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
            continue  # its docstring
        calls = [node for node in ast.walk(statement) if isinstance(node, ast.Call)]
        if any(ast.unparse(call.func) == "require_here" for call in calls):
            return True
        if calls or not isinstance(statement, ast.Assign | ast.Nonlocal):
            return False
    return False


def meant(callback: Callback) -> list[tuple[Path, ast.FunctionDef]] | None:
    """The functions that may be meant; None where its caller hands it over, and is looked at."""
    value = callback.value
    if isinstance(value, ast.Name):
        given = {argument.arg for function in callback.around
                 for argument in (*function.args.args, *function.args.kwonlyargs)}  # fmt: skip
        if value.id in given:
            return None if value.id in CALLBACKS else []
        return list(functions_named(value.id, [defined_in(value.id, callback.path)]))
    if isinstance(value, ast.Attribute) and isinstance(value.value, ast.Name):
        given = {argument.arg: ast.unparse(argument.annotation or ast.Constant(""))
                 for function in callback.around for argument in function.args.args}  # fmt: skip
        return list(methods_named(value.attr, of=given.get(value.value.id)))
    return []


def unguarded(paths: list[Path]) -> list[str]:
    found = []
    for path in paths:
        for callback in callbacks(path):
            functions = meant(callback)
            if functions is None:
                continue
            fine = [
                asks(function) or (str(where), function.name) in OPEN_TO_ALL
                for where, function in functions
            ]
            if not fine or not all(fine):
                found.append(str(callback))
    return found


@pytest.mark.parametrize("path", SCREENS, ids=lambda path: path.stem)
def test_every_page_asks_before_it_shows_anything(path: Path):
    ((_, show),) = functions_named("show", [path])
    first = next(one for one in show.body if not isinstance(getattr(one, "value", 0), ast.Constant))
    asked = [node for node in ast.walk(first) if isinstance(node, ast.Call)]
    assert ast.unparse(asked[0].func) == "require_here"


def test_every_callback_asks_before_it_does_anything():
    assert unguarded(APP) == []


def test_there_are_callbacks_to_look_at():
    assert sum(1 for path in APP for _ in callbacks(path)) > 50


def test_all_pages_are_in_the_table():
    table = next(path for path in APP if path.name == "pages.py")
    named = {
        str(call.args[0].value): ast.unparse(call.args[2])
        for call in ast.walk(tree_of(table))
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "Screen"
        and isinstance(call.args[0], ast.Constant)
    }  # fmt: skip
    assert set(named) == {path.stem for path in SCREENS}
    for path in SCREENS:
        ((_, show),) = functions_named("show", [path])
        calls = [node for node in ast.walk(show) if isinstance(node, ast.Call)]
        asked = next(ast.unparse(one.args[0]) for one in calls
                     if ast.unparse(one.func) == "require_here")  # fmt: skip
        assert asked == named[path.stem], path


@pytest.mark.parametrize(
    ("code", "guarded"),
    [
        ("def f(x):\n    '''Do.'''\n    require_here(A.B)\n    go()", True),
        ("def f():\n    person = require_here(A.B)", True),
        ("def f():\n    go()\n    require_here(A.B)", False),
        ("def f():\n    if x:\n        go()\n    require_here(A.B)", False),
        ("def f():\n    go()", False),
    ],
)
def test_the_search_knows_what_it_looks_for(code: str, guarded: bool):  # noqa: FBT001
    (function,) = ast.parse(code).body
    assert asks(function) is guarded
