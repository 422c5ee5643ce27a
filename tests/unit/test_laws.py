"""An answer that breaks a law is never given: tampered rows raise LawBroken."""

import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from service.errors import LawBroken
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced, Placed
from service.products.registry import all_kinds
from service.products.supplied import Supplied
from service.request.reading import read
from service.takeoff.laws import check
from service.takeoff.pipeline import Takeoff, take_off

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
JOB: dict[str, Any] = json.loads((EXAMPLES / "small.json").read_text())
JOB["surfaces"][0]["rectangle"] = ["30 ft", "8 ft"]


def made() -> Takeoff:
    return take_off(read(json.dumps(JOB).encode()))


def checked(takeoff: Takeoff) -> None:
    placed = [(kind_of(one), one) for one in takeoff.placed]
    check(placed, takeoff.supplied, takeoff.fasteners, takeoff.bought.lines,
          takeoff.bought.shares)  # fmt: skip


def kind_of(placed: AnyPlaced) -> AnyKind:
    return all_kinds()[placed.laid.task.layer.kind]


def placed_anew(takeoff: Takeoff, change: Callable[[Placed], Placed]) -> Takeoff:
    """A takeoff whose first layer is changed."""
    first, *others = takeoff.placed
    return replace(takeoff, placed=(change(first), *others))


def name_two_pieces_alike(takeoff: Takeoff) -> Takeoff:
    """The second piece by the name of the first, on its layer and in its stick."""
    first, second, *others = takeoff.placed[0].pieces
    for product in takeoff.supplied:
        product.sticks = tuple(
            replace(stick, pieces=tuple(first.id if name == second.id else name
                                        for name in stick.pieces))
            for stick in product.sticks
        )  # fmt: skip
    return placed_anew(takeoff, lambda one: replace(
        one, pieces=(first, replace(second, id=first.id), *others)))  # fmt: skip


def lose_a_piece(placed: Placed) -> Placed:
    return replace(placed, pieces=placed.pieces[1:])


def stretch_a_rest(product: Supplied) -> None:
    product.sticks = (replace(product.sticks[0], offcut=product.sticks[0].offcut + 1),
                      *product.sticks[1:])  # fmt: skip


def cut_a_piece_twice(product: Supplied) -> None:
    first, second, *others = product.sticks
    product.sticks = (first, replace(second, pieces=first.pieces), *others)


def buy_too_few(product: Supplied) -> None:
    line = product.order[0]
    product.order = (replace(line, bought=replace(line.bought, buy=line.bought.buy - 1)),
                     *product.order[1:])  # fmt: skip


def forget_an_account(product: Supplied) -> None:
    product.ledger = product.ledger[1:]


def shrink_a_piece(placed: Placed) -> Placed:
    first, *others = placed.pieces
    return replace(placed, pieces=(replace(first, twice_area=first.twice_area // 2), *others))


def part_a_run(placed: Placed) -> Placed:
    first, *others = placed.pieces
    return replace(placed, pieces=(replace(first, high=first.high - 1), *others))


def claim_more_touches(placed: Placed) -> Placed:
    first, *others = placed.pieces
    return replace(placed, pieces=(replace(first, bearings=10_000), *others))


TAMPERED = [stretch_a_rest, cut_a_piece_twice, buy_too_few, forget_an_account]
PLACED_WRONG = [lose_a_piece, shrink_a_piece, part_a_run, claim_more_touches]


def test_the_answer_itself_keeps_them() -> None:
    takeoff = made()
    checked(takeoff)


@pytest.mark.parametrize("tamper", TAMPERED)
def test_a_tampered_answer_is_caught(tamper: Callable[[Supplied], None]) -> None:
    takeoff = made()
    tamper(takeoff.supplied[0])
    with pytest.raises(LawBroken):
        checked(takeoff)


@pytest.mark.parametrize("change", PLACED_WRONG)
def test_a_layer_placed_wrongly_is_caught(change: Callable[[Placed], Placed]) -> None:
    with pytest.raises(LawBroken):
        checked(placed_anew(made(), change))


def test_two_pieces_of_one_name_are_caught() -> None:
    with pytest.raises(LawBroken, match="one stick"):
        checked(name_two_pieces_alike(made()))


KINDS = Path(__file__).parents[2] / "service/products/kinds"


def built(kind: str) -> Takeoff:
    """The takeoff of a kind's own example."""
    return take_off(read((KINDS / kind / "examples" / "loft.json").read_bytes()))


def first_sheet(product: Supplied, **changes: Any) -> None:
    product.sheets = (replace(product.sheets[0], **changes), *product.sheets[1:])


def push_a_box_out(product: Supplied) -> None:
    sheet = product.sheets[0]
    (_, across, long, wide), *others = sheet.boxes
    first_sheet(product, boxes=((sheet.length - long + 1, across, long, wide), *others))


def lay_boxes_on_each_other(product: Supplied) -> None:
    """A rest where a piece lies, as large as before."""
    place = next(k for k, sheet in enumerate(product.sheets) if sheet.waste)
    sheet = product.sheets[place]
    moved = (sheet.boxes[0][:2] + sheet.waste[0][2:], *sheet.waste[1:])
    product.sheets = (*product.sheets[:place], replace(sheet, waste=moved),
                      *product.sheets[place + 1:])  # fmt: skip


def forget_a_kerf(product: Supplied) -> None:
    first_sheet(product, kerf=product.sheets[0].kerf + 2)


def put_a_piece_in_no_sheet(product: Supplied) -> None:
    first_sheet(product, pieces=product.sheets[0].pieces[1:])


def widen_a_gap(placed: Placed) -> Placed:
    first, *others = placed.runs
    return replace(placed, runs=(replace(first, gap=first.gap + 1), *others))


def lose_a_share(product: Supplied) -> None:
    product.shares = product.shares[1:]


TAMPERED_SHEETS = [push_a_box_out, lay_boxes_on_each_other, forget_a_kerf,
                   put_a_piece_in_no_sheet, lose_a_share]  # fmt: skip


@pytest.mark.parametrize("tamper", TAMPERED_SHEETS)
def test_tampered_sheets_are_caught(tamper: Callable[[Supplied], None]) -> None:
    takeoff = built("sheathing")
    checked(takeoff)
    tamper(takeoff.supplied[0])
    with pytest.raises(LawBroken):
        checked(takeoff)


def test_a_gap_that_is_claimed_too_wide_is_caught() -> None:
    with pytest.raises(LawBroken):
        checked(placed_anew(built("sheathing"), widen_a_gap))


def test_a_lap_that_is_claimed_too_short_is_caught() -> None:
    takeoff = built("wrap")
    checked(takeoff)

    def shorter(placed: Placed) -> Placed:
        first, second, *others = placed.laid.courses
        courses = (first, replace(second, lap=second.lap - 1), *others)
        return replace(placed, laid=replace(placed.laid, courses=courses))

    with pytest.raises(LawBroken, match="overlap"):
        checked(placed_anew(takeoff, shorter))


def test_a_line_whose_shares_do_not_add_up_is_caught() -> None:
    takeoff = built("wrap")
    with pytest.raises(LawBroken, match="add up"):
        checked(replace(takeoff, bought=replace(takeoff.bought, shares=takeoff.bought.shares[1:])))


def test_a_joint_off_its_member_is_caught() -> None:
    placed = made().placed[0]
    kind = kind_of(placed)
    detail = placed.detail
    cuts = [piece.cut for piece in detail.all[:2]]
    moved = (
        replace(detail.all[0], cut=replace(cuts[0], high=cuts[0].high + 1)),
        replace(detail.all[1], cut=replace(cuts[1], low=cuts[1].low + 1)),
        *detail.all[2:],
    )
    told = kind.violations(replace(placed, detail=replace(detail, all=moved)))
    assert any("on no member" in law for law in told)


def test_joints_too_near_are_caught() -> None:
    placed = made().placed[0]
    kind = kind_of(placed)
    rules = replace(placed.detail.rules, stagger=10**9)
    told = kind.violations(replace(placed, detail=replace(placed.detail, rules=rules)))
    assert any("is nearer than" in law for law in told)


def lose_a_bay(placed: Placed) -> Placed:
    detail = replace(placed.laid.detail, bays=placed.laid.detail.bays[1:])
    return replace(placed, laid=replace(placed.laid, detail=detail))


def lengthen_a_piece(placed: Placed) -> Placed:
    first, *others = placed.pieces
    return replace(placed, pieces=(replace(first, cut=first.cut + 10**6), *others))


@lru_cache
def placed_of(kind: str, example: str) -> Placed:
    """The first layer of a kind in one of its examples."""
    body = (KINDS / kind / "examples" / f"{example}.json").read_bytes()
    return next(one for one in take_off(read(body)).placed if one.laid.task.layer.kind == kind)


@pytest.mark.parametrize(("kind", "example", "change", "law"), [
    ("box_beams", "coffers", lose_a_bay, "are not the surface"),
    ("box_beams", "coffers", lose_a_piece, "do not make it up"),
    ("trim", "den", lose_a_piece, "is of no length"),
    ("trim", "den", lengthen_a_piece, "are not it"),
])  # fmt: skip
def test_a_kind_finds_its_own_layer_placed_wrongly(
    kind: str, example: str, change: Callable[[Placed], Placed], law: str
) -> None:
    """Bays and parts of beams (16.2, 16.3), lengths of trim and their pieces (17.1, 17.4)."""
    placed = placed_of(kind, example)
    assert kind_of(placed).violations(placed) == ()
    told = kind_of(placed).violations(change(placed))
    assert any(law in one for one in told)
