"""A cure as a patch of the request that was sent: operations of RFC 6902, parents included.

The core says only what to put where. What the caller sent decides how: a member that stands there
is replaced, one that does not is added, and with it each parent that it needs.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from itertools import takewhile
from typing import Any, TypeAlias

from service.errors import Cure, JsonValue, escaped, parts_of
from service.units.writing import listed

Row = dict[str, Any]
Write: TypeAlias = Callable[[JsonValue], Any]
"""Writes a value of a cure in the unit of the request."""


def operations(asked: Any, cure: Cure, write: Write) -> list[Row]:
    """The operations that make `cure` of the request `asked`.

    Each is `add` or `replace`, with a path and a value, and any RFC 6902 library applies them.
    """
    made: list[Row] = []
    for edit in (cure, *cure.also):
        made.append(_operation(asked, parts_of(edit.pointer), write(edit.value)))
        asked = _with(asked, parts_of(edit.pointer), write(edit.value))
    return made


def cure_rows(asked: Any, cure: Cure | None, write: Write) -> list[Row] | None:
    """A cure as a patch of what was asked; None where there is no cure."""
    return None if cure is None else operations(asked, cure, write)


def cured(asked: Any, cure: Cure, write: Write) -> Any:
    """A copy of the request `asked` with `cure` made of it."""
    for edit in (cure, *cure.also):
        asked = _with(asked, parts_of(edit.pointer), write(edit.value))
    return asked


def in_words(patch: Sequence[Mapping[str, Any]]) -> str:
    """A patch as who reads it on paper says it: `surface 1, layer 2: set turn down to 0`.

    Things in lists are counted from 1, and what has parts is told part by part.
    """
    return "; ".join(_told(parts_of(one["path"]), one["value"]) for one in patch)


def _told(parts: Sequence[str], value: Any) -> str:
    if parts[-1] == "-":
        *place, into = _named(parts[:-1])
        return f"{_at(place)}add {_said(value)} to {into}"
    leaves = [(_named(own), one) for own, one in _leaves(parts, value)]
    said = " and ".join(f"{names[-1]} to {_said(one)}" for names, one in leaves)
    return f"{_at(leaves[0][0][:-1])}set {said}"


def _leaves(parts: Sequence[str], value: Any) -> list[tuple[Sequence[str], Any]]:
    """What is set in the end: of a member made new with its parents these are left out."""
    if not isinstance(value, Mapping) or not value:
        return [(parts, value)]
    return [leaf for key, one in value.items() for leaf in _leaves([*parts, key], one)]


def _named(parts: Sequence[str]) -> list[str]:
    """What a place is called, `surface 1`, `layer 2`, `stagger`: rules are those of a layer."""
    said = list[str]()
    for part in parts:
        if part.isdecimal() and said:
            said[-1] = f"{said[-1].removesuffix('s')} {int(part) + 1}"
        elif part != "rules":
            said.append(part.replace("_", " "))
    return said


def _at(place: Sequence[str]) -> str:
    return f"{', '.join(place)}: " if place else ""


def _said(value: Any) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{key.replace('_', ' ')} {_said(one)}" for key, one in value.items())
    if isinstance(value, list):
        return listed([_said(one) for one in value]) if value else "none"
    if value is None:
        return "none"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


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
        "path": "".join(f"/{escaped(part)}" for part in parts[:last]),
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
