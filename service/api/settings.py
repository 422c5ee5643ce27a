"""What an operator may set, each with its default; environment variables begin with TAKEOFF_."""

from __future__ import annotations

import os
from typing import Annotated

from pydantic import Field, field_validator
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict


class Settings(BaseSettings):
    """The settings of one server process; read once at its start."""

    model_config = SettingsConfigDict(env_prefix="TAKEOFF_", frozen=True, extra="forbid")

    host: str = Field("127.0.0.1", description="Address that the server listens on.")
    port: int = Field(8080, ge=0, le=65535, description="Port; 0 takes a free one.")
    workers: int = Field(2, ge=1, le=64, description="Server processes: they read and answer.")
    processes: int = Field(
        2, ge=1, le=64, description="Compute processes of each server process: they take off."
    )
    waiting: int = Field(
        16, ge=0, le=10_000, description="Requests that may wait for a compute process; more: 503."
    )
    deadline_seconds: float = Field(
        8.0, gt=0, le=600, description="From admission to answer, waiting included; later: 503."
    )
    body_bytes: int = Field(
        1_000_000, ge=1_000, le=100_000_000, description="Largest body; a larger one: 413."
    )
    body_seconds: float = Field(
        5.0, gt=0, le=600, description="Time in which a body must have arrived; later: 408."
    )
    head_bytes: int = Field(
        16_384, ge=1_024, le=1_000_000, description="Largest request line and headers: then 431."
    )
    memory_megabytes: int = Field(
        2_048, ge=512, le=1_000_000, description="Address space of one compute process."
    )
    retry_after_seconds: int = Field(
        2, ge=1, le=3_600, description="What Retry-After says when the service is full or late."
    )
    warm_up_seconds: float = Field(
        60.0, gt=0, le=600, description="Time in which a new compute process must be ready."
    )
    kinds_path: Annotated[tuple[str, ...], NoDecode] = Field(
        (), description="Further folders of kinds, parted as PATH is."
    )
    docs: bool = Field(True, description="Whether /docs is served.")
    function: str = Field(
        "service.compute:answer",
        pattern=r"^[A-Za-z_][\w.]*:[A-Za-z_]\w*$",
        description="What the compute processes run, as module:function.",
    )

    @field_validator("kinds_path", mode="before")
    @classmethod
    def _split(cls, value: object) -> object:
        if isinstance(value, str):
            return tuple(part for part in value.split(os.pathsep) if part)
        return value
