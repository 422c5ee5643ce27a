"""Generated ceilings of boards on straps, with a hatch or without."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies.requests import board, job, room, supports

Request = dict[str, Any]

STRAP: Request = {"id": "strap", "form": "lumber", "width": 2.5, "thickness": 0.75,
                  "stock": [{"length": "8 ft"}, {"length": "12 ft"}]}  # fmt: skip


@st.composite
def strapped(draw: st.DrawFn, *, hatch: bool | None = None) -> Request:
    """A rectangular ceiling whose members run along its boards, which bear on straps.

    Straps that are too narrow for joints of boards are two side by side where such joints land.
    """
    long, wide = draw(st.integers(150, 300)), draw(st.integers(70, 150))
    behind = supports(draw(st.sampled_from([16, 24])), 16, direction=0)
    straps = {"id": "straps", "kind": "strapping", "product": "strap",
              "rules": {"strap_spacing": draw(st.sampled_from([12, 16, 24]))}}  # fmt: skip
    narrow = draw(st.booleans())
    if narrow:
        straps["doubled"] = "joints"
    area = room(long, wide, behind=behind)
    area["layers"] = [straps, *area["layers"]]
    if draw(st.booleans()) if hatch is None else hatch:
        x, y = draw(st.integers(30, long - 70)), draw(st.integers(16, wide - 40))
        size = [draw(st.integers(14, 36)), draw(st.integers(10, 22))]
        area["openings"] = [{"id": "hatch", "rectangle": [x, y, *size]}]
    strap = STRAP | {"width": 1.25} if narrow else STRAP
    return job(area, board("8 ft", "10 ft", "16 ft"), strap)
