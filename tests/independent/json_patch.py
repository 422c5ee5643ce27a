"""JSON Patch as RFC 6902 says it, of the operations that cures are made of; knows no takeoff."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any

Row = dict[str, Any]


def patched(document: Any, operations: Sequence[Row]) -> Any:
    """A copy of `document` with all operations applied in order.

    Raises AssertionError where RFC 6902 says that an operation fails: a parent that is not there
    (4.1), a target to be replaced or removed that is not there (4.2, 4.3).
    """
    whole = {"": copy.deepcopy(document)}
    for one in operations:
        _apply(whole, one)
    return whole[""]


def _apply(whole: Row, operation: Row) -> None:
    path = operation["path"]
    assert path == "" or path.startswith("/"), path
    *way, last = [part.replace("~1", "/").replace("~0", "~") for part in path.split("/")]
    parent: Any = whole
    for part in way:
        assert _stands(parent, part), f"no parent: {path}"
        parent = parent[int(part)] if isinstance(parent, list) else parent[part]
    assert isinstance(parent, dict | list), f"neither an object nor a list: {path}"
    if operation["op"] == "add":
        _add(parent, last, copy.deepcopy(operation["value"]))
        return
    assert operation["op"] in ("replace", "remove"), operation
    assert _stands(parent, last), f"nothing to {operation['op']}: {path}"
    key: Any = int(last) if isinstance(parent, list) else last
    if operation["op"] == "remove":
        del parent[key]
    else:
        parent[key] = copy.deepcopy(operation["value"])


def _add(parent: Any, last: str, value: Any) -> None:
    if isinstance(parent, dict):
        parent[last] = value
        return
    at = len(parent) if last == "-" else int(last)
    assert at <= len(parent), "past the end of the list"
    parent.insert(at, value)


def _stands(parent: Any, part: str) -> bool:
    if isinstance(parent, list):
        return part.isdecimal() and int(part) < len(parent)
    return isinstance(parent, dict) and part in parent
