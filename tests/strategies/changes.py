"""Jobs before and after a change: an opening comes, goes, moves or grows; a wall moves."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import strategies as st

from service.compute import Outcome, Picked, answer
from tests.strategies import jobs
from tests.strategies.asking import body_of

Request = dict[str, Any]


@st.composite
def changes(draw: st.DrawFn, family: st.SearchStrategy[Request] | None = None) -> Request:
    """A job, and the same with its first surface's opening moved, grown, gone or come."""
    after = draw(jobs.with_openings() if family is None else family)
    before = copy.deepcopy(after)
    surface = before["surfaces"][0]
    if draw(st.booleans()):
        surface["openings"] = []
    else:
        surface["openings"] = [_moved(draw, one) for one in surface.get("openings", ())]
    jobs_both = [before, after]
    first = draw(st.booleans())
    return {"before": jobs_both[not first], "after": jobs_both[first]}


def _moved(draw: st.DrawFn, opening: Request) -> Request:
    """An opening a little to the side; it still lies in its outline or across its edge."""
    by = draw(st.sampled_from([-3, -1.5, 1.5, 3]))
    moved = dict(opening)
    for key in ("rectangle", "circle"):
        if key in moved:
            x, *rest = moved[key]
            moved[key] = [x + by, *rest]
    if "outline" in moved:
        moved["outline"] = [[x + by, y] for x, y in moved["outline"]]
    return moved


def asked_change(request: Request, media: str = "application/json") -> Outcome:
    """What the service makes of a change."""
    return answer(body_of(request), Picked(operation="changes", media=media))
