"""On which lines behind the sheets their end joints and seams land."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.layout.bearings import Bearing, bearings_of
from service.products.kinds.sheathing.laying import frame_across
from service.products.kinds.sheathing.records import LaidSheets, Sheets


def landed_on(layer: LaidSheets, shares: Sequence[object]) -> frozenset[int]:
    """The places of these lines in the layer's ground; sheets have their joints before any plan."""
    sheets: Sheets = layer.detail
    if not sheets.along_framing:
        place = {one.number: one.member for one in sheets.bearings}
        return frozenset(place[number] for number in _under_ends(sheets))
    across = bearings_of(layer.task.ground.bearings, frame_across(sheets.frame))
    return frozenset(one.member for one in across if _is_under_a_seam(sheets, one))


def _under_ends(sheets: Sheets) -> Iterator[int]:
    for run, joints in zip(sheets.laid.runs, sheets.joints, strict=True):
        line = sheets.lines[run.course - 1]
        on = dict(zip(line.stations, line.numbers, strict=True))
        yield from (on[at] for at in joints if at in on)


def _is_under_a_seam(sheets: Sheets, one: Bearing) -> bool:
    seams = map(sheets.middle, sheets.seams(openings=False))
    return any(abs(at - one.base) <= one.seated for at in seams)
