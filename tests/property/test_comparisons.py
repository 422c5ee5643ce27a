"""A job beside variations of it: each is what it is alone, and the ranking is by what is stated."""

from __future__ import annotations

import copy
import csv
import hashlib
import io
import json
import re
from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.compute import CSV, TEXT, Picked, answer
from tests.independent import verifier
from tests.independent.json_patch import patched
from tests.independent.measure import TICKS, exact, ticks
from tests.strategies import jobs, requests, transforms
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW, examples

Request = dict[str, Any]
Row = dict[str, Any]

OPERATION = "comparisons"
LADDER = ("cost", "length", "sticks", "joints", "waste_pct")
PUT = {
    "one_length": ("replace", "/products/0/stock", [{"length": "16 ft"}]),
    "no_stagger": ("add", "/rules", {"stagger": 0}),
    "bare_cost": ("add", "/rules", {"joint_cost": 0}),
    "quick": ("add", "/effort", "quick"),
    "along": ("replace", "/surfaces/0/layers/0/direction", 90),
    "none_there": ("replace", "/products/0/stock", [{"length": "16 ft", "on_hand": 0}]),
}


def variation(name: str) -> Row:
    op, path, value = PUT[name]
    return {"id": name, "patch": [{"op": op, "path": path, "value": value}]}


def compared(job: Request, **more: Any) -> Request:
    return answered({"job": job} | more, OPERATION)


def priced(job: Request) -> Request:
    made = copy.deepcopy(job) | {"currency": "USD"}
    for row in made["products"][0]["stock"]:
        row["price"] = 1.25 * int(row["length"].split()[0])
    return made


@st.composite
def small(draw: st.DrawFn) -> Request:
    """A room of few boards, priced or not: each example is solved many times."""
    job = draw(jobs.rectangular())
    length, width = job["surfaces"][0]["rectangle"]
    job["surfaces"][0]["rectangle"] = [min(length, 260), min(width, 48)]
    return priced(job) if draw(st.booleans()) else job


def figures(took: Request) -> tuple[Any, ...]:
    """The figures of a takeoff, added up from its tables."""
    sticks = [row for row in took["order"] if row["form"] == "board"]
    prices = [row["price"] for row in took["order"]]
    return (
        None if None in prices else float(sum(map(exact, prices))),
        sum(row["length"] * row["buy"] for row in sticks),
        sum(row["buy"] for row in sticks),
        len(took["joints"]),
        took["summary"]["waste_pct"],
    )


@FEW
@given(job=small(), names=st.sets(st.sampled_from(list(PUT)), min_size=1, max_size=3))
def test_each_variation_is_what_it_is_alone(job: Request, names: set[str]) -> None:
    """The digest is that of the very bytes; figures add up; a refusal is the refusal alone."""
    chosen = [variation(name) for name in sorted(names)]
    told = compared(job, variations=chosen)
    alone = {"as_sent": job} | {one["id"]: patched(job, one["patch"]) for one in chosen}
    rows = {row["variation"]: row for row in told["variations"]}
    faults = {row["variation"] for row in told["refused"]}
    assert rows.keys() | faults == alone.keys()
    assert not rows.keys() & faults
    for name, request in alone.items():
        found = asked(request)
        if name in rows:
            digest = f"sha256:{hashlib.sha256(found.body).hexdigest()}"
            assert rows[name]["digest"] == digest
            single = answered(request)
            assert tuple(rows[name][one] for one in LADDER) == pytest.approx(figures(single))
            assert rows[name]["findings"] == len(single["findings"])
            assert rows[name]["optimal"] == single["summary"]["optimal"]
        else:
            kept = ("code", "detail", "pointer", "cure")
            assert [
                {key: row[key] for key in kept} for row in told["refused"]
                if row["variation"] == name
            ] == [{key: one.get(key) for key in kept} for one in refused(request)[1]]  # fmt: skip


@examples(4)
@given(job=small(), names=st.permutations(list(PUT)))
def test_order_of_variations_changes_nothing(job: Request, names: list[str]) -> None:
    one = compared(job, variations=[variation(name) for name in names[:3]])
    two = compared(job, variations=[variation(name) for name in names[:3][::-1]])
    assert one["variations"] == two["variations"]
    assert sorted(map(str, one["refused"])) == sorted(map(str, two["refused"]))


@examples(4)
@given(job=small())
def test_the_ranking_is_by_the_stated_figures(job: Request) -> None:
    """The first figure that differs decides; equal figures have equal ranks."""
    told = compared(job, variations=[variation(name) for name in PUT])
    rows = told["variations"]
    names = [{"waste": "waste_pct"}.get(name, name) for name in told["ranked_by"]]
    assert (names[0] == "cost") == all(row["cost"] is not None for row in rows)
    keys = [tuple(row[name] for name in names) for row in rows]
    assert keys == sorted(keys)
    assert [row["rank"] for row in rows] == [keys.index(key) + 1 for key in keys]
    for row, key in zip(rows[1:], keys[1:], strict=True):
        assert ("Equal to" in row["why"] and "every figure" in row["why"]) == (key == keys[0])


@FEW
@given(job=small(), counts=st.lists(st.integers(0, 9), min_size=4, max_size=4))
def test_the_least_to_buy_fits_and_never_exceeds_the_plain_order(
    job: Request, counts: list[int]
) -> None:
    """Used is there, bought and used together make the job; buying all is never less (8.9)."""
    capped = copy.deepcopy(job)
    for row, count in zip(capped["products"][0]["stock"], counts, strict=False):
        row["on_hand"] = count
    told = compared(capped, ask=["on_hand"])
    (row,) = told["at_hand"]
    made = patched(capped, row["patch"])
    single = answered(made)
    assert verifier.faults(made, single) == []
    assert [(one["item"], one["buy"]) for one in told["to_buy"]] == [
        (one["item"], one["buy"]) for one in single["order"] if one["form"] == "board"
    ]
    there = Counter({
        ticks(one["length"], job["unit"]): one["on_hand"] for one in capped["products"][0]["stock"]
        if "on_hand" in one
    })  # fmt: skip
    used = Counter({ticks(one["length"], job["unit"]): one["used"]
                    for one in told["used"]})  # fmt: skip
    assert not used - there
    assert row["enough"] == (not told["to_buy"])
    plain = copy.deepcopy(job) | {"rules": (job.get("rules") or {}) | {"joint_cost": 0}}
    for layer in plain["surfaces"][0]["layers"]:
        layer.get("rules", {}).pop("joint_cost", None)
    whole = figures(answered(plain))
    if whole[0] is None:
        assert row["length"] <= whole[1] + 1e-6
    else:
        assert row["cost"] <= whole[0] + 1e-6


@examples(5)
@given(job=small())
def test_what_was_ordered_is_enough_when_it_came(job: Request) -> None:
    """Nothing is ripped anew by the same coverage; a stick fewer, and what is short is told."""
    order = [row for row in answered(job)["order"] if row["form"] == "board"]
    unit = job["unit"]
    came = [{"length": f"{row['length']} {unit}", "count": row["buy"]} for row in order]
    product = job["products"][0]
    tenfold = {"ten_boards": "51.25 in"} if product.get("coverage") == 5.125 else {}
    told = compared(job, delivered=[{"product": product["id"], "lengths": came} | tenfold])
    (row,) = told["at_hand"]
    assert row["enough"], (row["in_words"], came)
    assert told["rips"] == []
    fewer = [came[0] | {"count": came[0]["count"] - 1}, *came[1:]]
    told = compared(job, delivered=[{"product": product["id"], "lengths": fewer}])
    (row,) = told["at_hand"]
    made = patched(job, row["patch"])
    single = answered(made)
    assert verifier.faults(made, single) == []
    short = sum(one["buy"] for one in single["order"] if one["form"] == "board")
    assert row["enough"] == (short == 0)
    assert sum(one["buy"] for one in told["to_buy"]) == short


@examples(4)
@given(job=small(), sixteenths=st.integers(-4, 4).filter(bool))
def test_measured_boards_are_the_job_with_that_coverage(job: Request, sixteenths: int) -> None:
    """Ten boards laid tight, a tenth is the coverage (2.4): courses are those of that job."""
    product = job["products"][0]
    ten = 10 * (product.get("coverage") or product["overall"]) + sixteenths / 8
    told = compared(job, delivered=[{"product": product["id"], "ten_boards": f"{ten} in"}])
    (row,) = told["at_hand"]
    was, now = answered(job)["courses"], answered(patched(job, row["patch"]))["courses"]
    if [one["width"] for one in was] == [one["width"] for one in now]:
        assert told["rips"] == []
        return
    (rip,) = told["rips"]
    assert (rip["courses_were"], rip["courses"]) == (len(was), len(now))
    assert (rip["first"], rip["last"]) == (now[0]["width"], now[-1]["width"])
    assert (rip["first_was"], rip["last_was"]) == (was[0]["width"], was[-1]["width"])


@examples(3)
@given(job=small())
def test_changes_and_measures_are_variations_of_the_job(job: Request) -> None:
    """Each patch, sent alone, gives what is said of it; wasted shares are the ledger's."""
    told = compared(job, ask=["waste", "remeasure"])
    base = figures(answered(job))
    for row in [*told["changes"][:3], *told["measures"][::3]]:
        found = asked(patched(job, row["patch"]))
        key = "length_saved" if "length_saved" in row else "length_more"
        assert (found.kind == "answer") == (row[key] is not None)
        if row[key] is not None:
            own = figures(json.loads(found.body))
            sign = -1 if key == "length_more" else 1
            assert row[key] == pytest.approx(sign * (base[1] - own[1]))
    ledger = answered(job)["ledger"]
    bought = sum(int(row["amount"]) for row in ledger)
    amounts = {row["account"]: int(row["amount"]) for row in ledger}
    for row in told["waste"]:
        assert row["share_pct"] == pytest.approx(100 * amounts[row["account"]] / bought, abs=1e-3)
    wasted = {row["account"] for row in told["waste"]}
    assert wasted == {
        name for name, amount in amounts.items()
        if amount > 0 and name not in ("installed", "lap_or_tongue", "owned")
    }  # fmt: skip


def test_openings_and_marks_of_members_are_measured_again_too() -> None:
    """Four sizes of a rectangle, three of a circle, one mark from which the members are set out.

    Each patch moves what it says by what it says, and gives the order that is told.
    """
    holes = [{"id": "hatch", "rectangle": [60, 12, 24, 10]}, {"id": "can", "circle": [30, 12, 6]}]
    area = requests.room(110, 30, openings=holes)
    job = requests.job(area, requests.board("8 ft", "12 ft"), effort="quick")
    told = compared(job, ask=["remeasure_openings", "remeasure_members"])
    assert list(dict.fromkeys(row["measure"] for row in told["measures"])) == [
        "left of hatch", "bottom of hatch", "width of hatch", "height of hatch",
        "middle across of can", "middle up of can", "diameter of can", "first member",
    ]  # fmt: skip
    assert [row["off"] for row in told["measures"][:4]] == [-0.5, -0.25, 0.25, 0.5]
    base = figures(answered(job))
    for row in told["measures"][::9]:
        own = figures(answered(patched(job, row["patch"])))
        assert row["length_more"] == pytest.approx(own[1] - base[1])
    (moved,) = (row for row in told["measures"] if (row["measure"], row["off"]) == (
        "first member", 0.5))  # fmt: skip
    area = patched(job, moved["patch"])["surfaces"][0]
    assert area["supports"]["first"] == 16.5


def test_marks_that_were_sent_one_by_one_are_off_together() -> None:
    area = requests.room(140, 46, behind={"direction": 90, "at": [10, 30, 52, 70, 90, 110, 130]})
    job = requests.job(area, requests.board("12 ft"), effort="quick")
    rows = compared(job, ask=["remeasure_members"])["measures"]
    assert [row["measure"] for row in rows] == ["marks of members"] * 4
    assert patched(job, rows[0]["patch"])["surfaces"][0]["supports"]["at"] == [
        9.5, 29.5, 51.5, 69.5, 89.5, 109.5, 129.5,
    ]  # fmt: skip


def put(path: str, value: Any, op: str = "replace") -> Row:
    return {"op": op, "path": path, "value": value}


LAYER = "/surfaces/0/layers/1"
BEAMS = {"kind": "box_beams", "product": "skin", "width": 7.5, "drop": 6,
         "mode": "boards_to_beam", "sets": [{"direction": 90, "count": 1}]}  # fmt: skip
WEIGHED = {
    "direction": [put(f"{LAYER}/direction", 90)],
    "product": [put(f"{LAYER}/product", "oak")],
    "lengths": [put("/products/0/stock/-", {"length": "12 ft"}, "add")],
    "start_line": [put(f"{LAYER}/start", "full_first", "add")],
    "joint_rule": [put(f"{LAYER}/joints", "framing_or_block", "add")],
    "joint_cost": [put("/rules", {"joint_cost": 0}, "add")],
    "shed_alone": [put("/products/0/stock", [{"length": "8 ft", "on_hand": 30}])],
    "beams_over": [put("/surfaces/0/layers",
                       [*requests.room(90, 40)["layers"], BEAMS | {"mode": "boards_over"}])],
}  # fmt: skip


def test_whatever_is_weighed_before_an_order_is_a_variation() -> None:
    """Each is answered as the job that its patch makes, to the byte; up to forty at once."""
    area = requests.room(90, 40, backing={"thickness": 0.5})
    area["layers"].insert(0, BEAMS)
    skin = {"id": "skin", "form": "board", "profile": "square_edge", "overall": 7.25,
            "thickness": 0.75, "stock": [{"length": "8 ft"}]}  # fmt: skip
    boards = [requests.board("8 ft", "10 ft") | {"id": name} for name in ("pine", "oak")]
    job = requests.job(area, *boards, skin, effort="quick")
    chosen = [{"id": name, "patch": patch} for name, patch in WEIGHED.items()]
    told = compared(job, variations=chosen)
    digests = {row["variation"]: row["digest"] for row in told["variations"]}
    assert digests.keys() == {"as_sent", *WEIGHED}
    for one in chosen:
        alone = asked(patched(job, one["patch"])).body
        assert digests[one["id"]] == f"sha256:{hashlib.sha256(alone).hexdigest()}"
    many = [one | {"id": f"{one['id']}_{k}"} for k in range(6) for one in chosen][:41]
    kind, (fault,) = refused({"job": job, "variations": many}, OPERATION)
    assert (kind, fault["code"], fault["pointer"]) == ("ShapeRefused", "too-long", "/variations")


@examples(3)
@given(job=jobs.rectangular())
def test_metric_is_imperial(job: Request) -> None:
    """The same room and boards in millimetres: the same ranks, lengths and counts."""
    names = ["one_length", "none_there", "along"]
    chosen = [variation(name) for name in names]
    one = compared(job, variations=chosen)
    two = compared(transforms.in_millimetres(job), variations=chosen)
    kept = ("variation", "rank", "sticks", "joints", "waste_pct", "optimal", "relaxed")
    assert [[row[key] for key in kept] for row in one["variations"]] == [
        [row[key] for key in kept] for row in two["variations"]
    ]
    scale = TICKS[job["unit"]] / TICKS["mm"]
    for row, other in zip(one["variations"], two["variations"], strict=True):
        assert row["length"] * scale == pytest.approx(other["length"])
    assert [row["code"] for row in one["refused"]] == [row["code"] for row in two["refused"]]


BROKEN = (
    ([{"op": "replace", "path": "/surfaces/0/none", "value": 1}], "patch-path", "path", "add"),
    ([{"op": "remove", "path": "/surfaces/7"}], "patch-path", "path", None),
    ([{"op": "add", "path": "/none/0", "value": 1}], "patch-path", "path", None),
    ([{"op": "test", "path": "/unit", "value": "mm"}], "patch-value", "value", None),
    ([{"op": "move", "from": "/products/3", "path": "/products/0"}], "patch-from", "from", None),
    ([{"op": "add", "path": "/surfaces/4", "value": 1}], "patch-path", "path", None),
    ([{"op": "add", "path": "/unit", "value": "in"}, {"op": "replace", "path": "/unit/0",
                                                      "value": 1}], "patch-path", "path", None),
)  # fmt: skip


@pytest.mark.parametrize(("patch", "code", "part", "op"), BROKEN)
def test_a_patch_that_cannot_be_made_is_refused_by_name(
    patch: list[Row], code: str, part: str, op: str | None
) -> None:
    """With the variation, the operation, its place and the cure."""
    job = requests.job(requests.room(100, 60))
    sound = variation("quick")
    request = {"job": job, "variations": [sound, {"id": "broken", "patch": patch}]}
    kind, (fault,) = refused(request, OPERATION)
    last = len(patch) - 1
    assert (kind, fault["code"]) == ("ShapeRefused", code)
    assert fault["pointer"] == f"/variations/1/patch/{last}/{part}"
    place = patch[last]["from" if part == "from" else "path"].replace("/none", "/...")
    assert f"variation broken, operation {last} ({patch[last]['op']} at {place})" in fault["detail"]
    if op is None:
        assert "cure" not in fault
    else:
        (cure,) = fault["cure"]
        assert cure == {"op": "replace", "path": f"/variations/1/patch/{last}/op", "value": op}
        request = patched(request, fault["cure"])
        assert asked(request, OPERATION).kind == "answer"


def test_a_missing_parent_is_named_and_can_be_put_in() -> None:
    job = requests.job(requests.room(100, 60))
    add = {"op": "add", "path": "/rules/stagger", "value": 12}
    request = {"job": job, "variations": [{"id": "less", "patch": [add]}]}
    _, (fault,) = refused(request, OPERATION)
    assert "an `add` of an empty object at /rules before it" in fault["detail"]
    put = {"op": "add", "path": "/rules", "value": {}}
    told = compared(job, variations=[{"id": "less", "patch": [put, add]}])
    assert {row["variation"] for row in told["variations"]} == {"as_sent", "less"}


def test_what_cannot_be_compared_is_refused_by_name() -> None:
    job = requests.job(requests.room(100, 60))
    kind, (fault,) = refused({"job": job}, OPERATION)
    assert (kind, fault["code"]) == ("ShapeRefused", "compare")
    kind, (fault,) = refused({"job": job, "variations": [variation("quick")] * 2}, OPERATION)
    assert (fault["code"], fault["pointer"]) == ("id-twice", "/variations/1/id")
    kind, (fault,) = refused(
        {"job": job, "variations": [variation("quick") | {"id": "as_sent"}]}, OPERATION
    )
    assert (fault["code"], fault["pointer"]) == ("id-twice", "/variations/0/id")
    kind, (fault,) = refused({"job": job, "ask": ["waste", "on_hand"]}, OPERATION)
    assert (fault["code"], fault["pointer"]) == ("nothing-on-hand", "/ask/1")
    kind, (fault,) = refused(
        {"job": job, "delivered": [{"product": "nothing", "ten_boards": 51}]}, OPERATION
    )
    assert (fault["code"], fault["pointer"]) == ("no-such-product", "/delivered/0/product")
    kind, (fault,) = refused({"job": job | {"unit": "furlong"}, "ask": ["waste"]}, OPERATION)
    assert (kind, fault["pointer"]) == ("ShapeRefused", "/job/unit")
    hall = requests.job(requests.room("90 ft", "60 ft"))
    kind, (fault,) = refused({"job": hall, "ask": ["waste", "remeasure"]}, OPERATION)
    assert (kind, fault["code"]) == ("LimitExceeded", "over-limit")
    assert "ask less at once" in fault["detail"]
    parts = dict(re.findall(r"(\d+) of ([a-z ]+)", fault["detail"].rpartition(": ")[2]))
    assert set(parts.values()) == {"the job and its variations", "waste", "remeasure"}
    assert sum(map(int, parts)) == int(re.findall(r"this request has (\d+)", fault["detail"])[0])


@examples(2)
@given(job=small(), columns=st.sampled_from([60, 80, 100]))
def test_table_and_paper_say_what_the_answer_says(job: Request, columns: int) -> None:
    """A row for each variation by rank; every one is named on paper, and no line is too wide."""
    request = {"job": job, "variations": [variation(name) for name in PUT], "ask": ["remeasure"]}
    told, body = answered(request, OPERATION), json.dumps(request).encode()
    table = answer(body, Picked(media=CSV, operation=OPERATION)).body.decode()
    rows = list(csv.DictReader(io.StringIO(table, newline="")))
    assert [row["variation"] for row in rows] == [row["variation"] for row in told["variations"]]
    assert [int(row["rank"]) for row in rows] == [row["rank"] for row in told["variations"]]
    paper = answer(body, Picked(media=TEXT, columns=columns, operation=OPERATION)).body.decode()
    assert all(name in paper for name in ("as_sent", *PUT))
    flowing = " ".join(paper.split())
    assert all(row["in_words"] in flowing for row in told["measures"])
    assert max(map(len, paper.splitlines())) <= columns
