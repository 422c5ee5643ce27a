"""What the document says of many jobs at once: sheets of rooms, one room for a cell, batches."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic.json_schema import models_json_schema

from service.answering.rows import ROWS
from service.api.batches import MEDIA as LINES
from service.api.contract_answers import FILE, READING, WORKING, given_as, problem_answers
from service.compute import CSV, JSON, TEXT
from service.rows import csv_out
from service.rows.csv_in import read_csv
from service.rows.template import TEMPLATE
from service.schemas.published_json import PublishedSchema
from service.schemas.rooms import RESULTS

_REF: Final = "#/components/schemas/"
_SHEET: Final = tuple(
    name for name in WORKING if name not in ("TradeRefused", "LawBroken", "Late", "Interrupted")
)
_LINES: Final = tuple(
    name for name in _SHEET if name not in ("MalformedJson", "LimitExceeded", "TooSlow")
)
_ROOM: Final = (*READING, "LimitExceeded", "LawBroken", "Busy", "Late", "Interrupted", "Stopping")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is sent to one operation, by media type, and what it answers in its one form.

    Of both, the schema by its name and the beginning of its examples' names.
    """

    sent: Mapping[str, tuple[str, str]] | None = None
    body: str = ""
    answer: str
    media: str
    schema: str
    examples: str
    problems: Sequence[str]
    is_file: bool = False


OPERATIONS: Final[Mapping[tuple[str, str], Told]] = {
    ("/v1/rows", "post"): Told(
        sent={JSON: ("RoomsAsked", "rows.asked.")},
        body="The rooms: a cell is a number or a text, and an empty one is as good as none.",
        answer="The rooms with their figures, or why there are none.",
        media=JSON, schema="RoomsTakenOff", examples="rows.answered.", problems=_SHEET,
    ),
    ("/v1/rows.csv", "post"): Told(
        sent={CSV: ("RoomsSheet", "rows.csv.asked")},
        body="The sheet, its columns named in the first row; a million bytes and 2 000 rows at "
        "most, in UTF-8.",
        answer="The sheet with these columns behind its own: " + ", ".join(RESULTS) + ".",
        media=CSV, schema="RoomsSheet", examples="rows.csv.answered", problems=_SHEET,
        is_file=True,
    ),
    ("/v1/rows/template.csv", "get"): Told(
        answer="The sheet.", media=CSV, schema="RoomsSheet", examples="rows.csv.asked",
        problems=READING, is_file=True,
    ),
    ("/v1/rectangle.csv", "get"): Told(
        answer="The figures of the room: " + ", ".join(RESULTS) + ".", media=CSV,
        schema="RoomsSheet", examples="rectangle.csv", problems=_ROOM,
    ),
    ("/v1/rectangle.txt", "get"): Told(
        answer="One figure, or `refused` and the reason.", media=TEXT, schema="Figure",
        examples="rectangle.txt", problems=_ROOM,
    ),
    ("/v1/batches", "post"): Told(
        sent={LINES: ("JobLines", "batches.asked")},
        body="A Job on each line: 1 000 lines at most, each of a million bytes at most, 64 million "
        "in all.",
        answer="On each line an Answer, or a Problem: that has `status`. What is too much is told "
        "on the last line.",
        media=LINES, schema="JobLines", examples="batches.answered", problems=_LINES,
    ),
}  # fmt: skip
"""By path and method."""


def schemas() -> dict[str, Any]:
    """The schemas of what is sent and answered."""
    models: Any = [(ROWS.request(), "validation"), (ROWS.reply(), "serialization")]
    _, whole = models_json_schema(
        models, ref_template=_REF + "{model}", schema_generator=PublishedSchema
    )
    shapes: dict[str, Any] = whole["$defs"]
    return {
        **shapes,
        "RoomsSheet": _text("RoomsSheet", "Rooms as CSV (RFC 4180), a room a row: the columns of "
                            "RoomAsked, and those of RoomTakenOff in an answer.", 10_000_000),
        "Figure": _text("Figure", "One figure of a room.", 1_000),
        "JobLines": _text("JobLines", "JSON, a document on each line (NDJSON).", 10_000_000_000),
    }  # fmt: skip


def _text(name: str, description: str, most: int) -> dict[str, Any]:
    return {"title": name, "type": "string", "maxLength": most, "description": description}


def examples(shown: Mapping[str, Any]) -> dict[str, Any]:
    """Examples of what is no JSON, made of those that are `shown` already."""
    small, answered = (shown[f"takeoffs.{name}.small"]["value"] for name in ("asked", "answered"))
    row = shown["rows.answered.small"]["value"]["rows"][0]
    cells = csv_out.sent(row)
    sheet = read_csv(TEMPLATE)
    found = {
        "rows.csv.asked": TEMPLATE.decode(),
        "rows.csv.answered": _csv(sheet.head.names, cells, row),
        "rectangle.csv": _csv((), (), row),
        "rectangle.txt": str(row["sticks"]),
        "batches.asked": _line(small),
        "batches.answered": _line(answered),
    }
    return {name: {"value": value} for name, value in found.items()}


def _csv(header: Sequence[str], cells: Sequence[str], row: Mapping[str, Any]) -> str:
    return (csv_out.header(header) + csv_out.line(cells, row)).decode()


def _line(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")) + "\n"


def show(paths: Mapping[str, Any], shown: Mapping[str, Any]) -> None:
    """Say it in the document: its `paths`, with the examples that are `shown`."""
    for (path, method), told in OPERATIONS.items():
        operation = paths[path][method]
        if told.sent is not None:
            operation["requestBody"] = {
                "required": True,
                "description": told.body,
                "content": {media: _content(*one, shown) for media, one in told.sent.items()},
            }
        content = {told.media: _content(told.schema, told.examples, shown)}
        operation["responses"] = {
            **given_as(told.answer, content, tagged=method == "get"),
            **problem_answers(told.problems),
        }
        if told.is_file:
            operation["responses"]["200"]["headers"] |= FILE


def _content(schema: str, begins: str, shown: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "schema": {"$ref": _REF + schema},
        "examples": {
            name.rpartition(".")[2]: {"$ref": f"#/components/examples/{name}"}
            for name in shown
            if name.startswith(begins)
        },
    }
