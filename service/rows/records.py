"""A sheet of any size as CSV, row by row: each as the text that it takes up, then as a line.

A row whose quotes do not close ends with its line and is told so in its place: what follows it is
read as if it were not there.
"""

from __future__ import annotations

import csv
import io
from collections import deque
from collections.abc import Iterator

from service.rows.csv_in import MOST_CELL, Head, Line, line_of

_SHOWN = 200


class _Taken:
    """Lines of a file as the CSV reader takes them; all but the first can be laid back."""

    def __init__(self, lines: Iterator[str], most: int) -> None:
        self._lines = lines
        self._back: deque[str] = deque()
        self._most = most
        self.lines: list[str] = []

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        if sum(map(len, self.lines)) > self._most:
            raise csv.Error("too long")
        line = self._back.popleft() if self._back else next(self._lines)
        self.lines.append(line)
        return line

    def only_first(self) -> None:
        """Lay back what was taken after the first line."""
        self._back.extendleft(reversed(self.lines[1:]))
        del self.lines[1:]


def texts(lines: Iterator[str], parted_by: str, most: int) -> Iterator[str]:
    """The text of each row that has cells, from lines with their ends; `most` characters long.

    What of a row is longer is left in, so that it shows.
    """
    taken = _Taken(lines, most)
    while True:
        taken.lines = []
        try:
            has_cells = bool(next(csv.reader(taken, delimiter=parted_by, strict=True)))
        except StopIteration:
            return
        except csv.Error:
            taken.only_first()
            has_cells = True
        if has_cells:
            yield "".join(taken.lines)


def read(number: int, text: str, head: Head, most: int) -> Line:
    """The row that takes up this text, with what is wrong with it; the head is row 1."""
    if len(text) > most:
        return _spoilt(number, text, head, f"the row has more than {most} characters")
    try:
        text.encode()
        cells = next(
            csv.reader(io.StringIO(text, newline=""), delimiter=head.parted_by, strict=True)
        )
    except UnicodeEncodeError:
        return _spoilt(number, text, head, "the row is not UTF-8: save the sheet as CSV in UTF-8")
    except csv.Error:
        told = "the quotes of the row do not close, or text follows them"
        return _spoilt(number, text, head, told)
    if any(len(cell) > MOST_CELL for cell in cells):
        return _spoilt(number, text, head, f"a cell has more than {MOST_CELL} characters")
    return line_of(number, cells, head)


def _spoilt(number: int, text: str, head: Head, fault: str) -> Line:
    """A row that cannot be parted into cells: what it begins with is shown in the first."""
    shown = text[:_SHOWN].rstrip("\r\n")
    return Line(number, (shown, *("" for _ in head.names[1:])), {}, fault)
