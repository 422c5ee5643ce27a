"""Outlines whose edges say what they are, and boards within them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs, shapes
from tests.strategies.requests import board, job, outline

Request = dict[str, Any]

WHAT = ("covered", "bare", "tight", "mitre")
GAPS = (0, 0.25, 0.5, 0.75, 1, 1.5)
"""In quarters, of which half is an eighth: no step of the outline is a sixty-fourth of a course."""


@st.composite
def rows(draw: st.DrawFn, count: int, least: int = 1) -> list[Request]:
    """What some of `count` edges are, or their gaps, or both, in any order."""
    numbers = draw(st.lists(st.integers(0, count - 1), min_size=least, max_size=count, unique=True))
    return [{"edge": number} | draw(said()) for number in numbers]


@st.composite
def said(draw: st.DrawFn) -> Request:
    """What one edge is, its gap, or both."""
    what = {"is": draw(st.sampled_from(WHAT))}
    gap = {"gap": draw(st.sampled_from(GAPS))}
    return draw(st.sampled_from([what, gap, what | gap]))


def rings() -> st.SearchStrategy[shapes.Points]:
    """Outlines without edges as short as a gap."""
    return st.one_of(
        shapes.rectangles(), shapes.ells(), shapes.tees(), shapes.skylines(), shapes.slanted(),
        shapes.out_of_square(), shapes.turned(shapes.ells()),
    )  # fmt: skip


@st.composite
def walled(
    draw: st.DrawFn,
    directions: tuple[float, ...] = (0, 0, 90, 45, 30),
    within: st.SearchStrategy[shapes.Points] | None = None,
) -> Request:
    """Boards of any direction within edges of which some say what they are."""
    points = draw(rings() if within is None else within)
    direction = draw(st.sampled_from(directions))
    layer = {"direction": direction, "joints": "anywhere",
             "start_side": draw(st.sampled_from(["low", "high"]))}  # fmt: skip
    layer |= draw(st.sampled_from([{}, {"edges": "bare"}, {"rules": {"gap": 0.375}}]))
    area = outline(points, behind=draw(jobs.behind((direction + 90) % 180)), layer=layer)
    area["edges"] = draw(rows(len(points)))
    return job(area, draw(jobs.products()), when_blocked="relax", effort="quick")


@st.composite
def mitred(draw: st.DrawFn) -> Request:
    """Two surfaces of one plan that meet along one edge, each mitred on it.

    The shared edge leads from 0, 0; the one lies on its left, the other on its right.
    """
    x, y = draw(st.sampled_from([(96, 96), (120, 60), (80, 150), (140, 0), (0, 110)]))
    aside = draw(shapes.inches(90, 150))
    size = (x * x + y * y) ** 0.5
    off = [-y / size * aside, x / size * aside]
    left = [[0, 0], [x, y], [x + off[0], y + off[1]], off]
    right = [[x, y], [0, 0], [-off[0], -off[1]], [x - off[0], y - off[1]]]
    gap = draw(st.sampled_from([{}, {"gap": 0.25}, {"gap": 1}, {"gap": 0}]))
    surfaces = []
    for name, ring in (("left", left), ("right", right)):
        way = draw(st.sampled_from([0, 45, 90, 120]))
        layer = {"direction": way, "joints": "anywhere", "rules": {"min_run": 0}}
        area = outline([[round(a, 4) for a in at] for at in ring], layer=layer,
                       behind=draw(jobs.behind((way + 90) % 180)))  # fmt: skip
        surfaces.append(area | {"id": name, "edges": [{"edge": 0, "is": "mitre"} | gap]})
    return job(surfaces, board("24 ft"), when_blocked="relax", effort="quick")
