"""Paragraphs and tables in plain text, set on a page of any width.

What is to be printed is put together before the width of the page is known: each part is a
`Setting`, which gives its lines when it is told how many columns there are.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import zip_longest
from typing import Final, TypeAlias

from service.report.printable import printable

NARROWEST: Final = 60
USUAL: Final = 80
WIDEST: Final = 100
"""Columns of a page: at least, by default, at most."""

Setting: TypeAlias = Callable[[int], list[str]]
"""A part of the printout: its lines on a page of so many columns, none of them wider."""

_BETWEEN: Final = "  "
_MARGIN: Final = "  "
_LEAST: Final = 8
"""Columns that a cell which flows is left with, however narrow the page."""

UNBROKEN: Final = "\u00a0"
"""Stands for a space at which no line may end, until all is laid out."""


def set_on(parts: Iterable[Setting], columns: int) -> list[str]:
    """The lines of all parts on a page of `columns` (NARROWEST to WIDEST)."""
    return [line.rstrip() for part in parts for line in part(columns)]


def paragraph(text: str, first: str = "", rest: str | None = None) -> list[Setting]:
    """`text` in lines; `first` stands before the first, `rest` (default: blanks) before others."""
    after = " " * len(first) if rest is None else rest
    return [partial(_flowed, printable(text), first, after)]


def _flowed(text: str, first: str, rest: str, columns: int) -> list[str]:
    return textwrap.wrap(
        text,
        columns,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    ) or [first.rstrip()]


def blank() -> list[Setting]:
    """An empty line."""
    return [lambda columns: [""]]


def heading(text: str) -> list[Setting]:
    """A section's name after an empty line, with a rule behind it to the edge of the page."""
    return [*blank(), partial(_ruled, printable(text))]


def _ruled(name: str, columns: int) -> list[str]:
    *lines, last = _flowed(name, "", "", columns - 4)
    return [*lines, f"{last} ".ljust(columns, "-")]


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], texts: str = "") -> list[Setting]:
    """Rows under their heads; nothing without rows.

    Columns are set right, those with `l` at their place in `texts` left. Where the page is too
    narrow, those set left flow over several lines, the widest first. A column without a cell is
    left out, and so are heads that are all empty.
    """
    if not rows:
        return []
    kept = [k for k in range(len(heads)) if any(row[k] for row in rows)]
    lefts = [texts[k : k + 1] == "l" for k in kept]
    lines = [heads, *rows] if any(heads) else rows
    cells = [[printable(line[k]) for k in kept] for line in lines]
    return [partial(_tabled, cells, lefts)]


def _tabled(cells: Sequence[Sequence[str]], lefts: Sequence[bool], columns: int) -> list[str]:
    widths = _fitted([max(map(len, column)) for column in zip(*cells, strict=True)], lefts, columns)
    if _breadth(widths) > columns:  # figures alone are wider than the page
        return [
            line
            for row in cells
            for line in _flowed(_BETWEEN.join(filter(None, row)), _MARGIN, _MARGIN * 2, columns)
        ]
    return [line for row in cells for line in _row(row, widths, lefts)]


def _breadth(widths: Sequence[int]) -> int:
    return len(_MARGIN) + sum(widths) + len(_BETWEEN) * (len(widths) - 1)


def _fitted(widths: list[int], lefts: Sequence[bool], columns: int) -> list[int]:
    """Widths of columns; those of texts are narrowed, the widest first, until all fit the page."""
    flowing = [k for k, left in enumerate(lefts) if left]
    while _breadth(widths) > columns and any(widths[k] > _LEAST for k in flowing):
        widest = max(flowing, key=lambda k: widths[k])
        widths = [*widths[:widest], widths[widest] - 1, *widths[widest + 1 :]]
    return widths


def _parted(cell: str, wide: int) -> str:
    """Words that are wider than a line may break after a slash: names of pieces out of one rip."""
    return " ".join(
        word if len(word) <= wide else word.replace("/", "/ ") for word in cell.split(" ")
    )


def _row(row: Sequence[str], widths: Sequence[int], lefts: Sequence[bool]) -> list[str]:
    """One row of a table, over as many lines as its longest text takes."""
    flowed = [
        textwrap.wrap(_parted(cell, wide), wide, break_on_hyphens=False) if left else [cell]
        for cell, wide, left in zip(row, widths, lefts, strict=True)
    ]
    return [
        _MARGIN
        + _BETWEEN.join(
            text.ljust(wide) if left else text.rjust(wide)
            for text, wide, left in zip(line, widths, lefts, strict=True)
        )
        for line in zip_longest(*flowed, fillvalue="")
    ]


def abreast(cells: Iterable[str]) -> list[Setting]:
    """Short texts side by side, read across; a longer one has lines of its own."""
    return [partial(_abreast, [printable(cell) for cell in cells])]


def _abreast(texts: Sequence[str], columns: int) -> list[str]:
    wide = max(map(len, texts), default=0)
    each = max(1, (columns - 2) // (wide + 4))
    if each == 1:
        return [line for text in texts for line in _flowed(text, "  ", "        ", columns)]
    rows = [texts[k : k + each] for k in range(0, len(texts), each)]
    return ["  " + "    ".join(text.ljust(wide) for text in row) for row in rows]
