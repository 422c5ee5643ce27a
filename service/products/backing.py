"""What must stand behind a layer: nailers, headers and blocks, where the framing has nothing (15).

They are counted and never computed: whether they are enough is for the designer to say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final, Literal, TypeAlias

from service.fastening.spacing import points
from service.geometry.rings import Line, Point
from service.layout.framing import Framing, Span, clusters
from service.units.ticks import INCH, SIXTY_FOURTH, nearest, whole

What: TypeAlias = Literal["nailer", "header", "trimmer", "block", "cleat"]
For: TypeAlias = Literal[
    "hanging ends",
    "hip or valley",
    "wall",
    "opening",
    "fixture",
    "joint",
    "row",
    "seam",
    "beam",
    "beam or strip",
    "leg",
]

FIRMEST: Final[tuple[For, ...]] = (
    "opening", "fixture", "beam", "hip or valley", "hanging ends", "wall",
    "beam or strip", "joint", "leg", "seam", "row",
)  # fmt: skip
"""What blocks are for, those that may be moved the least first: something ends at them (15.8)."""

FROM_END = 3 * INCH // 2
"""How far from its end a nailer is fastened (18.1; common practice)."""


@dataclass(frozen=True, slots=True)
class Nailing:
    """How many fasteners hold what stands behind: at each end, or at most so far apart (ticks)."""

    each_end: int
    apart: int

    def count(self, what: What, lengths: Sequence[int]) -> int:
        """Those of the pieces of one line: along nailers, at both ends of all else (18.1)."""
        if what == "nailer":
            return sum(points(length, self.apart, FROM_END) for length in lengths)
        return 2 * self.each_end * len(lengths)


@dataclass(frozen=True, slots=True, order=True)
class Backer:
    """One straight line of backing, from `start` to `end` in the surface's coordinates (ticks)."""

    start: Point
    end: Point
    length: int
    what: What
    purpose: For


def backer(framing: Framing, low: Point, high: Point, what: What, purpose: For) -> Backer:
    """A line from `low` to `high`, both (u, v), along the members or square to them."""
    start, end = framing.line(low, high)
    return Backer(start, end, abs(high[0] - low[0]) + abs(high[1] - low[1]), what, purpose)


def straight(start: Point, end: Point, what: What, purpose: For) -> Backer:
    """A line between any two points of the surface."""
    first, last = sorted((start, end))
    length = whole(hypot(last[0] - first[0], last[1] - first[1]))
    return Backer(first, last, length, what, purpose)


def left_to_set(one: Backer, there: Iterable[Line]) -> tuple[Backer, ...]:
    """What of a line is still to be set where others stand on it: all of it where none does.

    What would be shorter than an inch is left out.
    """
    spans = sorted(span for line in there if (span := spanned(one.start, one.end, line)))
    if not spans:
        return (one,)
    edges = [0, *(at for span in spans for at in span), one.length]
    rests = [(low, high) for low, high in zip(edges[::2], edges[1::2], strict=True)
             if high - low >= INCH]  # fmt: skip
    (x, y), (z, w) = one.start, one.end

    def at(along: int) -> Point:
        share = along / one.length
        return whole(x + (z - x) * share), whole(y + (w - y) * share)

    return tuple(straight(at(low), at(high), one.what, one.purpose) for low, high in rests)


def spanned(start: Point, end: Point, line: Line) -> Span | None:
    """From where to where along a line another lies on it; None where it lies elsewhere."""
    (x, y), (z, w) = start, end
    length = hypot(z - x, w - y)
    if not length:
        return None
    off = [abs((z - x) * (v - y) - (w - y) * (u - x)) / length for u, v in line]
    low, high = sorted(whole(((u - x) * (z - x) + (v - y) * (w - y)) / length) for u, v in line)
    low, high = max(0, low), min(whole(length), high)
    return (low, high) if max(off) <= SIXTY_FOURTH and high - low >= INCH else None


def blocks_under(framing: Framing, span: Span, at: int, purpose: For) -> Iterator[Backer]:
    """A block in each bay that a line at v crosses: as long as the clear bay (15.1, 15.5)."""
    for low, high in framing.bays_over(span, at):
        yield backer(framing, (low, at), (high, at), "block", purpose)


def merged(framing: Framing, found: Iterable[Backer], within: int) -> tuple[Backer, ...]:
    """With blocks of one bay that lie `within` of each other as one (15.8).

    It stands midway between those of them that may be moved the least.
    """
    kept: list[Backer] = []
    blocks: dict[Span, list[tuple[int, Backer]]] = defaultdict(list)
    for one in dict.fromkeys(found):
        (a, v), (b, w) = framing.frame.to(one.start), framing.frame.to(one.end)
        if one.what == "block" and abs(v - w) <= SIXTY_FOURTH:
            blocks[_bay(a, b)].append((v, one))
        else:
            kept.append(one)
    for (low, high), ones in blocks.items():
        for first, last in clusters([v for v, _ in ones], within):
            v, purpose = _place([(v, one.purpose) for v, one in ones if first <= v <= last])
            kept.append(backer(framing, (low, v), (high, v), "block", purpose))
    return tuple(sorted(kept))


def _bay(a: int, b: int) -> Span:
    """The two ends of a bay, by which blocks in it know each other, to 1/64 in."""
    low, high = sorted((a, b))
    return nearest(low, SIXTY_FOURTH), nearest(high, SIXTY_FOURTH)


def _place(ones: Sequence[tuple[int, For]]) -> tuple[int, For]:
    """Where one block for several stands, and what it is for first."""
    purpose = min((purpose for _, purpose in ones), key=FIRMEST.index)
    places = [v for v, own in ones if own == purpose]
    return (min(places) + max(places)) // 2, purpose
