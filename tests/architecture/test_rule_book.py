"""Each rule number that is cited has its entry in the rule book, and each entry is cited."""

from __future__ import annotations

import ast
import io
import re
import tokenize
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from service.standards import loader

SERVICE = Path(__file__).parents[2] / "service"
NUMBER = r"[0-9]{1,2}\.[0-9]{1,2}"
_LIST = re.compile(rf"[(\[](?:rules? )?({NUMBER}(?:(?:, | and | to |; ){NUMBER})*)[)\],;]")
_CELL = re.compile(rf"\| ({NUMBER}(?:, {NUMBER})*) \|$", re.MULTILINE)
_TALK_OF_OTHER_NUMBERS = {"api", "report"}
"""Rooms whose strings and calls hold versions and sizes; they cite in keywords and prose only."""


def _numbers(text: str) -> Iterator[str]:
    for found in _LIST.findall(text):
        yield from re.findall(NUMBER, found)


def _strings(node: ast.AST) -> Iterator[str]:
    for one in ast.walk(node):
        if isinstance(one, ast.Constant) and isinstance(one.value, str):
            yield one.value


def _of_code(file: Path) -> Iterator[str]:
    """What a module cites: in strings that are a number, in docstrings and in comments."""
    source = file.read_text(encoding="utf-8")
    strings = file.relative_to(SERVICE).parts[0] not in _TALK_OF_OTHER_NUMBERS
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.keyword) and node.arg == "rule":
            yield from _strings(node.value)
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            if strings and re.fullmatch(NUMBER, node.value):
                yield node.value
            yield from _numbers(node.value if "\n" in node.value or " " in node.value else "")
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type == tokenize.COMMENT:
            yield from _numbers(token.string)


def _of_table(file: Path) -> Iterator[str]:
    read = tomllib.loads(file.read_text(encoding="utf-8"))
    yield from (row["rule"] for row in read.values() if isinstance(row, dict) and "rule" in row)


def _of_notes(file: Path) -> Iterator[str]:
    text = file.read_text(encoding="utf-8")
    yield from _numbers(text)
    for found in _CELL.findall(text):
        yield from found.split(", ")


READERS = {"*.py": _of_code, "defaults.toml": _of_table, "NOTES.md": _of_notes}


@cache
def cited() -> set[tuple[str, str]]:
    """Each number that is cited, with the file."""
    return {
        (number, str(file.relative_to(SERVICE)))
        for pattern, reader in READERS.items()
        for file in SERVICE.rglob(pattern)
        for number in reader(file)
    }


def test_every_reader_finds_citations() -> None:
    assert {Path(file).suffix for _, file in cited()} == {".py", ".toml", ".md"}


def test_each_number_that_is_cited_has_its_entry() -> None:
    book = loader.rule_book()
    assert sorted(one for one in cited() if one[0] not in book) == []


def test_each_entry_is_cited() -> None:
    assert sorted(set(loader.rule_book()) - {number for number, _ in cited()}) == []


def test_the_numbers_are_in_order() -> None:
    numbers = list(loader.rule_book())
    assert numbers == sorted(numbers, key=lambda one: [int(part) for part in one.split(".")])


@pytest.mark.parametrize("number", loader.rule_book())
def test_an_entry_says_what_holds_and_where_it_comes_from(number: str) -> None:
    entry = loader.rule_book()[number]
    assert set(entry) == {"name", "sentence", "source"}
    assert entry["sentence"].endswith(".")
    assert len(entry["sentence"]) > len(entry["name"])
    assert entry["source"]
    cited = {
        one for part in ("sentence", "source")
        for one in re.findall(rf"rules? ({NUMBER})", entry[part])
    }  # fmt: skip
    assert cited <= set(loader.rule_book())
