"""Where a request says one thing or another: how the published shape tells which go together.

What is said stands behind `if`, which holds for every object: validators heed it, and what makes
typed clients from the document sees one shape whose parts have names.
"""

from __future__ import annotations

from collections.abc import Collection

from pydantic import JsonValue

NONE: dict[str, JsonValue] = {"type": "null"}


def way(*given: str, without: Collection[str] = ()) -> dict[str, JsonValue]:
    """The published shape of one way of saying something: these members, and not those."""
    members: dict[str, JsonValue] = {name: {"not": NONE} for name in given}
    return told(*given, **members, **dict.fromkeys(without, NONE))


def told(*required: str, **members: JsonValue) -> dict[str, JsonValue]:
    """The same with the shape of each member: these are `required`, and all others may be there."""
    return {"required": list(required), "properties": members, "additionalProperties": True}


def each_alone(*names: str) -> list[dict[str, JsonValue]]:
    """One way for each member: it alone."""
    return [way(name, without=[one for one in names if one != name]) for name in names]


def said_as(*ways: dict[str, JsonValue]) -> dict[str, JsonValue]:
    """That an object is said in one of these ways; they shut one another out where they say so."""
    return {"if": {"type": "object"}, "then": {"anyOf": list(ways)}}
