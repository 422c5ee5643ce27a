"""Generated outlines and openings, in inches on a grid of sixteenths."""

from __future__ import annotations

import random
from math import cos, radians, sin
from typing import Any

from hypothesis import strategies as st

Points = list[list[float]]
Shape = dict[str, Any]


def inches(least: float, most: float) -> st.SearchStrategy[float]:
    """A length on the grid of sixteenths."""
    return st.integers(int(least * 16), int(most * 16)).map(lambda parts: parts / 16)


@st.composite
def rectangles(draw: st.DrawFn, least: float = 40, most: float = 260) -> Points:
    """Four corners, not always at the origin."""
    x, y = draw(st.sampled_from([(0, 0), (30, 12), (-20.5, 7.25)]))
    length, width = draw(inches(least, most)), draw(inches(least, most))
    return [[x, y], [x + length, y], [x + length, y + width], [x, y + width]]


@st.composite
def ells(draw: st.DrawFn) -> Points:
    """An L: a rectangle with a corner taken out."""
    a, b, c, d = (draw(inches(40, 130)) for _ in range(4))
    return [[0, 0], [a + b, 0], [a + b, c], [a, c], [a, c + d], [0, c + d]]


@st.composite
def tees(draw: st.DrawFn) -> Points:
    """A T: a bar on a stem."""
    a, b, c, d, e = (draw(inches(36, 100)) for _ in range(5))
    return [[a, 0], [a + b, 0], [a + b, d], [a + b + c, d], [a + b + c, d + e],
            [0, d + e], [0, d], [a, d]]  # fmt: skip


@st.composite
def skylines(draw: st.DrawFn) -> Points:
    """A random rectilinear outline: columns of several heights on one base."""
    wide = draw(st.lists(inches(30, 70), min_size=2, max_size=5))
    high = [draw(st.integers(4, 14)) * 12 + draw(st.integers(0, 3)) * 0.25 for _ in wide]
    points, x = [[0.0, 0.0]], 0.0
    for width, height in zip(wide, high, strict=True):
        points += [[x, height], [x + width, height]]
        x += width
    return _merged([*points, [x, 0.0]])


@st.composite
def stepped(draw: st.DrawFn, gap: float = 0.5, cover: float = 5.125) -> Points:
    """Columns on one base whose tops, in by the gap, lie on or beside the edge of a whole course.

    Its steps go up or down, are as deep as some courses or a fraction of one, and stand at either
    end, in the middle, or in a flight.
    """
    beside = [0, 1 / 64, 1 / 32, 1 / 8, 0.5, 1.25, 2, 2.5]
    wide = draw(st.lists(inches(24, 90), min_size=2, max_size=4))
    high = [
        2 * gap + draw(st.integers(4, 9)) * cover
        + draw(st.sampled_from(beside)) * draw(st.sampled_from([1, -1]))
        for _ in wide
    ]  # fmt: skip
    points, x = [[0.0, 0.0]], 0.0
    for width, height in zip(wide, high, strict=True):
        points += [[x, height], [x + width, height]]
        x += width
    return _merged([*points, [x, 0.0]])


def _merged(points: Points) -> Points:
    """Without corners that repeat, or that lie on a straight edge between two of one height."""
    kept: Points = []
    for point in points:
        if len(kept) > 1 and kept[-1][1] == kept[-2][1] == point[1]:
            kept.pop()
        if not kept or kept[-1] != point:
            kept.append(point)
    return kept


@st.composite
def slanted(draw: st.DrawFn) -> Points:
    """Four sides of which two or more slant."""
    a, b = draw(inches(80, 240)), draw(inches(60, 160))
    c, d, e = (draw(inches(-24, 24)) for _ in range(3))
    return [[0, 0], [a, 0], [a + c, b + d], [e, b]]


@st.composite
def triangles(draw: st.DrawFn) -> Points:
    """A fat triangle."""
    a, b = draw(inches(120, 260)), draw(inches(90, 200))
    return [[0, 0], [a, 0], [draw(inches(0, a)), b]]


ANGLES = (0, 30, 45, 90, 17.3, 144.7, 210)
"""Degrees by which outlines are turned; sines of 30 and 45 are snapped, of 17.3 never even."""


def carried(point: list[float], degrees: float, side: int) -> list[float]:
    """A point turned about the origin, then mirrored left to right where `side` is -1."""
    (x, y), angle = point, radians(degrees)
    return [round(side * (x * cos(angle) - y * sin(angle)), 6),
            round(x * sin(angle) + y * cos(angle), 6)]  # fmt: skip


@st.composite
def out_of_square(draw: st.DrawFn) -> Points:
    """A room of four walls, no two of them parallel or square to the thousandth."""
    a, b = draw(inches(100, 260)), draw(inches(70, 160))
    off = [draw(st.integers(-6000, 6000)) / 1000 for _ in range(8)]
    corners = [(0, 0), (a, 0), (a, b), (0, b)]
    return [[x + off[2 * k], y + off[2 * k + 1]] for k, (x, y) in enumerate(corners)]


@st.composite
def needles(draw: st.DrawFn) -> Points:
    """A triangle with a point so sharp that a board runs out in it."""
    a, c = draw(inches(150, 300)), draw(inches(-6, 6))
    return [[0, 0], [a, c], [draw(inches(100, a)), c + draw(inches(14, 60))]]


@st.composite
def turned(draw: st.DrawFn, points: st.SearchStrategy[Points]) -> Points:
    """An outline turned by one of some angles, and perhaps mirrored."""
    angle = radians(draw(st.sampled_from(ANGLES)))
    side = draw(st.sampled_from([1, -1]))
    return [
        [
            round(side * (x * cos(angle) - y * sin(angle)), 4),
            round(x * sin(angle) + y * cos(angle), 4),
        ]
        for x, y in draw(points)
    ]


def irregular() -> st.SearchStrategy[Points]:
    """Outlines out of square, sharp, or with inner corners, turned and mirrored."""
    return turned(st.one_of(out_of_square(), needles(), ells(), tees(), slanted(), triangles()))


def outlines() -> st.SearchStrategy[Points]:
    """An outline of any of the families."""
    return st.one_of(rectangles(), ells(), tees(), skylines(), slanted(), triangles())


def level_outlines() -> st.SearchStrategy[Points]:
    """An outline whose edges all lie along x or y."""
    return st.one_of(rectangles(), ells(), tees(), skylines())


def bounds(points: Points) -> tuple[float, float, float, float]:
    """Least and most x and y."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def extent(points: Points, degrees: float) -> float:
    """How far an outline reaches along a direction."""
    angle = radians(degrees)
    along = [x * cos(angle) + y * sin(angle) for x, y in points]
    return max(along) - min(along)


@st.composite
def boxes(draw: st.DrawFn, points: Points, name: str) -> Shape:
    """A rectangular opening in the low left part of an outline: small, notching or splitting."""
    x0, y0, x1, y1 = bounds(points)
    length, width = draw(inches(1, (x1 - x0) / 6)), draw(inches(1, (y1 - y0) / 6))
    x = x0 + draw(inches(6, (x1 - x0) / 5))
    y = y0 + draw(inches(6, (y1 - y0) / 5))
    return {"id": name, "rectangle": [x, y, length, width]}


@st.composite
def discs(draw: st.DrawFn, points: Points, name: str) -> Shape:
    """A round opening."""
    box = draw(boxes(points, name))["rectangle"]
    across = max(2.0, min(box[2], box[3]))
    return {"id": name, "circle": [box[0] + across / 2, box[1] + across / 2, across]}


@st.composite
def diamonds(draw: st.DrawFn, points: Points, name: str) -> Shape:
    """An opening of four slanting sides."""
    x, y, length, width = draw(boxes(points, name))["rectangle"]
    middle_x, middle_y = x + length / 2, y + width / 2
    return {"id": name, "outline": [[middle_x, y], [x + length, middle_y],
                                    [middle_x, y + width], [x, middle_y]]}  # fmt: skip


@st.composite
def edge_boxes(draw: st.DrawFn, points: Points, name: str) -> Shape:
    """A rectangular opening that touches the low edge of a rectangle, and so notches it."""
    x0, y0, x1, _ = bounds(points)
    x = x0 + draw(inches(8, (x1 - x0) / 2))
    return {"id": name, "rectangle": [x, y0, draw(inches(4, (x1 - x0) / 4)), draw(inches(2, 14))]}


def openings(points: Points, name: str = "hatch") -> st.SearchStrategy[Shape]:
    """An opening inside a rectangle, of any of the families."""
    return st.one_of(boxes(points, name), discs(points, name), diamonds(points, name))


@st.composite
def small_openings(draw: st.DrawFn, at: list[float], name: str) -> Shape:
    """A rectangle, a round or a triangle about a place, with or without clearance or flange."""
    x, y = at
    length, width = draw(inches(1, 16)), draw(inches(1, 16))
    corners = [[x, y], [x + length, y + draw(inches(-4, 4))], [x + length / 2, y + width + 5]]
    forms = [{"rectangle": [x, y, length, width]}, {"circle": [x, y, length]},
             {"outline": corners}]  # fmt: skip
    more = [{}, {"clearance": 1, "flange": 0.5}, {"clearance": 3}, {"cut_gap": 0}, {"flange": 2}]
    return {"id": name} | draw(st.sampled_from(forms)) | draw(st.sampled_from(more))


def seeded_irregular(seed: int, count: int = 400) -> list[Points]:
    """Outlines out of square, sharp or with inner corners, turned and mirrored, from one seed.

    Faults of snapping come once in some hundred outlines: more than a law's examples.
    """
    draw = random.Random(seed)
    return [_irregular(draw) for _ in range(count)]


def _irregular(draw: random.Random) -> Points:
    a, b = draw.uniform(100, 260), draw.uniform(70, 160)
    forms = [
        [[0, 0], [a, 0], [a, b], [0, b]],
        [[0, 0], [a, draw.uniform(0, 6)], [a * draw.uniform(0.4, 1), draw.uniform(14, 60)]],
        [[0, 0], [a, 0], [a, b / 2], [a / 2, b / 2], [a / 2, b], [0, b]],
    ]
    angle, side = radians(draw.choice(ANGLES)), draw.choice([1, -1])
    digits = draw.choice([1, 2, 3, 4])
    made = []
    for even_x, even_y in draw.choice(forms):
        x, y = even_x + draw.uniform(-3, 3), even_y + draw.uniform(-3, 3)
        turned_x, turned_y = x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)
        made.append([round(side * turned_x, digits), round(turned_y, digits)])
    return made
