"""Courses and joints of one layer, on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from service.report.printout.columns import UNBROKEN, Setting, abreast, paragraph, table
from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row

_RIPPED: Final = {
    "groove": "groove edge ripped off",
    "tongue": "tongue edge ripped off",
    "both": "both edges ripped",
    "none": "not ripped",
}
_EVERY = 5
"""Among courses that are alike each fifth one is printed, for check marks on site."""


def courses(rows: Sequence[Row], word: str, past: str, lengths: Lengths) -> list[Setting]:
    """Every course that differs from its neighbours, and each fifth of those that are alike.

    `word` is what a course of this layer is called: course, row or run; `past` where one lies that
    reaches over the edge.
    """
    shown, folded = [], False
    for alike in _alike(rows, lengths):
        kept = _kept(alike)
        folded = folded or len(kept) < len(alike)
        shown += [_course_cells(row, past, lengths) for row in kept]
    width = "exposure" if any("exposure" in row["note"] for row in rows) else "width"
    lines = table(("no.", "near edge", "far edge", width, "note"), shown, "rrrrl")
    return lines + paragraph(_between(rows, word, lengths), "    ") if folded else lines


def _alike(rows: Sequence[Row], lengths: Lengths) -> Iterator[list[Row]]:
    """Neighbouring courses of one width, edges and note, as far from one to the next."""

    def looks(row: Row) -> tuple[str, ...]:
        return (width_of(row, lengths), row["rip"], row["tongue"], row["note"])

    for _, chosen in groupby(rows, key=looks):
        alike: list[Row] = []
        for row in chosen:
            if len(alike) > 1 and abs(_step(alike[-1], row) - _step(*alike[:2])) > _EVEN:
                yield alike
                alike = []
            alike.append(row)
        yield alike


_EVEN = 1e-3
"""Steps that differ by no more, in the request's unit, are one."""


def _step(before: Row, after: Row) -> float:
    return abs(float(after["near"]) - float(before["near"]))


def _kept(alike: list[Row]) -> list[Row]:
    """The first and the last of courses that are alike, and each fifth course between."""
    if len(alike) <= 4:
        return alike
    inner = [row for row in alike[1:-1] if row["course"] % _EVERY == 0]
    return [alike[0], *inner, alike[-1]]


def _between(rows: Sequence[Row], word: str, lengths: Lengths) -> str:
    """How to find the courses that are not printed."""
    folded = (alike for alike in _alike(rows, lengths) if len(_kept(alike)) < len(alike))
    steps = {lengths.width(_step(*alike[:2])) for alike in folded}
    apart = f"{steps.pop()} apart" if len(steps) == 1 else "evenly apart"
    return f"Those between two {word}s that are listed are alike, {apart}."


def mark_of(station: float, past: str, lengths: Lengths) -> str:
    """A mark; one before the edge from which it is measured as how far it lies `past` that."""
    if station >= 0:
        return lengths.station(station)
    return f"{lengths.station(-station)} {past}"


def _course_cells(row: Row, past: str, lengths: Lengths) -> list[str]:
    note = "" if row["rip"] == "none" and not row["note"] else cut_of(row)
    near, far = (mark_of(row[one], past, lengths) for one in ("near", "far"))
    return [str(row["course"]), near, far, width_of(row, lengths), note]  # fmt: skip


def width_of(row: Row, lengths: Lengths) -> str:
    """The width of a course; of one that tapers at its low and at its high end."""
    return " to ".join(lengths.width(width) for width in row["end_widths"] or [row["width"]])


def cut_of(row: Row) -> str:
    """How a course is cut, and its note; said once where the note says it too."""
    note: str = row["note"]
    if "rip" in note or row["tongue"] == row["rip"] == "none":
        return note
    return "; ".join(part for part in (_RIPPED[row["rip"]], note) if part)


def joints(rows: Sequence[Row], lengths: Lengths) -> list[Setting]:
    """The joints of each course, with the number of the member each lands on."""
    return abreast(
        f"{course:>4}  " + "   ".join(_joint(row, lengths) for row in chosen)
        for course, chosen in groupby(rows, key=lambda row: row["course"])
    )


def _joint(row: Row, lengths: Lengths) -> str:
    """A station and its member, in which no line may end."""
    place = row["on"] if row["bearing"] is None else str(row["bearing"])
    return f"{lengths.station(row['at'])} ({place})".replace(" ", UNBROKEN)
