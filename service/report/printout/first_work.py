"""What to do first in each layer, on paper."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final, TypeAlias

from service.report.printout.columns import paragraph
from service.report.printout.courses import cut_of
from service.report.printout.lengths import Lengths

Row: TypeAlias = Mapping[str, Any]

_TONGUE: Final = {
    "near": "tongue towards the start",
    "far": "tongue away from the start",
    "none": "",
}
_WAYS: Final = {0: "from left to right", 90: "from the bottom to the top"}


def first_work(answer: Row, lengths: Lengths) -> list[str]:
    """How to begin each layer, in the order of work: a few sentences."""
    forms = {row["product"]: row["form"] for row in answer["products"]}
    lines: list[str] = []
    for number, layer in enumerate(answer["layers"], start=1):
        rows = [row for row in answer["courses"] if is_of(row, layer)]
        if rows:
            begin = _FIRST.get(forms.get(layer["product"], ""), _first_course)
            name = f"{layer['surface']}.{layer['layer']}: {layer['product']}"
            lines += paragraph(name, f"  {number}. ")
            lines += begin(answer, layer, rows, lengths)
    return lines


def is_of(row: Row, layer: Row) -> bool:
    """Whether a row of any table belongs to a layer."""
    return bool((row["surface"], row["layer"]) == (layer["surface"], layer["layer"]))


def _said(*sentences: str) -> list[str]:
    return [line for text in sentences for line in paragraph(text, "     - ")]


def _first_course(answer: Row, layer: Row, rows: Sequence[Row], lengths: Lengths) -> list[str]:
    """Boards: the start line, and the first and the last course."""
    first = rows[0]
    rising = first["near"] < first["far"]
    start = (
        f"Start on the {'low' if rising else 'high'} side (stations {'rise' if rising else 'fall'} "
        "from course to course, seen facing the finished side).",
        f"Snap the start line at {lengths.station(first['far'])}: the far edge of course "
        f"{first['course']}. Its near edge lies at {lengths.station(first['near'])}.",
    )
    named = [("First", first), ("Last", rows[-1])][: min(len(rows), 2)]
    return _said(*start, *(_course(name, row, lengths) for name, row in named))


def _course(name: str, row: Row, lengths: Lengths) -> str:
    parts = (lengths.width(row["width"]), _TONGUE[row["tongue"]], cut_of(row))
    return f"{name} course, no. {row['course']}: {', '.join(part for part in parts if part)}."


def _first_row(answer: Row, layer: Row, rows: Sequence[Row], lengths: Lengths) -> list[str]:
    """Sheets: the line of the first row, and its pieces from the low end on."""
    first = rows[0]
    own = [row for row in answer["pieces"] if is_of(row, layer) and row["course"] == 1]
    pieces = ", ".join(lengths.width(row["length"]) for row in own)
    return _said(
        f"Snap a line at {lengths.station(first['far'])}: the far edge of row 1, "
        f"{lengths.width(first['width'])} wide. Its pieces from the low end: {pieces} long.",
        "Lay whole sheets over openings and cut them in place; ends meet on a member's centre "
        "with the gap asked for.",
    )


def _first_width(answer: Row, layer: Row, rows: Sequence[Row], lengths: Lengths) -> list[str]:
    """Wrap: which way it runs, and where the first width begins."""
    first = rows[0]
    way = _WAYS.get(layer["direction"], f"at {layer['direction']:g} degrees")
    lap = f"; each further width laps {lengths.width(rows[1]['lap'])}" if len(rows) > 1 else ""
    return _said(
        f"Unroll {way}, seen facing the finished side. Width 1 lies from "
        f"{lengths.station(first['near'])} to {lengths.station(first['far'])}{lap}.",
        "Tape laps and openings, then cover it as soon as it is dry.",
    )


_FIRST: Final[Mapping[str, Callable[[Row, Row, Sequence[Row], Lengths], list[str]]]] = {
    "sheet": _first_row,
    "roll": _first_width,
}
"""How work on a layer begins, by the form of its product; boards otherwise."""
