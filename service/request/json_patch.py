"""JSON Patch (RFC 6902): operations done in order to a copy of a value of strict JSON."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Final, Literal, TypeAlias

from service.errors import parts_of
from service.request.strict_json import MOST_DEPTH
from service.schemas.json_patch import Carry, Operation, Put

MOST_COPIED: Final = 2_000
"""Values that one copy may be of: copies of copies would grow without end."""

ADDING: Final = "add to"
"""What is done to the parent of a place at which something is added."""

Part: TypeAlias = Literal["path", "from", "value"]
"""The member of an operation that is at fault."""


class Unfit(Exception):
    """An operation cannot be done: which, by its number from 0, which member of it, and why.

    `would_add`: it would go through as `add`. `parent`: so many parts of its path lead to a parent
    that must be put in before; 0 where that would not mend it.
    """

    def __init__(
        self, why: str, part: Part = "path", *, would_add: bool = False, parent: int = 0
    ) -> None:
        super().__init__(why)
        self.why = why
        self.part = part
        self.would_add = would_add
        self.parent = parent
        self.number = 0


def patched(document: Any, patch: Sequence[Operation]) -> Any:
    """A copy of `document` with all operations done in order; raises Unfit at the first fault.

    The document itself, and what of it is not touched, stays as it is.
    """
    for number, one in enumerate(patch):
        try:
            document = _done(document, one)
        except Unfit as fault:
            fault.number = number
            raise
    return document


def _done(document: Any, one: Operation) -> Any:
    parts = parts_of(one.path)
    if isinstance(one, Carry):
        return _carried(document, one, parts)
    if not isinstance(one, Put):
        return _removed(document, parts)
    if one.op == "add":
        return _added(document, parts, one.value)
    found = _at(document, parts, one.op)
    if one.op == "test":
        if not same(found, one.value):
            raise Unfit("what stands at its path is not the value that it tests for", "value")
        return document
    return _replaced(document, parts, one.value)


def _carried(document: Any, one: Carry, parts: Sequence[str]) -> Any:
    """Moved or copied; nothing can be moved into itself (RFC 6902, 4.4)."""
    source = parts_of(one.source)
    value = _at(document, source, one.op, "from")
    if len(parts) + _depth(value, MOST_DEPTH) > MOST_DEPTH:
        raise Unfit(f"arrays and objects may be nested at most {MOST_DEPTH} deep")
    if one.op == "copy":
        if _count(value, MOST_COPIED) > MOST_COPIED:
            raise Unfit(f"what is copied has more than {MOST_COPIED} values: send it", "from")
        return _added(document, parts, value)
    if len(source) < len(parts) and list(parts[: len(source)]) == source:
        raise Unfit("nothing can be moved into itself", "from")
    return _added(_removed(document, source), parts, value) if source != parts else document


def _depth(value: Any, most: int) -> int:
    """How deep a value is nested, or more than `most`."""
    inner = value.values() if isinstance(value, dict) else value
    if not isinstance(value, dict | list) or most < 0:
        return 0
    return 1 + max((_depth(one, most - 1) for one in inner), default=0)


def _count(value: Any, most: int) -> int:
    """How many values stand in a value, or more than `most`."""
    waiting, count = [value], 0
    while waiting and count <= most:
        one, count = waiting.pop(), count + 1
        if isinstance(one, dict | list):
            waiting += one.values() if isinstance(one, dict) else one
    return count


def same(one: Any, other: Any) -> bool:
    """Whether two values of JSON are equal (RFC 6902, 4.6): numbers by value, truths apart."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, int | Decimal) and isinstance(other, int | Decimal):
        return one == other
    return type(one) is type(other) and bool(one == other)


def _at(document: Any, parts: Sequence[str], op: str, part: Part = "path") -> Any:
    """What stands at a place; raises Unfit where nothing does."""
    spot = document
    for deep, key in enumerate(parts):
        if not _stands(spot, key):
            is_last = deep == len(parts) - 1
            raise Unfit(
                f"nothing stands there that it could {op}: {_reached(deep, spot)}", part,
                would_add=op == "replace" and is_last and isinstance(spot, dict),
                parent=deep + 1 if op == ADDING and isinstance(spot, dict) else 0,
            )  # fmt: skip
        spot = spot[int(key)] if isinstance(spot, list) else spot[key]
    return spot


def _reached(deep: int, spot: Any) -> str:
    """How far a path leads, in words that repeat nothing of it."""
    after = f"after {deep} of its parts it leads to" if deep else "the job is"
    if isinstance(spot, list):
        items = f"items 0 to {len(spot) - 1}" if spot else "no items"
        return f"{after} a list of {items}"
    return f"{after} {'an object without such a member' if isinstance(spot, dict) else 'a value'}"


def _stands(spot: Any, key: str) -> bool:
    if isinstance(spot, list):
        return _index(key) is not None and int(key) < len(spot)
    return isinstance(spot, dict) and key in spot


def _index(key: str) -> int | None:
    """The place in a list that a part of a path says: digits without needless zeros (RFC 6901)."""
    is_number = key.isascii() and key.isdigit() and len(key) < 10
    return int(key) if is_number and (key == "0" or key[0] != "0") else None


def _replaced(document: Any, parts: Sequence[str], value: Any) -> Any:
    """A copy with `value` at a place that stands."""
    if not parts:
        return value
    key, *rest = parts
    if isinstance(document, list):
        at = int(key)
        return [*document[:at], _replaced(document[at], rest, value), *document[at + 1 :]]
    return {**document, key: _replaced(document[key], rest, value)}


def _removed(document: Any, parts: Sequence[str]) -> Any:
    """A copy without what stands at a place."""
    if not parts:
        raise Unfit("the whole job cannot be taken away")
    _at(document, parts, "remove")
    *way, key = parts
    spot = _at(document, way, "remove")
    if isinstance(spot, list):
        left: Any = [*spot[: int(key)], *spot[int(key) + 1 :]]
    else:
        left = {name: one for name, one in spot.items() if name != key}
    return _replaced(document, way, left)


def _added(document: Any, parts: Sequence[str], value: Any) -> Any:
    """A copy with a value added: a member put in or replaced, an item put before another's place.

    Its parent must stand (RFC 6902, 4.1).
    """
    if not parts:
        return value
    *way, key = parts
    spot = _at(document, way, ADDING)
    if isinstance(spot, dict):
        return _replaced(document, way, {**spot, key: value})
    if not isinstance(spot, list):
        raise Unfit(f"nothing can be added to a value: {_reached(len(way), spot)}")
    at = len(spot) if key == "-" else _index(key)
    if at is None or at > len(spot):
        raise Unfit(f"a list has no such place: {_reached(len(way), spot)}; - appends to it")
    return _replaced(document, way, [*spot[:at], value, *spot[at:]])
