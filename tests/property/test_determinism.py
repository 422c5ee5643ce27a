"""The same request gives the same bytes: again, in another process, written another way."""

from __future__ import annotations

import builtins
import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, DXF, JSON, PDF, SVG, XLSX, Picked, answer
from tests.strategies import build_ups, jobs, requests, transforms
from tests.strategies.asking import answered, body_of
from tests.strategies.budget import FEW

Request = dict[str, Any]

ELSEWHERE = """
import hashlib, sys
from service.compute import DXF, PDF, XLSX, Picked, answer
digest = hashlib.sha256()
lines = sys.stdin.buffer.read().split(b"\\n")
for line in lines:
    digest.update(answer(line, Picked()).body)
for media in (XLSX, PDF, DXF):
    digest.update(answer(lines[-1], Picked(media)).body)
print("digest", digest.hexdigest())
"""


def jobs_to_repeat() -> list[bytes]:
    """A plain room, a jointed one, one with openings, an L and a pair of rooms."""
    hole = {"id": "hatch", "rectangle": [60, 40, 24, 16]}
    disc = {"id": "can", "circle": [120, 70, 7]}
    ell = [[0, 0], [200, 0], [200, 70], [110, 70], [110, 150], [0, 150]]
    found = [
        requests.job(requests.room(192, 144)),
        requests.job(requests.room(380, 122), requests.board("8 ft", "10 ft", "14 ft")),
        requests.job(requests.room(250, 144, openings=[hole, disc])),
        requests.job(requests.outline(ell)),
        requests.job([requests.room(150, 90) | {"id": name} for name in ("b", "a")]),
    ]
    return [body_of(request) for request in found]


def exact(amounts: Iterable[Any], /, start: Any = 0) -> Any:
    """The builtin `sum`, which adds floats otherwise since Python 3.12, without floats."""
    total = whole_sum(amounts, start)
    caller = sys._getframe(1).f_globals["__name__"]
    assert not (isinstance(total, float) and caller.startswith("service")), caller
    return total


whole_sum = builtins.sum


@FEW
@given(request=st.one_of(jobs.jobs(), build_ups.build_ups()), media=st.sampled_from([SVG, CSV]))
def test_the_same_request_twice_gives_the_same_bytes(request: Request, media: str) -> None:
    """Byte for byte, in one process; and no float is added as the version of Python has it."""
    body = body_of(request)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(builtins, "sum", exact)
        told, drawn = answer(body, Picked(JSON)), answer(body, Picked(media))
    assert told == answer(body, Picked(JSON))
    assert drawn.digest == told.digest


def test_other_processes_give_the_same_bytes() -> None:
    """Three seeds of the string hash, three processes, another locale."""
    bodies = jobs_to_repeat()
    here = hashlib.sha256()
    for body in bodies:
        found = answer(body, Picked())
        assert found.kind == "answer", found.body
        here.update(found.body)
    for media in (XLSX, PDF, DXF):
        here.update(answer(bodies[-1], Picked(media)).body)
    for seed, locale in (("0", "C"), ("1", "C.UTF-8"), ("2", "de_DE.UTF-8")):
        run = subprocess.run(
            [sys.executable, "-c", ELSEWHERE], input=b"\n".join(bodies), capture_output=True,
            check=True, timeout=120, env=os.environ | {"PYTHONHASHSEED": seed, "LC_ALL": locale},
        )  # fmt: skip
        assert run.stdout.split()[-1].decode() == here.hexdigest()


@FEW
@given(request=jobs.jobs())
def test_order_of_keys_and_white_space_change_no_byte(request: Request) -> None:
    """The members of every object reversed, and the text spread over lines."""
    spread = json.dumps(transforms.keys_reversed(request), indent=3).encode()
    assert answer(spread, Picked()).body == answer(body_of(request), Picked()).body


def test_order_of_openings_changes_nothing() -> None:
    """All figures are equal; only places in the request that a cure points at may differ."""
    holes = [{"id": "hatch", "rectangle": [60, 40, 24, 16]}, {"id": "can", "circle": [120, 70, 7]},
             {"id": "post", "outline": [[30, 100], [40, 100], [35, 110]]}]  # fmt: skip
    one = answered(requests.job(requests.room(250, 144, openings=holes)))
    other = answered(requests.job(requests.room(250, 144, openings=holes[::-1])))
    for table in one:
        if table != "findings":
            assert one[table] == other[table], table
    told = [[{**row, "cure": None} for row in found["findings"]] for found in (one, other)]
    assert told[0] == told[1]


BOUGHT = ("cut_plans", "order", "sticks", "sheets", "ledger", "compared", "consumables",
          "fasteners")  # fmt: skip
"""Tables that say what a job buys, cuts and costs."""

NAMES = ("stick", "sheet", "pieces", "beside", "between")
"""Columns that tell rows apart by number, which a list's order may change."""


def without_places(answer: Request, tables: tuple[str, ...]) -> Request:
    """Tables as sorted rows without the numbers of sticks and pieces; sums of the summary."""
    rows = {
        table: sorted(
            json.dumps({k: v for k, v in row.items() if k not in NAMES}, sort_keys=True)
            for row in answer[table]
        )
        for table in tables
    }
    return rows | {key: answer["summary"][key] for key in ("sticks", "bought", "placed", "optimal")}


def priced(request: Request, limited: bool) -> Request:
    """Prices that favour no length by the foot, multiples and, where asked, few of the shortest."""
    whole = requests.changed(request, "/currency", "USD")
    for product in whole["products"]:
        for k, one in enumerate(product.get("stock", ())):
            one["price"] = f"{7 + 3.17 * k + (k * k) % 5:.2f}"
            if k == 1 and product["form"] == "board":
                one["multiple"] = 3
        if limited and product["form"] == "board":
            product["stock"][0]["on_hand"] = 4
    return whole


@FEW
@given(request=st.one_of(jobs.jobs(), build_ups.build_ups()), limited=st.booleans(), data=st.data())
def test_the_order_of_stock_changes_no_figure(
    request: Request, limited: bool, data: st.DataObject
) -> None:
    """Lengths listed in another order: the same plans, order, ledger and sticks."""
    one = priced(request, limited)
    other = json.loads(json.dumps(one))
    for product in other["products"]:
        if "stock" in product:
            product["stock"] = data.draw(st.permutations(product["stock"]))
    found = [answered(each) for each in (one, other)]
    assert without_places(found[0], BOUGHT) == without_places(found[1], BOUGHT)


@FEW
@given(request=st.one_of(jobs.of_several_surfaces(), jobs.with_openings()), data=st.data())
def test_the_order_of_surfaces_products_and_openings_changes_no_sum(
    request: Request, data: st.DataObject
) -> None:
    """The same plans, order, ledger and sticks, whichever is sent first."""
    one = priced(request, limited=False)
    one["products"] += [{**requests.board("9 ft"), "id": "spruce"}]
    one["surfaces"] += [{**one["surfaces"][0], "id": "twin"}]
    other = json.loads(json.dumps(one))
    for name in ("surfaces", "products"):
        other[name] = data.draw(st.permutations(other[name]))
    for area in other["surfaces"]:
        if "openings" in area:
            area["openings"] = area["openings"][::-1]
    found = [answered(each) for each in (one, other)]
    assert without_places(found[0], BOUGHT) == without_places(found[1], BOUGHT)
