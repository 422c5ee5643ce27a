"""A cure as a patch of the request that was sent: operations of RFC 6902, parents included.

The core says only what to put where. What the caller sent decides how: a member that stands there
is replaced, one that does not is added, and with it each parent that it needs.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import takewhile
from typing import Any

from service.errors import Cure, JsonValue

Row = dict[str, Any]


def operations(asked: Any, cure: Cure, write: Callable[[JsonValue], Any]) -> list[Row]:
    """The operations that make `cure` of the request `asked`; `write` writes a value in its unit.

    Each is `add` or `replace`, with a path and a value, and any RFC 6902 library applies them.
    """
    made: list[Row] = []
    for edit in (cure, *cure.also):
        parts = [part.replace("~1", "/").replace("~0", "~") for part in edit.pointer.split("/")[1:]]
        made.append(_operation(asked, parts, write(edit.value)))
        asked = _with(asked, parts, write(edit.value))
    return made


def _operation(asked: Any, parts: list[str], value: Any) -> Row:
    """Put `value` at the place `parts`: what stands there is replaced, what does not is added."""
    spots = [asked]
    for part in takewhile(lambda one: _stands(spots[-1], one), parts):
        spots.append(spots[-1][int(part) if isinstance(spots[-1], list) else part])
    deep = len(spots) - 1
    # Where a parent was sent as null, the parent is what is replaced.
    added = deep < len(parts) and isinstance(spots[-1], dict | list)
    last = deep + added
    return {
        "op": "add" if added else "replace",
        "path": "".join(f"/{_escaped(part)}" for part in parts[:last]),
        "value": _with(None, parts[last:], value),
    }


def _stands(spot: Any, part: str) -> bool:
    if isinstance(spot, list):
        return part != "-" and int(part) < len(spot)
    return isinstance(spot, dict) and part in spot


def _with(spot: Any, parts: list[str], value: Any) -> Any:
    """A copy of `spot` with `value` at the place `parts`; what is missing on the way is made."""
    if not parts:
        return value
    part, *rest = parts
    if part == "-":
        return [*(spot or ()), _with(None, rest, value)]
    if isinstance(spot, list):
        at = int(part)
        return [*spot[:at], _with(spot[at], rest, value), *spot[at + 1 :]]
    known = spot if isinstance(spot, dict) else {}
    return {**known, part: _with(known.get(part), rest, value)}


def _escaped(part: str) -> str:
    return part.replace("~", "~0").replace("/", "~1")
