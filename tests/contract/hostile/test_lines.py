"""Bodies that are no JSON: sheets as spreadsheets save and break them, and lines of a batch."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import httpx
import pytest

from tests.contract.hostile.attacks import BOMBS, MARK, STRINGS
from tests.contract.hostile.firing import REFUSED, Case, Range
from tests.contract.hostile.walking import Raw

pytestmark = pytest.mark.xdist_group("hostile")

SMALL = json.loads((Path(__file__).parents[3] / "openapi/examples/small.json").read_bytes())
HEADER = (
    "room,unit,length,width,boards_run,support_spacing,profile,overall,coverage,thickness,stock"
)
ROOM = "den,in,120,96,along length,16,shiplap,5.5,5,0.75,10 ft"
SHEET = {"Content-Type": "text/csv"}
LINES = {"Content-Type": "application/x-ndjson"}


def _cells() -> Iterator[Case]:
    """Each hostile text in the first cell of a row, in one with a length, and in the header."""
    texts = [one.text if isinstance(one, Raw) else str(one) for one in (*STRINGS, *BOMBS)]
    for text in texts:
        quoted = '"' + text.replace('"', '""') + '"'
        for name, body in {
            "room": f"{HEADER}\n{ROOM.replace('den', quoted)}\n",
            "length": f"{HEADER}\n{ROOM.replace('120', quoted)}\n",
            "header": f"{HEADER},{quoted}\n{ROOM},{quoted}\n",
            "bare": f"{HEADER}\n{text}\n{ROOM}\n",
        }.items():
            sent = body.encode(errors="surrogatepass")
            yield Case(f"{name} {text[:40]!r}", "/v1/rows.csv", sent, headers=SHEET,
                       allowed=(200, *REFUSED), wanted="text/csv")  # fmt: skip


def test_no_cell_breaks_a_sheet_or_runs_in_it(shooting: Range) -> None:
    shooting.survives(_cells(), 40)


def _sheets() -> Iterator[Case]:
    sound = f"{HEADER}\n{ROOM}\n".encode()
    for name, body in {
        "nothing": b"", "UTF-16": sound.decode().encode("utf-16"), "NUL": sound + b"\0",
        "a quote that never ends": sound + b'"' + b"x" * 900_000,
        "commas without end": b"," * 990_000, "rows without end": b"unit\n" * 190_000,
        "columns without end": HEADER.encode() + b",a" * 400_000,
        "semicolons in quotes": b'"' + HEADER.encode() + b'"\n' + sound,
        "carriage returns alone": sound.replace(b"\n", b"\r"),
        "too large": sound + b"x" * 1_000_001,
    }.items():  # fmt: skip
        yield Case(name, "/v1/rows.csv", body, headers=SHEET, allowed=(200, 413, 422),
                   wanted="text/csv")  # fmt: skip


def test_a_sheet_of_any_bytes_is_read_or_refused(shooting: Range) -> None:
    shooting.survives(_sheets(), 20)


def _told(count: int, answer: httpx.Response) -> list[str]:
    """Each line has its own answer, none of them a fault of ours, none repeats what was sent."""
    lines = [json.loads(line) for line in answer.content.splitlines()]
    found = [] if len(lines) == count else [f"{len(lines)} lines for {count}"]
    found += [str(one)[:200] for one in lines if one.get("status", 200) == 500]
    return found + (["repeats what was sent"] if MARK in answer.text else [])


def _batches() -> Iterator[Case]:
    sound = json.dumps(SMALL).encode()
    for name, line in {
        "cut short": sound[:-20], "not JSON": b"}{", "UTF-16": sound.decode().encode("utf-16-le"),
        "a key twice": sound[:-1] + b',"unit":"mm"}', "nesting": b"[" * 100_000,
        "a mark": b"\xef\xbb\xbf" + sound,
        "hostile text": json.dumps({"unit": MARK, f"<{MARK}>": 1}).encode(),
        "long": b'{"a":"' + b"x" * 1_000_100 + b'"}', "two on a line": sound + sound,
        "NUL": b"\0" * 50, "carriage returns": sound + b"\r" + sound,
    }.items():  # fmt: skip
        body = b"\n".join([sound, line, sound])
        yield Case(name, "/v1/batches", body, headers=LINES, allowed=(200,),
                   wanted="application/x-ndjson", then=partial(_told, 3))  # fmt: skip


def test_a_line_that_is_no_job_costs_no_other(shooting: Range) -> None:
    shooting.survives(_batches(), 20)
