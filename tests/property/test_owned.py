"""Stock that the caller has already: it costs nothing, is used first, is never ordered (8.9)."""

from __future__ import annotations

import copy
import json
import re
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.products.registry import nouns
from service.report.printout.written import printout
from tests.independent import paper, verifier
from tests.independent.cut_plans import Bar, Wanted, least_by_trying
from tests.independent.measure import ticks
from tests.independent.sheet_verifier import least_within_supply
from tests.property.test_ledger import check_ledger
from tests.strategies import jobs, requests
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]
Row = dict[str, Any]

CENTS = 1e-6


def with_owned(request: Request, *rows: Row) -> Request:
    """The same job, of whose first product some is owned."""
    made = copy.deepcopy(request)
    made["products"][0]["owned"] = list(rows)
    return made


def own(feet: float, count: int, **more: Any) -> Row:
    return {"length": f"{feet} ft", "count": count} | more


@st.composite
def owned(draw: st.DrawFn) -> list[Row]:
    """A few lengths, some of them cut already."""
    feet = draw(st.lists(st.sampled_from([4, 6, 8, 10, 12, 16, 20]), max_size=3, unique=True))
    ends = st.sampled_from([{}, {"ends": ["cut", "raw"]}, {"ends": ["cut", "cut"]}])
    return [own(each, draw(st.integers(0, 9)), **draw(ends)) for each in feet]


def priced(request: Request) -> Request:
    made = copy.deepcopy(request) | {"currency": "USD"}
    for row in made["products"][0]["stock"]:
        row["price"] = 1.5 * int(row["length"].split()[0])
    return made


def check(request: Request, answer: Request) -> None:
    """What is owned is used within its number, apart from what is bought, and all is accounted."""
    product = request["products"][0]
    sawn = [*answer["sticks"], *answer["sheets"]]
    taken = Counter(round(row["length"], 3) for row in sawn if row["owned"])
    bought = Counter(round(row["length"], 3) for row in sawn if not row["owned"])
    lines = Counter[float]()
    for row in answer["owned"]:
        assert 0 <= row["used"] <= row["count"]
        assert row["left_over"] == row["count"] - row["used"]
        assert not {"price", "buy", "need"} & row.keys()
        lines[round(row["length"], 3)] += row["used"]
    assert +lines == taken
    had = Counter[int]()
    for item in product.get("owned", ()):
        had[ticks(item["length"], request["unit"])] += item["count"]
    assert sum(row["count"] for row in answer["owned"]) == sum(had.values())
    order = Counter[float]()
    for line in answer["order"]:
        order[round(line["length"], 3)] += line["buy"]
    assert order == bought
    (row,) = answer["products"]
    assert row["units"] == sum(bought.values())
    if row["bought"] is not None:
        assert row["bought"] == pytest.approx(sum(n * size for size, n in bought.items()), abs=0.1)


PLANS = st.sampled_from(["least_cost", "least_length", "fewest_sticks", "fewest_lengths",
                         "fewest_joints"])  # fmt: skip


@LAW
@given(jobs.rectangular(), owned(), PLANS)
def test_what_is_owned_is_taken_within_its_number_and_never_ordered(
    request: Request, rows: list[Row], objective: str
) -> None:
    asked = with_owned(priced(request) | {"objective": objective}, *rows)
    found = answered(asked)
    check(asked, found)
    assert verifier.faults(asked, found) == []
    check_ledger(asked, found)
    (plan,) = found["cut_plans"]
    assert plan["bound"] <= plan["cost"] + CENTS
    if objective == "least_cost":
        paid = sum(row["price"] for row in found["order"])
        assert plan["cost"] == pytest.approx(paid + plan["joints"] * plan["joint_cost"])
        assert plan["ordered"] == pytest.approx(paid)
    if objective == "fewest_sticks":
        assert plan["cost"] == sum(row["buy"] for row in found["order"])


@FEW
@given(jobs.rectangular())
def test_to_own_nothing_changes_nothing(request: Request) -> None:
    asked = priced(request)
    bare = answered(asked)
    for rows in ([], [own(16, 0)]):
        found = answered(with_owned(asked, *rows))
        for table in bare.keys() - {"version", "owned"}:
            assert found[table] == bare[table], table


@FEW
@given(jobs.rectangular(), owned(), st.integers(1, 6), st.sampled_from([6, 10, 16]))
def test_more_that_is_owned_never_costs_more(
    request: Request, rows: list[Row], more: int, feet: int
) -> None:
    """A plan from less is a plan from more: so its cost is over the bound, and a proved plan's."""
    asked = priced(request)
    plans = []
    for own_rows in ([], rows, [*rows, own(feet, more)]):
        found = answered(with_owned(asked, *own_rows))
        plans.append((found["cut_plans"][0], bool(found["relaxed"])))
    assume(not any(relaxed for _, relaxed in plans))
    for (less, _), (greater, _) in pairwise(plans):
        assert greater["bound"] <= less["cost"] + CENTS
        if greater["optimal"]:
            assert greater["cost"] <= less["cost"] + CENTS
        assert greater["cost"] <= less["cost"] * (1 + greater["gap_pct"] / 100) + CENTS


INCH = 1_016_000


@st.composite
def short_rooms(draw: st.DrawFn) -> tuple[Request, list[int]]:
    """A room of a few short courses and an alcove, so that no run is jointed; with its runs."""
    long, short = draw(st.integers(40, 90)), draw(st.integers(30, 80))
    low, high = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    cover = requests.COVER
    ring = [[0, 0], [long, 0], [long, low * cover], [short, low * cover],
            [short, (low + high) * cover], [0, (low + high) * cover]]  # fmt: skip
    if short == long:
        ring = [[0, 0], [long, 0], [long, (low + high) * cover], [0, (low + high) * cover]]
    area = requests.outline(ring, layer={"start": "full_first", "joints": "anywhere"})
    board = requests.board({"length": "8 ft", "price": 9}, {"length": "12 ft", "price": 14})
    rules = {"gap": 0, "end_trim": 0, "kerf": 0.125, "min_run": 1}
    return requests.job(area, board, rules=rules, currency="USD"), [long] * low + [short] * high


@LAW
@given(short_rooms(), st.lists(st.tuples(st.sampled_from([4, 6, 8, 10]), st.integers(1, 3)),
                               max_size=2, unique_by=lambda one: one[0]))  # fmt: skip
def test_the_plan_is_the_cheapest_that_trying_all_finds(
    room: tuple[Request, list[int]], rows: list[tuple[int, int]]
) -> None:
    request, runs = room
    found = answered(with_owned(request, *(own(feet, count) for feet, count in rows)))
    bars = [Bar(96 * INCH, 9), Bar(144 * INCH, 14)]
    bars += [Bar(12 * feet * INCH, 0, count) for feet, count in rows]
    kerf = INCH // 8
    least = least_by_trying(bars, kerf, [Wanted(one * INCH) for one in runs])
    (plan,) = found["cut_plans"]
    assert plan["joints"] == 0
    assert plan["bound"] <= least <= plan["cost"]
    if plan["optimal"]:
        assert plan["cost"] == least


def panelled(*rows: Row, **more: Any) -> Request:
    """Sheets on a ceiling of 20 by 10 ft."""
    ply = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
           "stock": [{"length": 96, "price": 30}]}  # fmt: skip
    area = {"id": "loft", "rectangle": [240, 122], "supports": requests.supports(),
            "layers": [{"id": "panels", "kind": "sheathing", "product": "ply"}]}  # fmt: skip
    request = {"unit": "in", "currency": "USD", "surfaces": [area], "products": [ply]}
    return with_owned(request | more, *rows)


@pytest.mark.parametrize("objective", ["least_cost", "least_length", "fewest_sticks",
                                       "fewest_joints"])  # fmt: skip
@pytest.mark.parametrize("rows", [[(96, 3)], [(96, 3), (50, 2)], [(96, 40)], [(30, 9)]])
def test_sheets_that_are_owned(rows: list[tuple[int, int]], objective: str) -> None:
    asked = panelled(*({"length": size, "count": count} for size, count in rows),
                     objective=objective)  # fmt: skip
    bare, found = answered(panelled(objective=objective)), answered(asked)
    check(asked, found)
    assert sum(int(row["amount"]) for row in found["ledger"]) == sum(
        2 * row["buy"] * 96 * INCH * 48 * INCH for row in found["order"]
    )
    (plan,), (usual,) = found["cut_plans"], bare["cut_plans"]
    assert plan["bound"] <= plan["cost"] <= usual["cost"]
    sizes = Counter((round(p["length"], 4), round(p["width"], 4)) for p in found["pieces"])
    assert sizes
    if rows == [(96, 40)]:
        assert found["order"] == []
        assert (plan["cost"], plan["optimal"]) == (0, True)


def test_sheets_are_nested_as_cheaply_as_trying_all_finds() -> None:
    """Six parts of one row; two short sheets of the caller's own."""
    asked = panelled({"length": 50, "count": 2}, {"length": 96, "count": 1})
    asked["surfaces"][0]["rectangle"] = [200, 50]
    found = answered(asked)
    parts = [(round(p["length"] * 16), round(p["width"] * 16)) for p in found["pieces"]]
    stocks = [(96 * 16, 48 * 16, 30, None), (50 * 16, 48 * 16, 0, 2), (96 * 16, 48 * 16, 0, 1)]
    assert found["cut_plans"][0]["cost"] == least_within_supply(stocks, 2, parts)


STUD = {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
        "stock": [{"length": "8 ft", "price": 4}]}  # fmt: skip


def nailed(*rows: Row) -> Request:
    """Boards whose ends hang: nailers of studs stand behind them, some of them owned."""
    request = requests.job(requests.room(200, 61, behind=requests.supports(16, 12)), nailers="stud")
    request["rules"] = {"backing": "count"}
    request["products"].append(STUD | ({"owned": list(rows)} if rows else {}))
    return request


def test_lumber_that_is_owned() -> None:
    bare, found = answered(nailed()), answered(nailed(own(12, 1, ends=["cut", "cut"])))

    def bought(answer: Request) -> int:
        return sum(row["buy"] for row in answer["order"] if row["product"] == "stud")

    assert bought(bare) > bought(found)
    used = {row["length"]: row["used"] for row in found["owned"]}
    assert used == {144: 1}
    (plan,) = [row for row in found["cut_plans"] if row["product"] == "stud"]
    assert plan["cost"] == 4 * bought(found)


def test_nothing_is_bought_where_what_is_owned_is_enough() -> None:
    request = requests.job(requests.room(120, 60), requests.board({"length": "16 ft", "price": 20}))
    found = answered(with_owned(request, own(10, 40)))
    assert found["order"] == []
    assert found["cut_plans"][0]["optimal"]
    assert found["summary"]["in_words"].startswith("Order nothing. Take 12 of pine 10' 0\" from")
    assert "From your own: 12 of pine 10' 0\" (28 left)." in " ".join(
        printout(found, nouns(), 80).split()
    )
    assert sum(int(row["amount"]) for row in found["ledger"]) == 0


def test_culls_and_spares_are_of_what_is_bought_alone() -> None:
    request = requests.job(requests.room(120, 60), requests.board("16 ft"),
                           rules={"cull": 10, "spare": 2})  # fmt: skip
    found = answered(with_owned(request, own(10, 7)))
    (own_row,), (line,) = found["owned"], found["order"]
    assert own_row["used"] == 7
    assert (line["need"], line["cull"], line["spare"]) == (5, 1, 2)


def test_own_sticks_stand_apart_on_paper() -> None:
    request = requests.job(requests.room(120, 60), requests.board("16 ft"))
    found = answered(with_owned(request, own(10, 7)))
    text = printout(found, nouns(), 80)
    assert paper.bought(text) == [5]
    sawn = re.findall(r"(\d+) x +10' 0\" +\S+ +own ", text)
    assert sum(map(int, sawn)) == 7
    lines = paper.sections(text)["WHERE ALL THAT IS BOUGHT GOES"]
    shares = [float(line.split()[-1]) for line in lines[1:] if line.strip()]
    assert sum(shares[:-1]) == pytest.approx(shares[-1], abs=0.05 * len(shares))
    assert any("less your own" in line and "-70.0 ft" in line for line in lines)


def test_cutting_as_you_go_is_no_way_to_use_what_is_owned() -> None:
    request = requests.job(requests.room(120, 60), requests.board("16 ft"), method="as_you_go")
    kind, (fault,) = refused(with_owned(request, own(10, 7)))
    assert (kind, fault["code"], fault["pointer"]) == ("TradeRefused", "not-as-you-go", "/method")
    assert "what is owned is used first" in fault["detail"]
    assert answered(with_owned(request | {"method": "together"}, own(10, 7)))


def test_short_stock_is_told_of_what_can_be_bought() -> None:
    """More of what is owned is no cure."""
    request = requests.job(
        requests.room(120, 60), requests.board({"length": "16 ft", "on_hand": 2})
    )
    kind, (fault,) = refused(with_owned(request, own(10, 4)))
    assert (kind, fault["code"]) == ("TradeRefused", "stock-short")
    assert fault["pointer"] == "/products/0/stock/0/on_hand"
    (operation,) = fault["cure"]
    cured = copy.deepcopy(with_owned(request, own(10, 4)))
    cured["products"][0]["stock"][0]["on_hand"] = operation["value"]
    assert answered(cured)["owned"][0]["used"] == 4


WRAP = {"id": "wrap54", "form": "roll", "width": 54,
        "stock": [{"length": "50 ft", "price": 30}, {"length": "100 ft", "price": 55}]}  # fmt: skip
TAPE = {"id": "tape", "form": "tape", "width": 2.5, "length": "40 ft", "price": 9}


def wrapped(length: float, width: float, *rows: Row, tape: int | None = None) -> Request:
    """A wrapped and taped wall, of whose rolls some are owned."""
    wall = {"id": "wall", "type": "wall", "rectangle": [length, width],
            "supports": requests.supports(),
            "layers": [{"kind": "wrap", "product": "wrap54", "tape": "tape"}]}  # fmt: skip
    bought = TAPE if tape is None else TAPE | {"owned": tape}
    return with_owned(
        {"unit": "in", "currency": "USD", "surfaces": [wall], "products": [WRAP, bought]}, *rows
    )


def rolls(answer: Request, product: str = "wrap54") -> list[Row]:
    return [row for row in answer["order"] if row["product"] == product]


@LAW
@given(length=st.integers(100, 700), width=st.integers(40, 220),
       rows=st.lists(st.builds(own, st.sampled_from([10, 30, 50, 90]), st.integers(1, 4)),
                     max_size=2, unique_by=lambda row: row["length"]))  # fmt: skip
def test_rolls_that_are_owned(length: int, width: int, rows: list[Row]) -> None:
    """Within their number, apart from what is bought, never dearer, in the ledger to the tick."""
    bare, found = answered(wrapped(length, width)), answered(wrapped(length, width, *rows))
    taken = Counter(row["length"] for row in found["sticks"] if row["owned"])
    bought = Counter(row["length"] for row in found["sticks"] if not row["owned"])
    assert Counter({row["length"]: row["used"] for row in found["owned"] if row["used"]}) == taken
    assert all(row["used"] <= row["count"] for row in found["owned"])
    assert Counter({row["length"]: row["buy"] for row in rolls(found)}) == bought
    (plan,), (usual,) = found["cut_plans"], bare["cut_plans"]
    assert plan["bound"] <= plan["cost"] <= usual["cost"] + CENTS
    assert plan["cost"] == pytest.approx(sum(row["price"] for row in rolls(found)))
    booked = sum(int(row["amount"]) for row in found["ledger"] if row["product"] == "wrap54")
    assert booked == sum(2 * row["buy"] * ticks(row["length"], "in") * 54 * INCH
                         for row in rolls(found))  # fmt: skip


def test_rolls_of_the_callers_own_are_enough() -> None:
    found = answered(wrapped(300, 100, own(100, 2)))
    assert rolls(found) == []
    assert (found["cut_plans"][0]["cost"], found["cut_plans"][0]["optimal"]) == (0, True)
    assert "From your own: 1 of wrap54 54 in x 100' 0\" (1 left)." in " ".join(
        printout(found, nouns(), 80).split()
    )


@pytest.mark.parametrize("count", range(5))
def test_tape_that_is_owned_is_used_first(count: int) -> None:
    """Whole rolls: bought and owned together are what is bought where none is owned."""
    bare, found = (answered(wrapped(600, 220, tape=own)) for own in (None, count))
    (usual,) = rolls(bare, "tape")
    lines, taken = rolls(found, "tape"), [row for row in found["owned"] if row["count"]]
    used = min(count, usual["buy"])
    assert [row["used"] for row in taken] == ([used] if count else [])
    assert sum(row["buy"] for row in lines) == usual["buy"] - used
    assert sum(row["price"] for row in lines) == pytest.approx(9 * (usual["buy"] - used))
    assert all(row["need"] + row["loss"] == row["buy"] for row in lines)
    assert {row["buy"] for row in lines} != {0}
    shares = [row["buy"] for row in found["order_shares"] if row["product"] == "tape"]
    assert sum(shares) == usual["buy"] - used


STRAPPED = Path(__file__).parents[2] / (
    "service/products/kinds/strapping/examples/strapped_ceiling.json"
)


@pytest.mark.parametrize("count", [0, 1, 120, 333, 334, 5000])
def test_screws_of_an_opened_box_are_used_first(count: int) -> None:
    """318 screws and 5 % of loss are 334 (318 x 1.05 = 333.9); boxes hold 350 (18.12, 19.1)."""
    request = json.loads(STRAPPED.read_bytes())
    (screw,) = (one for one in request["products"] if one["id"] == "screw")
    screw["owned"] = [{"length": 2.5, "count": count}, {"length": 2, "count": 50}]
    found = answered(request)
    lines = [row for row in found["order"] if row["product"] == "screw"]
    taken = [row for row in found["owned"] if row["product"] == "screw"]
    assert [(row["count"], row["used"]) for row in taken] == (
        [(count, min(count, 334))] * (count > 0)
    )
    assert [row["buy"] for row in lines] == [350] * (count < 334)
    assert all(row["need"] + row["loss"] + row["left_over"] == 350 for row in lines)
    assert all(row["need"] + row["loss"] == 334 - count for row in lines)
