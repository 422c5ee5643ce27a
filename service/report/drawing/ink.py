"""Ink on paper as SVG elements: lines, shapes and words, in millimetres, absolute, black.

Nothing refers to anything outside the document; there are no scripts, styles or links. Texts
lose what XML cannot carry and are escaped.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeAlias
from xml.sax.saxutils import escape

from service.report.drawing.labels import Word
from service.report.printable import printable

Spot: TypeAlias = tuple[float, float]
"""x, y on paper, mm, y down."""

FACE: Final = "Helvetica, Arial, 'Liberation Sans', sans-serif"


def number(value: float) -> str:
    """A coordinate to a thousandth of a millimetre, without trailing zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def quoted(text: str) -> str:
    """`text` as the content of an element or of a double-quoted attribute."""
    return escape(printable(text), {'"': "&quot;"})


def line(start: Spot, end: Spot, attributes: str = "") -> str:
    """A straight line."""
    ends = (
        f'x1="{number(start[0])}" y1="{number(start[1])}" '
        f'x2="{number(end[0])}" y2="{number(end[1])}"'
    )
    return f"<line {ends}{' ' + attributes if attributes else ''}/>"


def shape(rings: Iterable[Iterable[Spot]], attributes: str = "") -> str:
    """Closed rings as one path; a ring within another is a hole."""
    parts = []
    for ring in rings:
        spots = " L".join(f"{number(x)} {number(y)}" for x, y in ring)
        parts.append(f"M{spots}Z")
    return f'<path d="{"".join(parts)}"{" " + attributes if attributes else ""}/>'


def rectangle(left: float, top: float, wide: float, high: float, attributes: str = "") -> str:
    """An upright rectangle."""
    sizes = f'x="{number(left)}" y="{number(top)}" width="{number(wide)}" height="{number(high)}"'
    return f"<rect {sizes}{' ' + attributes if attributes else ''}/>"


def written(word: Word) -> str:
    """A word, with white behind it where it stands over other ink."""
    text = (
        f'<text x="{number(word.x)}" y="{number(word.y)}" font-size="{number(word.size)}" '
        f'text-anchor="{word.anchor}">{quoted(word.text)}</text>'
    )
    if not word.backed:
        return text
    left, top, right, bottom = word.box
    low = bottom - 0.12 * word.size
    high = top + 0.14 * word.size
    white = rectangle(left - 0.3, high, right - left + 0.6, low - high, 'fill="#fff"')
    return white + text


def group(name: str, attributes: str, parts: Iterable[str]) -> str:
    """Parts under one set of attributes; nothing where there are no parts."""
    inside = "\n".join(parts)
    if not inside:
        return ""
    return f'<g class="{name}"{" " + attributes if attributes else ""}>\n{inside}\n</g>\n'


def window(box: tuple[float, float, float, float], ink: str) -> str:
    """`ink` where it lies in the box (left, top, right, bottom); the rest is not shown."""
    left, top, right, bottom = box
    sides = " ".join(number(value) for value in (left, top, right - left, bottom - top))
    x, y, wide, high = sides.split()
    return (
        f'<svg x="{x}" y="{y}" width="{wide}" height="{high}" viewBox="{sides}" '
        f'overflow="hidden">\n{ink}</svg>\n'
    )
