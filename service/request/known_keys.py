"""The keys that a request may have at a place, for what was meant by one that is not known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel


def keys_at(model: type[BaseModel], ways: Sequence[str | int]) -> list[str]:
    """The keys that an object of a request may have at a place, as faults of shape tell places.

    Among them are the words that tell apart what may stand there (`boarding`).
    """
    shapes = [model]
    for way in ways:
        if isinstance(way, str):
            inside = [one for shape in shapes for one in _inside(shape, way)]
            shapes = inside or [shape for shape in shapes if way in _words(shape)] or shapes
    return sorted({key for shape in shapes for key in _keys(shape)})


def _keys(shape: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in shape.model_fields.items()]


def _inside(shape: type[BaseModel], key: str) -> Iterator[type[BaseModel]]:
    """The shapes that may stand in a member."""
    for name, field in shape.model_fields.items():
        if key == (field.alias or name):
            yield from _shapes(field.annotation)


def _shapes(kind: Any) -> Iterator[type[BaseModel]]:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        yield kind
    for part in get_args(kind):
        yield from _shapes(part)


def _words(shape: type[BaseModel]) -> set[Any]:
    """The words by which a shape is told from others."""
    kinds = [field.annotation for field in shape.model_fields.values()]
    return {shape.__name__, *(word for kind in kinds if get_origin(kind) is Literal
                              for word in get_args(kind))}  # fmt: skip
