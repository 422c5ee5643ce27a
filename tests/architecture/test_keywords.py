"""Records with many fields are built by keyword: lengths of one type are not swapped unseen."""

import ast
import dataclasses
from collections.abc import Iterator
from inspect import Parameter, getmembers, isclass, signature
from pathlib import Path

import pytest

from service.products import rows

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "service").rglob("*.py"))
MOST = 7
"""Arguments by position that a reader can still tell apart."""
POSITIONAL = {"service/solver/programme.py: model.addCols": "the compiled library has no keywords"}
"""Calls that may have more, each with the reason."""


def crowded(tree: ast.AST) -> Iterator[str]:
    """What is called with more than `MOST` arguments by position."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and len(node.args) > MOST:
            yield ast.unparse(node.func)


def records() -> list[type]:
    """The records of rows."""
    return [
        one
        for _, one in getmembers(rows, isclass)
        if one.__module__ == rows.__name__ and dataclasses.is_dataclass(one)
    ]


@pytest.mark.parametrize(
    ("code", "found"),
    [("row(1, 2, 3, 4, 5, 6, 7)", []), ("row(1, 2, 3, 4, 5, 6, 7, 8)", ["row"])],
)
def test_the_eighth_argument_by_position_is_seen(code: str, found: list[str]) -> None:
    assert list(crowded(ast.parse(code))) == found


def test_nothing_is_called_with_eight_arguments_by_position() -> None:
    found = {
        f"{path.relative_to(ROOT).as_posix()}: {name}"
        for path in MODULES
        for name in crowded(ast.parse(path.read_text()))
    }
    assert found == set(POSITIONAL)


@pytest.mark.parametrize("record", records())
def test_rows_are_built_by_keyword_alone(record: type) -> None:
    ways = {one.kind for one in signature(record).parameters.values()}
    assert ways == {Parameter.KEYWORD_ONLY}
