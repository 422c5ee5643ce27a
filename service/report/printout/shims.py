"""Shims on the members, on paper: how many of each, and member by member where they go."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from itertools import groupby

from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row


def shims(answer: Row, lengths: Lengths) -> list[Setting]:
    """Each surface by itself: counts by thickness, then the marks of each member."""
    lines: list[Setting] = []
    for surface, rows in groupby(answer["shims"], key=lambda row: str(row["surface"])):
        lines += _of_surface(surface, list(rows), _support(answer, surface), lengths)
    return lines


def _support(answer: Row, surface: str) -> str:
    return next(str(row["support"]) for row in answer["surfaces"] if row["surface"] == surface)


def _of_surface(surface: str, rows: Sequence[Row], support: str, lengths: Lengths) -> list[Setting]:
    counts = Counter(row["shim"] for row in rows)
    told = ", ".join(
        f"{counts[shim]} of {lengths.width(shim)}" for shim in sorted(counts, reverse=True)
    )
    if rows[0]["strap"] is None:
        text = f"{surface}, a shim at each mark: {told}. Marks from the left or the low end:"
        cells = _by(rows, "member", lambda row: f" at {lengths.station(row['along'])}", lengths)
        heads = (support, "thickness at mark")
    else:
        text = f"{surface}, a pair of shims at each crossing that is named: {told}."
        cells = _by(rows, "strap", None, lengths)
        heads = ("strap", f"thickness, and under it the {support}s")
    return [*paragraph(text, "  "), *table(heads, cells, "rl")]


def _by(
    rows: Sequence[Row], key: str, place: Callable[[Row], str] | None, lengths: Lengths
) -> list[list[str]]:
    """A line for each member with its marks, or for each strap with the members that it crosses."""
    order = "along" if place else "member"
    cells = []
    for number, own in groupby(
        sorted(rows, key=lambda row: (row[key], row[order])), key=lambda row: str(row[key])
    ):
        marks = [
            lengths.width(shim) + (
                ", ".join(map(place, alike)) if place else f" ({_numbers(alike)})"
            )
            for shim, alike in ((shim, list(some)) for shim, some in
                                groupby(own, key=lambda row: row["shim"]))
        ]  # fmt: skip
        cells.append([number, ", ".join(marks)])
    return cells


def _numbers(rows: Sequence[Row]) -> str:
    """The members of rows in their order: of each that follow one another the first and last."""
    ranges: list[list[int]] = []
    for number in (int(row["member"]) for row in rows):
        if ranges and number == ranges[-1][-1] + 1:
            ranges[-1].append(number)
        else:
            ranges.append([number])
    return ", ".join(f"{own[0]}-{own[-1]}" if len(own) > 1 else str(own[0]) for own in ranges)
