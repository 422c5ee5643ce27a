"""Which stick each piece is sawn from, and which pieces are ripped from the same one."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from service.cutting.records import Need, Sawing, Stick, Stock
from service.joints.records import Jointed
from service.products.cut_rows import StickRow


@dataclass(frozen=True, slots=True)
class Blade:
    """What a saw takes, and from what length on a rest is kept (ticks)."""

    kerf: int
    keep: int


@dataclass(frozen=True, slots=True)
class Sawn:
    """Sticks, longest stock first; the stick of each piece, by id.

    `beside[id]` are the pieces ripped from the same board as piece `id`, which is the longest.
    """

    sticks: tuple[StickRow, ...]
    of_piece: dict[str, str]
    beside: dict[str, tuple[str, ...]]


def sawn(
    product: str,
    solved: Jointed,
    named: Sequence[Sequence[str]],
    stocks: Sequence[Stock],
    blade: Blade,
    fixed: Iterable[tuple[Need, str]] = (),
    owned: Container[int] = (),
) -> Sawn:
    """Sticks of a plan; `named` are the ids of the pieces, run by run as `solved` has them.

    `fixed` are pieces of no run, each with its id; `owned` the numbers of stocks that the caller
    has already, of which sticks are sawn before others as long.
    """
    beside = {
        named[own[0][0]][own[0][1]]: tuple(named[run][k] for run, k in own[1:])
        for own in solved.together
    }
    seconds = {name for names in beside.values() for name in names}
    waiting: dict[Need, deque[str]] = defaultdict(deque)
    turns = any(stock.turned for stock in stocks)
    for need, name in (*_crosscut(solved, named), *fixed):
        if name not in seconds:
            waiting[need.usual if turns else need].append(name)
    rows: list[StickRow] = []
    where: dict[str, str] = {}
    known: dict[Stick, _Cut] = {}
    ordered = sorted(
        solved.plan.sticks,
        key=lambda s: (
            -stocks[s.stock].length,
            s.stock not in owned,
            [-n.length for n in s.pieces],
        ),
    )
    for k, stick in enumerate(ordered):
        name = f"{product}-{k + 1}"
        ids = tuple(waiting[need.usual if turns else need].popleft() for need in stick.pieces)
        others = tuple(beside.get(one, ()) for one in ids)
        where |= dict.fromkeys(_all(ids, others), name)
        if stick not in known:
            known[stick] = _cut(stick, stocks[stick.stock], blade)
        row = _row(name, product, known[stick], ids, others)
        rows.append(replace(row, owned=True) if stick.stock in owned else row)
    return Sawn(tuple(rows), where, beside)


def _crosscut(solved: Jointed, named: Sequence[Sequence[str]]) -> Iterator[tuple[Need, str]]:
    """Every piece with its id."""
    for own, names in zip(solved.cuts, named, strict=True):
        for cut, name in zip(own, names, strict=True):
            yield cut.need, name


def _all(ids: Iterable[str], others: Iterable[Iterable[str]]) -> Iterator[str]:
    yield from ids
    for names in others:
        yield from names


class _Cut(NamedTuple):
    """What is sawn of a stick: its stock, the lengths of its pieces, the cuts, and what is left."""

    stock: Stock
    lengths: tuple[int, ...]
    sawing: Sawing
    room: int
    rest: int
    kept: bool


def _cut(stick: Stick, stock: Stock, blade: Blade) -> _Cut:
    lengths = tuple(need.length for need in stick.pieces)
    room, sawing = stick.room(stock), stick.saw(stock, blade.kerf)
    rest = room - sum(lengths) - sawing.length + sum(sawing.laps)
    return _Cut(stock, lengths, sawing, room, rest, rest > 0 and rest >= blade.keep)


def _row(
    name: str, product: str, cut: _Cut, ids: tuple[str, ...], others: tuple[tuple[str, ...], ...]
) -> StickRow:
    return StickRow(
        stick=name,
        product=product,
        length=cut.stock.length,
        pieces=ids,
        cuts=cut.lengths,
        laps=cut.sawing.laps,
        kerfs=cut.sawing.cuts,
        kerf=cut.sawing.length,
        end_trim=cut.stock.length - cut.room,
        offcut=cut.rest,
        kept=cut.kept,
        beside=others,
    )
