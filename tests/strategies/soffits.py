"""Soffits with a strip of vent set into them, square or mitred at either end."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs, shapes
from tests.strategies.requests import board, job, outline

Request = dict[str, Any]

RATE = 9
"""Square inches of net free area in a foot of strip."""


def strip(wide: float, flange: float, *lengths: Any) -> Request:
    """A vent strip, its own lengths written out so that no change of units touches them."""
    return {
        "id": "vent", "form": "moulding", "width": f"{wide} in", "thickness": "0.125 in",
        "meets": "butted", "flange": f"{flange} in", "free_area": f"{RATE} in2/ft",
        "stock": [{"length": one} for one in lengths or ("8 ft",)],
    }  # fmt: skip


def ends(length: float, width: float, left: float, right: float) -> shapes.Points:
    """A soffit whose outer edge lies along x at 0, shorter at the wall by what each end says."""
    return [[0, 0], [length, 0], [length - right, width], [left, width]]


@st.composite
def vented(draw: st.DrawFn, *, along: bool | None = None) -> Request:
    """A soffit, its strip along the outer edge, boards along it or across it."""
    length, width = draw(shapes.inches(90, 300)), draw(shapes.inches(20, 44))
    left, right = draw(st.sampled_from([0, 0, width])), draw(st.sampled_from([0, width, width / 2]))
    wide, flange = draw(st.sampled_from([1.5, 2.625])), draw(st.sampled_from([0, 0.375]))
    is_along = draw(st.booleans()) if along is None else along
    edges = [{"edge": 1, "is": "mitre"}] * bool(right) + [{"edge": 3, "is": "mitre"}] * bool(left)
    behind = draw(jobs.behind(90)) if is_along else {"direction": 0, "spacing": 8, "ends": True}
    area = outline(
        ends(length, width, left, right), behind=behind, type="soffit", view="facing",
        layer={"direction": 0 if is_along else 90, "joints": "anywhere"},
    )  # fmt: skip
    vent = {"id": "vent", "kind": "trim", "product": "vent", "edges": [0],
            "from_edge": draw(shapes.inches(3, 8))}  # fmt: skip
    area |= {"edges": edges, "layers": [vent, *area["layers"]]}
    lengths = draw(st.lists(st.sampled_from([96, 120, 144]), min_size=1, max_size=2, unique=True))
    boards = board("8 ft", "12 ft", "16 ft", cover=3.125, overall=3.375)
    return job(area, boards, strip(wide, flange, *lengths), when_blocked="relax")


def sizes_of(request: Request) -> tuple[float, float, float]:
    """How far from the outer edge the strip begins, how wide it is, and its flange."""
    product = request["products"][1]
    wide, flange = (float(Fraction(product[key].split()[0])) for key in ("width", "flange"))
    return request["surfaces"][0]["layers"][0]["from_edge"], wide, flange
