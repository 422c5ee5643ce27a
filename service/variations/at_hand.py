"""Whether a job can be done with what is there, and the least to buy where it cannot (8.9, 9.2).

What is there is owned, it costs nothing; every length can be bought without limit. So the cheapest
order is the least to buy, and an empty one says that what is there is enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from service.errors import JsonValue, Ticks
from service.products.goods.board.board import board_of
from service.report.scale import scale_of
from service.schemas.comparison import DeliveredBoards
from service.takeoff.comparison import LADDER, Figures
from service.takeoff.job import Job
from service.units.ticks import whole
from service.variations.entry import Edit, Entry, Made, edited

COUNTED: Final = ("fewest_sticks", "fewest_joints", "fewest_lengths")
TEN: Final = 10


@dataclass(frozen=True, slots=True)
class AtHand:
    """A question of what is there: the job with it, and the same with everything bought.

    Where nothing is said to be there the job alone, with boards as they measure.
    """

    question: str
    entries: tuple[Entry, ...]

    @property
    def has_some(self) -> bool:
        """Whether anything is said to be there; else boards were only measured."""
        return len(self.entries) > 1


def on_hand(job: Job, asked: Any) -> AtHand:
    """With what `on_hand` of stock lengths and `owned` say that there is."""
    edits = [edit for product in _stocked(job) for edit in _taken(*product)]
    return _with(job, asked, "on_hand", edits)


def delivered(job: Job, asked: Any, came: Sequence[DeliveredBoards]) -> AtHand:
    """With what came of some products, and as wide as ten of their boards measure."""
    at = {product.id: (product, pointer) for product, pointer in _stocked(job)}
    edits = [edit for one in came for edit in _came(*at[one.product], one)]
    if not any(one.lengths for one in came):
        return AtHand("delivered", (edited("delivered", asked, edits, scale_of(job.unit)),))
    return _with(job, asked, "delivered", edits)


def _with(job: Job, asked: Any, question: str, edits: Sequence[Edit]) -> AtHand:
    """What is there, and the same with everything bought: that cannot take less."""
    scale = scale_of(job.unit)
    least = list(_for_the_least(asked, job))
    bought = [edit for product in _stocked(job) for edit in _all_bought(*product)]
    coverage = [one for one in edits if not one.pointer.endswith(("/owned", "/stock"))]
    with_it = edited(question, asked, [*edits, *least], scale)
    all_new = edited(f"{question}_all_bought", asked, [*bought, *coverage, *least], scale)
    return AtHand(question, (with_it, all_new))


def _stocked(job: Job) -> Iterator[tuple[Any, str]]:
    """Every product that comes in lengths and can be owned, with its place."""
    for product, pointer in job.products.values():
        if getattr(product, "stock", None) and hasattr(product, "owned"):
            yield product, pointer


def _taken(product: Any, pointer: str) -> Iterator[Edit]:
    """What is said to be there is owned, and every length can be bought."""
    capped = [row for row in product.stock if row.on_hand]
    owned = [_owned(row, row.count) for row in product.owned or ()]
    owned += [_owned(row, row.on_hand) for row in capped]
    if owned:
        yield Edit(f"{pointer}/owned", owned)
    yield from _without_limit(product, pointer)


def _all_bought(product: Any, pointer: str) -> Iterator[Edit]:
    """Nothing is owned, and every length can be bought."""
    if product.owned:
        yield Edit(f"{pointer}/owned", [])
    yield from _without_limit(product, pointer)


def _without_limit(product: Any, pointer: str) -> Iterator[Edit]:
    """Every length can be bought: of one listed more than once, as it is sold without limit."""
    free = {_size(row) for row in product.stock if row.on_hand is None}
    rows: dict[Any, JsonValue] = {}
    for row in product.stock:
        if row.on_hand is None:
            rows[len(rows)] = _bought(row)
        elif _size(row) not in free:
            rows.setdefault(_size(row), _bought(row))
    if any(row.on_hand is not None for row in product.stock):
        yield Edit(f"{pointer}/stock", list(rows.values()))


def _size(row: Any) -> tuple[int, tuple[bool, bool]]:
    return row.length, row.raw


def _bought(row: Any) -> JsonValue:
    told: dict[str, JsonValue] = {"length": Ticks(row.length)}
    if row.price is not None:
        told["price"] = _decimal(row.price)
    if row.multiple is not None:
        told["multiple"] = row.multiple
    return told | _ends(row)


def _owned(row: Any, count: int) -> JsonValue:
    told: dict[str, JsonValue] = {"length": Ticks(row.length), "count": count}
    return told | _ends(row)


def _ends(row: Any) -> dict[str, JsonValue]:
    sent = getattr(row, "ends", None)
    return {} if sent is None else {"ends": list(sent)}


def _decimal(price: Fraction) -> str:
    """A price with all its decimals, at least two, as a request may send it."""
    whole_part, part = divmod(int(price * 10**6), 10**6)
    return f"{whole_part}.{f'{part:06d}'.rstrip('0'):0<2}"


def _came(product: Any, pointer: str, one: DeliveredBoards) -> Iterator[Edit]:
    """A tally is what is owned; ten boards laid tight say the coverage (2.4)."""
    if one.lengths is not None:
        yield Edit(f"{pointer}/owned", [_owned(row, row.count) for row in one.lengths])
        yield from _without_limit(product, pointer)
    if one.ten_boards is not None:
        # Wood that has swelled or shrunk has done so in its face: tongues and laps stay as milled.
        coverage = whole(Fraction(one.ten_boards, TEN))
        yield Edit(f"{pointer}/coverage", Ticks(coverage))
        yield Edit(f"{pointer}/overall", Ticks(coverage + board_of(product).lap))


def _for_the_least(asked: Any, job: Job) -> Iterator[Edit]:
    """Nothing but what is bought counts: a joint costs nothing, and no count goes before it."""
    if job.settings.objective in COUNTED:
        stock = [row for product, _ in _stocked(job) for row in product.stock]
        priced = all(row.price is not None for row in stock)
        yield Edit("/objective", "least_cost" if priced else "least_length")
    yield Edit("/rules/joint_cost", 0)
    for s, surface in enumerate(asked["surfaces"]):
        places = [(f"/surfaces/{s}", surface)]
        places += [(f"/surfaces/{s}/layers/{k}", one) for k, one in enumerate(surface["layers"])]
        for at, one in places:
            if (one.get("rules") or {}).get("joint_cost") is not None:
                yield Edit(f"{at}/rules/joint_cost", 0)


def least(made: Sequence[Made]) -> Made:
    """The one that buys least; what is there is never worth more than it saves."""
    answered = [one for one in made if one.figures is not None]
    return min(answered, key=lambda one: _ladder(one.figures)) if answered else made[0]


def _ladder(figures: Figures | None) -> tuple[bool, Fraction, Fraction, Fraction]:
    assert figures is not None
    cost = figures.cost
    return cost is None, cost or Fraction(0), LADDER["length"](figures), LADDER["sticks"](figures)
