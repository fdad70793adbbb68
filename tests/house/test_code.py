"""Habits of the code that no linter setting holds on its own."""

from __future__ import annotations

import ast
import importlib
from typing import TYPE_CHECKING

import pytest

from tests.house.repository import module_name, python_files, tree_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PACKAGE = python_files("spikecheck")
SHIPPED = python_files("spikecheck", "app")
BROAD = {"Exception", "BaseException"}


def places(files: list[Path], wanted) -> list[str]:
    """Where ``wanted(node)`` holds, as ``file:line``."""
    return [
        f"{path}:{node.lineno}"
        for path in files
        for node in ast.walk(tree_of(path))
        if wanted(node)
    ]


def test_only_the_command_line_prints():
    def prints(node: ast.AST) -> bool:
        return isinstance(node, ast.Name) and node.id == "print"

    quiet = [path for path in SHIPPED if path.parts[:2] != ("spikecheck", "cli")]
    assert places(quiet, prints) == []


def test_input_is_never_checked_by_assert():
    assert places(SHIPPED, lambda node: isinstance(node, ast.Assert)) == []


def test_no_error_is_swallowed_unnamed():
    """A bare or broad ``except`` may only clean up and raise on."""

    def swallows(node: ast.AST) -> bool:
        if not isinstance(node, ast.ExceptHandler):
            return False
        kinds = node.type.elts if isinstance(node.type, ast.Tuple) else [node.type]
        broad = any(kind is None or ast.unparse(kind) in BROAD for kind in kinds)
        last = node.body[-1]
        raises_on = isinstance(last, ast.Raise) and last.exc is None
        return broad and not raises_on

    assert places(SHIPPED, swallows) == []


def public_parts(path: Path) -> Iterator[tuple[str, ast.AST]]:
    """The module and every public class, function and method in it."""
    tree = tree_of(path)
    yield "module", tree
    for node in tree.body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            if node.name.startswith("_"):
                continue
            yield node.name, node
            for part in node.body if isinstance(node, ast.ClassDef) else ():
                if isinstance(part, ast.FunctionDef) and not part.name.startswith("_"):
                    yield f"{node.name}.{part.name}", part


def test_everything_public_is_documented():
    silent = [
        f"{path}: {name}"
        for path in SHIPPED
        for name, node in public_parts(path)
        if not (ast.get_docstring(node) or "").strip()  # type: ignore[arg-type]
    ]
    assert silent == []


def exported(path: Path) -> list[str] | None:
    """The names in ``__all__``, as written, or None."""
    for node in tree_of(path).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return list(ast.literal_eval(node.value))
    return None


def as_sorted(name: str) -> tuple[int, str]:
    """Constants, then classes, then functions; by name within each."""
    kind = 0 if name.isupper() else 1 if name[0].isupper() else 2
    return kind, name


EXPORTING = [path for path in PACKAGE if exported(path)]


@pytest.mark.parametrize("path", EXPORTING, ids=str)
def test_exported_names_exist_and_are_sorted(path: Path):
    names = exported(path) or []
    module = importlib.import_module(module_name(path))
    assert [name for name in names if not hasattr(module, name)] == []
    assert names == sorted(set(names), key=as_sorted)


def test_rooms_export_their_public_names():
    rooms = {path.parts[1] for path in EXPORTING}
    assert rooms >= {"assessment", "evaluation", "photo", "pipeline", "thresholds", "vocabulary"}
