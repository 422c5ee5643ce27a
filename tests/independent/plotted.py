"""Reads a drawing back from its SVG: pages, words with the paper they take, and where they stand.

It knows the document and common sans-serif faces, and nothing of the service. Millimetres, y down.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
WIDE, HIGH = 279.4, 215.9
STRIP = 23.0
BORDER = 6.35
"""A letter page, the height of its title strip, and its border."""

Spot = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Text:
    """A text with the box that its ink takes at the least, left, top, right, bottom."""

    text: str
    x: float
    y: float
    anchor: str
    box: Box


@dataclass(frozen=True)
class Page:
    """What stands on one page, with heights from its own top."""

    texts: tuple[Text, ...]
    outlines: tuple[tuple[tuple[Spot, ...], ...], ...]
    scale: int | None
    joints: tuple[tuple[Spot, Spot], ...]
    lines: tuple[tuple[Spot, Spot], ...] = ()
    backing: tuple[tuple[Spot, Spot], ...] = ()
    pieces: tuple[tuple[Spot, ...], ...] = ()
    whites: tuple[Box, ...] = ()

    @property
    def open(self) -> tuple[Text, ...]:
        """Its words above the title strip."""
        return tuple(text for text in self.texts if text.y < HIGH - BORDER - STRIP)

    def said(self) -> set[str]:
        """All its texts."""
        return {text.text for text in self.texts}

    def under(self, heading: str, side: str) -> list[Text]:
        """A column: what is set as its heading is, at the same x; `side` is left or right."""
        middle = sum(self.reach) / 2
        heads = [one for one in self.open if one.text == heading]
        (head,) = [one for one in heads if (one.x < middle) == (side == "left")]
        return [
            one for one in self.open
            if one.x == head.x and one.anchor == head.anchor and one is not head
        ]  # fmt: skip

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where the surface reaches across the page."""
        xs = [x for rings in self.outlines for ring in rings for x, _ in ring]
        return min(xs), max(xs)


def pages(body: bytes) -> list[Page]:
    """All pages of a document, in order."""
    root = ElementTree.fromstring(body)
    count = round(float(root.attrib["viewBox"].split()[3]) / HIGH)
    texts = [_text(one) for one in root.iter(f"{SVG}text")]
    outlines = [tuple(_rings(path)) for path in _group(root, "outline")]
    joints = [_line(one) for one in _group(root, "joints")]
    behind = [_line(one) for one in _group(root, "backing")]
    pieces = [next(_rings(path)) for path in _group(root, "pieces")]
    every = [_line(one) for one in root.iter(f"{SVG}line")]
    whites = [_white(one) for one in _group(root, "words") if one.tag == f"{SVG}rect"]
    found = []
    for k in range(count):
        own = [_up(text, k * HIGH) for text in texts if int(text.y // HIGH) == k]
        rings = [
            tuple(tuple((x, y - k * HIGH) for x, y in ring) for ring in one)
            for one in outlines
            if int(one[0][0][1] // HIGH) == k
        ]
        lines = _on_page(joints, k)
        scales = [m[1] for one in own if (m := re.match(r"about 1 : (\d+)", one.text))]
        found.append(
            Page(
                tuple(own),
                tuple(rings),
                int(scales[0]) if scales else None,
                tuple(lines),
                tuple(_on_page(every, k)),
                tuple(_on_page(behind, k)),
                tuple(
                    tuple((x, y - k * HIGH) for x, y in ring)
                    for ring in pieces
                    if int(ring[0][1] // HIGH) == k
                ),
                tuple(
                    (left, top - k * HIGH, right, bottom - k * HIGH)
                    for left, top, right, bottom in whites
                    if int(top // HIGH) == k
                ),
            )
        )
    return found


def _on_page(lines: Sequence[tuple[Spot, Spot]], k: int) -> list[tuple[Spot, Spot]]:
    """Those that begin on a page, with heights from its top."""
    return [
        ((a[0], a[1] - k * HIGH), (b[0], b[1] - k * HIGH))
        for a, b in lines
        if int(a[1] // HIGH) == k
    ]


def _group(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [one for group in root.iter(f"{SVG}g") if group.get("class") == name for one in group]


def _line(element: ElementTree.Element) -> tuple[Spot, Spot]:
    x1, y1, x2, y2 = (float(element.attrib[name]) for name in ("x1", "y1", "x2", "y2"))
    return (x1, y1), (x2, y2)


def _rings(path: ElementTree.Element) -> Iterator[tuple[Spot, ...]]:
    for part in path.attrib["d"].split("Z"):
        pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", part)
        if pairs:
            yield tuple((float(x), float(y)) for x, y in pairs)


def _white(element: ElementTree.Element) -> Box:
    """The white behind a word."""
    x, y, wide, high = (float(element.attrib[name]) for name in ("x", "y", "width", "height"))
    return x, y, x + wide, y + high


def _text(element: ElementTree.Element) -> Text:
    x, y, size = (float(element.attrib[name]) for name in ("x", "y", "font-size"))
    text, anchor = element.text or "", element.attrib["text-anchor"]
    wide = size * sum(map(advance, text))
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Text(text, x, y, anchor, (left, y - 0.75 * size, left + wide, y + 0.2 * size))


def advance(character: str) -> float:
    """Width in ems in a wide common face, rounded down where it varies."""
    if character in "iljI'|":
        return 0.27
    if character in " .,:;!/-()":
        return 0.31
    if character in '"rt':
        return 0.39
    if character.isdigit() or character.islower():
        return 0.97 if character in "mw" else 0.6
    return 0.66


def _up(text: Text, by: float) -> Text:
    left, top, right, bottom = text.box
    return Text(text.text, text.x, text.y - by, text.anchor, (left, top - by, right, bottom - by))


def overlapping(texts: Sequence[Text]) -> list[tuple[str, str]]:
    """Pairs of texts that stand on each other."""
    found = []
    for one, two in combinations(texts, 2):
        a, b = one.box, two.box
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            found.append((one.text, two.text))
    return found


HALF_A_WALL = 0.34
"""Half of the line that an outline is drawn with."""


def hidden_walls(page: Page) -> list[tuple[Spot, Spot]]:
    """Level and upright edges of the outline that the white behind a word takes something of."""
    edges = [
        edge
        for rings in page.outlines
        for ring in rings
        for edge in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    return [edge for edge in edges for white in page.whites if _hides(white, *edge)]


def _hides(white: Box, a: Spot, b: Spot) -> bool:
    left, top, right, bottom = white
    (low, high), (up, down) = (sorted((a[k], b[k])) for k in (0, 1))
    if a[0] == b[0]:
        return left - HALF_A_WALL < a[0] < right + HALF_A_WALL and top < down and up < bottom
    return a[1] == b[1] and top < a[1] < bottom and left < high and low < right


def off_the_paper(texts: Sequence[Text]) -> list[str]:
    """Texts that reach beyond the border of their page."""
    return [
        text.text
        for text in texts
        if text.box[0] < BORDER
        or text.box[1] < BORDER
        or text.box[2] > WIDE - BORDER
        or text.box[3] > HIGH - BORDER
    ]


def lines_off_the_paper(page: Page) -> list[tuple[Spot, Spot]]:
    """Lines that reach beyond the border, or from above the title strip into it."""
    foot = HIGH - BORDER - STRIP
    return [
        (a, b)
        for a, b in page.lines
        if min(a[0], b[0]) < BORDER - 0.01
        or max(a[0], b[0]) > WIDE - BORDER + 0.01
        or min(a[1], b[1]) < BORDER - 0.01
        or (min(a[1], b[1]) < foot - 0.01 and max(a[1], b[1]) > foot + 0.01)
    ]


def length_of(text: str) -> float:
    """A length as the drawing writes it, in inches or in millimetres: the caller knows which."""
    match = re.fullmatch(r"(-?)(?:(\d+)' )?(?:(\d+)(?:-(\d+/\d+))?|(\d+/\d+))\"", text)
    if match is None:
        return float(text)
    sign, feet, whole, part, alone = match.groups()
    inches = int(feet or 0) * 12 + int(whole or 0) + Fraction(part or alone or 0)
    return float(-inches if sign else inches)
