"""Paragraphs and tables on paper, and how they are set as plain text on a page of any width.

What is to be printed is put together before the page is known: each part is a `Setting`, a record
of what it says, which gives its lines when it is told how many columns there are. Another setter,
as that of the shop sheets, reads the records.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Final, TypeAlias

from service.report.printable import printable

NARROWEST: Final = 60
USUAL: Final = 80
WIDEST: Final = 100
"""Columns of a page: at least, by default, at most."""

_BETWEEN: Final = "  "
_MARGIN: Final = "  "
_LEAST: Final = 8
"""Columns that a cell which flows is left with, however narrow the page."""

UNBROKEN: Final = "\u00a0"
"""Stands for a space at which no line may end, until all is laid out."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A text that flows; `first` stands before its first line, `rest` before the others.

    `boxes` are to be ticked on site, one for each of what the text counts; plain text has none. A
    caption stands over what follows.
    """

    text: str
    first: str
    rest: str
    boxes: int = 0
    is_caption: bool = False

    def __call__(self, columns: int) -> list[str]:
        """Its lines on a page of so many columns."""
        return _flowed(self.text, self.first, self.rest, columns)


@dataclass(frozen=True, slots=True)
class Blank:
    """An empty line."""

    def __call__(self, columns: int) -> list[str]:
        """Its one line."""
        return [""]


@dataclass(frozen=True, slots=True)
class Heading:
    """The name of a section."""

    name: str

    def __call__(self, columns: int) -> list[str]:
        """Its lines, with a rule behind the last to the edge of the page."""
        *lines, last = _flowed(self.name, "", "", columns - 4)
        return [*lines, f"{last} ".ljust(columns, "-")]


@dataclass(frozen=True, slots=True)
class Table:
    """Cells in rows, those of the heads first where it has `heads`; `lefts` tells what is set left.

    `boxes` are to be ticked on site, so many for each row; plain text has none.
    """

    cells: tuple[tuple[str, ...], ...]
    lefts: tuple[bool, ...]
    heads: bool
    boxes: tuple[int, ...] = ()

    def __call__(self, columns: int) -> list[str]:
        """Its lines on a page of so many columns."""
        return _tabled(self.cells, self.lefts, columns)


@dataclass(frozen=True, slots=True)
class Abreast:
    """Short texts side by side, read across."""

    texts: tuple[str, ...]

    def __call__(self, columns: int) -> list[str]:
        """Its lines on a page of so many columns."""
        return _abreast(self.texts, columns)


Setting: TypeAlias = Paragraph | Blank | Heading | Table | Abreast
"""A part of the printout; called, it gives its lines, none of them wider than the page."""


def set_on(parts: Iterable[Setting], columns: int) -> list[str]:
    """The lines of all parts on a page of `columns` (NARROWEST to WIDEST)."""
    return [line.rstrip() for part in parts for line in part(columns)]


def paragraph(text: str, first: str = "", rest: str | None = None, boxes: int = 0) -> list[Setting]:
    """`text` in lines; `first` stands before the first, `rest` (default: blanks) before others."""
    after = " " * len(first) if rest is None else rest
    return [Paragraph(printable(text), first, after, boxes)]


def _flowed(text: str, first: str, rest: str, columns: int) -> list[str]:
    return textwrap.wrap(
        text,
        columns,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    ) or [first.rstrip()]


def caption(text: str, first: str) -> list[Setting]:
    """A text that stands over what follows."""
    return [Paragraph(printable(text), first, " " * len(first), is_caption=True)]


def blank() -> list[Setting]:
    """An empty line."""
    return [Blank()]


def heading(text: str) -> list[Setting]:
    """A section's name after an empty line, with a rule behind it to the edge of the page."""
    return [*blank(), Heading(printable(text))]


def table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    texts: str = "",
    boxes: Sequence[int] = (),
) -> list[Setting]:
    """Rows under their heads; nothing without rows.

    Columns are set right, those with `l` at their place in `texts` left. Where the page is too
    narrow, those set left flow over several lines, the widest first. A column without a cell is
    left out, and so are heads that are all empty. `boxes` are those of each row, to be ticked.
    """
    if not rows:
        return []
    kept = [k for k in range(len(heads)) if any(row[k] for row in rows)]
    lefts = tuple(texts[k : k + 1] == "l" for k in kept)
    lines = [heads, *rows] if any(heads) else rows
    cells = tuple(tuple(printable(line[k]) for k in kept) for line in lines)
    return [Table(cells, lefts, any(heads), tuple(boxes))]


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
    return [Abreast(tuple(printable(cell) for cell in cells))]


def _abreast(texts: Sequence[str], columns: int) -> list[str]:
    wide = max(map(len, texts), default=0)
    each = max(1, (columns - 2) // (wide + 4))
    if each == 1:
        return [line for text in texts for line in _flowed(text, "  ", "        ", columns)]
    rows = [texts[k : k + each] for k in range(0, len(texts), each)]
    return ["  " + "    ".join(text.ljust(wide) for text in row) for row in rows]
