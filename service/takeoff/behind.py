"""The pass `back`: when all is placed, what must stand behind it (15). It moves nothing."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from service.errors import Finding
from service.geometry.rings import Point
from service.products.backing import Backer, left_to_set
from service.products.backing_rows import BackingRow, backing_line
from service.products.form import AnyNeed
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.rulings import Task
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.remarks import Remarks
from service.products.sticks.needs import Lengths
from service.products.stock import longest_cut
from service.takeoff.behind_nails import nailing_of
from service.takeoff.job import Job
from service.units.ticks import down, sixty_fourths
from service.units.writing import agreeing, both, counted, listed, total_length

SPANS: Final = ("header", "trimmer", "block")
"""What is held at its two ends alone, so that it is one piece."""


@dataclass(frozen=True, slots=True)
class Behind:
    """What is wanted of one lumber behind one surface, and how long its pieces are as they lie."""

    need: AnyNeed
    extent: int
    cut: int


def stand_behind(
    job: Job, placed: Sequence[tuple[AnyKind, AnyPlaced]], said: Remarks
) -> tuple[tuple[BackingRow, ...], tuple[Behind, ...]]:
    """What each layer asks to stand behind it, and what is wanted for that of which lumber.

    What two layers of a surface ask for in one place stands there once. Surfaces that name no
    lumber have it counted, which a finding of each says.
    """
    asked = list(_asked(placed))
    rows: list[BackingRow] = []
    wanted: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    names: Counter[str] = Counter()
    for one, backer in asked:
        surface = one.laid.task.surface.id
        task = job.nailers.get(surface)
        for part in _to_set(backer, surface, task, job):
            row, pieces = _row(one, part, task, names)
            if job.framed is not None and backing_line(row) in job.framed.stands:
                continue
            rows.append(row)
            wanted[surface] += pieces
    for surface in wanted:
        _say(surface, [row for row in rows if row.surface == surface], job, said)
    return tuple(rows), tuple(_behind(job, wanted))


def _to_set(backer: Backer, surface: str, task: Task | None, job: Job) -> Iterator[Backer]:
    """A line of backing; of a nailer what goes on beyond one that stands already (21.4)."""
    stands = job.framed.stands if job.framed is not None and backer.what == "nailer" else ()
    product = None if task is None else task.product.id
    there = [ends for at, what, _, ends, of in stands
             if (at, what, of) == (surface, "nailer", product)]  # fmt: skip
    yield from left_to_set(backer, [(start, end) for start, end in there])


def _say(surface: str, rows: Sequence[BackingRow], job: Job, said: Remarks) -> None:
    """What of a surface's backing nobody ordered, and what nothing was named to hold."""
    if surface not in job.nailers:
        said.find(_not_ordered(surface, rows, job))
        return
    _say_too_long(surface, rows, job.nailers[surface], said)
    if surface not in job.nailer_fasteners and any(row.nails for row in rows):
        said.find(_not_nailed(surface, rows))


def _asked(placed: Sequence[tuple[AnyKind, AnyPlaced]]) -> Iterator[tuple[AnyPlaced, Backer]]:
    """Every line that a layer asks for, with that layer: the first one that does."""
    seen: set[tuple[str, Point, Point]] = set()
    for kind, one in placed:
        for backer in kind.back(one):
            place = (one.laid.task.surface.id, backer.start, backer.end)
            if place not in seen:
                seen.add(place)
                yield one, backer


def _row(
    one: AnyPlaced, backer: Backer, task: Task | None, names: Counter[str]
) -> tuple[BackingRow, list[tuple[str, int, int]]]:
    """A row, and its pieces: id, length as it lies and as cut; none where no lumber is named.

    They are named by where they begin, in 1/64 in from the outline's lowest point in x and y.
    """
    of = one.laid.task
    low, near = (min(point[axis] for point in of.surface.outline) for axis in (0, 1))
    at = f"{sixty_fourths(backer.start[0] - low)}.{sixty_fourths(backer.start[1] - near)}"
    name = f"{of.surface.id}~{of.layer_id}.{at}"
    names[name] += 1
    own = name if names[name] == 1 else f"{name}~{names[name]}"
    if task is not None and _is_too_long(backer, task):
        task = None
    pieces = [] if task is None else _pieces(own, backer, task)
    nailing = nailing_of(one)
    lengths = [length for _, length, _ in pieces] or [backer.length]
    row = BackingRow(
        surface=of.surface.id,
        layer=of.layer_id,
        what=backer.what,
        purpose=backer.purpose,
        start=backer.start,
        end=backer.end,
        length=backer.length,
        count=max(1, len(pieces)),
        product=None if task is None else task.product.id,
        pieces=tuple(piece for piece, _, _ in pieces),
        nails=None if nailing is None else nailing.count(backer.what, lengths),
    )
    return row, pieces


def _pieces(name: str, backer: Backer, task: Task) -> list[tuple[str, int, int]]:
    """A line in as few equal pieces as the longest stick gives (8.2)."""
    step, length = task.rules.cut_to, backer.length
    if length < step:
        return []  # no saw cuts it
    count = max(1, -(-length // max(1, _longest(task))))
    ends = [length * k // count for k in range(count + 1)]
    return [
        (name if count == 1 else f"{name}.{k + 1}", high - low, down(high - low, step))
        for k, (low, high) in enumerate(pairwise(ends))
    ]


def _longest(task: Task) -> int:
    """What the longest stick of a lumber gives."""
    return longest_cut(task.product.stock, task.rules.stick_trims)


def _is_too_long(backer: Backer, task: Task) -> bool:
    """Whether what must be one piece is longer: a header in two hangs on nothing (5.7)."""
    return backer.what in SPANS and backer.length > _longest(task)


def _behind(job: Job, wanted: dict[str, list[tuple[str, int, int]]]) -> Iterator[Behind]:
    for surface, pieces in wanted.items():
        task = job.nailers.get(surface)
        if task is not None and pieces:
            need = LUMBER.need(task, Lengths({name: cut for name, _, cut in pieces}))
            yield Behind(need, sum(own for _, own, _ in pieces), sum(cut for _, _, cut in pieces))


def _not_ordered(surface: str, rows: Sequence[BackingRow], job: Job) -> Finding:
    """How much backing is counted without a lumber that it could be cut of (15.3)."""
    total = sum(row.length for row in rows)
    number = 0 if surface in job.nailer_fasteners else _nails(rows)
    nails = f", held by {counted(number, 'fasteners')}" if number else ""
    return Finding(
        "backing-not-ordered",
        surface,
        f"{_named(rows)} must stand behind, {total_length(total, job.unit)} in all{nails} "
        "(`backing`): they are counted and not ordered, for no `nailers` are named; whether they "
        "are enough is for the designer",
        rule="15.3",
        measure=total,
    )


def _say_too_long(surface: str, rows: Sequence[BackingRow], task: Task, said: Remarks) -> None:
    """What must be one piece and is longer than any stick of the lumber that is named (5.7)."""
    over = [row for row in rows if row.product is None]
    if not over:
        return
    most, longest = max(row.length for row in over), max(0, _longest(task))
    said.find(
        Finding(
            "backing-too-long",
            surface,
            f"{_named(over)}, up to {both(most)} long, must be one piece each, and the longest "
            f"stick of {task.product.id} gives {both(longest)}: counted and not ordered; add a "
            "longer one to its `stock`, or buy what the designer names",
            rule="5.7",
            measure=most,
            limit=longest,
        )
    )


def _not_nailed(surface: str, rows: Sequence[BackingRow]) -> Finding:
    """How many fasteners hold what stands behind, where none was named for them (18.2)."""
    nails = _nails(rows)
    return Finding(
        "backing-no-fastener",
        surface,
        f"{counted(nails, 'fasteners')} {agreeing(nails, 'holds', 'hold')} what must stand "
        f"behind, {_named(rows)}: they are counted and not ordered, for no `nailer_fastener` is "
        "named",
        rule="18.1",
    )


def _named(rows: Sequence[BackingRow]) -> str:
    """`3 headers, 2 blocks and 1 nailer`: what there is of each, and how many."""
    of: Counter[str] = Counter()
    for row in rows:
        of[row.what] += row.count
    return listed([counted(count, f"{what}s") for what, count in sorted(of.items())])


def _nails(rows: Sequence[BackingRow]) -> int:
    return sum(row.nails or 0 for row in rows)
