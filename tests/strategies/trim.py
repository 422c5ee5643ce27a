"""Rooms with mouldings round them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs, shapes
from tests.strategies.requests import job, outline

Request = dict[str, Any]

PROJECTION = 1.75


def moulding(*lengths: Any, **more: Any) -> Request:
    """A cove that reaches 1-3/4 in over the ceiling."""
    return {
        "id": "cove", "form": "moulding", "width": 2.5, "projection": PROJECTION,
        "thickness": 0.75, "stock": [{"length": one} for one in lengths or ("16 ft",)],
    } | more  # fmt: skip


def rings() -> st.SearchStrategy[shapes.Points]:
    """Outlines with corners of either sort, of right angles and of others."""
    return st.one_of(
        shapes.rectangles(), shapes.ells(), shapes.tees(), shapes.skylines(), shapes.slanted(),
        shapes.turned(shapes.ells()), shapes.turned(shapes.rectangles()),
    )  # fmt: skip


def round_room(points: shapes.Points, *products: Request, **more: Any) -> Request:
    """One ceiling of nothing but trim; `more` goes into its layer."""
    behind = more.pop("behind", {"direction": 90, "spacing": 16, "first": 8})
    area = outline(points, behind=behind)
    area["layers"] = [{"id": "cove", "kind": "trim", "product": "cove", **more}]
    return job(area, *(products or (moulding(),)))


@st.composite
def trimmed(draw: st.DrawFn) -> Request:
    """A room of any outline and framing with trim along all of it, mitred or coped."""
    points = draw(rings())
    lengths = draw(st.lists(st.sampled_from([96, 120, 144, 168, 192]), min_size=1, max_size=3,
                            unique=True))  # fmt: skip
    inside = draw(st.sampled_from([{}, {"inside": "mitred"}]))
    behind = draw(jobs.behind(draw(st.sampled_from([0, 90]))))
    return round_room(points, moulding(*lengths), behind=behind, **inside)
