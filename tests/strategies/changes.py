"""Jobs before and after a change: an opening comes, goes, moves or grows; a wall moves."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Callable
from math import isclose
from typing import Any, Final

from hypothesis import strategies as st

from service.compute import Outcome, Picked, answer
from tests.strategies import jobs, transforms
from tests.strategies.asking import body_of
from tests.strategies.requests import job, outline

Request = dict[str, Any]


def _as_it_is(one: Request) -> Request:
    return one


def metric(one: Request) -> Request:
    """The same job in millimetres, with the widths of its sheets and rolls."""
    made = transforms.in_millimetres(one)
    for product in made["products"]:
        if isinstance(product.get("width"), int | float):
            product["width"] = round(product["width"] * 25.4, 6)
    return made


def doubled(one: Request) -> Request:
    """Rooms, openings, boards and framing twice as large; written lengths of stock stay."""
    return transforms.scaled(one, 2)


def mirrored(one: Request) -> Request:
    """Drawn in plan: as seen from above, the other way round."""
    return one | {"surfaces": [area | {"view": "plan"} for area in one["surfaces"]]}


def reordered(one: Request) -> Request:
    """Surfaces, openings, products and lengths of stock listed the other way round."""
    areas = [area | {"openings": area["openings"][::-1]} if "openings" in area else area
             for area in one["surfaces"]]  # fmt: skip
    products = [product | {"stock": product["stock"][::-1]} if "stock" in product else product
                for product in one["products"]]  # fmt: skip
    return one | {"surfaces": areas[::-1], "products": products[::-1]}


WAYS: Final[tuple[Callable[[Request], Request], ...]] = (
    _as_it_is, metric, doubled, mirrored, reordered,
)  # fmt: skip
"""How one and the same job may be said, or be another that is worked alike."""


@st.composite
def changes(draw: st.DrawFn, family: st.SearchStrategy[Request] | None = None) -> Request:
    """A job, and the same with its first surface's opening moved, grown, gone or come.

    Both said in one of the ways.
    """
    after = draw(jobs.with_openings() if family is None else family)
    before = copy.deepcopy(after)
    surface = before["surfaces"][0]
    if draw(st.booleans()):
        surface["openings"] = []
    else:
        surface["openings"] = [_moved(draw, one) for one in surface.get("openings", ())]
    way = draw(st.sampled_from(WAYS))
    jobs_both = [way(before), way(after)]
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


@st.composite
def nothing_alike(draw: st.DrawFn) -> Request:
    """Two jobs that have no surface, or no layer, in common: all goes, and all comes."""
    after = draw(jobs.with_openings())
    before = copy.deepcopy(after)
    one = before["surfaces"][0]
    if draw(st.booleans()):
        one["id"] = "attic"
    else:
        one["layers"] = [{"id": "panel", "kind": "sheathing", "product": "sheet"}]
        sheet = {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
                 "stock": [{"length": 96}]}  # fmt: skip
        before["products"] = [*before["products"], sheet]
    both = [before, after]
    first = draw(st.booleans())
    return {"before": both[not first], "after": both[first]}


def of_any_sort() -> st.SearchStrategy[Request]:
    """Changes of rooms and of an L, said in any way or turned, of a room that comes, or of all."""
    plain = st.one_of(changes(), changes(_of_an_ell()))
    turned = plain.map(lambda two: {side: transforms.turned(job) for side, job in two.items()})
    return st.one_of(plain, turned, _surfaces(), nothing_alike())


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
