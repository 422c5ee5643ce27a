"""What the service knows: its kinds of layer, tables, rules and own document; and its health."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, Final, Protocol

from fastapi import APIRouter, Path, Request, Response

from service.api import accept
from service.api.compute_pool import ComputePool
from service.api.problems import Declined, listed
from service.api.settings import Settings
from service.errors import meant

_JSON: Final = ("application/json",)
_LIVE: Final = {"status": "live"}
_READY: Final = {"status": "ready"}


class Catalogue(Protocol):
    """What is asked of `service.products.registry`."""

    def names(self) -> list[str]:
        """Names of the kinds."""

    def describe(self, name: str) -> dict[str, Any]:
        """One kind; KeyError if there is none."""

    def tables(self) -> list[dict[str, Any]]:
        """Id, title and source of each table."""

    def table(self, name: str) -> dict[str, Any]:
        """One table; KeyError if there is none."""

    def rules(self) -> list[dict[str, str]]:
        """Number and name of each rule."""

    def rule(self, number: str) -> dict[str, Any]:
        """One rule with its defaults; KeyError if there is none."""

    def codes(self) -> list[dict[str, str]]:
        """Every code of faults and findings, its sort and what it means."""

    def words(self) -> Mapping[str, Sequence[str]]:
        """The words that a member of an answer may hold, by `Shape.member`."""

    def rules_digest(self) -> str:
        """Digest of versions and tables: it changes when an answer may."""


Kind = Annotated[
    str, Path(description="Name of a kind.", pattern=r"^[a-z0-9_-]{1,32}$", max_length=32)
]
TableId = Annotated[
    str, Path(description="Id of a table.", pattern=r"^[A-Za-z0-9._-]{1,64}$", max_length=64)
]

RuleNumber = Annotated[
    str, Path(description="Number of a rule.", pattern=r"^[0-9]{1,2}(\.[0-9]{1,2})?$", max_length=5)
]


def shown(catalogue: Catalogue) -> dict[str, Any]:
    """Examples of what is answered, by operationId and, where the path has a name in it, that name.

    Of what is named, the one that takes the least to write down. A kind has none: it answers with
    schemas, and tools that read the document would look for what they refer to in it.
    """
    tables = {str(row["id"]): catalogue.table(str(row["id"])) for row in catalogue.tables()}
    rules = {row["number"]: catalogue.rule(row["number"]) for row in catalogue.rules()}
    values = {
        "listKinds.all": {"kinds": catalogue.names()},
        "listTables.all": {"tables": catalogue.tables()},
        **_smallest("readTable", tables),
        "listRules.all": {"rules": catalogue.rules()},
        **_smallest("readRule", rules),
        "listCodes.all": _told(catalogue),
        "isLive.live": _LIVE,
        "isReady.ready": _READY,
    }
    return {name: {"value": value} for name, value in values.items()}


def _smallest(operation: str, found: Mapping[str, Any]) -> dict[str, Any]:
    names = sorted(found, key=lambda name: len(json.dumps(found[name])))
    return {f"{operation}.{name}": found[name] for name in names[:1]}


def _told(catalogue: Catalogue) -> dict[str, Any]:
    return {"problems": listed(), "codes": catalogue.codes()}


def router(catalogue: Catalogue) -> APIRouter:
    """The routes that describe kinds, tables, rules and codes."""
    routes = APIRouter()
    for described in (_kinds, _tables, _rules, _codes):
        described(routes, catalogue)
    return routes


def _kinds(routes: APIRouter, catalogue: Catalogue) -> None:
    @routes.get("/v1/kinds", operation_id="listKinds", tags=["catalogue"], response_model=None,
                summary="List the kinds of layer",
                description="Names of the kinds of layer that a job may use.")  # fmt: skip
    async def list_kinds(request: Request) -> Response:
        return _fresh(request, {"kinds": catalogue.names()})

    @routes.get("/v1/kinds/{kind}", operation_id="describeKind", tags=["catalogue"],
                response_model=None, summary="Describe one kind of layer",
                description="Its forms of product, its rules with their defaults, its "
                "schema.")  # fmt: skip
    async def describe_kind(request: Request, kind: Kind) -> Response:
        return _fresh(request, _known(catalogue.describe, kind, "kind", catalogue.names))


def _tables(routes: APIRouter, catalogue: Catalogue) -> None:
    def ids() -> list[str]:
        return [str(row["id"]) for row in catalogue.tables()]

    @routes.get("/v1/tables", operation_id="listTables", tags=["catalogue"], response_model=None,
                summary="List the tables",
                description="Published tables and defaults in use, with their "
                "sources.")  # fmt: skip
    async def list_tables(request: Request) -> Response:
        return _fresh(request, {"tables": catalogue.tables()})

    @routes.get("/v1/tables/{id}", operation_id="readTable", tags=["catalogue"],
                response_model=None, summary="Read one table",
                description="All rows of a table, with unit, document, edition and "
                "clause.")  # fmt: skip
    async def read_table(request: Request, id: TableId) -> Response:
        return _fresh(request, _known(catalogue.table, id, "table", ids))


def _rules(routes: APIRouter, catalogue: Catalogue) -> None:
    def numbers() -> list[str]:
        return [row["number"] for row in catalogue.rules()]

    @routes.get("/v1/rules", operation_id="listRules", tags=["catalogue"], response_model=None,
                summary="List the rules of the trade",
                description="Number and name of each rule that findings, refusals and the basis "
                "of an answer cite.")  # fmt: skip
    async def list_rules(request: Request) -> Response:
        return _fresh(request, {"rules": catalogue.rules()})

    @routes.get("/v1/rules/{number}", operation_id="readRule", tags=["catalogue"],
                response_model=None, summary="Read one rule of the trade",
                description="What it says, where it comes from, and the defaults that it "
                "sets.")  # fmt: skip
    async def read_rule(request: Request, number: RuleNumber) -> Response:
        return _fresh(request, _known(catalogue.rule, number, "rule", numbers))


def _codes(routes: APIRouter, catalogue: Catalogue) -> None:
    @routes.get("/v1/codes", operation_id="listCodes", tags=["catalogue"], response_model=None,
                summary="List the codes of problems, faults and findings",
                description="Every problem type, and every code of a fault or a finding, with what "
                "it means.")  # fmt: skip
    async def list_codes(request: Request) -> Response:
        return _fresh(request, _told(catalogue))


def health(pool: ComputePool, settings: Settings) -> APIRouter:
    """Whether the process lives, and whether it can take work."""
    routes = APIRouter()

    @routes.get("/health/live", operation_id="isLive", tags=["health"], response_model=None,
                summary="Is the process alive?",
                description="Answers as long as the server does.")  # fmt: skip
    async def is_live() -> Response:
        return Response(_written(_LIVE), media_type="application/json")

    @routes.get("/health/ready", operation_id="isReady", tags=["health"], response_model=None,
                summary="Can the service take work?",
                description="503 until a compute process is warm, and again from the moment that "
                "the service is told to stop.")  # fmt: skip
    async def is_ready() -> Response:
        again = {"Retry-After": str(settings.retry_after_seconds)}
        if pool.draining:
            raise Declined("Stopping", "The service is being stopped.", headers=again)
        if not pool.warm:
            raise Declined("NotReady", "No compute process is warm yet.", headers=again)
        return Response(_written(_READY), media_type="application/json")

    return routes


def document(written: Callable[[], bytes]) -> APIRouter:
    """The OpenAPI document at /openapi.json; `written` gives its bytes and is called once."""
    routes = APIRouter()
    kept: list[bytes] = []

    @routes.get("/openapi.json", include_in_schema=False)
    async def openapi(request: Request) -> Response:
        accept.choose(request.headers.get("accept"), None, _JSON)
        if not kept:
            kept.append(written())
        return unchanged_or(request, kept[0], "application/json")

    return routes


def unchanged_or(request: Request, body: bytes, media: str) -> Response:
    """`body`, or 304 when the client says that it has it (RFC 9110, 13.1.2)."""
    tag = f'W/"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": "no-cache"}
    held = request.headers.get("if-none-match", "")
    tags = {one.strip().removeprefix("W/") for one in held.split(",")}
    if tag.removeprefix("W/") in tags or held.strip() == "*":
        return Response(status_code=304, headers=headers)
    return Response(body, media_type=media, headers=headers)


def _fresh(request: Request, value: dict[str, Any]) -> Response:
    accept.choose(request.headers.get("accept"), None, _JSON)
    return unchanged_or(request, _written(value), "application/json")


def _written(value: Mapping[str, Any]) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def _known(
    find: Callable[[str], dict[str, Any]], name: str, what: str, known: Callable[[], list[str]]
) -> dict[str, Any]:
    try:
        return find(name)
    except KeyError:
        told = meant(name, known())
        end = "" if told.endswith("?") else "."
        detail = f"There is no such {what}: {told}{end} /v1/{what}s lists them."
        raise Declined("NotFound", detail) from None
