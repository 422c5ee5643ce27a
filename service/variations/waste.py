"""Which rule costs most: the job again with one rule lowered, or one thing chosen otherwise (6.8).

Each is a variation of the job, solved as it would be if it were sent.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from service.errors import JsonValue, Ticks
from service.report.scale import scale_of
from service.takeoff.job import Job, LayerJob
from service.units.ticks import FOOT, INCH, METRIC, MM
from service.variations.entry import Edit, Entry, edited


@dataclass(frozen=True, slots=True)
class Change:
    """One change that is tried: of which rule, from what, to what."""

    key: str
    rule: str | None
    asked: JsonValue
    tried: JsonValue
    entry: Entry


@dataclass(frozen=True, slots=True)
class _Lower:
    """How far a rule is lowered: `value` is in ticks where `is_length`, else a count or percent."""

    rule: str
    value: int
    is_length: bool = True


LOWER: Final[Mapping[str, _Lower]] = {
    "stagger": _Lower("6.5", 6 * INCH),
    "repeat": _Lower("6.5", 0),
    "min_bearings": _Lower("6.3", 2, is_length=False),
    "min_piece": _Lower("6.3", 12 * INCH),
    "joint_trim": _Lower("8.1", 0),
    "wall_trim": _Lower("8.1", 0),
    "kerf": _Lower("8.2", INCH // 16),
    "min_rip": _Lower("3.3", INCH // 2),
    "cull": _Lower("10.1", 0, is_length=False),
    "spare": _Lower("10.2", 0, is_length=False),
}
"""Rules that waste stems from, and what each is lowered to."""

USUAL: Final = tuple(feet * FOOT for feet in (8, 10, 12, 14, 16))
USUAL_METRIC: Final = tuple(one * MM for one in (2400, 3000, 3600, 4200, 4800))
"""Lengths that yards keep."""


def changes(job: Job, asked: Any) -> list[Change]:
    """Every change that would lower something, each a variation of the job."""
    return [*_rules(job, asked), *_ways(job, asked), *_lengths(job, asked)]


def _rules(job: Job, asked: Any) -> Iterator[Change]:
    """One rule lowered in every layer that has it higher."""
    for key, lower in LOWER.items():
        over = [(one, value) for one in job.layers if (value := _value(one, key)) > lower.value]
        if over:
            most = max(value for _, value in over)
            edits = [Edit(_place(one, key), lower.value) for one, _ in over]
            yield _change(job, asked, key, lower, most, edits)


def _place(one: LayerJob, key: str) -> str:
    return f"{one.task.pointer}/rules/{key}"


def _change(
    job: Job, asked: Any, key: str, lower: _Lower, most: int | Fraction, edits: Sequence[Edit]
) -> Change:
    def said(value: int | Fraction) -> JsonValue:
        return Ticks(int(value)) if lower.is_length else _number(value)

    told = [Edit(one.pointer, said(lower.value)) for one in edits]
    tried = edited(key, asked, told, scale_of(job.unit))
    return Change(key, lower.rule, said(most), said(lower.value), tried)


def _number(value: int | Fraction) -> int | float:
    return int(value) if value == int(value) else float(value)


def _value(one: LayerJob, key: str) -> int | Fraction:
    """A rule of a layer as it holds; 0 where its kind has no such rule."""
    own = getattr(type(one.task.rules), key, None)
    return 0 if own is None else getattr(one.task.rules, key)


def _ways(job: Job, asked: Any) -> Iterator[Change]:
    """Boards laid across instead of along, with the whole board first, jointed on blocks too."""
    boards = [one for one in job.layers if one.kind.name == "boarding"]
    turned = [
        (one, Fraction(sent))
        for one in boards
        if (sent := getattr(one.task.layer, "direction", None)) is not None
    ]
    scale = scale_of(job.unit)
    if turned:
        edits = [
            Edit(f"{one.task.pointer}/direction", _number((sent + 90) % 180))
            for one, sent in turned
        ]
        tried = edited("direction", asked, edits, scale)
        was = _number(turned[0][1])
        yield Change("direction", None, was, edits[0].value, tried)
    for key, rule, value in (("start", "3.9", "full_first"), ("joints", "6.2", "framing_or_block")):
        other = [one for one in boards if getattr(one.task.layer, key, None) != value]
        if other:
            edits = [Edit(f"{one.task.pointer}/{key}", value) for one in other]
            sent = getattr(other[0].task.layer, key, None)
            yield Change(key, rule, sent, value, edited(key, asked, edits, scale))


def _lengths(job: Job, asked: Any) -> Iterator[Change]:
    """Every usual length between the shortest and the longest that the product comes in."""
    usual = USUAL_METRIC if job.unit in METRIC else USUAL
    edits: list[Edit] = []
    for product, pointer in job.products.values():
        if product.form not in ("board", "lumber", "moulding"):
            continue
        stock: Sequence[Any] = getattr(product, "stock", ())
        have = {row.length for row in stock}
        more = [one for one in usual if min(have) < one < max(have) and one not in have]
        edits += [Edit(f"{pointer}/stock/-", _row(one, stock)) for one in more]
    if edits:
        tried = edited("stock", asked, edits, scale_of(job.unit))
        yield Change("stock", "8.8", None, [edit.value for edit in edits], tried)


def _row(length: int, stock: Sequence[Any]) -> JsonValue:
    """A further length, at the dearest price by the length where all have one."""
    told: dict[str, JsonValue] = {"length": Ticks(length)}
    if all(row.price is not None for row in stock):
        rate = max(row.price / row.length for row in stock)
        told["price"] = f"{float(rate * length):.2f}"
    return told
