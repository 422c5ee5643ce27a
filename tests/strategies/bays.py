"""Generated jobs of the kinds for tests: beams, and what is laid in the bays between them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs, shapes
from tests.strategies.build_ups import TAPE, rolls, sheets
from tests.strategies.requests import board, job, outline

Request = dict[str, Any]

WAYS = ([0], [90], [0, 90], [90, 0])
"""Which way beams run; those of a second layer butt against the first."""


@st.composite
def between_beams(draw: st.DrawFn, *, covered: bool = True, short: bool = True) -> Request:
    """Beams from wall to wall or `short` of it, then sheets, wrap and boards, or boards alone."""
    points = draw(st.one_of(shapes.rectangles(130, 240), shapes.ells()))
    direction = draw(st.sampled_from([0, 90]))
    rules = {"beam_spacing": draw(shapes.inches(40, 90)),
             "beam_short": draw(st.sampled_from([0, 0, 30])) if short else 0}  # fmt: skip
    beams = [
        {"id": f"beams-{k}", "kind": "beams", "product": "timber", "direction": way, "rules": rules}
        for k, way in enumerate(draw(st.sampled_from(WAYS)))
    ]
    wrap = {"kind": "wrap", "product": "roll", "tape": "tape"}
    behind = draw(st.sampled_from([[], [{"kind": "sheathing", "product": "sheet"}], [wrap]]))
    boards = {"direction": direction, "joints": draw(st.sampled_from(["framing", "anywhere"])),
              "bays": draw(st.sampled_from(["continuous", "per_bay"]))}  # fmt: skip
    behind = behind if covered else []
    holes = draw(st.sampled_from([[], [draw(shapes.openings(points))]]))
    area = outline(points, behind=draw(jobs.behind((direction + 90) % 180)), openings=holes,
                   layer=boards)  # fmt: skip
    area["layers"] = [*beams, *behind, *area["layers"]]
    timber = {"id": "timber", "form": "lumber", "thickness": 5.5,
              "width": draw(st.sampled_from([1.5, 3.5, 5.5])),
              "stock": [{"length": "12 ft"}]}  # fmt: skip
    products = [board("8 ft", "12 ft", "16 ft"), timber, draw(sheets()), draw(rolls()), TAPE]
    return job(area, *products, when_blocked="relax")
