"""A JSON Patch as it is sent: operations of RFC 6902."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field

from service.schemas.base import Asked

MOST_OPERATIONS = 40

Pointer: TypeAlias = Annotated[
    str, Field(max_length=500, pattern=r"^(/([a-zA-Z0-9_.$ -]|~[01])*)*$")
]
"""A JSON Pointer (RFC 6901) of the characters that keys of a request have."""

_PATH = "JSON Pointer (RFC 6901) into the job; ends in - to append to a list."


class Put(Asked):
    """Puts a value at a place: `add` a member or an item, `replace` or `test` what stands there."""

    op: Literal["add", "replace", "test"]
    path: Pointer = Field(description=_PATH)
    value: Any = Field(description="Any JSON value.")


class Take(Asked):
    """Takes away what stands at a place."""

    op: Literal["remove"]
    path: Pointer = Field(description=_PATH)


class Carry(Asked):
    """Moves or copies what stands at one place to another."""

    op: Literal["move", "copy"]
    path: Pointer = Field(description=_PATH)
    source: Pointer = Field(alias="from", description="JSON Pointer to what is moved or copied.")


Operation: TypeAlias = Annotated[Put | Take | Carry, Field(discriminator="op")]
Patch: TypeAlias = Annotated[list[Operation], Field(min_length=1, max_length=MOST_OPERATIONS)]
"""Operations in order: each is done to what those before it left."""
