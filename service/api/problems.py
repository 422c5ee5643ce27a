"""The one table from a refusal to its status, problem type and title; and how a problem is written.

RFC 9457: every error is `application/problem+json`. `openapi/problems.md` documents each type.
"""

from __future__ import annotations

import json
import re
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Any, Final

MEDIA: Final = "application/problem+json"
MOST_BYTES: Final = 16_000
MOST_ERRORS: Final = 20
MOST_CHARACTERS: Final = 600
_WORD: Final = re.compile(r"[A-Za-z0-9_-]{1,64}")
_PAGES: Final = "/problems/"
_NAMESPACE: Final = uuid.uuid5(uuid.NAMESPACE_URL, "urn:surface-takeoff:request")


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One sort of problem: its HTTP status, the last part of its type, its title, what it means."""

    status: int
    slug: str
    title: str
    meaning: str

    @property
    def type(self) -> str:
        """The problem type, which programs compare: the address of its page on this service."""
        return _PAGES + self.slug


TABLE: Final[Mapping[str, ProblemType]] = {
    "BadRequest": ProblemType(400, "bad-request", "The HTTP request cannot be read",
        "The bytes received are not a sound HTTP/1.1 request."),
    "MalformedJson": ProblemType(400, "malformed-json", "The body is not strict JSON",
        "The body must be UTF-8 JSON without a byte order mark, without a key given twice, without "
        "NaN or Infinity, control characters, lone surrogates, deep nesting or endless numbers."),
    "KeyNeeded": ProblemType(401, "key-needed", "A known key is needed",
        "Send `Authorization: Bearer <key>` with a key that the operator gave out."),
    "OriginRefused": ProblemType(403, "origin-refused", "A page of this origin may not ask so",
        "A browser asks whether a page of another origin may send what it is about to. The "
        "operator lists the origins; `detail` says which methods and headers they may send."),
    "NotFound": ProblemType(404, "not-found", "There is no such resource",
        "No resource has this path; / says where everything is."),
    "MethodNotAllowed": ProblemType(405, "method-not-allowed", "The resource has no such method",
        "The Allow header lists the methods that the resource has."),
    "NotAcceptable": ProblemType(406, "not-acceptable",
        "The resource has none of the accepted forms",
        "`available` lists the media types that exist. Change Accept, or use ?format=."),
    "TooSlow": ProblemType(408, "too-slow", "The request did not arrive in time",
        "Head and body must each have arrived within a stated time."),
    "TooLarge": ProblemType(413, "too-large", "The body is too large",
        "A body may have the stated number of bytes. Split the job by surfaces."),
    "WrongType": ProblemType(415, "wrong-type", "The body is of a type that is not read",
        "Send application/json in UTF-8, without a content coding."),
    "ShapeRefused": ProblemType(422, "shape-refused", "The request is not of the right shape",
        "A key, a type or a bound is wrong; `errors` names each place."),
    "TradeRefused": ProblemType(422, "trade-refused", "The job cannot be built as asked",
        "The shape is right, but geometry or a rule of the trade forbids an answer. Where an edit "
        "of the request would let it through, `cure` gives it as a patch (RFC 6902)."),
    "LimitExceeded": ProblemType(422, "limit-exceeded", "The job is larger than the service takes",
        "The job is over a stated limit. Split it."),
    "TooMany": ProblemType(429, "too-many", "The caller has sent too many requests",
        "The caller's rate is used up. Send again after Retry-After seconds."),
    "HeadTooLarge": ProblemType(431, "head-too-large", "Request line and headers are too large",
        "Request line and headers together may have the stated number of bytes."),
    "Escaped": ProblemType(500, "internal-fault", "The service failed",
        "A fault of the service. The request id finds it in the log."),
    "LawBroken": ProblemType(500, "law-broken", "An answer broke one of the service's own laws",
        "Every answer is checked before it is sent; this one failed, so it was withheld. A fault "
        "of the service, never of the request."),
    "Busy": ProblemType(503, "busy", "The service is full",
        "All places are taken. Send the same request again after Retry-After seconds."),
    "Late": ProblemType(503, "late", "The answer was not ready in time",
        "The work was stopped at its deadline. Send again after Retry-After seconds, or split the "
        "job."),
    "Interrupted": ProblemType(503, "interrupted", "The work was interrupted",
        "The process that did the work ended. Send again after Retry-After seconds."),
    "NotReady": ProblemType(503, "not-ready", "The service is not ready yet",
        "The compute processes are still being started."),
    "Stopping": ProblemType(503, "stopping", "The service is being stopped",
        "No new work is taken. Send again after Retry-After seconds: another will answer."),
}  # fmt: skip
"""Name of a refusal (its class in `service.errors`, or the shell's own) -> its problem."""


def listed() -> list[dict[str, Any]]:
    """Every problem type as a list of codes has it."""
    return [
        {"type": one.type, "status": one.status, "title": one.title, "says": one.meaning}
        for one in TABLE.values()
    ]


class Declined(Exception):
    """What the shell raises to answer with a problem of the table.

    `errors` are rows as the Problem schema has them; `count` is how many faults there are in all;
    `headers` go onto the answer and `available` into the problem.
    """

    def __init__(
        self,
        name: str,
        detail: str,
        *,
        errors: Sequence[Mapping[str, Any]] = (),
        count: int | None = None,
        headers: Mapping[str, str] | None = None,
        available: Sequence[str] = (),
    ) -> None:
        super().__init__(detail)
        self.name = name
        self.detail = detail
        self.errors = tuple(errors)
        self.count = count
        self.headers = dict(headers or {})
        self.available = tuple(available)

    @property
    def status(self) -> int:
        """The HTTP status."""
        return TABLE[self.name].status

    def body(self, request_id: str) -> bytes:
        """The problem as JSON, at most 16 kB, for the request with this id."""
        kind = TABLE[self.name]
        problem: dict[str, Any] = {
            "type": kind.type,
            "title": kind.title,
            "status": kind.status,
            "detail": self.detail[:MOST_CHARACTERS],
            "instance": instance(request_id),
        }
        if self.available:
            problem["available"] = list(self.available)
        if self.errors:
            problem["count"] = max(self.count or 0, len(self.errors))
            problem["errors"] = [_row(error) for error in self.errors[:MOST_ERRORS]]
        return _bounded(problem)


def declined_by(name: str, body: bytes) -> Declined:
    """The problem for a refusal that a compute process wrote: {"count": n, "faults": [...]}."""
    refusal = json.loads(body)
    faults = refusal["faults"]
    detail = faults[0]["detail"] if len(faults) == 1 else f"{refusal['count']} faults were found."
    return Declined(name, detail, errors=faults, count=refusal["count"])


def too_large(most: int) -> Declined:
    """The problem for a body of more than `most` bytes."""
    return Declined("TooLarge", f"A body may have at most {most} bytes.")


def instance(request_id: str) -> str:
    """A urn:uuid that stands for the request; the id itself where it is a UUID."""
    try:
        return uuid.UUID(request_id).urn
    except ValueError:
        return uuid.uuid5(_NAMESPACE, request_id).urn


def _row(error: Mapping[str, Any]) -> dict[str, Any]:
    """One fault without its empty members; the order of members is that of the schema."""
    row = {
        member: error[member]
        for member in ("pointer", "code", "detail", "rule", "measure", "limit", "cure")
        if error.get(member) not in (None, "")
    }
    row["detail"] = str(row.get("detail", ""))[:MOST_CHARACTERS]
    if "pointer" in row:
        row["pointer"] = _plain(str(row["pointer"]))
    return row


def _plain(pointer: str) -> str:
    """A pointer up to the first key that is no plain word: such a key is text of the caller."""
    parts = pointer.split("/")[1:]
    kept = list(takewhile(_WORD.fullmatch, parts))
    return "".join(f"/{part}" for part in kept)


def _bounded(problem: dict[str, Any]) -> bytes:
    """The problem as JSON; the last errors are left out until it is small enough."""
    while True:
        body = json.dumps(problem, ensure_ascii=False, separators=(",", ":")).encode()
        if len(body) <= MOST_BYTES:
            return body
        problem["errors"] = problem["errors"][:-1]


_TEXT: Final = {"type": "string", "maxLength": MOST_CHARACTERS}
_POINTER: Final = {"type": "string", "maxLength": 500, "description": "JSON Pointer (RFC 6901)."}

ERROR_SCHEMA: Final[dict[str, Any]] = {
    "title": "ProblemError",
    "type": "object",
    "description": "One fault; members that do not apply are left out.",
    "required": ["code", "detail"],
    "properties": {
        "pointer": {**_POINTER, "description": "JSON Pointer (RFC 6901) into the request."},
        "code": {"type": "string", "maxLength": 64, "description": "Stable, for programs."},
        "detail": {**_TEXT, "description": "A sentence for people."},
        "rule": {
            "type": "string",
            "maxLength": 32,
            "description": "Number of the trade rule: `/v1/rules/{number}` says it.",
        },
        "measure": {"type": "number", "description": "What was found, in the request's unit."},
        "limit": {"type": "number", "description": "What would do, in the request's unit."},
        "cure": {
            "type": "array",
            "minItems": 1,
            "items": {"$ref": "#/components/schemas/OperationRow"},
            "description": "A patch of the request (RFC 6902) that mends this fault.",
        },
    },
}
"""The published schema of one fault."""

PROBLEM_SCHEMA: Final[dict[str, Any]] = {
    "title": "Problem",
    "type": "object",
    "description": "An error as RFC 9457 has it. Further members may be added.",
    "required": ["type", "title", "status", "detail", "instance"],
    "properties": {
        "type": {"type": "string", "enum": sorted(kind.type for kind in TABLE.values())},
        "title": _TEXT,
        "status": {"type": "integer", "minimum": 400, "maximum": 599},
        "detail": _TEXT,
        "instance": {"type": "string", "pattern": "^urn:uuid:[0-9a-f-]{36}$", "maxLength": 45},
        "available": {
            "type": "array",
            "maxItems": 20,
            "items": {"type": "string", "maxLength": 64},
            "description": "Media types that the resource has.",
        },
        "count": {"type": "integer", "minimum": 1, "description": "Faults in all."},
        "errors": {
            "type": "array",
            "maxItems": MOST_ERRORS,
            "items": {"$ref": "#/components/schemas/ProblemError"},
            "description": "The first faults.",
        },
    },
}
"""The published schema of a problem."""
