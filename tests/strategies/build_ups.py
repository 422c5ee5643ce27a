"""Generated jobs with sheets and wrap behind the boards."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs

Request = dict[str, Any]

SHEETS = ((48, 96), (47.875, 95.875), (48, 120))
ROLLS = (36, 54, 108)


@st.composite
def sheets(draw: st.DrawFn) -> Request:
    """A sheet of a usual size, sometimes in two lengths."""
    width, length = draw(st.sampled_from(SHEETS))
    longer = draw(st.booleans())
    stock = [{"length": length}, *([{"length": length + 24}] if longer else [])]
    return {"id": "sheet", "form": "sheet", "width": width, "thickness": 0.5, "stock": stock}


@st.composite
def rolls(draw: st.DrawFn) -> Request:
    """A roll of a usual width; short ones make end laps."""
    length = draw(st.sampled_from(["20 ft", "50 ft", "150 ft"]))
    return {"id": "roll", "form": "roll", "width": draw(st.sampled_from(ROLLS)),
            "stock": [{"length": length}]}  # fmt: skip


TAPE: Request = {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"}


@st.composite
def build_ups(draw: st.DrawFn, family: st.SearchStrategy[Request] | None = None) -> Request:
    """A job of boards, with sheets, wrap or both laid on every surface before them."""
    request = draw(jobs.jobs() if family is None else family)
    behind = draw(st.sampled_from([("sheathing",), ("wrap",), ("sheathing", "wrap")]))
    products = {"sheathing": draw(sheets()), "wrap": draw(rolls())}
    extra = [products[kind] for kind in behind] + ([TAPE] if "wrap" in behind else [])
    areas = []
    for area in request["surfaces"]:
        own = [_layer(kind, products[kind], draw) for kind in behind]
        areas.append(area | {"layers": [*own, *area["layers"]]})
    return request | {"surfaces": areas, "products": [*request["products"], *extra]}


def _layer(kind: str, product: Request, draw: st.DrawFn) -> Request:
    layer: Request = {"kind": kind, "product": product["id"]}
    if kind == "wrap":
        return layer | {"tape": "tape"}
    return layer | {"edges": draw(st.sampled_from(["open", "blocked"])),
                    "start_side": draw(st.sampled_from(["low", "high"]))}  # fmt: skip
