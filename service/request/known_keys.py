"""What a request may have at a place: which keys are known, which needed, what they say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo


def keys_at(model: type[BaseModel], ways: Sequence[str | int]) -> list[str]:
    """The keys that an object of a request may have at a place, as faults of shape tell places.

    Among them are the words that tell apart what may stand there (`boarding`).
    """
    return sorted({key for shape in _shapes_at(model, ways) for key, _ in _fields(shape)})


def needed_at(model: type[BaseModel], ways: Sequence[str | int]) -> list[str]:
    """The keys without which an object at a place is not whole, in the order of the contract.

    None where objects of several shapes may stand there.
    """
    shapes = _shapes_at(model, ways)
    if len(shapes) > 1:
        return []
    return [key for key, field in _fields(shapes[0]) if field.is_required()]


def said_of(model: type[BaseModel], ways: Sequence[str | int], key: str) -> str:
    """The first sentence of what the contract says of a key at a place, or the words it may have.

    "" where it says nothing.
    """
    own = [field for shape in _shapes_at(model, ways) for name, field in _fields(shape)
           if name == key]  # fmt: skip
    said = [" ".join(field.description.split()) for field in own if field.description]
    if said:
        return said[0].partition(". ")[0].rstrip(".")
    words = {f"`{word}`" for field in own for word in _choices(field.annotation)}
    return f"one of {', '.join(sorted(words))}" if words else ""


def _choices(kind: Any) -> tuple[Any, ...]:
    """The words of a key that has one of several."""
    return get_args(kind) if get_origin(kind) is Literal else ()


def _shapes_at(model: type[BaseModel], ways: Sequence[str | int]) -> list[type[BaseModel]]:
    shapes = [model]
    for way in ways:
        if isinstance(way, str):
            inside = [one for shape in shapes for one in _inside(shape, way)]
            shapes = inside or [shape for shape in shapes if way in _words(shape)] or shapes
    return shapes


def _fields(shape: type[BaseModel]) -> Iterator[tuple[str, FieldInfo]]:
    for name, field in shape.model_fields.items():
        yield field.alias or name, field


def _inside(shape: type[BaseModel], key: str) -> Iterator[type[BaseModel]]:
    """The shapes that may stand in a member."""
    for name, field in _fields(shape):
        if name == key:
            yield from _shapes(field.annotation)


def _shapes(kind: Any) -> Iterator[type[BaseModel]]:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        yield kind
    for part in get_args(kind):
        yield from _shapes(part)


def _words(shape: type[BaseModel]) -> set[Any]:
    """The words by which a shape is told from others."""
    kinds = [field.annotation for field in shape.model_fields.values()]
    return {shape.__name__, *(word for kind in kinds for word in _choices(kind))}
