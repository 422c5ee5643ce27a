"""The pass `back`: when all is placed, what must stand behind it (15). It moves nothing."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.errors import Finding
from service.products.backing import Backer
from service.products.form import AnyNeed
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.lumber.rulings import Task
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.remarks import Remarks
from service.products.rows import BackingRow
from service.products.sticks.needs import Lengths
from service.takeoff.job import Job
from service.units.ticks import SIXTY_FOURTH, down, nearest
from service.units.writing import counted, total_length


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

    Surfaces that name none have it counted, which a finding of each says.
    """
    asked = [(one, backer) for kind, one in placed for backer in kind.back(one)]
    rows: list[BackingRow] = []
    wanted: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    names: Counter[str] = Counter()
    for one, backer in asked:
        surface = one.laid.task.surface.id
        task = job.nailers.get(surface)
        row, pieces = _row(one, backer, task, names)
        rows.append(row)
        wanted[surface] += pieces
    for surface in wanted:
        if surface not in job.nailers:
            said.find(
                _not_ordered(surface, [row for row in rows if row.surface == surface], job.unit)
            )
    return tuple(rows), tuple(_behind(job, wanted))


def _row(
    one: AnyPlaced, backer: Backer, task: Task | None, names: Counter[str]
) -> tuple[BackingRow, list[tuple[str, int, int]]]:
    """A row, and its pieces: id, length as it lies and as cut; none where no lumber is named.

    They are named by where they begin, in 1/64 in from the outline's lowest point in x and y.
    """
    of = one.laid.task
    low, near = (min(point[axis] for point in of.surface.outline) for axis in (0, 1))
    at = f"{_parts(backer.start[0] - low)}.{_parts(backer.start[1] - near)}"
    name = f"{of.surface.id}~{of.layer_id}.{at}"
    names[name] += 1
    own = name if names[name] == 1 else f"{name}~{names[name]}"
    pieces = [] if task is None else _pieces(own, backer.length, task)
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
    )
    return row, pieces


def _pieces(name: str, length: int, task: Task) -> list[tuple[str, int, int]]:
    """A line in as few equal pieces as the longest stick gives (8.2)."""
    step = task.rules.cut_to
    if length < step:
        return []  # no saw cuts it
    longest = max(stock.length for stock in task.product.stock) - 2 * task.rules.end_trim
    count = max(1, -(-length // max(1, longest)))
    ends = [length * k // count for k in range(count + 1)]
    return [
        (name if count == 1 else f"{name}.{k + 1}", high - low, down(high - low, step))
        for k, (low, high) in enumerate(pairwise(ends))
    ]


def _behind(job: Job, wanted: dict[str, list[tuple[str, int, int]]]) -> Iterator[Behind]:
    for surface, pieces in wanted.items():
        task = job.nailers.get(surface)
        if task is not None and pieces:
            need = LUMBER.need(task, Lengths({name: cut for name, _, cut in pieces}))
            yield Behind(need, sum(own for _, own, _ in pieces), sum(cut for _, _, cut in pieces))


def _not_ordered(surface: str, rows: Sequence[BackingRow], unit: str) -> Finding:
    """How much backing is counted without a lumber that it could be cut of (15.3)."""
    total = sum(row.length for row in rows)
    return Finding(
        "backing-not-ordered",
        surface,
        f"{counted(len(rows), 'nailers, headers and blocks')} must stand behind, "
        f"{total_length(total, unit)} in all (`backing`): they are counted and not ordered, for no "
        "`nailers` are named; whether they are enough is for the designer",
        rule="15.3",
        measure=total,
    )


def _parts(length: int) -> int:
    return nearest(length, SIXTY_FOURTH) // SIXTY_FOURTH
