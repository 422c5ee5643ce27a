"""The caller that checks answers finds nothing in a true one, and names what is forged."""

from __future__ import annotations

import ast
import json
import random
import subprocess
import sys
from collections.abc import Callable
from copy import deepcopy
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import build_ups, jobs, kinds, requests, strapped
from tests.strategies.asking import answered
from tests.strategies.budget import LAW
from tests.strategies.stranger import FILE, failures
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]
EXAMPLES = FILE.parents[1] / "examples"

ANY = st.one_of(
    jobs.jobs(), build_ups.build_ups(), strapped.strapped(), jobs.jobs().map(in_millimetres)
)


@LAW
@given(request=ANY)
def test_a_true_answer_has_nothing_to_find(request: Request) -> None:
    assert failures(request, answered(request)) == []


@kinds.each_example()
def test_nor_have_the_answers_to_the_examples_of_the_kinds(example: Path) -> None:
    request = kinds.request_of(example)
    assert failures(request, answered(request)) == []


# --- forgeries: each changes an answer, and gives the name of the check that must fail ----------

Forgery = Callable[[Request, random.Random], str | None]
"""None of an answer that has nothing to be forged so."""


def boards(answer: Request, table: str) -> list[Request]:
    """Rows of layers of boards, and of what is cut and bought for them alone."""
    laid = {(row["surface"], row["layer"]): row for row in answer["layers"]}
    own = {row["product"] for row in laid.values() if row["kind"] == "boarding"}
    own -= {row["product"] for row in laid.values() if row["kind"] != "boarding"}
    return [
        row for row in answer[table]
        if (laid[row["surface"], row["layer"]]["product"] if "layer" in row else row["product"])
        in own
    ]  # fmt: skip


def one_of(rows: list[Request], draw: random.Random) -> Request | None:
    return draw.choice(rows) if rows else None


def a_stick_too_few(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "sticks"), draw)
    if row is None:
        return None
    answer["sticks"].remove(row)
    return "sticks"


def a_stick_that_yields_more(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "sticks"), draw)
    if row is None:
        return None
    row["ticks"]["offcut"] += 1
    return "sticks"


def a_saw_without_a_blade(answer: Request, draw: random.Random) -> str | None:
    row = one_of([row for row in boards(answer, "sticks") if row["kerfs"]], draw)
    if row is None:
        return None
    row["ticks"]["offcut"] += row["ticks"]["kerf"]
    row["ticks"]["kerf"] = 0
    return "sticks"


def a_piece_cut_twice(answer: Request, draw: random.Random) -> str | None:
    row, other = (one_of(boards(answer, "sticks"), draw) for _ in range(2))
    if row is None or other is None:
        return None
    row["beside"][0].append(other["pieces"][0])
    return "sticks"


def a_piece_cut_short(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "pieces"), draw)
    if row is None:
        return None
    row["ticks"] -= 1_016_000
    return "sticks" if any(row["id"] in one["pieces"] for one in answer["sticks"]) else "stations"


def ends_trimmed_by_chance(answer: Request, draw: random.Random) -> str | None:
    row = one_of([row for row in boards(answer, "sticks") if row["ticks"]["offcut"] > 40_000], draw)
    if row is None:
        return None
    row["ticks"]["end_trim"] += 40_000
    row["ticks"]["offcut"] -= 40_000
    return "sticks"


def an_order_too_small(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "order"), draw)
    if row is None:
        return None
    row["need"] -= 1
    return "money"


def a_price_too_low(answer: Request, draw: random.Random) -> str | None:
    row = one_of([row for row in boards(answer, "order") if row["price"]], draw)
    if row is None:
        return None
    row["price"] -= 0.5
    return "money"


def a_share_left_out(answer: Request, draw: random.Random) -> str | None:
    row = one_of([row for row in answer["order_shares"] if row["buy"]], draw)
    if row is None:
        return None
    answer["order_shares"].remove(row)
    return "money"


def a_plan_that_costs_less(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "cut_plans"), draw)
    if row is None:
        return None
    row["cost"] -= 1
    return "money"


def a_bound_beyond_reach(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "cut_plans"), draw)
    if row is None:
        return None
    row["bound"] = row["cost"] + 1
    return "money"


def a_piece_left_out(answer: Request, draw: random.Random) -> str | None:
    row = one_of([row for row in boards(answer, "pieces") if row["area"] > 0.01], draw)
    if row is None:
        return None
    answer["pieces"].remove(row)
    return "tiling"


def a_joint_off_its_bearing(answer: Request, draw: random.Random) -> str | None:
    """The two pieces meet there still, and are moved with it."""
    row = one_of([row for row in boards(answer, "joints") if row["on"] == "framing"], draw)
    if row is None:
        return None
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    low, high = (pieces[name] for name in row["between"])
    off = 60.0 if answer["units"]["length"] == "mm" else 2.5
    row["at"] = low["to"] = high["from"] = row["at"] + off
    return "stations"


def a_joint_not_told(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "joints"), draw)
    if row is None:
        return None
    answer["joints"].remove(row)
    return "stations"


def a_gap_in_a_run(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "pieces"), draw)
    if row is None:
        return None
    row["from"] -= 1.0
    return "stations"


def a_piece_on_another(answer: Request, draw: random.Random) -> str | None:
    rows = [row for row in boards(answer, "pieces") if not row["shape"]]
    alike = [
        (one, other) for one, other in pairwise(rows)
        if one["run"] != other["run"] and one["layer"] == other["layer"]
        and one["surface"] == other["surface"]
        and max(one["from"], other["from"]) < min(one["to"], other["to"])
        and one["near"] != other["near"]
    ]  # fmt: skip
    if not alike:
        return None
    one, other = draw.choice(alike)
    other["near"], other["far"] = one["near"], one["far"]
    return "tiling"


def a_face_too_large(answer: Request, draw: random.Random) -> str | None:
    row = one_of(boards(answer, "pieces"), draw)
    if row is None:
        return None
    if row["shape"]:
        row["shape"][0] = [[u, v + 100.0] for u, v in row["shape"][0]]
    else:
        row["near"], row["far"] = row["near"] - 3.0, row["far"] + 3.0
    return "tiling"


FORGERIES: tuple[Forgery, ...] = (
    a_stick_too_few, a_stick_that_yields_more, a_saw_without_a_blade, a_piece_cut_twice,
    a_piece_cut_short, ends_trimmed_by_chance, an_order_too_small, a_price_too_low,
    a_share_left_out, a_plan_that_costs_less, a_bound_beyond_reach, a_piece_left_out,
    a_joint_off_its_bearing, a_joint_not_told, a_gap_in_a_run, a_piece_on_another,
    a_face_too_large,
)  # fmt: skip

ROOM = requests.job(
    requests.room(230, 60, openings=[{"id": "hatch", "rectangle": [100, 20, 20, 20]}]),
    requests.board({"length": "8 ft", "price": 9.5}, {"length": 144, "price": 15}),
)
"""A room whose boards are jointed on joists, with prices."""


@pytest.mark.parametrize("forgery", FORGERIES, ids=lambda one: one.__name__)
def test_what_is_forged_fails_by_name(forgery: Forgery) -> None:
    told = answered(ROOM)
    assert failures(ROOM, told) == []
    for seed in range(3):
        forged = deepcopy(told)
        name = forgery(forged, random.Random(seed))
        assert name is not None
        assert named(name, failures(ROOM, forged))


@LAW
@given(request=ANY, seed=st.integers(0, 10**6))
def test_whatever_is_forged_fails_by_name(request: Request, seed: int) -> None:
    told, draw = answered(request), random.Random(seed)
    for forgery in FORGERIES:
        forged = deepcopy(told)
        name = forgery(forged, draw)
        assert name is None or named(name, failures(request, forged)), forgery


def named(name: str, found: list[str]) -> bool:
    return any(text.startswith(f"{name}: ") for text in found)


def test_a_joint_off_its_strap_fails_too() -> None:
    """Boards that bear on straps, with a hatch beside which further straps stand."""
    hatch = {"id": "hatch", "rectangle": [110, 40, 30, 20]}
    behind = requests.supports(direction=0)
    area = requests.room(240, 100, behind=behind, openings=[hatch])
    area["layers"].insert(0, {"id": "straps", "kind": "strapping", "product": "strap"})
    request = requests.job(area, requests.board("8 ft", "10 ft"), strapped.STRAP)
    told = answered(request)
    assert failures(request, told) == []
    assert named("stations", forged_by(a_joint_off_its_bearing, request, told))


def forged_by(forgery: Forgery, request: Request, told: Request) -> list[str]:
    forged = deepcopy(told)
    assert forgery(forged, random.Random(1)) is not None
    return failures(request, forged)


def test_what_can_not_be_read_fails_too() -> None:
    request = json.loads((EXAMPLES / "small.json").read_text(encoding="utf-8"))
    answer = json.loads((EXAMPLES / "answers" / "small.json").read_text(encoding="utf-8"))
    del answer["pieces"][0]["ticks"]
    assert any("is not whole" in text for text in failures(request, answer))


# --- the file itself ----------------------------------------------------------------------------


def run(*files: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-I", str(FILE), *map(str, files)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def test_it_runs_alone_and_its_exit_tells(tmp_path: Path) -> None:
    job, answer = EXAMPLES / "small.json", EXAMPLES / "answers" / "small.json"
    assert run(job, answer).returncode == 0
    told = json.loads(answer.read_text(encoding="utf-8"))
    del told["sticks"][0]
    (tmp_path / "forged.json").write_text(json.dumps(told), encoding="utf-8")
    forged = run(job, tmp_path / "forged.json")
    assert forged.returncode == 1
    lines = forged.stdout.splitlines()
    assert len(lines) > 1
    assert all(line.partition(": ")[0] in ("sticks", "money") for line in lines)


def test_it_takes_nothing_but_python_and_fits_on_a_few_pages() -> None:
    text = FILE.read_text(encoding="utf-8")
    tree = ast.parse(text)
    taken = {
        name.name.partition(".")[0] for node in ast.walk(tree) if isinstance(node, ast.Import)
        for name in node.names
    } | {
        (node.module or "").partition(".")[0] for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
    }  # fmt: skip
    assert taken <= sys.stdlib_module_names
    assert len(text.splitlines()) < 500
