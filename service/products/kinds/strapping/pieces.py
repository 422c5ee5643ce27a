"""Lines of straps in pieces: cut where they meet walls and openings, spliced on members (14.3)."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence

from service.geometry.frame import Frame
from service.geometry.plane import (
    clip_to_boxes,
    difference,
    intersection,
    union,
    without_slivers,
)
from service.geometry.rings import Polygon, Region, rectangle
from service.geometry.strips import cut_across
from service.layout.bearings import BearingLine, bearings_of, line_of
from service.layout.runs import NOTHING
from service.layout.strap_lines import StrapLine, splices
from service.products.kinds.strapping.findings import too_short
from service.products.kinds.strapping.records import Strap
from service.products.kinds.strapping.rulings import Task
from service.products.stock import longest_cut


def in_pieces(
    task: Task, frame: Frame, region: Region, wanted: Sequence[StrapLine], pairs: Container[int]
) -> tuple[tuple[StrapLine, ...], tuple[Strap, ...]]:
    """The lines of which something lies on the region, and all their pieces.

    Lines of those numbers in `pairs` are two straps side by side. Splices of lines that follow
    each other lie on different members (14.3). Raises TradeRefused where no stick reaches.
    """
    cut = frame.region(union(one.cut for one in task.surface.openings))
    members = bearings_of(task.ground.bearings, frame)
    up = () if task.standing is None else frame.region(task.standing.area)
    lines: list[StrapLine] = []
    straps: list[Strap] = []
    taken: frozenset[int] = frozenset()
    for line in wanted:
        beside = 2 if len(lines) + 1 in pairs else 1
        strips = list(_runs(task, region, cut, line, beside))
        if not strips:
            continue
        lines.append(line)
        met = line_of(members, line.at)
        own: set[int] = set()
        for run, strip in enumerate(_not_up(strips, up), 1):
            cuts = _spliced(task, strip, met, taken | own)
            own |= set(cuts)
            straps += _pieces(task, len(lines), run, strip, cuts, met)
        taken = frozenset(own)
    return tuple(lines), tuple(straps)


def _runs(
    task: Task, region: Region, cut: Region, line: StrapLine, beside: int
) -> Iterator[Polygon]:
    """The parts between walls and openings of each strap of a line: none beside an opening."""
    wide = task.product.width
    first = line.at - beside * wide // 2
    for near in range(first, first + beside * wide, wide):
        box = line.low, line.high, near, near + wide
        (strips,) = clip_to_boxes(region, [box])
        holes = (one.box[:2] for one in intersection((Polygon(rectangle(*_corners(box))),), cut))
        shut = tuple(Polygon(rectangle(a, near, b, near + wide)) for a, b in holes)
        for strip in difference(strips, shut):
            low, high = strip.box[:2]
            if high - low >= wide:
                yield strip


def _not_up(strips: Sequence[Polygon], up: Region) -> Sequence[Polygon]:
    """What of the strips is still to be laid, from low to high."""
    return without_slivers(difference(tuple(strips), up), NOTHING) if up else strips


def _corners(box: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
    low, high, near, far = box
    return low, near, high, far


def _spliced(
    task: Task, strip: Polygon, met: BearingLine, taken: frozenset[int]
) -> tuple[int, ...]:
    low, high = strip.box[:2]
    free = [one for one in task.product.stock if one.on_hand is None] or task.product.stock
    longest = longest_cut(free, task.rules.stick_trims)
    found = splices(low, high, met.stations, longest, taken)
    if found is None:
        raise too_short(task, low, high, longest)
    return found


def _pieces(
    task: Task, number: int, run: int, strip: Polygon, cuts: Sequence[int], met: BearingLine
) -> Iterator[Strap]:
    places = {at: k for k, at in enumerate(met.stations)}
    for k, parts in enumerate(cut_across(strip, cuts), 1):
        (shape,) = parts
        low, high = shape.box[:2]
        yield Strap(
            id=f"{task.at}.{number}.{run}.{k}",
            line=number,
            run=run,
            shape=shape,
            crossed=met.touched(low, high, task.rules.min_touch),
            spliced=frozenset(places[at] for at in (low, high) if at in cuts),
        )
