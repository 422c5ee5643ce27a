"""What must stand behind surfaces, on paper: how many alike, where each stands, how it is cut."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from service.report.printout.columns import Setting, blank, paragraph, table
from service.report.printout.cuts import cut_list
from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row

_FEWEST_IN_A_ROW: Final = 3
"""So many marks at equal steps are written by the first, the last and the step."""

_WHERE: Final = (
    "Where they stand, by their centre lines, seen facing the finished side: how far up from the "
    "lowest corner or in from the leftmost one; then the left, or the low, end of each:"
)


def behind(answer: Row, lengths: Lengths) -> list[Setting]:
    """What must stand behind each surface, alike ones together, where, and how it is cut."""
    rows = answer["backing"]
    if not rows:
        return []
    lines = [
        *_alike(rows, lengths),
        *blank(),
        *paragraph(_WHERE, "  "),
        *_standing(answer, lengths),
    ]
    for product in sorted({row["product"] or "" for row in rows} - {""}):
        lines += [*blank(), *paragraph(f"Cut list of {product} by stick, longest first:", "  ")]
        lines += cut_list(answer, product, "stick", lengths, named=False)
    return lines


def _alike(rows: Sequence[Row], lengths: Lengths) -> list[Setting]:
    """How many there are of each size for each purpose, and what holds them."""
    alike = Counter((row["surface"], row["what"], row["for"], row["length"]) for row in rows)
    nails: Counter[Any] = Counter()
    for row in rows:
        nails[row["surface"], row["what"], row["for"], row["length"]] += row["nails"] or 0
    cells = [
        [str(count), key[1], lengths.piece(key[3]), key[2], key[0], str(nails[key] or "")]
        for key, count in sorted(alike.items())
    ]
    return table(("count", "what", "each", "for", "surface", "nails"), cells, "rlrllr")


def _standing(answer: Row, lengths: Lengths) -> list[Setting]:
    """Those alike that stand in one line together, and such lines with the same marks."""
    low = {row["surface"]: [min(point[k] for point in row["outline"]) for k in (0, 1)]
           for row in answer["surfaces"]}  # fmt: skip
    marks: dict[Line, list[float]] = defaultdict(list)
    for row in answer["backing"]:
        line, mark = _line(row, low[row["surface"]], lengths)
        marks[line].append(mark)
    lines: dict[tuple[Any, ...], list[Line]] = defaultdict(list)
    for line, places in marks.items():
        ends = line.ends or ", ".join(_in_steps(sorted(places), lengths))
        lines[line.what, line.length, line.surface, line.way, ends].append(line)
    cells = [
        [
            str(sum(len(marks[line]) for line in own)), what, lengths.piece(length), surface,
            way if way == "slanting" else
            f"{', '.join(_in_steps(sorted(line.at for line in own), lengths))} {way}", ends,
        ]
        for (what, length, surface, way, ends), own in lines.items()
    ]  # fmt: skip
    return table(("count", "what", "each", "surface", "stands", "ends"), cells, "rlrlll")


@dataclass(frozen=True, slots=True)
class Line:
    """A line on which some that are alike stand: `at` so far `up` or `in`, or slanting."""

    surface: str
    what: str
    length: float
    way: str
    at: float = 0
    ends: str = ""


def _line(row: Row, low: Sequence[float], lengths: Lengths) -> tuple[Line, float]:
    """The line on which one stands, and the mark on it of its left or low end."""
    named = (row["surface"], row["what"], row["length"])
    (a, b), (c, d) = ([point[k] - low[k] for k in (0, 1)] for point in (row["from"], row["to"]))
    u, v, w, x = map(lengths.station, (a, b, c, d))
    if v == x:
        return Line(*named, "up", b), min(a, c)
    if u == w:
        return Line(*named, "in", a), min(b, d)
    return Line(*named, "slanting", ends=f"from {u} in, {v} up to {w} in, {x} up"), a


def _in_steps(marks: Sequence[float], lengths: Lengths) -> Iterator[str]:
    """Marks in order, those at equal steps by the first, the last and the step."""
    steps = [lengths.station(b - a) for a, b in pairwise(marks)]
    k = 0
    while k < len(marks):
        last = k
        while last < len(steps) and steps[last] == steps[k]:
            last += 1
        if last - k + 1 >= _FEWEST_IN_A_ROW:
            yield f"{lengths.station(marks[k])} to {lengths.station(marks[last])} every {steps[k]}"
            k = last + 1
        else:
            yield lengths.station(marks[k])
            k += 1
