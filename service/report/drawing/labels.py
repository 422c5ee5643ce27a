"""Labels: words with their boxes measured to the wide side, and the ways to write each.

Millimetres on paper, y down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from service.units.folding import folded

Anchor: TypeAlias = Literal["start", "middle", "end"]
Box: TypeAlias = tuple[float, float, float, float]
"""left, top, right, bottom."""

Stroke: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
"""A straight line from x, y to x, y."""

SIZE: Final = 3.65
"""Font size in mm: capitals of common sans-serif faces are 0.688 to 0.73 of it, over 2.5 mm."""

ASCENT: Final = 0.93
DESCENT: Final = 0.24
LINE: Final = 4.3
"""From line to line: a little over a box of `SIZE`."""

MIDDLE: Final = 0.35 * SIZE
"""From the middle of the capitals down to the base line."""

_EMS: Final = {
    0.30: "iljI'",
    0.36: " .,:;|f/",
    0.41: "t-!",
    0.51: '"()[]r*°`',
    0.56: "cszJ?·",
    0.65: "0123456789abdeghknopquvxyLFT_${}",
    0.73: "ABCEKPRSXYZ",
    0.82: "DGHNOQUVw&",
    0.90: "+<>=~#M×",
    1.02: "mW%@…",
}
_WIDTH: Final = {character: width for width, row in _EMS.items() for character in row}


def width_of(text: str, size: float = SIZE) -> float:
    """Width of `text` on paper, mm: at least what a wide sans-serif face takes."""
    return size * folded(_width(character) for character in text)


def _width(character: str) -> float:
    return _WIDTH.get(character, 1.0 if character < "\u1100" else 1.4)


def fitted(text: str, room: float, size: float = SIZE) -> str:
    """`text`, or as much of its beginning as fits into `room` mm, ended with an ellipsis."""
    if width_of(text, size) <= room:
        return text
    kept = text
    while kept and width_of(kept + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrapped(text: str, room: float, size: float = SIZE) -> list[str]:
    """`text` in lines of at most `room` mm, broken at spaces; a longer word is cut short."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(fitted(word, room, size))
    return lines


@dataclass(frozen=True, slots=True)
class Word:
    """One line of text at a base line.

    `backed` puts white behind it, over other ink; `shy` words keep off marks such as joints.
    """

    text: str
    x: float
    y: float
    anchor: Anchor = "middle"
    size: float = SIZE
    backed: bool = False
    shy: bool = False

    @property
    def box(self) -> Box:
        """The paper it takes, measured to the wide side."""
        wide = width_of(self.text, self.size)
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return (left, self.y - ASCENT * self.size, left + wide, self.y + DESCENT * self.size)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to write a label: its words, and ink (SVG) that is drawn only with them.

    `strokes` are the lines of that ink which must not run through words, nor words over them.
    `partly`: it does not say all of it, so that the rest is listed.
    """

    words: tuple[Word, ...]
    ink: tuple[str, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    partly: bool = False

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of the paper that its words take."""
        lefts, tops, rights, bottoms = zip(*(word.box for word in self.words), strict=True)
        return (min(lefts) + max(rights)) / 2, (min(tops) + max(bottoms)) / 2


@dataclass(frozen=True, slots=True)
class Label:
    """What should be written, the best choice first. A lower `rank` is placed earlier.

    `listed` says the same in full, to stand beside the drawing where no choice finds room.
    """

    rank: int
    choices: tuple[Choice, ...]
    listed: str = ""


def stacked(
    texts: tuple[str, ...], x: float, middle: float, anchor: Anchor = "middle", shy: bool = False
) -> Choice:
    """Lines of text one under the other on white, centred on the height `middle`."""
    top = middle - LINE * (len(texts) - 1) / 2 + MIDDLE
    lines = enumerate(texts)
    return Choice(
        tuple(Word(text, x, top + LINE * k, anchor, SIZE, True, shy) for k, text in lines)
    )
