"""The published shapes of the answer's tables, made from their records."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cache
from inspect import getdoc
from typing import Annotated, Any, get_args, get_origin

from pydantic import Field, create_model

from service.schemas.base import Given
from service.schemas.columns import (
    Column,
    columns_of,
    is_optional,
    is_record,
    optional,
    own_unit,
)


@cache
def model_of(record: type) -> type[Given]:
    """The shape of one row of a table: each column with its type, unit and description."""
    return _made(
        record.__name__,
        getdoc(record) or "",
        {column.name: (_written(column.shape), _field(column)) for column in columns_of(record)},
    )


def published(
    name: str,
    doc: str,
    members: Mapping[str, tuple[Any, str | None]],
    only_asked: Collection[str] = (),
) -> type[Given]:
    """A shape with these members: the type of each, and what is said of it.

    Lists that are `only_asked` are there only where the request asks for them.
    """
    fields = {
        key: Field(default_factory=list, description=text)
        if key in only_asked
        else Field(description=text)
        for key, (_, text) in members.items()
    }
    return _made(name, doc, {key: (shape, fields[key]) for key, (shape, _) in members.items()})


def _made(name: str, doc: str, members: Mapping[str, tuple[Any, Any]]) -> type[Given]:
    # The library types its keywords one by one; here they are the members' names.
    made: type[Given] = create_model(name, __base__=Given, __doc__=doc, **dict(members))  # type: ignore[call-overload]  # names are data
    return made


def _field(column: Column) -> Any:
    told = column.measure
    return Field(
        description=column.description,
        json_schema_extra=None if told is None else {"x-unit": told},
    )


def _written(shape: Any) -> Any:
    """The type of what is written for a type of the record."""
    if is_optional(shape):
        return _written(optional(shape)) | None
    if get_origin(shape) is Annotated:
        unit = own_unit(shape)
        other = None if unit is None else unit.json
        return _written(get_args(shape)[0]) if other is None else other
    if get_origin(shape) is tuple:
        return list[_written(get_args(shape)[0])]  # type: ignore[misc]  # made, not stated
    return model_of(shape) if is_record(shape) else shape
