"""What moisture does to boards, on paper, for the crew and the yard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, TypeAlias

from service.report.printout.columns import UNBROKEN, USUAL, Setting, paragraph, set_on, table
from service.report.printout.lengths import Lengths, fixed, plain
from service.report.printout.sections import Section, sections_of
from service.units.writing import small_length

Answer: TypeAlias = Mapping[str, Any]

_SAID: Final = {"met": "yes", "not_met": "NO", "not_checkable": "not known"}


def moisture_printout(answer: Answer, columns: int = USUAL) -> str:
    """The whole answer about moisture as text, at most `columns` wide (NARROWEST to WIDEST)."""
    lengths = Lengths(answer["units"]["length"])
    parts = [*paragraph(answer["summary"]["in_words"]), *sections_of(_SECTIONS, answer, lengths)]
    return ("\n".join(set_on(parts, columns)) + "\n").replace(UNBROKEN, " ")


def checked(rows: Sequence[Answer]) -> list[Setting]:
    """Checks as a list: what is met, what is not, what nobody can tell yet."""
    cells = [[_SAID[row["result"]], row["in_words"]] for row in rows]
    return table(("", ""), cells, "ll")


def layers(answer: Answer, lengths: Lengths) -> list[Setting]:
    """The moisture of a job's layers: whether their boards may go up, and what says so."""
    lines: list[Setting] = []
    for row in answer["moisture"]:
        at = (row["surface"], row["layer"])
        lines += paragraph(f"{'.'.join(at)}: {row['in_words']}", "  * ")
        lines += checked([
            one for one in answer["moisture_checks"]
            if one["holds_up"] and (one["surface"], one["layer"]) == at
        ])  # fmt: skip
    return lines


def _before(answer: Answer, lengths: Lengths) -> list[Setting]:
    return checked([row for row in answer["checks"] if row["holds_up"]])


def _besides(answer: Answer, lengths: Lengths) -> list[Setting]:
    return checked([row for row in answer["checks"] if not row["holds_up"]])


def _air(answer: Answer, lengths: Lengths) -> list[Setting]:
    scale = "fahrenheit" if lengths.imperial else "celsius"
    cells = [
        [row["air"], plain(row[scale], 1), plain(row["humidity_pct"], 1), fixed(row["mc"], 1)]
        for row in answer["air"]
    ]
    degrees = "deg F" if lengths.imperial else "deg C"
    return table(("air", degrees, "humidity %", "brings wood to %"), cells, "l")


def _visits(answer: Answer, lengths: Lengths) -> list[Setting]:
    cells = [
        [row["of"], plain(row["hours"]), plain(row["readings"]),
         f"{fixed(row['least'], 1)} to {fixed(row['most'], 1)}", fixed(row["read"], 1),
         fixed(row["correction"], 1), fixed(row["mc"], 1)]
        for row in answer["visits"]
    ]  # fmt: skip
    heads = ("", "after h", "readings", "from, to %", "mean %", "put right by", "is %")
    return table(heads, cells, "l")


def _movement(answer: Answer, lengths: Lengths) -> list[Setting]:
    cells = [
        [row["air"], f"{fixed(row['from_mc'], 1)} -> {fixed(row['to_mc'], 1)}",
         _moved(row["each"], lengths), _moved(row["over_all"], lengths),
         "" if row["in_range"] else "estimate"]
        for row in answer["movement"]
    ]  # fmt: skip
    return table(("in the air", "%", "a board", "the whole width", ""), cells, "l")


def _moved(value: float, lengths: Lengths) -> str:
    return small_length(lengths.ticks(value), lengths.unit)


def _stacks(answer: Answer, lengths: Lengths) -> list[Setting]:
    area = "sq ft" if answer["units"]["area"] == "ft2" else "m2"
    return [
        part
        for row in answer["stacks"]
        for part in paragraph(
            f"{row['in_words']} The cover is {plain(row['cover'], 1)} {area}.", "  * "
        )
    ]


_SECTIONS: Final[Sequence[Section]] = (
    ("BEFORE THE BOARDS GO UP", _before),
    ("ROOM TO MOVE", _besides),
    ("WHAT THE AIR BRINGS WOOD TO", _air),
    ("WHAT THE METER READ", _visits),
    ("HOW FAR THE BOARDS MOVE", _movement),
    ("WHILE THEY WAIT", _stacks),
)
