"""What of one OpenAPI document would break those who were written to an earlier one.

Requests may be taken more widely and answers may say more; the other way round is a break. A new
word in a list of an answer is none: the document asks clients to pass over what they do not know.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

Node = Mapping[str, Any]

WORDS: Final = frozenset({"description", "title", "example", "examples", "summary", "x-unit"})
"""Keys that say something to people alone."""

AT_MOST: Final = ("maximum", "exclusiveMaximum", "maxLength", "maxItems", "maxProperties")
AT_LEAST: Final = ("minimum", "exclusiveMinimum", "minLength", "minItems", "minProperties")
UNIONS: Final = ("anyOf", "oneOf", "allOf")


def bare(node: Any, *, names: bool = False) -> Any:
    """A document without what can break nobody; under `names` keys are names and all are kept."""
    if isinstance(node, dict):
        return {
            key: bare(one, names=key in ("properties", "schemas") and not names)
            for key, one in node.items()
            if names or key not in WORDS
        }
    return [bare(one) for one in node] if isinstance(node, list) else node


@dataclass
class Breaks:
    """The breaks from one document to another, each a sentence with its place."""

    old: Node
    new: Node
    _seen: set[tuple[str, str, bool]] = field(default_factory=set)

    def found(self) -> list[str]:
        """All of them, in the order of the earlier document."""
        return list(self._operations())

    def _operations(self) -> Iterator[str]:
        for path, methods in self.old["paths"].items():
            for method, operation in methods.items():
                now = self.new["paths"].get(path, {}).get(method)
                where = f"{method.upper()} {path}"
                if now is None:
                    yield f"{where} is gone"
                else:
                    yield from self._asked(operation, now, where)
                    yield from self._answered(operation, now, where)

    def _asked(self, old: Node, new: Node, where: str) -> Iterator[str]:
        was = {(one["in"], one["name"]): one for one in old.get("parameters", ())}
        now = {(one["in"], one["name"]): one for one in new.get("parameters", ())}
        for key, one in was.items():
            if key in now:
                place = f"{where}, {key[1]}"
                yield from self._schema(one["schema"], now[key]["schema"], place, asked=True)
            else:
                yield f"{where} takes no {key[1]} any more"
        for key, one in now.items():
            if one.get("required") and not was.get(key, {}).get("required"):
                yield f"{where} needs {key[1]}"
        bodies = (one.get("requestBody", {}).get("content", {}) for one in (old, new))
        yield from self._contents(*bodies, where, asked=True)

    def _answered(self, old: Node, new: Node, where: str) -> Iterator[str]:
        for status, was in old["responses"].items():
            now = new["responses"].get(status)
            place = f"{where}, {status}"
            if now is None:
                yield f"{place} is gone"
                continue
            gone = sorted(set(was.get("headers", ())) - set(now.get("headers", ())))
            yield from (f"{place} has no header {name} any more" for name in gone)
            contents = was.get("content", {}), now.get("content", {})
            yield from self._contents(*contents, place, asked=False)

    def _contents(self, old: Node, new: Node, where: str, *, asked: bool) -> Iterator[str]:
        for media, was in old.items():
            if media not in new:
                yield f"{where} knows no {media} any more"
            elif "schema" in was:
                yield from self._schema(was["schema"], new[media]["schema"], where, asked=asked)

    def _schema(self, old: Node, new: Node, where: str, *, asked: bool) -> Iterator[str]:
        refs = old.get("$ref", ""), new.get("$ref", "")
        if all(refs):
            if (*refs, asked) in self._seen:
                return
            self._seen.add((*refs, asked))
        was, now = _target(old, self.old), _target(new, self.new)
        yield from _typed(was, now, where, asked=asked)
        yield from _bounded(was, now, where) if asked else ()
        yield from self._members(was, now, where, asked=asked)
        for key in ("items", "additionalProperties"):
            if isinstance(was.get(key), dict) and isinstance(now.get(key), dict):
                yield from self._schema(was[key], now[key], f"{where}[]", asked=asked)
        for key in UNIONS:
            yield from self._parts(was.get(key, ()), now.get(key, ()), where, asked=asked)

    def _members(self, old: Node, new: Node, where: str, *, asked: bool) -> Iterator[str]:
        was, now = old.get("properties", {}), new.get("properties", {})
        for name, one in was.items():
            if name in now:
                yield from self._schema(one, now[name], f"{where}/{name}", asked=asked)
            else:
                yield f"{where}/{name} is gone"
        before, needed = set(old.get("required", ())), set(new.get("required", ()))
        if asked:
            yield from (f"{where}/{name} is needed" for name in sorted(needed - before))
        else:
            lost = sorted((before - needed) & set(now))
            yield from (f"{where}/{name} need not be there any more" for name in lost)

    def _parts(
        self, old: Sequence[Node], new: Sequence[Node], where: str, *, asked: bool
    ) -> Iterator[str]:
        """The parts of a union; those that have a name are known by it."""
        was, now = _by_name(old), _by_name(new)
        for name, one in was.items():
            if name in now:
                yield from self._schema(one, now[name], where, asked=asked)
            elif asked:
                yield f"{where} can be no {name} any more"


def _target(node: Node, document: Node) -> Node:
    while "$ref" in node:
        name = node["$ref"].rpartition("/")[2]
        node = document["components"]["schemas"][name]
    return node


def _by_name(parts: Sequence[Node]) -> dict[str, Node]:
    """Parts by the schema that they refer to, those without one by their type and its number."""
    found: dict[str, Node] = {}
    for one in parts:
        name = one["$ref"].rpartition("/")[2] if "$ref" in one else _sort(one)
        number = sum(known.startswith(f"{name} ") for known in found) + 1
        found[name if "$ref" in one else f"{name} {number}"] = one
    return found


def _sort(node: Node) -> str:
    """The type of a part, a whole number as any number."""
    return "-".join(sorted({"number" if one == "integer" else one for one in _types(node)}))


def _types(node: Node) -> set[str]:
    types = node.get("type", ())
    found = {types} if isinstance(types, str) else set(types)
    return found | {"integer"} if "number" in found else found


def _words(node: Node) -> set[Any] | None:
    return {node["const"]} if "const" in node else set(node["enum"]) if "enum" in node else None


def _typed(old: Node, new: Node, where: str, *, asked: bool) -> Iterator[str]:
    was, now = _types(old), _types(new)
    gone = was - now if asked else now - was
    if was and now and gone:
        yield f"{where} {'takes no' if asked else 'may be'} {', '.join(sorted(gone))}"
    before, after = _words(old), _words(new)
    if asked and after is not None and (before is None or before - after):
        yield f"{where} takes fewer words"


def _bounded(old: Node, new: Node, where: str) -> Iterator[str]:
    for key in AT_MOST:
        if key in new and new[key] < old.get(key, float("inf")):
            yield f"{where} takes less: {key}"
    for key in AT_LEAST:
        if key in new and new[key] > old.get(key, float("-inf")):
            yield f"{where} takes less: {key}"
    if "pattern" in new and new["pattern"] != old.get("pattern"):
        yield f"{where} has another pattern"
    if new.get("additionalProperties") is False is not old.get("additionalProperties"):
        yield f"{where} takes no other members any more"
