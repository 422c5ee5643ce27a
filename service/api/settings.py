"""What an operator may set, each with its default; environment variables begin with TAKEOFF_."""

from __future__ import annotations

import ipaddress
import os
import re
from typing import Annotated, Final, Literal

from pydantic import Field, field_validator
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict

_KEY: Final = re.compile(r"[a-z0-9_-]{1,32}:[0-9a-f]{64}")
_ORIGIN: Final = re.compile(r"https?://[a-z0-9.-]+(:[0-9]{1,5})?")


class Settings(BaseSettings):
    """The settings of one server process; read once at its start."""

    model_config = SettingsConfigDict(env_prefix="TAKEOFF_", frozen=True, extra="forbid")

    host: str = Field("127.0.0.1", description="Address that the server listens on.")
    port: int = Field(8080, ge=0, le=65535, description="Port; 0 takes a free one.")
    workers: int = Field(2, ge=1, le=64, description="Server processes: they read and answer.")
    processes: int = Field(
        2, ge=1, le=64, description="Compute processes of each server process: they take off."
    )
    heavy_processes: int = Field(
        1, ge=1, le=64, description="How many of them take heavy jobs as well as light ones."
    )
    waiting: int = Field(
        16, ge=0, le=10_000, description="Requests that may wait for a compute process; more: 503."
    )
    heavy_waiting: int = Field(
        4, ge=0, le=1_000, description="Heavy jobs that may wait for such a process; more: 503."
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
    batches: int = Field(
        8, ge=1, le=1_000,
        description="Batches and sheets of rows at once, of one server process; more: 503.",
    )  # fmt: skip
    batch_lines: int = Field(
        1_000, ge=1, le=1_000_000, description="Lines of one batch; each may be as large as a body."
    )
    batch_bytes: int = Field(
        64_000_000, ge=1_000, le=10_000_000_000, description="All lines of one batch; more: 413."
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
    compression: bool = Field(
        True, description="Whether answers are coded in zstd or gzip. A gateway may do it instead."
    )
    docs: bool = Field(True, description="Whether /docs is served.")
    quote: bool = Field(True, description="Whether the quote page is served, at /quote.")
    frame_ancestors: Annotated[tuple[str, ...], NoDecode] = Field(
        (), description="Origins that may show the quote page in a frame. None: no page may."
    )
    metrics: bool = Field(True, description="Whether /metrics is served.")
    metrics_keys: Annotated[tuple[str, ...], NoDecode] = Field(
        (),
        description="As `keys`, and good for /metrics alone. None: anyone may read it, or nobody "
        "where there are keys.",
    )
    drain_seconds: float = Field(
        1.0, ge=0, le=600,
        description="How long new work is still told 503 after SIGTERM, before the door is shut.",
    )  # fmt: skip
    silent_seconds: float = Field(
        20.0, ge=2, le=600,
        description="A server process not heard for so long is replaced; a busy machine is slow.",
    )  # fmt: skip
    connections: int = Field(
        2_000, ge=1, le=100_000, description="Connections of one server process; more: 503."
    )
    keys: Annotated[tuple[str, ...], NoDecode] = Field(
        (), description="name:SHA-256 of each key, parted by commas. None: anyone may ask."
    )
    cell_keys: Annotated[tuple[str, ...], NoDecode] = Field(
        (),
        description="As `keys`, and good for /v1/rectangle.csv and .txt alone, as their parameter "
        "`key`: cell functions can send no header, and addresses are kept in many places.",
    )
    rate: str = Field(
        "", pattern=r"^([1-9][0-9]{0,6}/(second|minute|hour|day))?$",
        description="Requests of one caller, as 600/minute. Empty: no limit.",
    )  # fmt: skip
    rate_storage: str = Field(
        "",
        description="Where all server processes count together, as redis://host:6379/0. Empty: "
        "each grants its share of the rate.",
    )
    trusted_proxies: Annotated[tuple[str, ...], NoDecode] = Field(
        (),
        description="Addresses and networks of gateways, as 10.0.0.0/8, whose X-Forwarded-For "
        "tells the caller. None: the caller is who connects.",
    )
    cors_origins: Annotated[tuple[str, ...], NoDecode] = Field(
        (), description="Origins whose pages may ask, parted by commas. None: no page of another."
    )
    log_level: Literal["info", "warning", "error"] = Field(
        "info", description="The least that is logged; `info` has a line for each request."
    )
    traces_endpoint: str = Field("", description="OTLP address for traces. Empty: none are made.")
    traces_share: float = Field(0.01, ge=0, le=1, description="Share of requests that is traced.")
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

    @field_validator(
        "keys", "metrics_keys", "cell_keys", "cors_origins", "frame_ancestors", "trusted_proxies",
        mode="before",
    )  # fmt: skip
    @classmethod
    def _listed(cls, value: object) -> object:
        if isinstance(value, str):
            return tuple(part.strip() for part in value.split(",") if part.strip())
        return value

    @field_validator("keys", "metrics_keys", "cell_keys")
    @classmethod
    def _are_digests(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        if not all(_KEY.fullmatch(one) for one in value):
            raise ValueError("each key is name:sha256, as `python -m service key NAME` prints it")
        return value

    @field_validator("trusted_proxies")
    @classmethod
    def _are_networks(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        for one in value:
            try:
                ipaddress.ip_network(one)
            except ValueError:
                raise ValueError(
                    "each proxy is an address or a network, as 10.0.0.7 or 10.0.0.0/8; all, `*`, "
                    "would let every caller give itself a name"
                ) from None
        return value

    @field_validator("cors_origins", "frame_ancestors")
    @classmethod
    def _are_origins(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        if not all(_ORIGIN.fullmatch(one) for one in value):
            raise ValueError("each origin is scheme://host or scheme://host:port; `*` is not one")
        return value
