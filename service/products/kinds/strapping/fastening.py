"""Fasteners of straps: so many wherever a piece crosses a member, each piece its own (14.4)."""

from __future__ import annotations

from collections.abc import Iterable

from service.geometry.rings import bounds
from service.products.fastener_rows import Counted, through_the_face
from service.products.fasteners import named_fastener, reach_in_framing
from service.products.kinds.strapping.records import PlacedStraps
from service.products.kinds.strapping.rulings import Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.standing import Reopened


def fasten(placed: PlacedStraps, said: Remarks) -> tuple[FastenerRow, ...]:
    """What each crossing takes, and both sides of each splice."""
    task = placed.laid.task
    each = task.rules.strap_fasteners
    straps = placed.laid.detail.straps
    spliced = sum(len(one.spliced) for one in straps)
    crossed = sum(len(one.crossed) for one in straps) - spliced
    return _rows(
        task,
        (
            Counted("field", each * crossed, "crossings of straps and members"),
            Counted("splice", each * spliced, "ends that meet on a member"),
        ),
        said,
    )


def fasten_again(
    placed: PlacedStraps, after: PlacedStraps, opened: Reopened, said: Remarks
) -> tuple[FastenerRow, ...]:
    """What straps that stay up take anew, at ends that are cut back to a member (14.4)."""
    task, pieces = after.laid.task, {one.id: one for one in placed.laid.detail.straps}
    lines = {one.shape.box[2:]: one.line for one in after.laid.detail.straps}
    ends = 0
    for stay in (one for one in opened.stays if one.shape):
        was = pieces[stay.piece]
        line = after.laid.detail.bearings[lines[was.shape.box[2:]] - 1]
        low, high, *_ = bounds(stay.shape or ())
        cut = [a for a, b in ((low, was.low), (high, was.high)) if a != b]
        ends += sum(any(abs(at - one) <= line.half for one in line.stations) for at in cut)
    count = task.rules.strap_fasteners * ends
    return _rows(task, [Counted("cut end", count, "ends cut in place on a member")], said)


def _rows(task: Task, counts: Iterable[Counted], said: Remarks) -> tuple[FastenerRow, ...]:
    named = named_fastener(task, said)
    return through_the_face(task, "face", named, reach_in_framing(task, named, said), counts)
