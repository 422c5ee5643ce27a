"""A sheet of rooms as CSV, of any size: the same rows with their figures, as `/v1/rows.csv`."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import IO, Any, Final

from service.api.problems import TABLE, Declined, declined_by
from service.bulk.lines import Answered, Bounds, Chunk, Work, failed, in_turn, lost_because
from service.bulk.reading import Form, cut_lines
from service.bulk.tally import Tally
from service.compute import Picked, answer
from service.report.tables.flat import plain
from service.rows import csv_out
from service.rows.csv_in import BOM, Head, Line, parted_by, read_head
from service.rows.jobs import alone, sentence
from service.rows.records import read, texts
from service.rows.results import refused, unanswered, unworked, worked

ROWS: Final = Picked(operation="rows")
_BEGINNING: Final = 100_000
"""Characters in which the first row must end."""


def rooms(path: Path, most: int) -> Form:
    """A sheet with a room on each row. Raises ShapeRefused where its first row is not read."""
    head = _head(path)
    return Form(
        partial(_records, path, head, most),
        Work(partial(_answered, head), partial(_lost, head)),
        csv_out.header(head.names, head.parted_by, marked=head.marked),
        b"\r\n",
    )


def _head(path: Path) -> Head:
    with _opened(path) as file:
        first = next((line for line in cut_lines(file, _BEGINNING) if line.strip()), "")
    with _opened(path) as file:
        text = next(texts(cut_lines(file, _BEGINNING), parted_by(first), _BEGINNING), "")
    with path.open("rb") as file:
        mark = BOM if file.read(3) == BOM.encode() else ""
    return read_head((mark + text).encode(errors="surrogateescape"))


def _opened(path: Path) -> IO[str]:
    """The file without its byte order mark; what is not UTF-8 in it can be told later."""
    return path.open(encoding="utf-8-sig", errors="surrogateescape", newline="")


def _records(path: Path, head: Head, most: int) -> Iterator[bytes]:
    """The rows under the head, as the bytes that they take up."""
    with _opened(path) as file:
        rows = texts(cut_lines(file, most), head.parted_by, most)
        next(rows, None)
        for text in rows:
            yield text.encode(errors="surrogateescape")


def _answered(head: Head, chunk: Chunk, bounds: Bounds) -> Answered:
    return in_turn(chunk, bounds, partial(_row, head))


def _lost(head: Head, chunk: Chunk, bounds: Bounds) -> Answered:
    tally = Tally()
    bodies = []
    for number, text in enumerate(chunk.lines, chunk.first):
        line = _line(number, text, head, bounds)
        row = unanswered(plain(line.asked), lost_because(bounds))
        bodies.append(_written(line, row, head, tally))
    return Answered(tuple(bodies), tally)


def _line(number: int, text: bytes, head: Head, bounds: Bounds) -> Line:
    """The row with the number of its record, from 1: in the sheet the head is before it."""
    return read(number + 1, text.decode(errors="surrogateescape"), head, bounds.line_bytes)


def _row(head: Head, number: int, text: bytes, bounds: Bounds, tally: Tally) -> bytes:
    line = _line(number, text, head, bounds)
    return _written(line, unworked(line) or _told(line, number), head, tally)


def _told(line: Line, number: int) -> dict[str, Any]:
    """The row of a room: its figures, or why there are none."""
    try:
        outcome = answer(alone(line.asked), ROWS)
        if outcome.kind != "answer":
            raise declined_by(outcome.kind, outcome.body)
    except Declined as declined:
        told = sentence(declined.errors, declined.count or 1)
        return refused(plain(line.asked), told)
    except Exception as fault:
        return unanswered(plain(line.asked), TABLE[failed(number, fault)].meaning)
    return worked(line, outcome.body)


def _written(line: Line, row: dict[str, Any], head: Head, tally: Tally) -> bytes:
    tally.row(row)
    return csv_out.line(line.cells, row, head.parted_by).removesuffix(b"\r\n")
