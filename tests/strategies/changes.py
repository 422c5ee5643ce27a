"""Jobs before and after a change: an opening comes, goes, moves or grows; a wall moves."""

from __future__ import annotations

import copy
from collections import Counter
from math import isclose
from typing import Any

from hypothesis import strategies as st

from service.compute import Outcome, Picked, answer
from tests.strategies import jobs, transforms
from tests.strategies.asking import body_of
from tests.strategies.requests import job, outline

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


@st.composite
def _of_an_ell(draw: st.DrawFn) -> Request:
    """An L with a hatch in its long leg, members across the boards."""
    ell = [[0, 0], [200, 0], [200, 70], [110, 70], [110, 150], [0, 150]]
    hatch = {"id": "hatch", "rectangle": [draw(st.integers(20, 100)), 20, 30, 24]}
    area = outline(ell, behind=draw(jobs.behind()), openings=[hatch])
    return job(area, draw(jobs.products()), when_blocked="relax")


@st.composite
def _surfaces(draw: st.DrawFn) -> Request:
    """A room more, or a room less."""
    after = draw(jobs.of_several_surfaces())
    both = [after | {"surfaces": after["surfaces"][:-1]}, after]
    first = draw(st.booleans())
    return {"before": both[first], "after": both[not first]}


def of_any_sort() -> st.SearchStrategy[Request]:
    """Changes of rooms and of an L, some in millimetres or turned, and of a room that comes."""
    plain = st.one_of(changes(), changes(_of_an_ell()))
    ways = (lambda one: one, transforms.in_millimetres, transforms.turned)
    turned = st.tuples(plain, st.sampled_from(ways)).map(
        lambda pair: {side: pair[1](job) for side, job in pair[0].items()}
    )
    return st.one_of(turned, _surfaces())


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


def sound(made: Request) -> Request:
    """A change order in which no two pieces go by one id, and whose totals are its pieces'."""
    now = Counter(row["is"] for row in made["pieces"] if row["is"] is not None)
    assert not [name for name, count in now.items() if count > 1]
    rows = made["totals"]
    told = [sum(row[area] for row in rows) for area in ("kept_area", "removed_area", "added_area")]
    was, becomes = (sum(row[side] for row in made["pieces"]) for side in ("was_area", "is_area"))
    assert isclose(told[0] + told[2], becomes, abs_tol=1e-3)
    assert isclose(told[0] + told[1], was, abs_tol=1e-3)
    return made
