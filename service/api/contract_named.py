"""What is stated in many places of the document alike gets its name there, and is referred to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from service.schemas.named import named_schemas

_REF: Final = "#/components/schemas/"
_SAID: Final = ("description", "title", "default")
"""What may be said of one place beside what holds of all."""

_FIRST: Final = ("title", "description", "type")
"""What of a schema is read first."""


def referred(schemas: Mapping[str, Any]) -> dict[str, Any]:
    """The same schemas with references to the named ones, and these."""
    named = named_schemas()
    known = _Known(named)
    whole = {name: known.put(schema) for name, schema in schemas.items()}
    return whole | {name: known.inside(schema) for name, schema in named.items()}


class _Known:
    """Named schemas by what they ask for and, of those alike, by what is said of them."""

    def __init__(self, named: Mapping[str, Mapping[str, Any]]) -> None:
        self._named = named
        self._names = {_core(schema): name for name, schema in reversed(list(named.items()))}
        self._names |= {_core(schema) + _said(schema): name for name, schema in named.items()}

    def put(self, value: Any) -> Any:
        """A schema with references in the place of what is named, at its top and inside it."""
        if isinstance(value, list):
            return [self.put(one) for one in value]
        if not isinstance(value, dict):
            return value
        name = self._name(value)
        if name is None:
            return self.inside(value)
        usual = self._named[name].get("description")
        said = {key: value[key] for key in _SAID if key in value and value[key] != usual}
        return {"$ref": _REF + name, **said}

    def inside(self, schema: Mapping[str, Any]) -> dict[str, Any]:
        """The same with references inside it alone; what it is comes first."""
        first = {key: schema[key] for key in _FIRST if isinstance(schema.get(key), str)}
        return {key: self.put(value) for key, value in {**first, **schema}.items()}

    def _name(self, schema: Mapping[str, Any]) -> str | None:
        core = _core(schema)
        return self._names.get(core + _said(schema), self._names.get(core))


def _core(schema: Mapping[str, Any]) -> str:
    """What a schema asks for, whatever is said of it."""
    return str({key: schema[key] for key in sorted(schema) if key not in _SAID})


def _said(schema: Mapping[str, Any]) -> str:
    return str(schema.get("description"))


def as_read(schemas: Mapping[str, Any], roots: Iterable[str]) -> dict[str, Any]:
    """The schemas in the order in which a reader meets them from `roots` on; then the others."""
    met: dict[str, Any] = {}
    ahead = [*reversed([*roots, *schemas])]
    while ahead:
        name = ahead.pop()
        if name in met or name not in schemas:
            continue
        met[name] = schemas[name]
        ahead += reversed([one for one in _references(schemas[name]) if one not in met])
    return met


def _references(value: Any) -> Iterator[str]:
    if isinstance(value, Mapping):
        reference = value.get("$ref")
        if isinstance(reference, str):
            yield reference.removeprefix(_REF)
        for one in value.values():
            yield from _references(one)
    elif isinstance(value, list):
        for one in value:
            yield from _references(one)
