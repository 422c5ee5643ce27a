"""The two bases of all published shapes, and how a written default is kept out of them."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Asked(BaseModel):
    """Part of a request: strict types, unknown keys refused, frozen once read."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, arbitrary_types_allowed=True
    )


class Given(BaseModel):
    """Part of an answer: every member is always there, so none has a default; more may come."""

    model_config = ConfigDict(extra="ignore", frozen=True)
