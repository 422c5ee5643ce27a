"""What the document says of members that say nothing themselves, and which words they may hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.schemas.glossary import GLOSSARY


def worded(schemas: Mapping[str, Any], words: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """The same schemas with every member described, and closed lists of `words` as enums.

    `words` are those that a member may hold, by `Shape.member`.
    """
    return {name: _worded(name, schema, words) for name, schema in schemas.items()}


def _worded(name: str, schema: Any, words: Mapping[str, Sequence[str]]) -> Any:
    if "properties" not in schema:
        return schema
    shape = name.removesuffix("Parts")
    members = {
        key: _closed(_described(shape, key, member), words.get(f"{shape}.{key}"))
        for key, member in schema["properties"].items()
    }
    return {**schema, "properties": members}


def _described(shape: str, key: str, member: Mapping[str, Any]) -> Mapping[str, Any]:
    text = GLOSSARY.get(f"{shape}.{key}", GLOSSARY.get(key))
    if text is None or "description" in member or "$ref" in member:
        return member
    return {"description": text, **member}


def _closed(member: Mapping[str, Any], words: Sequence[str] | None) -> Mapping[str, Any]:
    """The member as one of the words; what may be null as well stays so."""
    if words is None:
        return member
    if "anyOf" in member:
        ways = [_closed(one, words) if one.get("type") == "string" else one
                for one in member["anyOf"]]  # fmt: skip
        return {**member, "anyOf": ways}
    return {**member, "enum": list(words)}
