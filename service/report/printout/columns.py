"""Tables and paragraphs in plain text, at most 100 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import Final

from service.report.printable import printable

WIDTH: Final = 100
_BETWEEN = "  "

UNBROKEN: Final = "\u00a0"
"""Stands for a space at which no line may end, until all is laid out."""


def paragraph(text: str, first: str = "", rest: str | None = None) -> list[str]:
    """`text` in lines; `first` stands before the first, `rest` (default: blanks) before others."""
    after = " " * len(first) if rest is None else rest
    return textwrap.wrap(
        printable(text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=after,
        break_on_hyphens=False,
    ) or [first.rstrip()]


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], texts: str = "") -> list[str]:
    """Rows under their heads; nothing without rows.

    Columns are set right, those with `l` at their place in `texts` left; the last one, set left,
    flows over several lines where it must. A column without a cell is left out.
    """
    if not rows:
        return []
    kept = [k for k in range(len(heads)) if any(row[k] for row in rows)]
    lefts = [texts[k : k + 1] == "l" for k in kept]
    cells = [[printable(line[k]) for k in kept] for line in (heads, *rows)]
    widths = [max(len(line[k]) for line in cells) for k in range(len(kept))]
    return [text for line in cells for text in _line(line, widths, lefts)]


def _line(cells: list[str], widths: list[int], lefts: list[bool]) -> list[str]:
    """One row; its last cell flows when it is set left."""
    flows = bool(lefts) and lefts[-1]
    fixed = cells[:-1] if flows else cells
    set_cells = [
        cell.ljust(wide) if left else cell.rjust(wide)
        for cell, wide, left in zip(fixed, widths, lefts, strict=False)
    ]
    begin = "  " + _BETWEEN.join(set_cells)
    if not flows:
        return [begin.rstrip()] if len(begin) <= WIDTH else paragraph(begin, "  ", "    ")
    begin = f"{begin}{_BETWEEN}" if fixed else begin
    if len(begin) > WIDTH - 20:
        return [*paragraph(begin, "  ", "    "), *paragraph(cells[-1], "      ")]
    return paragraph(cells[-1], begin) if cells[-1] else [begin.rstrip()]


def abreast(cells: Iterable[str]) -> list[str]:
    """Short texts side by side, read across; a longer one has lines of its own."""
    texts = [printable(cell) for cell in cells]
    wide = max(map(len, texts), default=0)
    each = max(1, (WIDTH - 2) // (wide + 4))
    if each == 1:
        return [line for text in texts for line in paragraph(text, "  ", "        ")]
    rows = [texts[k : k + each] for k in range(0, len(texts), each)]
    return [("  " + "    ".join(text.ljust(wide) for text in row)).rstrip() for row in rows]


def heading(text: str) -> list[str]:
    """A section's name, underlined, after an empty line."""
    name = printable(text)[:WIDTH]
    return ["", name, "-" * len(name)]
