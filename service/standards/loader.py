"""The one loader of tables: TOML in, plain dictionaries out, read once."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent / "tables"
MOISTURE = Path(__file__).parents[1] / "moisture" / "tables" / "defaults.toml"
"""Defaults of what is judged by the moisture of wood."""

RULES = Path(__file__).parent / "rules.toml"
CODES = Path(__file__).parent / "codes.toml"


@cache
def read(path: Path) -> dict[str, Any]:
    """A table file as a dictionary; read once a process."""
    with path.open("rb") as file:
        return tomllib.load(file)


@cache
def published() -> Mapping[str, Path]:
    """Published tables by id; looked for once a process."""
    return {path.stem: path for path in sorted(HERE.glob("*.toml"))}


def table(name: str) -> dict[str, Any]:
    """The published table `name`; KeyError if there is none."""
    return read(published()[name])


def rule_book() -> dict[str, dict[str, str]]:
    """Name, sentence and source of each rule, by its number, in the order of the numbers."""
    return read(RULES)


def code_book() -> dict[str, dict[str, str]]:
    """What each code of a fault or a finding means: by sort (`json`, `shape` ...), then by code."""
    return read(CODES)


def digest(paths: list[Path]) -> str:
    """A digest of the bytes of several table files, in the order given."""
    made = hashlib.sha256()
    for path in paths:
        made.update(path.name.encode())
        made.update(path.read_bytes())
    return made.hexdigest()
