"""A cure as a patch of the request that was sent: operations of RFC 6902, parents included.

The core says only what to put where. What the caller sent decides how: a member that stands there
is replaced, one that does not is added, and with it each parent that it needs.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from itertools import takewhile
from typing import Any, TypeAlias

from service.errors import Cure, JsonValue

Row = dict[str, Any]
Write: TypeAlias = Callable[[JsonValue], Any]
"""Writes a value of a cure in the unit of the request."""


def operations(asked: Any, cure: Cure, write: Write) -> list[Row]:
    """The operations that make `cure` of the request `asked`.

    Each is `add` or `replace`, with a path and a value, and any RFC 6902 library applies them.
    """
    made: list[Row] = []
    for edit in (cure, *cure.also):
        made.append(_operation(asked, _parts(edit.pointer), write(edit.value)))
        asked = _with(asked, _parts(edit.pointer), write(edit.value))
    return made


def cure_rows(asked: Any, cure: Cure | None, write: Write) -> list[Row] | None:
    """A cure as a patch of what was asked; None where there is no cure."""
    return None if cure is None else operations(asked, cure, write)


def cured(asked: Any, cure: Cure, write: Write) -> Any:
    """A copy of the request `asked` with `cure` made of it."""
    for edit in (cure, *cure.also):
        asked = _with(asked, _parts(edit.pointer), write(edit.value))
    return asked


def in_words(patch: Sequence[Mapping[str, Any]]) -> str:
    """A patch as words: what to put where, and what to add to which list."""
    said = []
    for one in patch:
        path, value = one["path"], json.dumps(one["value"], ensure_ascii=False)
        into = path.removesuffix("/-")
        said.append(f"put {value} at {path}" if into == path else f"add {value} to {into}")
    return ", and ".join(said)


def _parts(pointer: str) -> list[str]:
    return [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]


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
