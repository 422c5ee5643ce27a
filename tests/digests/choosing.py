"""`python -m tests.digests.choosing` draws the jobs anew from the strategies of the laws.

Seldom needed: only when a job's form changes, for every digest changes with it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import ExitStack
from math import fsum
from typing import Any, Final
from unittest import mock

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from service.compute import answer
from service.joints import flow, local_search, master, search
from tests.digests.jobs import DRAWN
from tests.strategies import build_ups, jobs, requests, shapes
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]

FAMILIES: Final = {
    "rectangle": (6, jobs.rectangular()),
    "opening": (7, jobs.with_openings()),
    "ring": (3, jobs.ringed()),
    "outline": (7, jobs.of_any_outline()),
    "slope": (4, jobs.sloped()),
    "several": (4, jobs.of_several_surfaces()),
    "layers": (7, build_ups.build_ups()),
    "metric": (4, st.one_of(jobs.jobs(), build_ups.build_ups()).map(in_millimetres)),
}


@st.composite
def tapers(draw: st.DrawFn) -> Request:
    """A room of which one wall runs out of parallel by up to 3 in."""
    length, width = draw(shapes.inches(140, 320)), draw(shapes.inches(60, 140))
    points = [[0, 0], [length, 0], [length, width + draw(shapes.inches(0.25, 3))], [0, width]]
    area = requests.outline(points, behind=draw(jobs.behind()))
    return requests.job(area, draw(jobs.products()), when_blocked="relax")


@st.composite
def refusals(draw: st.DrawFn) -> Request:
    """A job that cannot be done, or not be read."""
    pointer, value = draw(st.sampled_from([
        ("/products/0/stock", [{"length": "2 ft"}]), ("/products/0/coverage", 6.5),
        ("/surfaces/0/layers/0/product", "oak"), ("/surfaces/0/supports/spacing", -16),
        ("/surfaces/0/outline", [[0, 0], [90, 90], [90, 0], [0, 90]]), ("/colour", "green"),
    ]))  # fmt: skip
    return requests.changed(draw(jobs.with_openings()), pointer, value)


@st.composite
def priced(draw: st.DrawFn) -> Request:
    """A large room with boards of five priced lengths: many joints, and prices of a programme."""
    stock = [{"length": f"{feet} ft", "price": f"{1.5 * feet * (0.84 + 0.02 * feet):.2f}"}
             for feet in (8, 10, 12, 14, 16)]  # fmt: skip
    length, width = draw(shapes.inches(200, 340)), draw(shapes.inches(150, 280))
    area = requests.room(length, width, behind=draw(jobs.behind()))
    return requests.job(area, requests.board(*stock), currency="USD")


def drawn(strategy: st.SearchStrategy[Request], count: int) -> list[Request]:
    """So many different jobs of a strategy; the first ones, which are the plainest, left out."""
    found: dict[str, Request] = {}

    @seed(41)
    @settings(max_examples=3 * count + 10, database=None, deadline=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(request=strategy)
    def collect(request: Request) -> None:
        found[json.dumps(request)] = request

    collect()
    return list(found.values())[-count:]


def turns_on_the_last_bit(request: Request) -> bool:
    """Whether the answer is another one where floats are added with a correction."""
    body = json.dumps(request).encode()
    here = answer(body).body
    with ExitStack() as patches:
        for module in (flow, master, local_search, search):
            patches.enter_context(mock.patch.object(module, "folded", fsum))
        return here != answer(body).body


def chosen() -> Iterator[tuple[str, Request]]:
    """Every job with its name."""
    for name, (count, strategy) in FAMILIES.items():
        for number, request in enumerate(drawn(strategy, count)):
            yield f"{name}-{number}", request
    for name, count, strategy in (("taper", 4, tapers()), ("refused", 4, refusals())):
        for number, request in enumerate(drawn(strategy, count)):
            yield f"{name}-{number}", request
    sharp = filter(turns_on_the_last_bit, drawn(priced(), 150))
    for number, (request, _) in enumerate(zip(sharp, range(4), strict=False)):
        yield f"priced-{number}", request


if __name__ == "__main__":
    lines = [json.dumps({"name": name, "request": request}) for name, request in chosen()]
    DRAWN.write_text("\n".join(lines) + "\n", encoding="utf-8")
