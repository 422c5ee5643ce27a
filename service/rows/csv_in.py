"""A sheet as CSV (RFC 4180) to rows: what a spreadsheet saves is read, or refused by name.

Columns may be parted by commas, semicolons or tabs, and a byte order mark may stand first. In a
sheet that is parted by semicolons numbers may have a decimal comma, as such spreadsheets write it.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from service.errors import Fault, LimitExceeded, ShapeRefused
from service.schemas.described import PLAIN_TEXT
from service.schemas.rooms import COLUMNS, MOST_CHARACTERS, MOST_ROWS

BOM: Final = "\ufeff"
PARTS: Final = (",", ";", "\t")
MOST_COLUMNS: Final = 200
MOST_CELL: Final = 10_000
_WORDS: Final = frozenset({"room", "unit", "type", "boards_run", "board", "profile", "ends",
                           "currency", "start"})  # fmt: skip
"""Columns whose commas are no part of a number."""

_PLAIN: Final = re.compile(PLAIN_TEXT)
_COMMA: Final = re.compile(r"(?<=[0-9]),(?=[0-9])")
_THOUSANDS: Final = re.compile(r"(?<![0-9.,])[1-9][0-9]{0,2}(\.[0-9]{3})+(?![0-9.])")


@dataclass(frozen=True, slots=True)
class Line:
    """One row: its cells as they came, those of known columns as they are read, or what is wrong.

    `number` counts rows as a spreadsheet does: the header is row 1.
    """

    number: int
    cells: tuple[str, ...]
    asked: dict[str, Any]
    fault: str | None = None


@dataclass(frozen=True, slots=True)
class Head:
    """The first row of a sheet, the names of its columns, and how the sheet is written."""

    names: tuple[str, ...]
    parted_by: str = ","
    marked: bool = False
    """Whether it began with a byte order mark."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet that was read: its head and its rows."""

    head: Head
    lines: tuple[Line, ...]


def read_csv(body: bytes) -> Sheet:
    """The sheet in `body`. Raises ShapeRefused, or LimitExceeded, that says how to save it."""
    head, rows = _opened(_text(body))
    lines = []
    for number, cells in islice(rows, MOST_ROWS + 1):
        lines.append(line_of(number, cells, head))
    if len(lines) > MOST_ROWS:
        raise LimitExceeded(
            Fault("over-limit", f"a sheet may have {MOST_ROWS} rows: send it in parts")
        )
    if not lines:
        raise _wrong("no-rows", "the sheet has a header and no rows")
    return Sheet(head, tuple(lines))


def read_head(body: bytes) -> Head:
    """The head of a sheet that begins with `body`. Raises ShapeRefused, as `read_csv` does."""
    return _opened(_text(body))[0]


def _opened(text: str) -> tuple[Head, Iterator[tuple[int, list[str]]]]:
    """The head of a sheet, and its rows."""
    marked, text = text.startswith(BOM), text.removeprefix(BOM)
    by = parted_by(text)
    rows = _rows(text, by)
    names = tuple(name.strip() for name in next(rows, (1, ()))[1])
    _check_names(names)
    return Head(names, by, marked), rows


def _text(body: bytes) -> str:
    if body[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\0" in body[:4]:
        raise _wrong("encoding", "the sheet is in UTF-16: save it as CSV in UTF-8")
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as fault:
        row = body.count(b"\n", 0, fault.start) + 1
        raise _wrong(
            "encoding", f"row {row} is not UTF-8: save the sheet as CSV in UTF-8"
        ) from None
    if "\0" in text:
        raise _wrong("encoding", "the sheet has a NUL character: save it as CSV in UTF-8")
    return text


def parted_by(text: str) -> str:
    """What parts the columns: that by which the header has the most names that are known."""
    first = text.lstrip("\r\n").splitlines()[:1]

    def known(part: str) -> int:
        names = {name.strip(' "') for name in first[0].split(part)} if first else set()
        return len(names & set(COLUMNS))

    return max(PARTS, key=known)


def _rows(text: str, parted_by: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that have cells, each with its number in a spreadsheet."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted_by, strict=True)
    number = 0
    while True:
        before = reader.line_num
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error:
            raise _wrong("quotes", f"the quotes of the row at line {before + 1} do not close, or "
                         "text follows them") from None  # fmt: skip
        if len(cells) > MOST_COLUMNS or any(len(cell) > MOST_CELL for cell in cells):
            raise _wrong("too-wide", f"the row at line {before + 1} has more than {MOST_COLUMNS} "
                         f"columns, or a cell of more than {MOST_CELL} characters")  # fmt: skip
        if cells:
            number += 1
            yield number, cells


def _check_names(header: Sequence[str]) -> None:
    """Raise ShapeRefused unless the first row names the columns that every row needs, once."""
    known = [name for name in header if name in COLUMNS]
    twice = sorted({name for name in known if known.count(name) > 1})
    if twice:
        raise _wrong("column-twice", f"the header has `{twice[0]}` twice")
    lacking = [name for name in ("unit", "length", "width") if name not in known]
    if lacking:
        raise _wrong("no-column", f"the first row must name the columns, and has no "
                     f"`{lacking[0]}`: "
                     "/v1/rows/template.csv has them all")  # fmt: skip


def line_of(number: int, cells: Sequence[str], head: Head) -> Line:
    """The row with these cells under its head, with what is wrong with it."""
    header = head.names
    if len(cells) != len(header):
        even = (*cells[: len(header)], *("" for _ in range(len(header) - len(cells))))
        told = f"the row has {len(cells)} cells under {len(header)} columns"
        return Line(number, even, {}, told)
    asked, faults = {}, []
    for name, cell in zip(header, cells, strict=True):
        if name in COLUMNS:
            asked[name], fault = _cell(name, cell.strip(), head.parted_by == ";")
            faults += [fault] if fault else []
    return Line(number, tuple(cells), asked, "; ".join(faults[:3]) or None)


def _cell(name: str, cell: str, with_commas: bool) -> tuple[str, str | None]:
    """A cell with a decimal point, and what is wrong with it, if anything is."""
    if len(cell) > MOST_CHARACTERS:
        return "", f"{name}: a cell may have {MOST_CHARACTERS} characters"
    if not _PLAIN.match(cell):
        return "", f"{name}: control characters are not read"
    if name in _WORDS:
        return cell, None
    if with_commas and _THOUSANDS.search(cell):
        return "", (f"{name}: a point before three digits can be read in two ways: write the "
                    "number "
                    "without one, or with a decimal comma")  # fmt: skip
    if not with_commas and _COMMA.search(cell):
        return "", (f"{name}: a comma in a number is not read: write a decimal point and no "
                    "mark of "
                    "thousands, or part the columns by semicolons")  # fmt: skip
    return _COMMA.sub(".", cell), None


def _wrong(code: str, detail: str) -> ShapeRefused:
    return ShapeRefused(Fault(code, detail))
