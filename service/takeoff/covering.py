"""Whether the mouldings of a job cover the gaps that boards leave at walls (3.10, 24)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from service.errors import Finding
from service.geometry.edges import lie_on_each_other
from service.geometry.rings import Line
from service.products.gaps import OpenGap
from service.products.layer import AnyLaid
from service.products.remarks import Remarks
from service.units.ticks import whole
from service.units.writing import both, counted, total_length


@dataclass(frozen=True, slots=True)
class _Covered:
    """A gap, and the layer of trim that reaches furthest over it; None where none runs there."""

    gap: OpenGap
    trim: AnyLaid | None
    reach: int


def say_covers(laid: Sequence[AnyLaid], unit: str, said: Remarks) -> None:
    """Of each surface, which gaps of its boards nothing covers, and which trim too narrow."""
    surfaces: dict[str, list[AnyLaid]] = defaultdict(list)
    for layer in laid:
        surfaces[layer.task.surface.id].append(layer)
    for layers in surfaces.values():
        boards = next((one for one in reversed(layers) if not one.along_edges), None)
        if boards is None or not boards.gaps:
            continue
        found = list(_covered(boards.gaps, [one for one in layers if one.covers]))
        bare = [one.gap for one in found if one.trim is None and one.gap.assumed]
        _say_open(boards, bare, unit, said)
        for trim in layers:
            own = [one for one in found if one.trim is trim and one.reach < one.gap.wide]
            if own:
                _say_narrow(trim, own, said)


def _covered(gaps: Sequence[OpenGap], trims: Sequence[AnyLaid]) -> Iterator[_Covered]:
    lines: dict[Line, list[tuple[int, int]]] = defaultdict(list)
    for number, trim in enumerate(trims):
        for cover in trim.covers:
            lines[cover.line].append((cover.reach, number))
    for gap in gaps:
        reach, number = max(_over(gap.line, lines), default=(0, -1))
        yield _Covered(gap, trims[number] if reach else None, reach)


def _over(line: Line, lines: Mapping[Line, Sequence[tuple[int, int]]]) -> Iterator[tuple[int, int]]:
    """What runs along a line, over all of it or a part."""
    if line in lines:
        yield from lines[line]
        return
    for other, own in lines.items():
        if lie_on_each_other(line, other):
            yield from own


def _say_open(boards: AnyLaid, gaps: Sequence[OpenGap], unit: str, said: Remarks) -> None:
    if not gaps:
        return
    wide = max(gap.wide for gap in gaps)
    length = sum(_length(gap.line) for gap in gaps)
    said.find(
        Finding(
            "gap-uncovered",
            boards.task.at,
            f"the gap at {counted(len(gaps), 'walls')}, {total_length(length, unit)} in all, is "
            f"taken as covered, and nothing in the job covers it: a moulding that reaches "
            f"{both(wide)} from the wall would (a layer of the kind `trim`); `edges`: bare where "
            "none comes",
            rule="24",
            measure=wide,
        )
    )


def _say_narrow(trim: AnyLaid, found: Sequence[_Covered], said: Remarks) -> None:
    most = max(found, key=lambda one: one.gap.wide - one.reach)
    said.find(
        Finding(
            "moulding-narrow",
            trim.task.at,
            f"{trim.task.product.id} reaches {both(most.reach)} from the wall, and at "
            f"{counted(len(found), 'walls')} boards leave up to {both(most.gap.wide)} to be "
            "covered, an open groove with it: a wider moulding, or a smaller `gap`",
            rule="3.10",
            measure=most.reach,
            limit=most.gap.wide,
        )
    )


def _length(line: Line) -> int:
    (ax, ay), (bx, by) = line
    return whole(hypot(bx - ax, by - ay))
