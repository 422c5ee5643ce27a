"""Generated jobs whose openings part the surface: from edge to edge, upright, level or slanting."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import jobs, shapes
from tests.strategies.requests import board, job, outline

Request = dict[str, Any]


@st.composite
def parted(draw: st.DrawFn, ways: tuple[int, ...] = (0, 90)) -> Request:
    """A rectangle that one to three openings cut through, and one along it may cut through too.

    Boards run one of `ways`, degrees.
    """
    parts = draw(st.lists(shapes.inches(30, 90), min_size=2, max_size=4))
    wide, over = draw(shapes.inches(60, 130)), draw(st.sampled_from([0, 3]))
    openings, x = [], 0.0
    for number, part in enumerate(parts[:-1]):
        low, high = x + part, x + part + draw(shapes.inches(2, 20))
        lean = draw(st.sampled_from([0, 0, 4]))
        ring = [[low, -over], [high, -over], [high + lean, wide + over], [low + lean, wide + over]]
        openings.append({"id": f"shaft-{number}", "outline": ring})
        x = high + lean
    long = x + parts[-1]
    if draw(st.booleans()):
        at = draw(shapes.inches(24, wide - 30))
        openings.append({"id": "slot", "rectangle": [-over, at, long + 2 * over, 3]})
    points = [[0, 0], [long, 0], [long, wide], [0, wide]]
    clear = draw(st.sampled_from([{}, {"clearance": 0.5}]))
    openings = [one | clear for one in draw(st.permutations(openings))]
    layer = {"direction": draw(st.sampled_from(ways)), "joints": "anywhere",
             "start_side": draw(st.sampled_from(["low", "high"]))}  # fmt: skip
    behind = draw(jobs.behind((layer["direction"] + 90) % 180))
    area = outline(points, behind=behind, openings=openings, layer=layer)
    return job(area, board("8 ft", "12 ft", "16 ft"), when_blocked="relax")
