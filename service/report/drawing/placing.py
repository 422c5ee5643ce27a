"""Finds room for labels on a page: no two overlap; one that finds no room is left out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from service.report.drawing.labels import Box, Choice, Label, Stroke, Word

_CELL: Final = 12.0

_OFF_WALLS: Final = 0.65
"""How far at its sides a word keeps off edges, mm: the white behind it, and half a heavy line."""


@dataclass(slots=True)
class Placer:
    """Keeps what is taken on one page, mm, y down.

    `frame` is the paper that may be used. Words that are backed or shy keep off `walls`, the
    edges of the surface; shy ones also off `marks`. `left_out` counts labels without room, and
    `to_list` is what those of them say that can stand elsewhere.
    """

    frame: Box
    walls: tuple[Stroke, ...] = ()
    marks: tuple[Stroke, ...] = ()
    left_out: int = 0
    to_list: list[str] = field(default_factory=list)
    _boxes: defaultdict[tuple[int, int], list[Box]] = field(
        default_factory=lambda: defaultdict(list)
    )
    _walls: dict[tuple[int, int], list[Stroke]] = field(default_factory=dict)
    _marks: dict[tuple[int, int], list[Stroke]] = field(default_factory=dict)
    _strokes: list[Stroke] = field(default_factory=list)

    def __post_init__(self) -> None:
        for strokes, cells in ((self.walls, self._walls), (self.marks, self._marks)):
            for stroke in strokes:
                for cell in _cells_of(_around(stroke)):
                    cells.setdefault(cell, []).append(stroke)

    def place(self, labels: Iterable[Label]) -> list[Choice]:
        """The choices that found room: by ascending rank, labels of one rank as given."""
        return [
            choice
            for label in sorted(labels, key=lambda label: label.rank)
            if (choice := self._first_free(label)) is not None
        ]

    def _first_free(self, label: Label) -> Choice | None:
        for choice in label.choices:
            if self._is_free(choice):
                self._take(choice)
                self._list(label, listed=choice.partly)
                return choice
        self.left_out += 1
        self._list(label, listed=True)
        return None

    def _list(self, label: Label, *, listed: bool) -> None:
        if listed and label.listed:
            self.to_list.append(label.listed)

    def _take(self, choice: Choice) -> None:
        for word in choice.words:
            for cell in _cells_of(word.box):
                self._boxes[cell].append(word.box)
        self._strokes += choice.strokes

    def _is_free(self, choice: Choice) -> bool:
        return all(self._word_is_free(word) for word in choice.words) and not any(
            crosses(stroke, box)
            for stroke in choice.strokes
            for cell in _cells_of(_around(stroke))
            for box in self._boxes.get(cell, ())
        )

    def _word_is_free(self, word: Word) -> bool:
        box = word.box
        left, top, right, bottom = self.frame
        if box[0] < left or box[1] < top or box[2] > right or box[3] > bottom:
            return False
        if any(crosses(stroke, box) for stroke in self._strokes):
            return False
        if any(_overlap(box, other) for cell in _cells_of(box) for other in self._boxes[cell]):
            return False
        return not self._is_over_lines(word)

    def _is_over_lines(self, word: Word) -> bool:
        """Whether a backed or shy word would hide something of an edge, or a shy one of a mark."""
        left, top, right, bottom = word.box
        white = left - _OFF_WALLS, top, right + _OFF_WALLS, bottom
        hidden = word.backed or word.shy
        walls = _in_cells(self._walls, white) if hidden else iter(())
        marks = _in_cells(self._marks, word.box) if word.shy else iter(())
        return any(crosses(stroke, white) for stroke in walls) or any(
            crosses(stroke, word.box) for stroke in marks
        )


def _in_cells(found: dict[tuple[int, int], list[Stroke]], box: Box) -> Iterator[Stroke]:
    """The lines of all cells that a box lies in."""
    for cell in _cells_of(box):
        yield from found.get(cell, ())


def _around(stroke: Stroke) -> Box:
    (x0, y0), (x1, y1) = stroke
    return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _cells_of(box: Box) -> Iterator[tuple[int, int]]:
    for column in range(int(box[0] // _CELL), int(box[2] // _CELL) + 1):
        for row in range(int(box[1] // _CELL), int(box[3] // _CELL) + 1):
            yield column, row


def _overlap(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def crosses(stroke: Stroke, box: Box) -> bool:
    """Whether a straight line has a point inside the box: its part between the sides is left."""
    (x0, y0), (x1, y1) = stroke
    enter, leave = 0.0, 1.0
    for start, way, low, high in (
        (x0, x1 - x0, box[0], box[2]),
        (y0, y1 - y0, box[1], box[3]),
    ):
        if way == 0:
            if not low < start < high:
                return False
            continue
        near, far = sorted(((low - start) / way, (high - start) / way))
        enter, leave = max(enter, near), min(leave, far)
    return enter < leave
