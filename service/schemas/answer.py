"""Parts of the answer that are no tables."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from service.schemas.base import Given


class Version(Given):
    """Which service and which rules made the answer."""

    service: str
    rules: str
    digest: str = Field(description="Digest of the rules, defaults and tables in use.")


class Units(Given):
    """What the numbers of the answer are in."""

    length: Literal["in", "ft", "mm", "cm", "m"]
    area: Literal["ft2", "m2"]
    weight: Literal["lb", "kg"]
    volume: Literal["gal", "l"]
    money: str | None


class OperationRow(Given):
    """One operation of a patch of the request, as RFC 6902 has it."""

    op: Literal["add", "replace"]
    path: str = Field(
        max_length=500, description="JSON Pointer (RFC 6901) into the request; ends in - to append."
    )
    value: Any = Field(description="What to put there: any JSON value.")


class BeforeVersion(Given):
    """Whether the first answer was made by the service and the rules that made this one."""

    same: bool
    in_words: str
