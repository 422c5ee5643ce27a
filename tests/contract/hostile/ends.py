"""Every number that a request can hold, sent or not, at the ends of its published range.

What the examples leave out is found by walking the published schema beside them, so that a rule
that is added later is attacked as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import jsonschema_rs

from tests.contract.hostile.walking import Operation, Place, document, put, sort_of

Schema = Mapping[str, Any]
Number = tuple[Any, Place, Schema]
"""A request, the place of a number in it, there or not, and the number's schema."""

_COMPONENTS = document()["components"]
_LEAST = 1e-6
"""The least step of a number with decimals: no number has more than six."""
_BOUNDS = re.compile(r"From (\S+ [a-z]+)(?: \([^)]*\))? to (\S+ [a-z]+)")


@cache
def numbers(operation: Operation) -> list[Number]:
    """Every number of the operation's requests, once, in the smallest example that can hold it."""
    assert operation.schema is not None
    found: dict[tuple[str, ...], Number] = {}
    for example in operation.examples:
        for place, schema in _numbers(operation.schema, example, ()):
            found.setdefault(sort_of(put(example, place, 0), place), (example, place, schema))
    return list(found.values())


def ends(schema: Schema) -> list[Any]:
    """Both ends of a number's published range, a step beyond each, and the ends told in words."""
    found: list[Any] = []
    for one in _parts(schema):
        if _is_number(one):
            step = 1 if one["type"] == "integer" else _LEAST
            low = one.get("minimum", one.get("exclusiveMinimum"))
            found += [low - step, low, low + step, one["maximum"], one["maximum"] + step]
    return found + [end for pair in _BOUNDS.findall(str(schema)) for end in pair]


def _numbers(schema: Schema, value: Any, at: Place) -> Iterator[tuple[Place, Schema]]:
    """Place and schema of each number in `value`, and of each that could be added to it."""
    parts = _parts(schema)
    if any(_is_number(one) for one in parts):
        yield at, schema
    for one in parts:
        for step, shape, member in _members(one, value):
            yield from _numbers(shape, member, (*at, step))


def _members(schema: Schema, value: Any) -> Iterator[tuple[str | int, Schema, Any]]:
    """What `value` holds, or could hold, by a schema that it fits: name, schema and what is there.

    An object that is not there counts as an empty one, if that can be added.
    """
    if isinstance(value, dict) and "properties" in schema and _fits(schema, value):
        for key, shape in schema["properties"].items():
            can_be_added = any("properties" in one and _fits(one, {}) for one in _parts(shape))
            yield key, shape, value.get(key, {} if can_be_added else None)
    if isinstance(value, list) and "items" in schema and _fits(schema, value):
        yield from ((index, schema["items"], member) for index, member in enumerate(value))


def _is_number(schema: Schema) -> bool:
    return schema.get("type") in ("number", "integer")


def _parts(schema: Schema) -> list[Schema]:
    """The schemas of which one must fit, each without reference."""
    if "$ref" in schema:
        return _parts(_COMPONENTS["schemas"][schema["$ref"].rpartition("/")[2]])
    inner = [*schema.get("anyOf", ()), *schema.get("oneOf", ())]
    own = [] if inner and "properties" not in schema else [schema]
    return own + [one for part in inner for one in _parts(part)]


_CHECKS: dict[int, Any] = {}


def _fits(schema: Schema, value: Any) -> bool:
    """Whether `schema`, a part of the document, admits `value`."""
    if id(schema) not in _CHECKS:
        whole = {**schema, "components": _COMPONENTS}
        _CHECKS[id(schema)] = jsonschema_rs.validator_for(whole).is_valid
    return bool(_CHECKS[id(schema)](value))
